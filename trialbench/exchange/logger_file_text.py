"""The text of a logger file: how its bytes are written, and what is no text at all."""

from __future__ import annotations

import codecs
from dataclasses import dataclass
from pathlib import Path

from trialbench.model.errors import BadInput

MOST_BYTES = 100_000_000
"""Nearly three weeks of eight channels once a second; reading takes ten times the memory."""

_ALLOWED = "a log as text: numbers with commas, semicolons or tabs between them"
_NO_TEXT = (
    (b"\x89PNG", "a picture"),
    (b"\xff\xd8\xff", "a picture"),
    (b"GIF8", "a picture"),
    (b"BM", "a picture"),
    (b"II*\x00", "a picture"),
    (b"MM\x00*", "a picture"),
    (b"RIFF", "a picture or a sound"),
    (b"PK\x03\x04", "a workbook or an archive"),
    (b"\xd0\xcf\x11\xe0", "a workbook"),
    (b"%PDF", "a PDF"),
    (b"\x1f\x8b", "a packed file"),
    (b"SQLite format 3", "a database"),
)
_MARKS = (
    (codecs.BOM_UTF8, "utf-8-sig", "UTF-8 with a mark"),
    (codecs.BOM_UTF16_LE, "utf-16", "UTF-16"),
    (codecs.BOM_UTF16_BE, "utf-16", "UTF-16"),
)
_SHOWN = 4096


@dataclass(frozen=True, slots=True)
class Text:
    """Lines without their ends; `ended` says whether the last one had its end."""

    lines: list[str]
    encoding: str
    ended: bool


def read_bytes(path: Path) -> bytes:
    """The bytes of a logger file. Raises BadInput when it is too large or cannot be read."""
    try:
        size = path.stat().st_size
        if size > MOST_BYTES:
            raise BadInput(
                f"{path.name} has {size / 1e6:.0f} MB. Nothing was read.",
                where=path.name,
                allowed=f"up to {MOST_BYTES / 1e6:.0f} MB; export a shorter time or fewer channels",
            )
        return path.read_bytes()
    except OSError as trouble:
        reason = trouble.strerror or "it cannot be read"
        raise BadInput(
            f"{path.name} cannot be read: {reason}.", where=path.name, allowed=_ALLOWED
        ) from None


def text_of(data: bytes) -> Text:
    """The lines of a file. Raises BadInput for what is empty, too large or no text."""
    if len(data) > MOST_BYTES:
        raise BadInput(
            f"The file has {len(data) / 1e6:.0f} MB. Nothing was read.",
            where="the file",
            allowed=f"up to {MOST_BYTES / 1e6:.0f} MB; export a shorter time or fewer channels",
        )
    if not data.strip(b"\x00 \t\r\n"):
        raise BadInput("The file is empty.", where="the file", allowed=_ALLOWED)
    for start, name in _NO_TEXT:
        if data.startswith(start):
            raise BadInput(
                f"The file is {name}, not a log. Nothing was read.", where="the file",
                allowed=_ALLOWED,
            )  # fmt: skip
    codec, said = _encoding(data)
    try:
        text = data.decode(codec)
    except UnicodeDecodeError:
        text, said = _otherwise(data, codec, said)
    control = sum(ord(sign) < 32 and sign not in "\t\r\n\f\x1a" for sign in text[:_SHOWN])
    if "\x00" in text or control > 2:
        raise BadInput(
            "The file is not text. Nothing was read.", where="the file", allowed=_ALLOWED
        )
    return _lines(text, said)


def _encoding(data: bytes) -> tuple[str, str]:
    for mark, codec, said in _MARKS:
        if data.startswith(mark):
            return codec, said
    head = data[:_SHOWN]
    even, odd = head[0::2].count(0), head[1::2].count(0)
    if odd > len(head) // 5 and even == 0:
        return "utf-16-le", "UTF-16"
    if even > len(head) // 5 and odd == 0:
        return "utf-16-be", "UTF-16"
    return "utf-8", "UTF-8"


def _otherwise(data: bytes, codec: str, said: str) -> tuple[str, str]:
    """The text of bytes that are not quite what they began as."""
    if codec != "utf-8":
        return data.decode(codec, errors="replace"), said  # cut off in the middle of a sign
    try:
        return data.decode("cp1252"), "Windows-1252 (Latin-1)"
    except UnicodeDecodeError:  # five places are empty there
        return data.decode("latin-1"), "Latin-1"


def _lines(text: str, encoding: str) -> Text:
    plain = text.replace("\r\n", "\n").replace("\r", "\n").rstrip("\x1a")
    lines = plain.split("\n")
    ended = lines[-1] == ""
    return Text(lines[:-1] if ended else lines, encoding, ended)

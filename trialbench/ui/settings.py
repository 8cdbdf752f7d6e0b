"""The settings of this machine: one table of key, type, default and range, kept as plain INI."""

from __future__ import annotations

import configparser
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

Value = str | int | bool


@dataclass(frozen=True, slots=True)
class Setting:
    """One row of the table. `allowed` says whether a value of the right type may stand."""

    key: str
    default: Value
    allowed: Callable[[Value], bool] = lambda value: True


def _one_of(*values: Value) -> Callable[[Value], bool]:
    return lambda value: value in values


def _between(low: int, high: int) -> Callable[[Value], bool]:
    return lambda value: isinstance(value, int) and low <= value <= high


TABLE: tuple[Setting, ...] = (
    Setting("theme", "system", _one_of("system", "light", "dark")),
    Setting("text_percent", 100, _between(80, 200)),
    Setting("counter_size", False),
    Setting("reduce_motion", False),
    Setting("window_geometry", ""),
    Setting("last_page", "contents"),
    Setting("last_trial", ""),
    Setting("last_notebook", ""),
    Setting("contents_order", "food", _one_of("food", "number", "written")),
    Setting("last_folder", ""),
    Setting("paper_size", "a4", _one_of("a4", "letter")),
    Setting("last_scroll", 0, _between(0, 1_000_000)),
)
_BY_KEY = {row.key: row for row in TABLE}
_SECTION = "trialbench"


class Settings:
    """Reads and writes settings by key. A value of the wrong type or range is its default.

    `file` None keeps nothing on disk. KeyError for a key that the table does not hold.
    """

    def __init__(self, file: Path | None = None) -> None:
        self._file = file
        self._values: dict[str, Value] = {}
        if file is not None and file.exists():
            self._read(file)

    def _read(self, file: Path) -> None:
        parser = configparser.ConfigParser(interpolation=None)
        try:
            parser.read(file, encoding="utf-8")
        except (configparser.Error, OSError, UnicodeDecodeError):
            return
        for row in TABLE:
            text = parser.get(_SECTION, row.key, fallback=None)
            if text is not None:
                value = _parsed(text, row.default)
                if value is not None and row.allowed(value):
                    self._values[row.key] = value

    def text(self, key: str) -> str:
        return str(self._get(key, str))

    def number(self, key: str) -> int:
        return int(self._get(key, int))

    def on(self, key: str) -> bool:
        return bool(self._get(key, bool))

    def _get(self, key: str, kind: type) -> Value:
        row = _BY_KEY[key]
        if type(row.default) is not kind:
            raise KeyError(f"{key} is kept as {type(row.default).__name__}")
        return self._values.get(key, row.default)

    def put(self, key: str, value: Value) -> None:
        """Keep a value. Raises ValueError for a type or value that its row does not allow."""
        row = _BY_KEY[key]
        if type(value) is not type(row.default) or not row.allowed(value):
            raise ValueError(f"{key} cannot be {value!r}")
        self._values[key] = value

    def write(self) -> None:
        """Write what is kept; a folder that cannot be written is not worth stopping for."""
        if self._file is None:
            return
        parser = configparser.ConfigParser(interpolation=None)
        parser[_SECTION] = {key: _printed(value) for key, value in self._values.items()}
        try:
            self._file.parent.mkdir(parents=True, exist_ok=True)
            with self._file.open("w", encoding="utf-8") as file:
                parser.write(file)
        except OSError:
            return


def _printed(value: Value) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    return str(value)


def _parsed(text: str, default: Value) -> Value | None:
    if isinstance(default, bool):
        return {"yes": True, "no": False}.get(text)
    if isinstance(default, int):
        return int(text) if text.lstrip("-").isdigit() else None
    return text

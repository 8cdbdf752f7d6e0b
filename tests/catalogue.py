"""Collects the messages of the code into the template that translators start from.

`python -m tests.catalogue` writes resources/catalogues/trialbench.pot; a test fails while the
template and the code differ. A translation is LANGUAGE/LC_MESSAGES/trialbench.mo beside it.
"""

from __future__ import annotations

import sys
from contextlib import redirect_stderr
from io import BytesIO, StringIO
from pathlib import Path

from babel.messages.catalog import Catalog
from babel.messages.extract import extract
from babel.messages.pofile import write_po

ROOT = Path(__file__).resolve().parent.parent
TEMPLATE = ROOT / "resources" / "catalogues" / "trialbench.pot"

_KEYWORDS = {"msg": None, "msg_n": (1, 2)}
_HEADER = "# Messages of Trialbench. {names} are filled in when shown: keep them as they are."


def collected() -> Catalog:
    """All messages of the package, each with the files it stands in."""
    catalog = Catalog(project="Trialbench", charset="utf-8", header_comment=_HEADER)
    for path in sorted((ROOT / "trialbench").rglob("*.py")):
        where = path.relative_to(ROOT).as_posix()
        if where.startswith("trialbench/_shipped/"):
            continue
        for text in _messages(path):
            catalog.add(text, locations=[(where, 0)])
    return catalog


def _messages(path: Path) -> list[str | tuple[str, ...]]:
    """The messages of one file; `msg("")` says nothing, and babel warns of it on stderr."""
    said = StringIO()
    with path.open("rb") as source, redirect_stderr(said):
        found = [text for _, text, _, _ in extract("python", source, _KEYWORDS) if text]
    for line in said.getvalue().splitlines():
        if "Empty msgid" not in line:
            print(line, file=sys.stderr)
    return found


def written(catalog: Catalog) -> bytes:
    """The template as it stands in the file: no dates and no line numbers, so that it is still."""
    out = BytesIO()
    write_po(out, catalog, omit_header=True, include_lineno=False, sort_output=True, width=100)
    head = (
        f'{_HEADER}\nmsgid ""\nmsgstr ""\n'
        '"MIME-Version: 1.0\\n"\n"Content-Type: text/plain; charset=utf-8\\n"\n'
        '"Content-Transfer-Encoding: 8bit\\n"\n'
        '"Plural-Forms: nplurals=2; plural=(n != 1);\\n"\n\n'
    )
    return head.encode() + out.getvalue()


def main() -> int:
    """Write the template and say how many messages it holds."""
    catalog = collected()
    TEMPLATE.write_bytes(written(catalog))
    print(f"{len(catalog)} messages in {TEMPLATE.relative_to(ROOT)}")
    return 0


if __name__ == "__main__":
    sys.exit(main())

"""`trialbench report`: the report of one trial from a notebook or package, without a window."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from trialbench.model.errors import BadInput
from trialbench.notebook.notebook import Notebook
from trialbench.notebook.records_read import Reads
from trialbench.report.writing import form_for, write_report

OpenPackage = Callable[[Path], Reads]
_SQLITE = b"SQLite format 3\0"


def report(
    source: Path, trial: str | None, target: Path, *, is_package: bool, open_package: OpenPackage
) -> Path:
    """Write the report of `trial` (number or id; the only one where None) into `target`.

    `open_package` reads a package where `is_package` says that the source is one; else the source
    is a notebook, which is only read. Raises BadInput, NoSuchTrial and FileTrouble.
    """
    form_for(target.suffix)
    if is_package:
        return write_report(open_package(source), trial, target)
    if not source.is_file():
        raise _no_source(f"There is no notebook or package at {source}.", source)
    with source.open("rb") as file:
        if file.read(len(_SQLITE)) != _SQLITE:
            raise _no_source(f"{source.name} is not a notebook.", source)
    with Notebook.open(source) as book:
        return write_report(book, trial, target)


def _no_source(what: str, source: Path) -> BadInput:
    allowed = "a notebook file, a package folder, or a package as .zip"
    return BadInput(what, where=str(source), allowed=allowed)

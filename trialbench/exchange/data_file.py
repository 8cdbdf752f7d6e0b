"""The data file: every number of a trial as one tidy table."""

from __future__ import annotations

from pathlib import Path

from trialbench.findings.snapshot import records_of
from trialbench.findings.tidy import data_csv
from trialbench.model.errors import FileTrouble
from trialbench.model.message import msg
from trialbench.notebook.records_read import Reads


def write_data_csv(book: Reads, trial_id: str, target: Path) -> Path:
    """Write the tidy table as CSV; columns are named in findings.tidy.TIDY_COLUMNS.

    Sittings whose key is sealed are not in it. Raises FileTrouble and NoSuchTrial.
    """
    text = data_csv(records_of(book, trial_id))
    try:
        target.write_text(text, encoding="utf-8", newline="")
    except OSError as error:
        raise FileTrouble(
            msg("{path} cannot be written: {why}.", path=str(target), why=error.strerror or "?"),
            cause=str(error),
        ) from error
    return target

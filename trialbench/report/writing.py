"""From a notebook or package to a file: Markdown, HTML, PDF, the data as CSV, the seal's text."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from trialbench.findings.of_trial import reckon_trial
from trialbench.findings.snapshot import TrialRecords, records_of, trial_named
from trialbench.findings.tidy import data_csv
from trialbench.findings.trial_finding import TrialFinding
from trialbench.model.errors import BadInput, FileTrouble
from trialbench.model.message import msg
from trialbench.notebook.records_read import Reads
from trialbench.planning.seal import seal_of
from trialbench.report.html import html_of
from trialbench.report.markdown import markdown_of
from trialbench.report.note import recipe_note
from trialbench.report.pdf import pdf_of

Form = Callable[[TrialRecords, TrialFinding], bytes]


def sealed_text(records: TrialRecords) -> bytes:
    """What was sealed, byte for byte: `sha256sum` of the file is the seal's fingerprint.

    Raises BadInput where the plan was not sealed.
    """
    seal = seal_of(records)
    if seal is None:
        raise BadInput("The plan was not sealed.", where=".json", allowed="a sealed trial")
    return seal.written.encode()


FORMS: dict[str, Form] = {
    ".md": lambda records, found: markdown_of(recipe_note(records, found)).encode(),
    ".html": lambda records, found: html_of(recipe_note(records, found)).encode(),
    ".pdf": lambda records, found: pdf_of(recipe_note(records, found)),
    ".csv": lambda records, found: data_csv(records).encode(),
    ".json": lambda records, found: sealed_text(records),
}
"""The ending of a file name to what is written into it."""


def report_bytes(records: TrialRecords, ending: str, found: TrialFinding | None = None) -> bytes:
    """A report in the form of an ending (".pdf"). Raises BadInput for an unknown one."""
    return form_for(ending)(records, found or reckon_trial(records))


def form_for(ending: str) -> Form:
    """What writes a file of this ending. Raises BadInput for an unknown one."""
    form = FORMS.get(ending.lower())
    if form is None:
        raise BadInput(
            f"A report cannot be written as {ending or 'a file without an ending'}.",
            where=ending,
            allowed=", ".join(FORMS),
        )
    return form


def write_report(book: Reads, trial: str | None, target: Path) -> Path:
    """Write the report of a trial (number or id; the only one where None).

    Raises BadInput for an unknown ending, NoSuchTrial, and FileTrouble.
    """
    form_for(target.suffix)
    made = report_bytes(records_of(book, trial_named(book, trial).id), target.suffix)
    return write_file(target, made)


def write_file(target: Path, made: bytes) -> Path:
    """Put a report where it was asked for. Raises FileTrouble."""
    try:
        target.write_bytes(made)
    except OSError as error:
        raise FileTrouble(
            msg("{path} cannot be written: {why}.", path=str(target), why=error.strerror or "?"),
            cause=str(error),
        ) from error
    return target

"""From the records of a trial to the bytes of a paper."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal, TypeVar

from trialbench.findings.snapshot import TrialRecords
from trialbench.model.errors import BadInput
from trialbench.model.message import Message, msg
from trialbench.model.records import Sitting
from trialbench.report.papers.blind import cards_values, labels_values, table_of
from trialbench.report.papers.places import places_values
from trialbench.report.papers.plan import plan_values
from trialbench.report.papers.plates import plates_values
from trialbench.report.papers.weighing import weighing_values
from trialbench.report.papers.words import PAPER_SIZES, Values
from trialbench.report.typesetting import typeset

T = TypeVar("T")
Made = tuple[Values, dict[str, str]]


@dataclass(frozen=True, slots=True)
class PaperKind:
    """What a paper is called, its template, and whether it is of a trial or of one sitting."""

    name: Message
    template: str
    of: Literal["trial", "sitting"]


PAPERS: dict[str, PaperKind] = {
    "plan": PaperKind(msg("plan"), "plan.typ", "trial"),
    "places": PaperKind(msg("which piece goes where"), "places.typ", "trial"),
    "weighing": PaperKind(msg("weighing list"), "weighing.typ", "trial"),
    "weighing_without": PaperKind(msg("weighing list without methods"), "weighing.typ", "trial"),
    "plates": PaperKind(msg("plate map"), "plates.typ", "sitting"),
    "labels": PaperKind(msg("codes to cut out"), "labels.typ", "sitting"),
    "cards": PaperKind(msg("score cards"), "cards.typ", "sitting"),
}


@dataclass(frozen=True, slots=True)
class Wanted:
    """One paper: its name, `size` a4 | letter, the sitting it is of, and for the plate map of a
    sealed sitting the piece's id for the id of each sample."""

    name: str
    size: str = "a4"
    sitting_id: str = ""
    piece_of: Mapping[str, str | None] | None = None


def paper_bytes(records: TrialRecords, wanted: Wanted) -> bytes:
    """A paper as the bytes of a PDF file; equal records give equal bytes.

    Raises BadInput for an unknown paper, size or sitting, Sealed for a plate map without its key,
    CannotTypeset.
    """
    kind = _one_of(wanted.name, PAPERS, "paper")
    _one_of(wanted.size, PAPER_SIZES, "size of paper")
    values, pictures = _values(records, wanted)
    return typeset(kind.template, values, pictures)


def _values(records: TrialRecords, wanted: Wanted) -> Made:
    name, size = wanted.name, wanted.size
    if PAPERS[name].of == "sitting":
        return _of_sitting(records, wanted)
    if name == "plan":
        return plan_values(records, size)
    if name == "places":
        return places_values(records, size)
    return weighing_values(records, size, with_methods=name == "weighing")


def _of_sitting(records: TrialRecords, wanted: Wanted) -> Made:
    sitting = records.find(Sitting, wanted.sitting_id)
    if sitting is None:
        raise BadInput("This trial has no such sitting.", where=wanted.sitting_id or "\u2013",
                       allowed="the id of a sitting of the trial")  # fmt: skip
    if wanted.name == "plates":
        return plates_values(records, wanted.size, sitting, wanted.piece_of)
    table = table_of(records, sitting)
    made = labels_values if wanted.name == "labels" else cards_values
    return made(table, wanted.size), {}


def _one_of(name: str, table: Mapping[str, T], what: str) -> T:
    if name not in table:
        raise BadInput(f"There is no {what} {name}.", where=name, allowed=", ".join(table))
    return table[name]

"""Questions about a trial on paper: methods, stages, outcomes, draws, seal."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, fields, replace
from typing import Any

from trialbench.model.records import (
    Checkpoint,
    Cover,
    Decision,
    Difference,
    Draw,
    Factor,
    HandedOn,
    LeftOut,
    Lot,
    Method,
    Outcome,
    Part,
    Piece,
    Seal,
    Seat,
    Stage,
    Taster,
    Trial,
)
from trialbench.model.scales import SCALES
from trialbench.model.words import STAGE_FIELDS
from trialbench.notebook.belonging import OWNERS
from trialbench.notebook.records_read import R, Reads
from trialbench.notebook.views.additions import slots

NUMBER_FIELDS = frozenset(
    f.name for f in fields(Stage) if f.name in STAGE_FIELDS and "float" in str(f.type)
)
"""The stage fields that hold a number; the others hold text."""


def cover(book: Reads) -> Cover:
    """The notebook's cover."""
    return book.all(Cover)[0]


def trials(book: Reads) -> tuple[Trial, ...]:
    """Every trial by number."""
    return book.all(Trial)


def methods(book: Reads, trial_id: str) -> tuple[Method, ...]:
    """The methods by letter."""
    return book.all(Method, trial_id=trial_id)


def stages(book: Reads, trial_id: str) -> tuple[Stage, ...]:
    """The stages as they stand on the page, shared and own, in order."""
    return book.all(Stage, trial_id=trial_id)


def parts(book: Reads, stage_id: str, field: str | None = None) -> tuple[Part, ...]:
    """Where a stage is parted, by method letter; of one field when it is named."""
    wanted: dict[str, Any] = {"stage_id": stage_id} | ({"field": field} if field else {})
    found = book.all(Part, **wanted)
    order = list(STAGE_FIELDS)
    return tuple(
        sorted(
            found,
            key=lambda p: (order.index(p.field), book.get(Method, p.method_id).letter),
        )
    )


def parted_fields(book: Reads, stage_id: str) -> tuple[str, ...]:
    """The fields of a stage that are written once a method, in the order of the line."""
    return tuple(dict.fromkeys(part.field for part in parts(book, stage_id)))


def part_value(part: Part) -> float | str | None:
    """What a part holds, in its field's unit."""
    return part.number if part.field in NUMBER_FIELDS else (part.text or "")


def resolved_stage(book: Reads, stage: Stage, method_id: str) -> Stage:
    """The stage as one method has it."""
    values: dict[str, Any] = {
        part.field: part_value(part)
        for part in book.all(Part, stage_id=stage.id)
        if part.method_id == method_id
    }
    return replace(stage, **values) if values else stage


def method_stages(book: Reads, method_id: str) -> tuple[Stage, ...]:
    """Every stage of one method in order, its parts applied."""
    trial_id = book.get(Method, method_id).trial_id
    return tuple(
        resolved_stage(book, stage, method_id)
        for stage in stages(book, trial_id)
        if stage.method_id in (None, method_id)
    )


def differing(book: Reads, trial_id: str) -> tuple[tuple[Stage, str], ...]:
    """Every line in which the methods differ: (stage, field), field "" for an own stage and
    "addition 2" for a line of additions.

    A parted field whose values are all equal does not differ.
    """
    found: list[tuple[Stage, str]] = []
    there = [method.id for method in methods(book, trial_id)]
    for stage in stages(book, trial_id):
        if stage.method_id is not None:
            found.append((stage, ""))
        for field in parted_fields(book, stage.id):
            if len({part_value(part) for part in parts(book, stage.id, field)}) > 1:
                found.append((stage, field))
        found += [(stage, slot.field) for slot in slots(book, stage.id) if slot.differs(there)]
    return tuple(found)


def difference(book: Reads, stage_id: str, field: str) -> Difference | None:
    """What the cook said of a difference, if anything."""
    return next(iter(book.all(Difference, stage_id=stage_id, field=field)), None)


def role_of_line(book: Reads, stage_id: str, field: str) -> str | None:
    """The part a line has in the trial: what the cook said, or "question" where it is varied on
    purpose; None for not said yet.
    """
    if field and book.all(Factor, stage_id=stage_id, field=field):
        return "question"
    said = difference(book, stage_id, field)
    return said.role if said else None


def outcomes(book: Reads, trial_id: str) -> tuple[Outcome, ...]:
    """Every outcome in order."""
    return book.all(Outcome, trial_id=trial_id)


def deciding(book: Reads, trial_id: str) -> Outcome | None:
    """The outcome that decides."""
    return book.find(Outcome, book.get(Trial, trial_id).decides_id)


def other_outcomes(book: Reads, trial_id: str) -> tuple[Outcome, ...]:
    """What else we look at."""
    decides = book.get(Trial, trial_id).decides_id
    return tuple(o for o in outcomes(book, trial_id) if o.id != decides)


def attributes(book: Reads, trial_id: str) -> tuple[Outcome, ...]:
    """What tasters score, in order: the lines of a score card."""
    return book.all(Outcome, trial_id=trial_id, source="attribute")


@dataclass(frozen=True, slots=True)
class Range:
    """What may be written, in the outcome's unit. None: no limit, no step."""

    low: float | None
    high: float | None
    step: float | None


def range_of(outcome: Outcome) -> Range:
    """The limits and the step of an outcome: its own, else those of its scale."""
    scale = SCALES.get(outcome.scale)
    if scale is None:
        return Range(outcome.low, outcome.high, outcome.step)
    return Range(
        scale.low if outcome.low is None else outcome.low,
        scale.high if outcome.high is None else outcome.high,
        scale.step if outcome.step is None else outcome.step,
    )


def checkpoints(book: Reads, trial_id: str) -> tuple[Checkpoint, ...]:
    """The weighings in order."""
    return book.all(Checkpoint, trial_id=trial_id)


def draws(book: Reads, trial_id: str) -> tuple[Draw, ...]:
    """Every draw by number."""
    return book.all(Draw, trial_id=trial_id)


def latest_draw(book: Reads, trial_id: str) -> Draw | None:
    """The draw that holds."""
    return next(reversed(draws(book, trial_id)), None)


def lots(book: Reads, draw_id: str) -> dict[str, str]:
    """What a draw gave: piece id to method id."""
    return {lot.piece_id: lot.method_id for lot in book.all(Lot, draw_id=draw_id)}


def seal(book: Reads, trial_id: str) -> Seal | None:
    """What was written down before tasting."""
    return next(iter(book.all(Seal, trial_id=trial_id)), None)


def left_out(book: Reads, trial_id: str, subject_id: str | None = None) -> tuple[LeftOut, ...]:
    """What was set aside with a reason; of one piece or taster when it is named."""
    wanted: dict[str, Any] = {"subject_id": subject_id} if subject_id else {}
    return book.all(LeftOut, trial_id=trial_id, **wanted)


def decision(book: Reads, trial_id: str) -> Decision | None:
    """What the cook does from now on: the newest decision."""
    return next(reversed(book.all(Decision, trial_id=trial_id)), None)


def handed_on(book: Reads, trial_id: str) -> tuple[HandedOn, ...]:
    """The recipe notes that left the notebook, oldest first."""
    return book.all(HandedOn, trial_id=trial_id)


class OneTrial:
    """One trial and everything that belongs to it, read from an open notebook when asked."""

    def __init__(self, book: Reads, trial_id: str) -> None:
        self._book = book
        self._trial_id = trial_id

    @property
    def trial(self) -> Trial:
        """The trial itself."""
        return self._book.get(Trial, self._trial_id)

    def of(self, kind: type[R]) -> Iterable[R]:
        """Its records of one kind, in natural order within what they belong to.

        Tasters are those who sat at it.
        """
        if kind.kind == "feel":
            return ()  # The feel card is the kitchen's own and goes with no trial.
        if kind.kind in ("trial", "cover"):
            return tuple(r for r in self._book.all(kind) if r.id == self._trial_id)
        if kind.kind == Taster.kind:
            seated = {seat.taster_id for seat in self.of(Seat)}
            return tuple(taster for taster in self._book.all(kind) if taster.id in seated)
        if kind.kind not in OWNERS:
            return self._book.all(kind, trial_id=self._trial_id)
        field, owner = OWNERS[kind.kind]
        return tuple(
            record
            for parent in self.of(owner)
            for record in self._book.all(kind, **{field: parent.id})
        )


def method_of_piece(book: Reads, piece: Piece) -> Method | None:
    """What the draw gave a piece."""
    return book.find(Method, piece.method_id)

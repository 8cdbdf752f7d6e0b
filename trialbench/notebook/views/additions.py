"""What goes on, in or under the food at a stage, slot by slot; and the kitchen's feel card."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from trialbench.model.records import Addition, Feel, Stage
from trialbench.notebook.records_read import Reads


@dataclass(frozen=True, slots=True)
class Slot:
    """One line of additions of a stage: the same for all, or one a method.

    `position` names it within its stage and never changes. `of` is what a method has, None where it
    has nothing; a slot that is not `parted` is the same for every method.
    """

    stage_id: str
    position: int
    role: str
    parted: bool
    records: tuple[Addition, ...]

    def of(self, method_id: str) -> Addition | None:
        """What this method has."""
        if not self.parted:
            return self.records[0]
        return next((r for r in self.records if r.method_id == method_id), None)

    def differs(self, method_ids: Sequence[str]) -> bool:
        """Whether these methods have not all the same here."""
        said = {_without_ids(self.of(method_id)) for method_id in method_ids}
        return self.parted and len(said) > 1

    @property
    def field(self) -> str:
        """The slot's name as a line of its stage, for differences: "addition 2"."""
        return f"addition {self.position}"


def _without_ids(addition: Addition | None) -> Addition | None:
    return replace(addition, id="", method_id=None) if addition is not None else None


def slots(book: Reads, stage_id: str) -> tuple[Slot, ...]:
    """The additions of a stage in their order."""
    found: dict[int, list[Addition]] = {}
    for record in book.all(Addition, stage_id=stage_id):
        found.setdefault(record.position, []).append(record)
    return tuple(_slot(stage_id, position, found[position]) for position in sorted(found))


def _slot(stage_id: str, position: int, records: list[Addition]) -> Slot:
    parted = any(record.method_id is not None for record in records)
    return Slot(stage_id, position, records[0].role, parted, tuple(records))


def slot(book: Reads, stage_id: str, position: int) -> Slot | None:
    """One line of additions, None where there is none."""
    return next((s for s in slots(book, stage_id) if s.position == position), None)


def slot_of_field(book: Reads, stage_id: str, field: str) -> Slot | None:
    """The slot that a difference names ("addition 2"), None for another field."""
    word, _, number = field.partition(" ")
    if word != "addition" or not number.isdigit():
        return None
    return slot(book, stage_id, int(number))


def additions_of(book: Reads, stage: Stage, method_id: str) -> tuple[Addition, ...]:
    """What one method has at a stage, in order."""
    there = (slot.of(method_id) for slot in slots(book, stage.id))
    return tuple(addition for addition in there if addition is not None)


def feel_card(book: Reads) -> tuple[Feel, ...]:
    """The words of the kitchen's feel card in order; none until they are written."""
    return book.all(Feel)

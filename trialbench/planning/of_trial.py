"""What planning reads: the records of one trial, from whoever holds them."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Protocol, TypeVar

from trialbench.model.records import Cook, Method, Pair, Piece, Record, Stage, Trial
from trialbench.notebook.views.kitchen import takes_part

R = TypeVar("R", bound=Record)


class OfTrial(Protocol):
    """One trial and everything that belongs to it: a snapshot, or a view of an open notebook."""

    @property
    def trial(self) -> Trial:
        """The trial itself."""
        ...

    def of(self, kind: type[R]) -> Iterable[R]:
        """Its records of one kind (tasters: those who sat at it)."""
        ...


def methods_of(records: OfTrial) -> tuple[Method, ...]:
    """The methods by letter."""
    return tuple(sorted(records.of(Method), key=lambda m: m.letter))


def stages_of(records: OfTrial) -> tuple[Stage, ...]:
    """The stages as they stand on the page: by position, then by id of the record."""
    return tuple(sorted(records.of(Stage), key=lambda s: (s.position, s.method_id or "", s.id)))


def cooks_of(records: OfTrial) -> tuple[Cook, ...]:
    """The cook days by number."""
    return tuple(sorted(records.of(Cook), key=lambda c: c.number))


def pieces_of(records: OfTrial, cook_id: str | None = None) -> tuple[Piece, ...]:
    """The pieces that take part, by cook day and position; of one cook day with `cook_id`."""
    place = {cook.id: n for n, cook in enumerate(cooks_of(records))}
    kept = [p for p in records.of(Piece) if takes_part(p) and cook_id in (None, p.cook_id)]
    return tuple(sorted(kept, key=lambda p: (place.get(p.cook_id, 0), p.position, p.id)))


def pairs_of(records: OfTrial, cook_id: str) -> tuple[Pair, ...]:
    """The pairs of one cook day by number."""
    return tuple(sorted((p for p in records.of(Pair) if p.cook_id == cook_id), key=_number))


def _number(pair: Pair) -> int:
    return pair.number

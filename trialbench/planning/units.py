"""What a plan counts: its units, and how far its answer can reach (policy 6.1 and 6.2)."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from trialbench.model.message import Message, msg, msg_n
from trialbench.model.records import Trial
from trialbench.planning.assignments import Unit

Scope = Literal["method", "batch", "taster", "none"]

FEWEST_TASTERS_OF_A_BATCH = 3


@dataclass(frozen=True, slots=True)
class PlannedUnits:
    """Units of a plan. `each` is how many units every method has on every cook day, at least.

    `pieces` counts pieces per method and cook day, `tasters` is None where the plan does not say,
    `tasted` whether tasters or an instrument decide.
    """

    unit: Literal["piece", "load"]
    each: int
    pieces: int
    cooks: int
    methods: int
    paired: bool
    tasters: int | None
    servings: int
    tasted: bool

    @property
    def scope(self) -> Scope:
        """What the design can speak of; `none` where nothing is left to reckon an error from."""
        if self.cooks >= 2:
            return "method"
        if self.cooks < 1 or self.each < 1:
            return "none"
        if self.each >= 2:
            return "batch"
        if not self.tasted:
            return "none"
        if self.tasters is None or self.tasters >= FEWEST_TASTERS_OF_A_BATCH:
            return "batch"
        return "taster" if self.tasters == 1 and self.servings >= 2 else "none"


def planned_units(
    trial: Trial, methods: int, units: Sequence[Unit], *, tasted: bool
) -> PlannedUnits:
    """The units of a plan: from its pieces and loads where they are laid out, else its figures."""
    loads = trial.loads == "shared" or any(len(u.piece_ids) > 1 for u in units)
    each = 1 if trial.loads == "shared" else trial.pieces_each
    if any(len(u.piece_ids) > 1 for u in units):
        each = min(Counter(u.cook_id for u in units).values()) // max(methods, 1)
    laid_out = len({u.cook_id for u in units})
    return PlannedUnits(
        unit="load" if loads else "piece",
        each=each,
        pieces=trial.pieces_each,
        cooks=trial.planned_cooks or laid_out,
        methods=methods,
        paired=trial.paired,
        tasters=trial.planned_tasters,
        servings=trial.servings,
        tasted=tasted,
    )


def unit_sentence(units: PlannedUnits) -> Message:
    """What the unit is, and why."""
    if units.unit == "load":
        return msg_n(
            "{count} piece in a pan, bag or cooker of its own: the load counts as one.",
            "{count} pieces of a method share a pan, bag or cooker: they count as one.",
            units.pieces,
        )
    return msg_n(
        "Each piece gets its method by itself: {count} of each method counts on a cook day.",
        "Each piece gets its method by itself: {count} of each method count on a cook day.",
        units.each,
    )


def scope_sentence(units: PlannedUnits) -> Message:
    """What the answer will be about."""
    scope = units.scope
    if scope == "method":
        return _of_the_method(units.cooks)
    if scope == "taster":
        return msg("One taster and one of each: this tells you about this taster and these pieces.")
    if scope == "none":
        return _of_nothing(units)
    if units.each >= 2:
        return msg(
            "One cook day with {each} of each method: this tells you about that day's batch, not "
            "about the method.",
            each=units.each,
        )
    return _of_these(units)


def _of_the_method(cooks: int) -> Message:
    if cooks == 2:
        return msg("Two cook days: this can speak of the method, and rests on two cook days.")
    return msg_n(
        "{count} cook day with both: this can speak of the method.",
        "{count} cook days, each with all methods: this can speak of the method.",
        cooks,
    )


def _of_these(units: PlannedUnits) -> Message:
    number = units.methods
    if units.unit == "load":
        return msg_n(
            "One load of each on one cook day: this tells you about this load, not the method.",
            "One load of each on one cook day: this tells you about these {count} loads, not about "
            "the method.",
            number,
        )
    if units.paired and number == 2:
        return msg(
            "One pair on one cook day: this tells you about these two pieces, not about the method."
        )
    return msg_n(
        "One piece of each on one cook day: this tells you about this piece, not the method.",
        "One piece of each on one cook day: this tells you about these {count} pieces, not about "
        "the method.",
        number,
    )


def _of_nothing(units: PlannedUnits) -> Message:
    if units.cooks < 1:
        return msg("Say how many cook days there are to be.")
    if not units.tasted:
        return msg("One of each, weighed once: no interval can come of it. Cook on a second day.")
    return msg(
        "One of each for so few tasters: no interval can come of it. Cook on a second day, or ask "
        "three tasters."
    )

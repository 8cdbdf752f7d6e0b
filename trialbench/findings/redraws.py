"""The draws that the plan's own rules allowed, as the redraw test needs them."""

from __future__ import annotations

from trialbench.findings.snapshot import TrialRecords
from trialbench.findings.units import places_of
from trialbench.model.records import Method
from trialbench.notebook import views
from trialbench.planning.assignments import Assignments, allowed_assignments

MOST_LISTED = 20_000
"""Up to this many draws are listed; beyond, the test goes over all draws within blocks."""


def drawn_within_pairs(records: TrialRecords) -> bool:
    """Whether lots were drawn inside pairs (else over the whole cook day)."""
    draw = views.latest_draw(records, records.trial.id)
    return draw is None or draw.within == "pair"


def allowed_redraws(records: TrialRecords) -> tuple[dict[tuple[str, str], str], ...] | None:
    """Each allowed draw as (cook, unit) to letter; None where all draws within blocks are.

    That is so where no place restricts the draw and every block holds equally many units of each
    method.
    """
    ways = allowed_assignments(records)
    if not ways.units or not all(ways.labels):
        return None
    if ways.equal and not ways.places_count:
        return None
    if ways.count is None or ways.count > MOST_LISTED:
        return None
    return _listed(records, ways)


def _listed(
    records: TrialRecords, ways: Assignments
) -> tuple[dict[tuple[str, str], str], ...] | None:
    places = places_of(records)
    letters = {method.id: method.letter for method in records.of(Method)}
    first = [places[unit.piece_ids[0]] for unit in ways.units]
    keys = [(place.cook, place.unit) for place in first]
    return tuple(
        {key: letters[label] for key, label in zip(keys, labels, strict=True)}
        for labels in ways.all()
    )


def places_not_held(records: TrialRecords) -> bool:
    """Whether places restrict the draw and the draws are too many to be listed."""
    ways = allowed_assignments(records)
    return ways.places_count and (ways.count is None or ways.count > MOST_LISTED)

"""Invented trials for the tests of planning, built record by record."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from trialbench.model.records import (
    Cook,
    Cover,
    Load,
    Method,
    Outcome,
    Pair,
    Part,
    Piece,
    Record,
    Sitting,
    Stage,
    Taster,
    Trial,
)
from trialbench.model.steps import Step
from trialbench.notebook.clock import Moment
from trialbench.notebook.records_read import Records
from trialbench.notebook.views import OneTrial

NOON = Moment("2025-03-08T12:00:00.000Z", 60)
LATER = Moment("2025-03-08T13:00:00.000Z", 60)


class Kitchen(OneTrial):
    """The records of one trial in memory; each change makes another one."""

    def __init__(self, records: Iterable[Record], trial_id: str = "t") -> None:
        self.book, self.trial_id = Records(records), trial_id
        super().__init__(self.book, trial_id)

    def with_records(self, *records: Record) -> Kitchen:
        new = {(r.kind, r.id) for r in records}
        kept = (r for r in self.book.as_set() if (r.kind, r.id) not in new)
        return Kitchen([*kept, *records], self.trial_id)

    def without(self, *ids: str) -> Kitchen:
        return Kitchen((r for r in self.book.as_set() if r.id not in ids), self.trial_id)

    def changed(self, kind: type[Record], record_id: str, **values) -> Kitchen:
        return self.with_records(replace(self.book.get(kind, record_id), **values))

    def after(self, step: Step) -> Kitchen:
        other = Kitchen(self.book.as_set(), self.trial_id)
        for change in step.changes:
            if change.before is not None:
                assert self.book.get(type(change.before), change.before.id) == change.before
        other.book.apply(step.changes)
        return other


def kitchen(
    *,
    cooks: int = 4,
    pairs: int = 2,
    each: int = 1,
    methods: str = "AB",
    tasters: int = 8,
    places: Iterable[str] = (),
    loads: bool = False,
) -> Kitchen:
    """A pork shoulder trial: `pairs` a cook day, or `each` pieces of each method without pairs.

    `loads` puts the pieces of a cook day two by two in pans.
    """
    places = tuple(places)
    found: list[Record] = [
        Cover("cover", "Harbour Street kitchen", "2023-01-01T00:00:00.000Z"),
        Trial(
            "t", 14, "pork shoulder", "Pork", "held dry in the cabinet, 65 °C, 8 h",
            "held in its own juices, in a covered pan", "2025-02-24T20:10:00.000Z",
            came_out="juicier", decides_id="juiciness", matters=0.8, planned_cooks=cooks,
            pieces_each=pairs or each, paired=bool(pairs), planned_tasters=tasters, invented=True,
            draw_early_reason="racks are filled the evening before",
        )
    ]  # fmt: skip
    found += [Method(f"m{letter}", "t", letter, f"way {letter}") for letter in methods]
    found.append(Outcome("juiciness", "t", 1, "juiciness", "attribute", "line_10", 0, 10, 0.1))
    count = (pairs or each) * len(methods)
    for day in range(1, cooks + 1):
        found += _cook_day(day, count, len(methods) if pairs else 0, places, loads)
    found += [Taster(f"taster{n}", f"Taster {n}", n) for n in range(1, tasters + 1)]
    found += [Sitting(f"s{day}", "t", f"c{day}", day) for day in range(1, cooks + 1)]
    return Kitchen(found)


def _cook_day(day, count, in_a_pair, places, loads) -> list[Record]:
    cook = Cook(f"c{day}", "t", day)
    found: list[Record] = [cook]
    for n in range(1, count // in_a_pair + 1 if in_a_pair else 0):
        found.append(Pair(f"c{day}p{n}", cook.id, n, "one animal"))
    found += [Load(f"c{day}l{n}", cook.id, f"pan {n}") for n in range(count // 2 if loads else 0)]
    for place in range(count):
        piece = Piece(
            id=f"c{day}x{place}",
            cook_id=cook.id,
            position=place + 1,
            label=f"P{(day - 1) * count + place + 1:02}",
            pair_id=f"c{day}p{place // in_a_pair + 1}" if in_a_pair else None,
            load_id=f"c{day}l{place // 2}" if loads else None,
            place=places[place % len(places)] if places else "",
        )
        found.append(piece)
    return found


def shoulder() -> Kitchen:
    """The methods of the pork shoulder trial: rest, medium and lid differ (all figures made up)."""
    hour = 3600.0
    stages = [
        Stage("salt", "t", 1, "salt", medium="fridge", set_temp_c=4, duration_s=24 * hour,
              salt_g_per_kg=15),
        Stage("roast", "t", 2, "roast", medium="dry oven", set_temp_c=120, duration_s=9 * hour,
              end_core_c=92, cover="uncovered"),
        Stage("rest", "t", 3, "rest", medium="air", set_temp_c=21, cover="loosely covered"),
        Stage("hold", "t", 4, "hold", set_temp_c=65, duration_s=8 * hour, vessel="its own pan"),
        Stage("sear", "t", 5, "sear", medium="dry oven", set_temp_c=230, duration_s=720,
              cover="uncovered"),
    ]  # fmt: skip
    parts = [
        Part("rest_a", "rest", "mA", "duration_s", number=2700),
        Part("rest_b", "rest", "mB", "duration_s", number=1200),
        Part("in_a", "hold", "mA", "medium", text="air"),
        Part("in_b", "hold", "mB", "medium", text="its own juices"),
        Part("lid_a", "hold", "mA", "cover", text="uncovered"),
        Part("lid_b", "hold", "mB", "cover", text="lid on"),
    ]
    return kitchen().with_records(*stages, *parts)

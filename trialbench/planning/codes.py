"""Three-digit codes for samples: unique over the sitting, and none that says anything.

Three-digit random codes, new for each test: ISO 4120:2021, clause 5 (read as summarised; that all
tasters should have different codes is "preferably" there). Which codes to leave out is common
practice, no source: a first figure 0, hundreds, a figure that comes twice (333, and also 122 or
131, because "a repeat" is read both ways and there are enough others), three figures in a row
(123, 987), and numbers that are temperatures of this trial in °C or °F.
"""

from __future__ import annotations

import math
from collections.abc import Iterable

from trialbench.model.errors import Refused
from trialbench.model.message import msg
from trialbench.model.quantities import f_from_c
from trialbench.model.records import Part, Sitting, Stage
from trialbench.planning.lots import Lots
from trialbench.planning.of_trial import OfTrial
from trialbench.planning.stage_words import TEMPERATURES


def neutral(code: int) -> bool:
    """Whether a number from 100 to 999 has three different figures that are not in a row."""
    a, b, c = (int(figure) for figure in str(code))
    in_a_row = b - a == c - b and abs(b - a) == 1
    return len({a, b, c}) == 3 and not in_a_row


def code_pool(avoid: Iterable[int] = ()) -> tuple[str, ...]:
    """Every code that can be given, in order; `avoid` holds the trial's own numbers."""
    left_out = frozenset(avoid)
    return tuple(str(n) for n in range(100, 1000) if neutral(n) and n not in left_out)


def temperatures_of(records: OfTrial) -> frozenset[int]:
    """Whole degrees, °C and °F, rounded either way, of every temperature written in the trial."""
    written: list[float | None] = []
    for stage in records.of(Stage):
        written += [stage.set_temp_c, stage.end_core_c]
    written += [part.number for part in records.of(Part) if part.field in TEMPERATURES]
    written += [sitting.served_temp_c for sitting in records.of(Sitting)]
    shown = [v for c in written if c is not None for v in (c, f_from_c(c))]
    return frozenset(n for v in shown for n in (math.floor(v + 1e-9), math.ceil(v - 1e-9)))


def draw_codes(count: int, lots: Lots, avoid: Iterable[int] = ()) -> list[str]:
    """`count` different codes in random order.

    Raises Refused when there are not enough.
    """
    pool = code_pool(avoid)
    if count > len(pool):
        raise Refused(
            msg(
                "{count} samples are more than the {most} codes of three figures. Not made.",
                count=count,
                most=len(pool),
            ),
            field="sample.code",
            typed=str(count),
            allowed=msg("up to {most} samples in one sitting", most=len(pool)),
            way_out=msg("Make two sittings of it, or serve fewer samples."),
        )
    return lots.taken(pool, count)

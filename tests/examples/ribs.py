"""Example c: pork ribs smoked bare or in a paper wrap. Every figure is invented."""

from __future__ import annotations

from datetime import date

from tests.examples.attributes import Scored, Weighed, write_checkpoints, write_outcomes
from tests.examples.cooking import draw, lay_out, seal, weigh
from tests.examples.methods import Line, name_differences, write_methods, write_stages
from tests.examples.scatter import Scatter
from tests.examples.tasting import Table, decide, leave_notes, taste
from tests.examples.writing import Draft, Weighing, utc
from trialbench.model.records import Trial

SLUG = "pork-ribs-bare-or-in-paper"
LOT_NUMBER = 171_017
DRAW_LOT_NUMBER = 268_944
SCATTER = Scatter(0.5, 0.4, 0.5, 0.7, 0.4, 1.0)
DAYS = [date(2026, 4, 4), date(2026, 4, 11), date(2026, 4, 25)]
ATTRIBUTES = [
    Scored("liking", "hedonic_9", "better liked", "less liked", "How much do you like it?",
           "dislike extremely", "like extremely", {"A": 6.1, "B": 6.7}),
    Scored("bark", "points_9", "darker in bark", "lighter in bark",
           "How dark and crisp is the bark?", "soft", "dark and crisp", {"A": 7.0, "B": 4.4}),
    Scored("tenderness", "points_9", "more tender", "less tender", "How tender is it?",
           "tough", "very tender", {"A": 6.0, "B": 6.9}),
    Scored("smokiness", "points_9", "smokier", "less smoky", "How smoky is it?",
           "not at all", "very smoky", {"A": 6.0, "B": 5.6}, better="neither"),
]  # fmt: skip
WEIGHED = [
    Weighed("loss of trimmed weight, until smoked", "loss", "% of trimmed", "trimmed", "smoked",
            "less", "loses more", "loses less"),
]  # fmt: skip
WEIGHTS = [
    Weighing("raw", {"A": 1_420, "B": 1_418}, 45),
    Weighing("trimmed", {"A": 1_250, "B": 1_250}, 30),
    Weighing("smoked", {"A": 862.5, "B": 912.5}, 24),
    Weighing("rested", {"A": 850, "B": 893}, 24),
]
CLOCK = {
    "raw": (-1, "17:30"),
    "trimmed": (-1, "18:00"),
    "smoked": (0, "12:40"),
    "rested": (0, "13:40"),
}
TABLE = Table(
    tasters=5,
    clock="13:45",
    served_temp_c=60.0,
    slice_mm=None,
    knife_to_mouth_min=4.0,
    allergens="none in the meat; wheat in the plain crackers",
    left={(2, 5): (2, "called away after the second sample")},
)
SHOWS = "liking is not settled, while bark and tenderness pull against each other"


def make(lot_number: int = LOT_NUMBER) -> Draft:
    """The whole trial, from question to decision."""
    draft = _cooked(lot_number)
    taste(draft, lot_number, ATTRIBUTES, SCATTER, TABLE)
    decide(
        draft,
        "keep",
        "Bare as before: the bark is what people come for. Paper gets another trial when there "
        "are more cook days to give.",
        date(2026, 4, 26),
    )
    leave_notes(draft, lot_number, SHOWS)
    return draft


def make_sealed(lot_number: int = LOT_NUMBER) -> Draft:
    """The trial as it was while all its keys were sealed."""
    draft = _cooked(lot_number)
    taste(draft, lot_number, ATTRIBUTES, SCATTER, TABLE, opened=False)
    return draft


def _cooked(lot_number: int) -> Draft:
    draft = Draft(SLUG)
    _question(draft)
    write_stages(
        draft,
        Line("trim", note="to about 1,250 g a rack, skin of the bone side off"),
        Line("salt", medium="fridge", set_temp_c=4.0, duration_s=43_200.0, cover="uncovered",
             salt_g_per_kg=11.0),
        Line("smoke", name="first smoke", medium="smoke", set_temp_c=120.0, duration_s=10_800.0,
             cover="uncovered", note="racks change places half-way"),
        Line("smoke", name="second smoke", medium="smoke", set_temp_c=120.0, end_core_c=94.5,
             end_feel="3 to 4 of 4, a probe slides in",
             parts={"cover": ("uncovered", "wrapped in paper"), "duration_s": (9_600.0, 6_000.0)}),
        Line("rest", medium="air", cover="loosely covered",
             parts={"duration_s": (3_600.0, 7_200.0)}),
        Line("slice", note="between the bones, one bone a portion"),
    )  # fmt: skip
    name_differences(
        draft,
        question=("second smoke/cover",),
        rider=("second smoke/duration_s", "rest/duration_s"),
    )
    write_checkpoints(
        draft,
        ("raw", "raw", ""),
        ("trimmed", "trimmed", ""),
        ("smoked", "stage", "second smoke"),
        ("rested", "rested", "rest"),
    )
    write_outcomes(draft, ATTRIBUTES, WEIGHED)
    lay_out(draft, DAYS, _label, pair_source="animal {pair} of day {cook}")
    draw(draft, DRAW_LOT_NUMBER, date(2026, 4, 1), places=("left rack", "right rack"))
    seal(draft, date(2026, 4, 2))
    weigh(draft, lot_number, WEIGHTS, CLOCK)
    return draft


def _label(cook: int, position: int) -> tuple[str, str]:
    side = "left" if position % 2 else "right"
    animal = (position + 1) // 2
    return f"R{4 * (cook - 1) + position:02d}", f"animal {animal} of day {cook}, {side} side"


def _question(draft: Draft) -> None:
    draft.write(
        Trial(
            id=draft.id("trial"),
            number=3,
            food="Pork ribs",
            chapter="Pork",
            usual="smoked bare to the end",
            idea="wrapped in paper after three hours",
            begun_utc=utc(date(2026, 3, 31), "21:15"),
            came_out="better liked",
            matters=0.75,
            matters_typed="0.75",
            planned_cooks=3,
            pieces_each=2,
            paired=True,
            planned_tasters=5,
            invented=True,
        )
    )
    write_methods(draft, ("Bare", "own"), ("Paper wrap", "learned"))

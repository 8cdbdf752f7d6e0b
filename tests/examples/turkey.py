"""Example a: turkey breast in a slow oven or a hot oven. Every figure is invented."""

from __future__ import annotations

from datetime import date

from tests.examples.attributes import Scored, Weighed, write_checkpoints, write_outcomes
from tests.examples.cooking import draw, lay_out, seal, weigh
from tests.examples.methods import Line, name_differences, write_methods, write_stages
from tests.examples.scatter import Scatter
from tests.examples.tasting import Table, decide, leave_notes, taste
from tests.examples.writing import Draft, Weighing, utc
from trialbench.model.records import Trial

SLUG = "turkey-breast-slow-or-hot-oven"
LOT_NUMBER = 48
DRAW_LOT_NUMBER = 417_203
SCATTER = Scatter(0.4, 0.25, 0.35, 0.6, 0.3, 0.9)
DAYS = [date(2026, 3, day) for day in (7, 14, 21, 28)] + [date(2026, 4, 11), date(2026, 4, 18)]
ATTRIBUTES = [
    Scored("juiciness", "points_9", "juicier", "less juicy", "How juicy is it?",
           "dry", "very juicy", {"A": 4.8, "B": 6.4}),
    Scored("crisp skin", "points_9", "crisper", "less crisp", "How crisp is the skin?",
           "soft", "very crisp", {"A": 7.1, "B": 3.9}),
    Scored("liking", "hedonic_9", "better liked", "less liked", "How much do you like it?",
           "dislike extremely", "like extremely", {"A": 6.1, "B": 6.6}),
    Scored("saltiness", "points_9", "saltier", "less salty", "How salty is it?",
           "not at all", "very salty", {"A": 5.2, "B": 5.1}, better="neither"),
]  # fmt: skip
WEIGHED = [
    Weighed("loss of raw weight, until rested", "loss", "% of raw", "raw", "rested", "less",
            "loses more", "loses less"),
]  # fmt: skip
WEIGHTS = [
    Weighing("raw", {"A": 960, "B": 955}, 38),
    Weighing("trimmed", {"A": 902, "B": 899}, 34),
    Weighing("cooked", {"A": 676, "B": 746}, 27),
    Weighing("rested", {"A": 661, "B": 735}, 26),
]
CLOCK = {
    "raw": (-1, "10:15"),
    "trimmed": (-1, "10:40"),
    "cooked": (0, "12:40"),
    "rested": (0, "12:55"),
}
TABLE = Table(
    tasters=6,
    clock="13:05",
    served_temp_c=58.0,
    slice_mm=6.0,
    knife_to_mouth_min=3.0,
    allergens="none in the meat; wheat in the plain crackers",
)
SHOWS = "clearly juicier in the slow oven and by enough, with the crisp skin as the price"


def make(lot_number: int = LOT_NUMBER) -> Draft:
    """The whole trial, from question to decision."""
    draft = Draft(SLUG)
    _question(draft)
    _stages(draft)
    write_checkpoints(
        draft,
        ("raw", "raw", ""),
        ("trimmed", "trimmed", ""),
        ("cooked", "stage", "roast"),
        ("rested", "rested", "rest"),
    )
    write_outcomes(draft, ATTRIBUTES, WEIGHED)
    lay_out(draft, DAYS, _label, pair_source="bird {cook}")
    draw(draft, DRAW_LOT_NUMBER, date(2026, 3, 3))
    seal(draft, date(2026, 3, 4))
    weigh(draft, lot_number, WEIGHTS, CLOCK)
    taste(draft, lot_number, ATTRIBUTES, SCATTER, TABLE)
    decide(
        draft,
        "change",
        "Slow oven from now on, for the juice. The skin comes off before the roast and is "
        "crisped by itself under the grill.",
        date(2026, 4, 19),
    )
    leave_notes(draft, lot_number, SHOWS)
    return draft


def _label(cook: int, position: int) -> tuple[str, str]:
    side = "left" if position == 1 else "right"
    return f"P{2 * (cook - 1) + position:02d}", f"bird {cook}, {side} half"


def _question(draft: Draft) -> None:
    draft.write(
        Trial(
            id=draft.id("trial"),
            number=1,
            food="Turkey breast",
            chapter="Poultry",
            usual="roasted in a hot oven",
            idea="roasted in a slow oven",
            begun_utc=utc(date(2026, 3, 1), "18:20"),
            came_out="juicier",
            matters=0.75,
            matters_typed="0.75",
            planned_cooks=6,
            pieces_each=1,
            paired=True,
            planned_tasters=6,
            invented=True,
        )
    )
    write_methods(draft, ("Hot oven", "own"), ("Slow oven", "learned"))


def _stages(draft: Draft) -> None:
    write_stages(
        draft,
        Line("trim", note="cut each half to about 900 g, skin on"),
        Line("salt", medium="fridge", set_temp_c=4.0, duration_s=86_400.0, cover="uncovered",
             salt_g_per_kg=12.0),
        Line("roast", medium="dry oven", end_core_c=74.0, cover="uncovered",
             note="on a wire rack, one oven for each half",
             parts={"set_temp_c": (200.0, 120.0), "duration_s": (3_000.0, 6_300.0)}),
        Line("rest", medium="air", duration_s=900.0, cover="loosely covered"),
        Line("slice", note="6 mm, across the grain"),
    )  # fmt: skip
    name_differences(draft, question=("roast/set_temp_c", "roast/duration_s"))

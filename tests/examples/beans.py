"""Example b: white beans soaked overnight or hot. Every figure is invented."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from tests.examples.attributes import Scored, Weighed, write_checkpoints, write_outcomes
from tests.examples.cooking import draw, lay_out, seal, weigh
from tests.examples.methods import Line, name_differences, write_methods, write_stages
from tests.examples.scatter import Scatter
from tests.examples.tasting import Table, decide, leave_notes, taste
from tests.examples.writing import Draft, Weighing, utc
from trialbench.model.records import Trial

SLUG = "white-beans-overnight-or-hot-soak"
LOT_NUMBER = 1
DRAW_LOT_NUMBER = 530_618
SCATTER = Scatter(0.3, 0.2, 0.2, 0.6, 0.2, 0.8)
DAYS = [date(2026, 3, day) for day in (2, 5, 9, 12, 16, 19, 23, 26, 30)] + [date(2026, 4, 2)]
ATTRIBUTES = [
    Scored("creaminess", "points_9", "creamier", "less creamy", "How creamy is the inside?",
           "mealy", "very creamy", {"A": 6.3, "B": 6.3}),
    Scored("liking", "hedonic_9", "better liked", "less liked", "How much do you like it?",
           "dislike extremely", "like extremely", {"A": 6.4, "B": 6.4}),
    Scored("whole skins", "points_9", "more often whole", "more often burst",
           "How whole are the skins?", "all burst", "all whole", {"A": 6.8, "B": 6.3}),
    Scored("saltiness", "points_9", "saltier", "less salty", "How salty is it?",
           "not at all", "very salty", {"A": 4.6, "B": 4.4}, better="neither"),
]  # fmt: skip
WEIGHED = [
    Weighed("weight when drained", "yield", "% of dry", "dry", "drained", "more",
            "gains more", "gains less"),
]  # fmt: skip
WEIGHTS = [
    Weighing("dry", {"A": 400, "B": 400}, 0),
    Weighing("drained", {"A": 872, "B": 860}, 7),
]
CLOCK = {"dry": (-1, "18:00"), "drained": (0, "12:30")}
TABLE = Table(
    tasters=8,
    clock="13:00",
    served_temp_c=60.0,
    slice_mm=None,
    knife_to_mouth_min=4.0,
    allergens="none in the beans; wheat in the plain crackers",
)
SHOWS = "no difference that matters, so the hot soak is at least as good and saves a night"


def make(lot_number: int = LOT_NUMBER) -> Draft:
    """The whole trial, from question to decision."""
    draft = Draft(SLUG)
    _question(draft)
    write_stages(
        draft,
        Line("soak", only="A", name="cold soak", medium="salt water", set_temp_c=4.0,
             duration_s=57_600.0, cover="lid on", note="15 g salt for each litre"),
        Line("boil", only="B", name="first boil", medium="salt water", set_temp_c=100.0,
             duration_s=120.0, note="15 g salt for each litre"),
        Line("soak", only="B", name="hot soak", medium="salt water", duration_s=3_600.0,
             cover="lid on", note="off the fire"),
        Line("boil", name="boil", medium="water", set_temp_c=100.0, duration_s=600.0,
             note="fresh water, poured away afterwards"),
        Line("simmer", medium="water", set_temp_c=95.0, end_feel="soft all through",
             cover="lid on", parts={"duration_s": (3_300.0, 3_900.0)}),
    )  # fmt: skip
    name_differences(
        draft, question=("cold soak/", "first boil/", "hot soak/"), rider=("simmer/duration_s",)
    )
    write_checkpoints(draft, ("dry", "raw", ""), ("drained", "served", "simmer"))
    write_outcomes(draft, ATTRIBUTES, WEIGHED)
    lay_out(draft, DAYS, _label)
    draw(draft, DRAW_LOT_NUMBER, date(2026, 2, 27))
    seal(draft, date(2026, 2, 28))
    weigh(draft, lot_number, WEIGHTS, CLOCK)
    taste(draft, lot_number, ATTRIBUTES, SCATTER, TABLE)
    decide(
        draft,
        "change",
        "Hot soak on the day, when nobody thought of beans the night before.",
        date(2026, 4, 3),
    )
    leave_notes(draft, lot_number, SHOWS)
    return draft


def _label(cook: int, position: int) -> tuple[str, str]:
    return f"pot {'left' if position == 1 else 'right'}", f"bag {(cook + 1) // 2}, 400 g"


def _question(draft: Draft) -> None:
    trial = draft.write(
        Trial(
            id=draft.id("trial"),
            number=2,
            food="White beans",
            chapter="Beans and grains",
            usual="soaked overnight",
            idea="soaked hot for an hour",
            begun_utc=utc(date(2026, 2, 26), "20:05"),
            question="at_least_as_good",
            came_out="creamier",
            matters=0.5,
            matters_typed="0.5",
            planned_cooks=10,
            pieces_each=1,
            planned_tasters=8,
            invented=True,
        )
    )
    write_methods(draft, ("Overnight soak", "own"), ("Hot soak", "learned"))
    draft.write(replace(trial, easier_id=draft.id("method", "B")))

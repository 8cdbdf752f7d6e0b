"""Example e: smoked chicken thighs, one recipe twice. Every figure is invented."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from tests.examples.attributes import Scored, Weighed, write_checkpoints, write_outcomes
from tests.examples.cooking import draw, lay_out, seal, weigh
from tests.examples.methods import Line, write_methods, write_stages
from tests.examples.scatter import Scatter
from tests.examples.tasting import Table, decide, leave_notes, taste
from tests.examples.writing import Draft, Weighing, utc
from trialbench.model.records import Cook, LeftOut, Trial

SLUG = "chicken-thighs-one-recipe-twice"
LOT_NUMBER = 6
DRAW_LOT_NUMBER = 705_331
SCATTER = Scatter(0.5, 0.0, 0.45, 0.6, 0.0, 1.0)
DAYS = [date(2026, 5, 2), date(2026, 5, 9), date(2026, 5, 16), date(2026, 5, 23)]
ATTRIBUTES = [
    Scored("liking", "hedonic_9", "better liked", "less liked", "How much do you like it?",
           "dislike extremely", "like extremely", {"A": 6.5, "B": 6.5}),
    Scored("juiciness", "points_9", "juicier", "less juicy", "How juicy is it?",
           "dry", "very juicy", {"A": 6.4, "B": 6.4}),
    Scored("saltiness", "points_9", "saltier", "less salty", "How salty is it?",
           "not at all", "very salty", {"A": 5.2, "B": 5.2}, better="neither"),
]  # fmt: skip
WEIGHED = [
    Weighed("loss of trimmed weight, until smoked", "loss", "% of trimmed", "trimmed", "smoked",
            "less", "loses more", "loses less"),
]  # fmt: skip
WEIGHTS = [
    Weighing("raw", {"A": 1_128, "B": 1_131}, 31),
    Weighing("trimmed", {"A": 1_074, "B": 1_076}, 29),
    Weighing("smoked", {"A": 806, "B": 806}, 24),
]
CLOCK = {"raw": (-1, "20:30"), "trimmed": (-1, "20:50"), "smoked": (0, "12:10")}
SHORT = ("3", "T10")
TABLE = Table(
    tasters=6,
    clock="12:30",
    served_temp_c=60.0,
    slice_mm=None,
    knife_to_mouth_min=4.0,
    allergens="none in the meat; wheat in the plain crackers",
    shifts={(*SHORT, "liking"): -1.0, (*SHORT, "saltiness"): -1.8},
)
SHOWS = "what no difference looks like, with one tray 6 g of salt short and both answers shown"


def make(lot_number: int = LOT_NUMBER) -> Draft:
    """The whole trial, from question to decision."""
    draft = Draft(SLUG)
    _question(draft)
    write_stages(
        draft,
        Line("trim", note="skin on, six thighs a tray"),
        Line("salt", medium="fridge", set_temp_c=4.0, duration_s=43_200.0, cover="uncovered",
             salt_g_per_kg=14.0),
        Line("smoke", medium="smoke", set_temp_c=150.0, end_core_c=82.0, cover="uncovered",
             vessel="tray", note="each tray on a level of its own, levels changed half-way"),
        Line("rest", medium="air", duration_s=600.0, cover="loosely covered"),
        Line("slice", note="half a thigh a portion"),
    )  # fmt: skip
    write_checkpoints(
        draft, ("raw", "raw", ""), ("trimmed", "trimmed", ""), ("smoked", "stage", "smoke")
    )
    write_outcomes(draft, ATTRIBUTES, WEIGHED)
    lay_out(draft, DAYS, _label)
    draw(draft, DRAW_LOT_NUMBER, date(2026, 4, 28))
    seal(draft, date(2026, 4, 29))
    weigh(draft, lot_number, WEIGHTS, CLOCK)
    taste(draft, lot_number, ATTRIBUTES, SCATTER, TABLE)
    _leave_out_the_short_tray(draft)
    decide(
        draft,
        "keep",
        "One recipe, as before. A gap in liking below what these four days show as no difference "
        "is not worth a sentence here.",
        date(2026, 5, 25),
    )
    leave_notes(draft, lot_number, SHOWS)
    return draft


def _leave_out_the_short_tray(draft: Draft) -> None:
    number, label = SHORT
    cook = draft.get(Cook, draft.id("cook", int(number)))
    draft.write(
        replace(cook, remark=f"Tray {label} got 9 g of salt, not 15 g: 6 g short. Seen on the "
                "scale at 21:20, after the rub.")
    )  # fmt: skip
    piece = next(piece for piece in draft.pieces(cook) if piece.label == label)
    draft.write(
        LeftOut(
            draft.id("left out", label),
            draft.trial.id,
            "piece",
            piece.id,
            "6 g of salt short, written down on the day",
            utc(date(2026, 5, 24), "09:40"),
            after_opening=True,
        )
    )


def _label(cook: int, position: int) -> tuple[str, str]:
    return f"T{4 * (cook - 1) + position:02d}", f"six thighs of lot {cook}"


def _question(draft: Draft) -> None:
    draft.write(
        Trial(
            id=draft.id("trial"),
            number=4,
            food="Smoked chicken thighs",
            chapter="Poultry",
            usual="smoked by the one recipe",
            idea="smoked by the same recipe",
            begun_utc=utc(date(2026, 4, 26), "17:50"),
            question="same_recipe",
            came_out="better liked",
            matters=0.75,
            matters_typed="0.75",
            planned_cooks=4,
            pieces_each=2,
            planned_tasters=6,
            invented=True,
        )
    )
    write_methods(draft, ("First label", "own"), ("Second label", "own"))

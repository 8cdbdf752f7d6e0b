"""Example d: octopus arms in stock or in a sealed bag, at two heats. Every figure is invented.

Two factors crossed: four pots of two arms from each animal, so the pot is the load and the unit,
and the animal, cooked on its own day, is the block.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from tests.examples.attributes import Scored, Weighed, write_checkpoints, write_outcomes
from tests.examples.cooking import draw, seal, weigh
from tests.examples.methods import Line, write_stages
from tests.examples.scatter import Scatter
from tests.examples.tasting import Table, decide, leave_notes, taste
from tests.examples.writing import Draft, Weighing, utc
from trialbench.model.records import (
    Cook,
    Difference,
    Factor,
    Level,
    Load,
    Method,
    Part,
    Piece,
    Setting,
    Trial,
)

SLUG = "octopus-arms-stock-or-bag-by-heat"
LOT_NUMBER = 55
DRAW_LOT_NUMBER = 835_276
SCATTER = Scatter(0.5, 0.0, 0.45, 0.7, 0.0, 1.0)
DAYS = [date(2026, 6, day) for day in (3, 10, 17, 24)] + [date(2026, 7, 1)]
LEVELS = {"A": ("stock", 77.0), "B": ("stock", 88.0), "C": ("sealed bag in water", 77.0),
          "D": ("sealed bag in water", 88.0)}  # fmt: skip
ATTRIBUTES = [
    Scored("tenderness", "line_10", "more tender", "less tender", "How tender is it?",
           "tough", "very tender", {"A": 5.2, "B": 7.6, "C": 6.4, "D": 6.9}),
    Scored("sea taste", "line_10", "stronger in sea taste", "weaker in sea taste",
           "How much does it taste of the sea?", "not at all", "very much",
           {"A": 4.6, "B": 4.4, "C": 6.3, "D": 6.1}),
    Scored("skin", "line_10", "firmer in the skin", "softer in the skin",
           "How firm does the skin sit?", "falls off", "sits firm",
           {"A": 6.6, "B": 3.9, "C": 6.9, "D": 5.8}, better="neither"),
]  # fmt: skip
WEIGHED = [
    Weighed("loss of raw weight, cooked", "loss", "% of raw", "raw", "cooked", "less",
            "loses more", "loses less"),
]  # fmt: skip
RAW_G = 118.0
LOSS = {"A": 44.0, "B": 52.0, "C": 39.0, "D": 47.0}
WEIGHTS = [
    Weighing("raw", dict.fromkeys(LOSS, RAW_G), 9),
    Weighing("cooked", {letter: RAW_G * (1 - loss / 100) for letter, loss in LOSS.items()}, 5),
]
CLOCK = {"raw": (0, "08:10"), "cooked": (0, "12:50")}
TABLE = Table(
    tasters=6,
    clock="13:05",
    served_temp_c=45.0,
    slice_mm=15.0,
    knife_to_mouth_min=3.0,
    allergens="molluscs; celery in the stock; wheat in the plain bread",
)
SHOWS = "heat makes the arms more tender in stock and hardly in the bag"
POTS, ARMS = 4, 2


def make(lot_number: int = LOT_NUMBER) -> Draft:
    """The whole trial, from question to decision."""
    draft = Draft(SLUG)
    _question(draft)
    _cooking(draft)
    write_checkpoints(draft, ("raw", "raw", ""), ("cooked", "stage", "simmer"))
    write_outcomes(draft, ATTRIBUTES, WEIGHED)
    _lay_out(draft)
    draw(draft, DRAW_LOT_NUMBER, date(2026, 6, 1), early="the pots are filled before any weight")
    seal(draft, date(2026, 6, 2))
    weigh(draft, lot_number, WEIGHTS, CLOCK)
    taste(draft, lot_number, ATTRIBUTES, SCATTER, TABLE, served=_one_arm_a_pot)
    decide(
        draft,
        "change",
        "88 °C in stock when it has to be tender; the bag at 77 °C stays for the taste of the sea "
        "and the weight it keeps.",
        date(2026, 7, 2),
    )
    leave_notes(draft, lot_number, SHOWS)
    return draft


def _question(draft: Draft) -> None:
    trial = draft.write(
        Trial(
            id=draft.id("trial"),
            number=5,
            food="Octopus arms",
            chapter="Fish and seafood",
            usual="simmered in stock at 77 °C",
            idea="medium and heat",
            begun_utc=utc(date(2026, 5, 30), "19:40"),
            question="which_setting",
            came_out="more tender",
            matters=1.0,
            matters_typed="1",
            planned_cooks=5,
            pieces_each=2,
            loads="shared",
            planned_tasters=6,
            invented=True,
            shape="crossed",
        )
    )
    for letter, (medium, heat) in LEVELS.items():
        where = "In stock" if medium == "stock" else "In a sealed bag"
        name, origin = f"{where}, {heat:g} °C", "own" if letter == "A" else "learned"
        draft.write(Method(draft.id("method", letter), trial.id, letter, name, origin))
    draft.write(replace(trial, usual_id=draft.id("method", "A")))


def _cooking(draft: Draft) -> None:
    write_stages(
        draft,
        Line("trim", note="arms cut apart at the head, webbing left on; frozen before and thawed"),
        Line("simmer", duration_s=14_400.0, cover="lid on",
             note="two arms to a pot or bag, each pot in one water bath of its heat"),
        Line("rest", medium="air", duration_s=600.0, cover="loosely covered"),
        Line("slice", note="15 mm slices from the thick third of the arm"),
    )  # fmt: skip
    stage = draft.id("stage", "simmer")
    for letter, (medium, heat) in LEVELS.items():
        method = draft.id("method", letter)
        part = draft.id("part", letter, "medium")
        draft.write(Part(part, stage, method, "medium", text=medium))
        part = draft.id("part", letter, "set_temp_c")
        draft.write(Part(part, stage, method, "set_temp_c", number=heat))
    for field in ("medium", "set_temp_c"):
        draft.write(
            Difference(draft.id("difference", field), draft.trial.id, stage, field, "question")
        )
    _factors(draft, stage)


def _factors(draft: Draft, stage: str) -> None:
    trial = draft.trial.id
    media, heats = (list(dict.fromkeys(each)) for each in zip(*LEVELS.values(), strict=True))
    draft.write(Factor(draft.id("factor", "medium"), trial, 1, "medium", False, stage, "medium"))
    draft.write(Factor(draft.id("factor", "heat"), trial, 2, "heat", True, stage, "set_temp_c"))
    for position, medium in enumerate(media, 1):
        level = draft.id("level", medium)
        draft.write(Level(level, draft.id("factor", "medium"), position, text=str(medium)))
    for position, heat in enumerate(heats, 1):
        level = draft.id("level", heat)
        draft.write(Level(level, draft.id("factor", "heat"), position, number=float(heat)))
    for letter, levels in LEVELS.items():
        for each in levels:
            setting = draft.id("setting", letter, each)
            draft.write(Setting(setting, draft.id("method", letter), draft.id("level", each)))


def _lay_out(draft: Draft) -> None:
    """Each animal on its day: eight arms into four pots of two, before lots give the pots."""
    for number, day in enumerate(DAYS, 1):
        cook = draft.write(
            Cook(draft.id("cook", number), draft.trial.id, number, date=day.isoformat())
        )
        for pot in range(1, POTS + 1):
            load = draft.write(
                Load(
                    draft.id("load", number, pot), cook.id, f"pot {pot}", "1.5 l pot or bag",
                    draft.id("stage", "simmer"),
                )
            )  # fmt: skip
            for arm in range(1, ARMS + 1):
                position = ARMS * (pot - 1) + arm
                draft.write(
                    Piece(
                        draft.id("piece", number, position),
                        cook.id,
                        position,
                        f"O{POTS * ARMS * (number - 1) + position:02d}",
                        load_id=load.id,
                        source=f"animal {number}",
                        frozen="was",
                    )
                )


def _one_arm_a_pot(draft: Draft, cook: Cook) -> list[Piece]:
    """The arm that is tasted of each pot: the first; the other is weighed and eaten afterwards."""
    first: dict[str | None, Piece] = {}
    for piece in draft.pieces(cook):
        first.setdefault(piece.load_id, piece)
    return list(first.values())

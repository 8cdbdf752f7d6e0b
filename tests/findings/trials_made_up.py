"""Whole trials of three methods or more, made up for tests, from question to opened keys."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, timedelta

from tests.examples.attributes import Scored, Weighed, write_checkpoints, write_outcomes
from tests.examples.cooking import draw, seal, weigh
from tests.examples.methods import Line, write_stages
from tests.examples.scatter import Scatter
from tests.examples.tasting import Table, taste
from tests.examples.writing import Draft, Weighing, utc
from trialbench.model.records import Cook, Factor, Level, Method, Part, Piece, Setting, Trial

FIRST = date(2026, 5, 6)


@dataclass(frozen=True)
class Made:
    """A trial to make: names and true means by letter, and what is set by which field."""

    slug: str
    food: str
    names: dict[str, str]
    means: dict[str, float]
    values: dict[str, float | str]
    field: str
    shape: str = "several"
    cooks: int = 5
    pieces_each: int = 2
    tasters: int = 6
    question: str = "better"
    target: float | None = None
    matters: float | None = 0.75
    planned: int | None = None
    usual: str = ""


WRAPS = Made(
    slug="made-up-wraps",
    food="Pork ribs",
    names={"A": "bare", "B": "paper wrap", "C": "foil wrap"},
    means={"A": 5.4, "B": 7.4, "C": 5.9},
    values={"A": "uncovered", "B": "wrapped in paper", "C": "wrapped in foil"},
    field="cover",
)
HEATS = Made(
    slug="made-up-heats",
    food="Pork loin",
    names={
        letter: f"{heat} °C" for letter, heat in zip("ABCDE", (56, 60, 64, 68, 72), strict=True)
    },
    means={"A": 5.3, "B": 6.9, "C": 7.4, "D": 6.3, "E": 4.6},
    values=dict(zip("ABCDE", (56.0, 60.0, 64.0, 68.0, 72.0), strict=True)),
    field="set_temp_c",
    shape="ordered",
    pieces_each=1,
    question="which_setting",
)
SIX = Made(
    slug="made-up-six",
    food="White bread",
    names=dict(zip("ABCDEF", ("steel", "stone", "pot", "tray", "pan", "rack"), strict=True)),
    means={"A": 5.0, "B": 6.4, "C": 7.3, "D": 5.2, "E": 5.8, "F": 4.7},
    values=dict(zip("ABCDEF", ("steel", "stone", "pot", "tray", "pan", "rack"), strict=True)),
    field="vessel",
    pieces_each=1,
)


def made(one: Made, lot_number: int = 3) -> Draft:
    """The trial, sealed, cooked, tasted and with its keys open."""
    draft = Draft(one.slug)
    _question(draft, one)
    _cooking(draft, one)
    write_checkpoints(draft, ("raw", "raw", ""), ("cooked", "stage", "roast"))
    scale = [
        Scored("juiciness", "points_9", "juicier", "less juicy", "How juicy is it?", "dry",
               "very juicy", one.means),
        Scored("saltiness", "points_9", "saltier", "less salty", "How salty is it?", "not at all",
               "very salty", dict.fromkeys(one.names, 5.0), better="neither"),
    ]  # fmt: skip
    loss = Weighed("loss of raw weight", "loss", "% of raw", "raw", "cooked", "less", "loses more",
                   "loses less")  # fmt: skip
    write_outcomes(draft, scale, [loss])
    if one.target is not None:
        (outcome,) = [o for o in _outcomes(draft) if o.name == "juiciness"]
        draft.write(replace(outcome, better="target", target=one.target))
    _lay_out(draft, one)
    draw(draft, 440_213, FIRST - timedelta(days=2))
    seal(draft, FIRST - timedelta(days=1))
    masses = {letter: 700.0 + 12 * n for n, letter in enumerate(one.names)}
    weighings = [Weighing("raw", dict.fromkeys(one.names, 1_000.0), 30),
                 Weighing("cooked", masses, 20)]  # fmt: skip
    weigh(draft, lot_number, weighings, {"raw": (0, "08:00"), "cooked": (0, "12:00")})
    table = Table(one.tasters, "12:30", 60.0, 8.0, 3.0, "none")
    taste(draft, lot_number, scale, Scatter(0.4, 0.25, 0.35, 0.6, 0.3, 0.9), table)
    return draft


def _outcomes(draft: Draft) -> list:
    from trialbench.model.records import Outcome

    return list(draft.all(Outcome))


def _question(draft: Draft, one: Made) -> None:
    trial = draft.write(
        Trial(
            id=draft.id("trial"), number=90, food=one.food, chapter="Made up", usual="", idea="",
            begun_utc=utc(FIRST - timedelta(days=5), "20:00"), question=one.question,
            came_out="juicier", matters=one.matters, planned_cooks=one.planned or one.cooks,
            pieces_each=one.pieces_each, planned_tasters=one.tasters, invented=True,
            shape=one.shape, compares="with_usual" if one.usual else "all_pairs",
        )
    )  # fmt: skip
    for letter, name in one.names.items():
        draft.write(Method(draft.id("method", letter), trial.id, letter, name))
    if one.usual:
        draft.write(replace(trial, usual_id=draft.id("method", one.usual)))


def _cooking(draft: Draft, one: Made) -> None:
    write_stages(
        draft,
        Line("salt", medium="fridge", set_temp_c=4.0, duration_s=43_200.0, salt_g_per_kg=12.0),
        Line("roast", medium="dry oven", duration_s=7_200.0, end_core_c=64.0),
        Line("rest", medium="air", duration_s=900.0),
    )
    stage, factor = draft.id("stage", "roast"), draft.id("factor")
    number = one.shape == "ordered"
    draft.write(Factor(factor, draft.trial.id, 1, one.field, number, stage, one.field))
    for position, (letter, value) in enumerate(one.values.items(), 1):
        text = value if isinstance(value, str) else ""
        amount = None if isinstance(value, str) else value
        method = draft.id("method", letter)
        draft.write(Part(draft.id("part", letter), stage, method, one.field, amount, text or None))
        level = draft.id("level", letter)
        draft.write(Level(level, factor, position, amount, text))
        draft.write(Setting(draft.id("setting", letter), method, level))


def _lay_out(draft: Draft, one: Made) -> None:
    pieces = one.pieces_each * len(one.names)
    for number in range(1, one.cooks + 1):
        day = FIRST + timedelta(days=7 * (number - 1))
        cook = draft.write(
            Cook(draft.id("cook", number), draft.trial.id, number, date=day.isoformat())
        )
        for position in range(1, pieces + 1):
            label = f"P{pieces * (number - 1) + position:02d}"
            piece = draft.id("piece", number, position)
            draft.write(Piece(piece, cook.id, position, label))

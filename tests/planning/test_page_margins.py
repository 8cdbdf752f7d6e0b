"""Question, Cook and Tasting say beside each line what is missing or what follows."""

from __future__ import annotations

import subprocess
import sys

import pytest

from tests.planning.kitchen import LATER, NOON, kitchen, shoulder
from trialbench.model.message import say
from trialbench.model.records import (
    Checkpoint,
    Cook,
    Load,
    Measurement,
    Method,
    Outcome,
    Piece,
    Sample,
    Score,
    Seat,
    Sitting,
    Stage,
    Taster,
    Trial,
)
from trialbench.notebook import views
from trialbench.notebook.views import cards_in
from trialbench.planning.cook_margin import margin_of_cook
from trialbench.planning.draw import draw_lots
from trialbench.planning.question_margin import OwnNoise, margin_of_question
from trialbench.planning.sitting import Served, open_sitting, seal_sitting
from trialbench.planning.tasting_margin import margin_of_tasting, seam_sentence


def told(margin, line):
    return [
        [say(n.label), *map(say, n.sentences), *(say(v.label) for v in n.verbs)]
        for n in margin.notes
        if n.line == line
    ]


# Question


def question(plan, noise=None):
    return margin_of_question(plan.book, "t", noise)


def test_a_filled_question_says_little():
    plan = kitchen()
    assert say(question(plan).standing) == "One thing changes, and it is named."
    assert question(plan).notes == ()


def test_other_outcomes_cannot_decide():
    plan = kitchen().with_records(
        *(Outcome(name, "t", n, name) for n, name in enumerate(("tenderness", "salt", "loss"), 2))
    )
    assert told(question(plan), "else") == [
        [
            "Three more: they cannot decide",
            "Each tells you why. Only juiciness carries the headline.",
        ]
    ]


def test_the_size_is_asked_for_and_set_beside_the_noise():
    bare = kitchen().changed(Trial, "t", matters=None)
    assert told(question(bare), "matters")[0][0] == "By how much: not said"
    assert say(question(bare).standing).endswith("How much of it would be worth it?")
    noise = OwnNoise("other", 16, 0.3, "liking")
    assert told(question(kitchen(), noise), "matters") == [
        [
            "0.8 points: beside your own noise",
            "One recipe cooked twice (trial 16) came out 0.3 points apart in liking.",
            "Read trial 16",
        ]
    ]
    large = kitchen().changed(Trial, "t", matters=6.0)
    assert "more than half the scale" in told(question(large), "matters")[0][0]


def test_a_question_that_is_not_said_is_asked():
    plan = kitchen().changed(Trial, "t", decides_id=None)
    assert told(question(plan), "decides")[0][0] == "What decides: not said"
    easier = kitchen().changed(Trial, "t", question="at_least_as_good")
    assert told(question(easier), "question")[0][0] == "The easier way: not said"
    same = kitchen().changed(Trial, "t", idea="held DRY in the cabinet, 65 °C, 8 h ")
    assert told(question(same), "idea")[0][-1] == "Cook one recipe twice"
    empty = kitchen().changed(Trial, "t", food="", usual="", idea="")
    assert say(question(empty).standing).startswith("What do you cook")


def test_a_borrowed_way_is_named():
    plan = kitchen().changed(Method, "mB", origin="learned")
    assert told(question(plan), "origin")[0][-1] == "Name where B comes from"
    named = plan.changed(Method, "mB", origin_note="a cook’s letter")
    assert len(told(question(named), "origin")[0]) == 2


# Cook


def cooked(*weights):
    plan = shoulder()
    plan = plan.after(draw_lots(plan, lot_number=628, when=NOON))
    points = [
        Checkpoint("raw", "t", 1, "raw", "raw"),
        Checkpoint("trimmed", "t", 2, "trimmed", "trimmed"),
        Checkpoint("held", "t", 3, "held", "stage", "hold"),
    ]
    made = [
        Measurement(f"w{n}", piece, point, LATER.utc, 60, mass_g, temp, "", why)
        for n, (piece, point, mass_g, temp, why) in enumerate(weights)
    ]
    return plan.with_records(*points, *made)


def cook(plan, cook_id="c1"):
    return margin_of_cook(plan.book, cook_id)


def test_weights_that_are_in_are_counted():
    assert say(cook(kitchen()).standing).startswith("Nothing to weigh yet")
    assert say(cook(cooked()).standing).startswith("Nothing weighed yet")
    one = cooked(("c1x0", "raw", 2287, None, ""))
    assert say(cook(one).standing) == "1 of 12 weights of this day are in."
    full = cooked(*((f"c1x{n}", p, 2000, None, "") for n in range(4)
                    for p in ("raw", "trimmed", "held")))  # fmt: skip
    assert say(cook(full).standing) == "All the weights of this day are in."


def test_a_weight_that_was_skipped_or_is_missing_has_its_note():
    plan = cooked(("c1x0", "raw", 2287, None, ""), ("c1x0", "held", 1500, None, ""))
    assert told(cook(plan), "piece:c1x0:trimmed")[0][0] == "P01: no weight trimmed"
    gone = cooked(("c1x0", "raw", None, None, "the scale was wet."))
    assert told(cook(gone), "piece:c1x0:raw")[0][:2] == [
        "P01, raw: missing",
        "You wrote: the scale was wet.",
    ]


def test_a_piece_is_not_weighed_after_a_stage_of_the_other_method():
    plan = cooked(("c1x0", "raw", 2287, None, ""))
    letter = {p.id: p.method_id for p in views.pieces(plan.book, "c1")}
    other = next(m for m in letter.values() if m != letter["c1x0"])
    plan = plan.changed(Stage, "hold", method_id=other)
    plan = plan.with_records(Checkpoint("served", "t", 4, "served", "served"),
                             Measurement("x", "c1x0", "served", LATER.utc, 60, 1400, None, "", ""),
                             Measurement("y", "c1x0", "trimmed", LATER.utc, 60, 2200, None, "", ""),
                             )  # fmt: skip
    without = sum(method != other for method in letter.values())
    said = say(cook(plan).standing)
    assert said == f"3 of {4 * len(letter) - without} weights of this day are in."
    assert not told(cook(plan), "piece:c1x0:held")


def test_halves_that_do_not_match_are_said():
    plan = cooked(("c1x0", "raw", 2000, None, ""), ("c1x1", "raw", 2300, None, ""))
    assert told(cook(plan), "pair:c1p1")[0][0] == "Pair 1: 15 % apart raw"
    near = cooked(("c1x0", "raw", 2000, None, ""), ("c1x1", "raw", 2190, None, ""))
    assert told(cook(near), "pair:c1p1") == []


def test_food_below_hot_holding_after_the_hold_is_watched():
    plan = cooked(
        ("c1x0", "held", 1500, 52.0, ""),
        ("c1x1", "held", 1500, 61.0, ""),
        ("c1x2", "raw", 1500, 4.0, ""),
    )
    watched = [n for n in cook(plan).notes if n.mark == "watch"]
    assert [n.line for n in watched] == ["piece:c1x0:held"]
    assert say(watched[0].sentences[0]) == (
        "52 °C inside. Hot food is usually held at 57 °C (135 °F) or above."
    )
    assert "3-501.16(A)" in say(watched[0].source)
    assert "local food code" in say(watched[0].source)


def test_loads_say_how_they_count():
    plan = cooked(("c1x0", "raw", 2000, None, "")).changed(Trial, "t", loads="shared")
    assert told(cook(plan), "loads")[0][0] == "Loads: not written"
    a = [p.id for p in plan.of(Piece) if p.cook_id == "c1" and p.method_id == "mA"]
    b = [p.id for p in plan.of(Piece) if p.cook_id == "c1" and p.method_id == "mB"]
    pan = plan.with_records(Load("pan", "c1", "pan 1"), Load("oven", "c1", "oven"))
    for piece_id, load_id in ((a[0], "pan"), (a[1], "pan"), (b[0], "oven")):
        pan = pan.changed(Piece, piece_id, load_id=load_id)
    assert told(cook(pan), "loads") == []
    assert told(cook(pan), "load:pan")[0][0] == "pan 1: counts as one"
    both = pan.changed(Piece, a[1], load_id="oven")
    assert told(cook(both), "load:oven")[0][0] == "oven: both methods in it"


def test_a_cook_day_beyond_the_plan_says_so():
    plan = kitchen().with_records(Cook("c5", "t", 5))
    assert told(cook(plan, "c5"), "cook")[0][0] == "Day 5: added to the plan"


# Tasting


@pytest.fixture(scope="module")
def tasting():
    plan = kitchen()
    plan = plan.after(draw_lots(plan, lot_number=628, when=NOON))
    sitting = plan.book.get(Sitting, "s1")
    pieces = tuple(p for p in plan.of(Piece) if p.cook_id == "c1")
    served = Served(pieces, plan.book.all(Taster))
    made = seal_sitting(plan.book, sitting, served, NOON, lot_number=4711)
    return plan.after(made.step), made.key_bytes


def table(plan):
    return margin_of_tasting(plan.book, "s1")


def test_a_sealed_key_tells_nobody(tasting):
    plan, _ = tasting
    assert say(table(plan).standing) == "Nobody at the table knows which is which."
    assert told(table(plan), "key") == [
        [
            "The key: nobody knows",
            "No method, no mean and no total stands on this page before the key is open.",
            "Not for you either.",
        ],
        [
            "3 cook days to come",
            "Keep the key shut until the last one. The finding waits for all of them.",
        ],
    ]


def test_the_margin_of_a_sealed_sitting_is_the_same_whatever_the_key():
    plan = kitchen()
    plan = plan.after(draw_lots(plan, lot_number=628, when=NOON))
    sitting = plan.book.get(Sitting, "s1")
    pieces = tuple(p for p in plan.of(Piece) if p.cook_id == "c1")
    served = Served(pieces, plan.book.all(Taster)[:7])
    margins = set()
    for lot in range(8):
        made = seal_sitting(plan.book, sitting, served, NOON, lot_number=lot)
        margins.add(table(plan.after(made.step)))
    assert len(margins) == 1
    assert told(margins.pop(), "orders") == [
        ["Orders: one small gap", "8 orders would come out even; here there are 7."]
    ]


def test_even_orders_are_said_to_be_even(tasting):
    plan, _ = tasting
    assert told(table(plan), "orders")[0][0] == "Orders: even"


def test_cards_of_a_taster_who_left_stay_empty(tasting):
    plan, _ = tasting
    seat = next(s for s in plan.of(Seat) if s.taster_id == "taster5")
    cards = [s for s in plan.of(Sample) if s.taster_id == "taster5" and 0 < s.position <= 2]
    scores = [Score(s.id, s.id, "juiciness", NOON.utc, 60, 5.0) for s in cards]
    left = plan.with_records(*scores).changed(Seat, seat.id, left_reason="a train")
    assert told(table(left), "taster:taster5") == [
        [
            "Taster 5: two cards stay empty",
            "You wrote: a train.",
            "Not filled in, not counted as zero.",
            "Taster 5 came back",
        ]
    ]
    assert say(seam_sentence(cards_in(left.book, "s1"))) == (
        "The key can be opened when all 30 score cards are in. 28 are still out."
    )


def test_allergens_are_listed_and_held_against_what_tasters_avoid(tasting):
    plan, _ = tasting
    assert told(table(plan), "allergens")[0][0] == "Allergens: nothing written"
    served = plan.changed(Sitting, "s1", allergens="wheat, in the bread")
    assert told(table(served), "allergens") == []
    avoids = served.changed(Taster, "taster3", avoids="Wheat and nuts")
    watch = [n for n in table(avoids).notes if n.line == "taster:taster3"]
    assert watch[0].mark == "watch"
    assert say(watch[0].sentences[0]) == (
        "Taster 3 avoids Wheat and nuts. Served: wheat, in the bread."
    )
    milk = served.changed(Taster, "taster3", avoids="milk in the coffee")
    assert told(table(milk), "taster:taster3") == []


def test_how_it_was_served_is_asked_until_it_is_written(tasting):
    plan, _ = tasting
    assert told(table(plan), "served")[0][0] == "As served: how warm at the bite"
    full = plan.changed(Sitting, "s1", served_temp_c=58, slice_mm=8, knife_to_mouth_min=3)
    assert told(table(full), "served") == []


def test_few_tasters_and_long_tables_are_said():
    plan = kitchen(cooks=1, pairs=4, tasters=2)
    plan = plan.after(draw_lots(plan, lot_number=1, when=NOON))
    served = Served(tuple(plan.of(Piece)), plan.book.all(Taster))
    step = seal_sitting(plan.book, plan.book.get(Sitting, "s1"), served, NOON, lot_number=3).step
    margin = table(plan.after(step))
    assert told(margin, "tasters")[0][0] == "2 tasters"
    assert told(margin, "samples")[0][0] == "8 samples each: a long table"


def test_an_opened_key_says_why_and_what_was_changed(tasting):
    plan, key_bytes = tasting
    sitting = plan.book.get(Sitting, "s1")
    step = open_sitting(plan.book, sitting, key_bytes, LATER, early_reason="rain")
    opened = plan.after(step)
    sample = next(s for s in opened.of(Sample) if s.position == 1)
    score = Score("late", sample.id, "juiciness", LATER.utc, 60, 5.0, changed_after_opening=True)
    labels = [note[0] for note in told(table(opened.with_records(score)), "key")]
    assert labels == ["The key: opened early", "1 score changed after opening"]
    assert told(table(opened), "orders")[0][0] == "Orders: even"


def test_planning_is_read_without_the_engine():
    code = (
        "import sys, pkgutil, importlib, trialbench.planning as p\n"
        "for m in pkgutil.iter_modules(p.__path__):\n"
        "    importlib.import_module(p.__name__ + '.' + m.name)\n"
        "heavy = {'numpy', 'scipy', 'pandas', 'statsmodels', 'matplotlib', 'PySide6'}\n"
        "print(sorted(heavy & set(sys.modules)))"
    )
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert run.stdout.strip() == "[]"

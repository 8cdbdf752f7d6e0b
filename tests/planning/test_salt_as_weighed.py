"""Salt as it was weighed: what is a rider, what is only rounding, and where it is said."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.planning.kitchen import kitchen
from trialbench.findings.salted import salted_off_plan
from trialbench.findings.snapshot import records_of
from trialbench.model.message import say
from trialbench.model.records import (
    Addition,
    Amount,
    Checkpoint,
    Cook,
    Measurement,
    Part,
    Piece,
    Stage,
)
from trialbench.planning.cook_margin import margin_of_cook
from trialbench.planning.differences_of_pieces import differences_of_pieces
from trialbench.planning.methods_margin import margin_of_methods
from trialbench.planning.salt_as_weighed import salt_apart, salted_pieces
from trialbench.report.claims import riders

AT = "2025-03-08T12:00:00.000Z"


def salted(*grams: str, mass: str = "1000 g", planned: float | None = 12.0):
    """One cook day; pieces of A and B in turn, salted with so much."""
    plan = kitchen(cooks=1, pairs=0, each=1 if len(grams) == 2 else 2)
    stage = Stage("salt", "t", 1, "salt", salt_g_per_kg=planned, duration_s=3600)
    plan = plan.with_records(stage, Checkpoint("trimmed", "t", 1, "trimmed", "trimmed"))
    pieces = [replace(p, method_id="mA" if n % 2 == 0 else "mB")
              for n, p in enumerate(plan.book.all(Piece))]  # fmt: skip
    plan = plan.with_records(*pieces)
    for piece, typed in zip(pieces, grams, strict=True):
        plan = plan.with_records(
            Measurement(f"m{piece.id}", piece.id, "trimmed", AT, 0, float(mass.split()[0]), None,
                        mass),
            Amount(f"a{piece.id}", piece.id, "salt", AT, 0, "salt", "", float(typed), f"{typed} g"),
        )  # fmt: skip
    return plan


def test_two_pieces_salted_at_12_and_15_are_a_rider_in_those_words():
    plan = salted("12.0", "15.0")
    found = differences_of_pieces(plan.book, "t")
    assert [each.about for each in found] == ["salt"]
    assert say(found[0].sentence) == "As weighed: 12 g for each kilogram in A, 15 g in B."
    assert say(found[0].why) == "If B wins, more salt may be why."
    assert [say(r) for r in riders(records_of(plan.book, "t"))] == [
        "the salt as weighed, 12 g for each kilogram in A, 15 g in B"
    ]
    note = next(n for n in margin_of_methods(plan.book, "t").notes if "Salt" in say(n.label))
    assert note.line == "stage:salt" and "12 g for each kilogram in A" in say(note.sentences[0])


def test_two_pieces_planned_at_12_and_15_are_a_rider_once():
    plan = salted("12.0", "15.0").with_records(
        Part("sa", "salt", "mA", "salt_g_per_kg", number=12),
        Part("sb", "salt", "mB", "salt_g_per_kg", number=15),
        Stage("rest", "t", 2, "rest"),
        Part("ra", "rest", "mA", "duration_s", number=600),
        Part("rb", "rest", "mB", "duration_s", number=1200),
    )
    assert salt_apart(plan.book, "t") is None
    said = [say(r) for r in riders(records_of(plan.book, "t"))]
    assert "the salting, 12 g for each kilogram in A, 15 g in B" in said
    assert not any("as weighed" in each for each in said)


@pytest.mark.parametrize(
    ("a", "b", "mass", "apart"),
    [
        ("12.0", "12.1", "1000 g", False),
        ("36.0", "36.3", "3000 g", False),
        ("12.0", "12.2", "1000 g", False),
        ("12", "13", "1000 g", False),
        ("12.0", "13.0", "1000 g", True),
        ("12.0", "12.6", "1000 g", True),
    ],
)
def test_rounding_and_what_stays_on_the_board_are_no_rider(a, b, mass, apart):
    assert (salt_apart(salted(a, b, mass=mass).book, "t") is not None) is apart


def test_without_a_planned_rate_the_weighed_ones_are_compared():
    plan = salted("12.0", "15.0", planned=None)
    assert salt_apart(plan.book, "t") is None, "nothing is to be weighed where nothing is planned"


def test_a_rub_brings_its_share_of_salt():
    plan = salted("10.0", "10.0", planned=10.0).with_records(
        Addition("ra", "salt", 1, "rub", "mild", "mA", g_per_kg=20, salt_percent=10),
        Addition("rb", "salt", 1, "rub", "strong", "mB", g_per_kg=20, salt_percent=25),
    )
    assert salted_pieces(plan.book, "t") == (), "the rub is not weighed yet"
    first, second = plan.book.all(Piece)
    plan = plan.with_records(
        Amount("wa", first.id, "rub", AT, 0, "salt", "mild", 20.0, "20.0 g"),
        Amount("wb", second.id, "rub", AT, 0, "salt", "strong", 28.0, "28.0 g"),
    )
    rates = [(round(p.g_per_kg, 2), p.planned_g_per_kg) for p in salted_pieces(plan.book, "t")]
    assert rates == [(12.0, 12.0), (17.0, 15.0)]
    assert salt_apart(plan.book, "t") is not None


def test_a_piece_off_its_target_is_said_beside_it_and_in_the_finding():
    plan = salted("12.0", "12.0", "6.0", "12.1")
    cook = plan.book.all(Cook)[0]
    third = plan.book.all(Piece)[2]
    note = next(n for n in margin_of_cook(plan.book, cook.id).notes if "off its" in say(n.label))
    assert note.line == f"amount:{third.id}:salt:salt"
    assert [say(s) for s in note.sentences] == [
        "6 g less than its target.",
        "6 g for each kilogram instead of 12.",
    ]
    said = [say(m) for m in salted_off_plan(records_of(plan.book, "t"), ())]
    assert said == ["Not salted as written: P03 6 g for each kilogram instead of 12."]
    even = salted("12.0", "12.1", "12.0", "11.9")
    assert not list(salted_off_plan(records_of(even.book, "t"), ()))
    assert not any("off its" in say(n.label) for n in margin_of_cook(even.book, "c1").notes)

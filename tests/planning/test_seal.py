"""The seal holds the plan as it was, and what was done otherwise is said."""

from __future__ import annotations

import hashlib
import json

import pytest

from tests.planning.kitchen import LATER, NOON, Kitchen, kitchen, shoulder
from trialbench.model.errors import Refused, Sealed
from trialbench.model.message import say
from trialbench.model.records import (
    Cook,
    Draw,
    Lot,
    Measurement,
    Pair,
    Part,
    Piece,
    Sample,
    Seal,
    Stage,
    Trial,
)
from trialbench.planning.draw import draw_for_new_pieces, draw_lots
from trialbench.planning.seal import (
    lacks_for_seal,
    plan_written,
    seal_of,
    seal_plan,
    untouched,
    what_is_sealed,
)
from trialbench.planning.sealed_and_done import cook_count, differs_from_seal


def drawn(plan=None):
    plan = plan or shoulder()
    return plan.after(draw_lots(plan, lot_number=628, when=NOON))


@pytest.fixture(scope="module")
def sealed():
    plan = drawn()
    return plan.after(seal_plan(plan, LATER))


def test_a_seal_is_a_barrier_with_its_fingerprint(sealed):
    step = seal_plan(drawn(), LATER)
    assert step.barrier
    seal = seal_of(sealed)
    assert seal.made_utc == LATER.utc
    assert seal.fingerprint == hashlib.sha256(seal.written.encode()).hexdigest()
    assert untouched(seal)


def test_what_is_written_is_canonical_and_does_not_depend_on_the_order_of_records(sealed):
    plan = drawn()
    text = plan_written(plan)
    assert text == plan_written(Kitchen(sorted(plan.book.as_set(), key=lambda r: hash(r.id))))
    value = json.loads(text)
    assert text == json.dumps(value, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    assert value["draw"]["lot_number"] == 628
    assert value["draw"]["lots"] == {p.id: p.method_id for p in plan.of(Piece)}
    assert value["question"]["matters"] == 0.8


def test_what_is_sealed_can_be_read_from_the_seal_alone(sealed):
    lines = {say(line.label): say(line.value) for line in what_is_sealed(seal_of(sealed))}
    assert lines["Food"] == "pork shoulder"
    assert lines["Decides"] == "juiciness"
    assert lines["Cook days"] == "4"
    assert lines["Draw"] == "1, lot number 628"


def test_a_plan_that_lacks_something_is_not_sealed():
    with pytest.raises(Refused, match="Draw lots for every piece"):
        seal_plan(shoulder(), LATER)
    bare = drawn().changed(Trial, "t", decides_id=None, planned_cooks=None)
    assert [say(m) for m in lacks_for_seal(bare)] == [
        "Say on the Question page what decides.",
        "Say how many cook days there are to be.",
    ]
    easier = drawn().changed(Trial, "t", question="at_least_as_good", matters=None)
    assert len(lacks_for_seal(easier)) == 2


def test_a_plan_is_sealed_once(sealed):
    with pytest.raises(Sealed, match="already"):
        seal_plan(sealed, LATER)


def test_nothing_differs_right_after_sealing(sealed):
    assert differs_from_seal(sealed) == ()
    assert differs_from_seal(drawn()) == ()
    count = cook_count(sealed)
    assert (count.sealed, count.done, count.added, count.short) == (4, 0, 0, 4)
    assert say(count.in_so_far) == "0 of 4 cook days in"


def test_cook_days_weighed_or_tasted_are_in(sealed):
    weight = Measurement("w", "c1x0", "raw", LATER.utc, 60, 2287)
    sample = Sample("sample", "s2", "taster1", 1, "419")
    count = cook_count(sealed.with_records(weight, sample))
    assert say(count.in_so_far) == "2 of 4 cook days in"
    assert count.short == 2


def test_an_added_cook_day_is_drawn_by_itself_and_said(sealed):
    more = sealed.with_records(
        Cook("c5", "t", 5),
        Pair("c5p1", "c5", 1),
        Piece("c5x0", "c5", 1, "P17", "c5p1"),
        Piece("c5x1", "c5", 2, "P18", "c5p1"),
    )
    with pytest.raises(Refused, match="needs a reason"):
        draw_for_new_pieces(more, lot_number=7, when=LATER, reason="")
    step = draw_for_new_pieces(more, lot_number=7, when=LATER, reason="a fifth day")
    after = more.after(step)
    assert {p.method_id for p in after.of(Piece) if p.cook_id == "c5"} == {"mA", "mB"}
    assert {c.record.kind for c in step.changes} == {"draw", "lot", "piece"}
    last = max(after.of(Draw), key=lambda d: d.number)
    assert {lot.piece_id for lot in after.of(Lot) if lot.draw_id == last.id} == {"c5x0", "c5x1"}
    assert [say(m) for m in differs_from_seal(after)] == [
        "1 cook day was added to the sealed plan."
    ]
    opened = after.changed(Cook, "c5", after_opening=True)
    assert say(differs_from_seal(opened)[0]) == "1 cook day was added after a key was open."


def test_a_draw_for_new_pieces_needs_new_pieces_in_whole_blocks(sealed):
    with pytest.raises(Refused, match="Every piece has its method"):
        draw_for_new_pieces(sealed, lot_number=7, when=LATER, reason="x")
    half = drawn(kitchen()).changed(Piece, "c1x0", method_id=None)
    with pytest.raises(Refused, match="others were not"):
        draw_for_new_pieces(half, lot_number=7, when=LATER, reason="x")


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ((Trial, "t", {"matters": 0.5}), "The question is not as it was sealed."),
        ((Trial, "t", {"servings": 2}), "The figures of the plan are not as they were sealed."),
        ((Stage, "roast", {"set_temp_c": 130}), "The stages are not as they were sealed."),
        ((Part, "rest_b", {"number": 1500}), "What parts the methods is not as it was sealed."),
    ],
)
def test_what_is_no_longer_as_sealed_is_said(sealed, change, says):
    kind, record_id, values = change
    changed = sealed.changed(kind, record_id, **values)
    assert [say(m) for m in differs_from_seal(changed)] == [says]


def test_a_seal_that_was_touched_is_known(sealed):
    seal = seal_of(sealed)
    touched = sealed.changed(Seal, seal.id, written=seal.written.replace("0.8", "0.2"))
    assert not untouched(seal_of(touched))

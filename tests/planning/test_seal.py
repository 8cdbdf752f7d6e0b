"""The seal holds the plan as it was, and what was done otherwise is said."""

from __future__ import annotations

import hashlib
import json
from pathlib import Path

import pytest

from tests.planning.kitchen import LATER, NOON, Kitchen, kitchen, shoulder
from trialbench.model.errors import Refused, Sealed
from trialbench.model.message import say
from trialbench.model.records import (
    Addition,
    Checkpoint,
    Cook,
    Cover,
    Difference,
    Draw,
    Factor,
    Level,
    Lot,
    Measurement,
    Method,
    Outcome,
    Pair,
    Part,
    Piece,
    Sample,
    Seal,
    Setting,
    Stage,
    Trial,
)
from trialbench.planning.draw import draw_for_new_pieces, draw_lots
from trialbench.planning.seal import (
    lacks_for_seal,
    seal_of,
    seal_plan,
    untouched,
    what_is_sealed,
)
from trialbench.planning.seal_text import plan_written
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
        ((Trial, "t", {"matters": 0.5}), "the smallest difference that matters: 0.8, now 0.5"),
        ((Trial, "t", {"servings": 2}), "times each sample is tasted: 1, now 2"),
        ((Trial, "t", {"serving": "rounds"}), "served: to every taster in an order of their own, "
         "now one product a round, to all at once"),
        ((Stage, "roast", {"set_temp_c": 130}), "Roast, at: 120 °C, now 130 °C"),
        ((Part, "rest_b", {"number": 1500}), "Rest, for, in B: 20 min, now 25 min"),
        ((Outcome, "juiciness", {"better": "target", "target": 6.0}),
         "juiciness, wanted: more, now closest to a target; juiciness, target: nothing written, "
         "now 6"),
    ],
)  # fmt: skip
def test_what_is_no_longer_as_sealed_is_said_with_old_and_new(sealed, change, says):
    kind, record_id, values = change
    changed = sealed.changed(kind, record_id, **values)
    assert [say(m) for m in differs_from_seal(changed)] == [f"Not as it was sealed: {says}."]


def test_what_came_or_went_as_a_whole_is_one_line(sealed):
    more = sealed.with_records(Stage("dry", "t", 6, "chill", set_temp_c=4, cover="uncovered"))
    (said,) = differs_from_seal(more)
    assert "Chill: not there, now in all methods" in say(said)
    assert "uncovered" not in say(said)
    fewer = sealed.without("sear")
    assert "Sear: in all methods, now not there" in say(differs_from_seal(fewer)[0])


def test_what_a_form_2_seal_needs_is_in_it(sealed):
    plan = drawn(kitchen(methods="ABC", pairs=0, each=1)).with_records(
        Factor("f", "t", 1, "hold", ordered=True, field="set_temp_c"),
        *(Level(f"l{t}", "f", n, number=t) for n, t in enumerate((60, 65, 70))),
        *(Setting(f"s{m}", f"m{m}", f"l{t}") for m, t in zip("ABC", (60, 65, 70), strict=True)),
    )
    plan = plan.changed(Trial, "t", shape="ordered", reference="last month's", most_samples=4)
    value = json.loads(plan_written(plan))
    assert value["form"] == 2
    assert value["question"]["reference"] == "last month's" and value["plan"]["most_samples"] == 4
    assert len(value["factors"]) == 1 and len(value["levels"]) == len(value["settings"]) == 3
    assert value["additions"] == [] and value["outcomes"][0]["target"] is None
    assert value["analysis"]["procedure"] == "trend"
    lines = {say(x.label): say(x.value) for x in what_is_sealed(Seal("x", "t", "", 0,
             plan_written(plan), ""))}  # fmt: skip
    assert lines["hold"] == "60 °C, 65 °C, 70 °C"
    assert lines["Reference sample"] == "last month's"
    assert lines["Samples for a taster at most"] == "4"
    assert lines["Analysis"].startswith("The rise over the settings")
    assert lines["Wanted"] == "more"


def _of_form_1() -> Kitchen:
    """The plan that a seal of form 1 holds, as today's program reads it from the file."""
    text = (Path(__file__).parent / "sealed_form_1.json").read_text("utf-8")
    value = json.loads(text)
    assert value["form"] == 1 and "shape" not in value["question"]
    asked = {**value["question"], **value["plan"]}
    trial = Trial(value["trial"], 1, chapter="", begun_utc="", **asked)
    lots = value["draw"]["lots"]
    records = [
        Cover("cover", "kitchen", ""), trial,
        *(Method(m["id"], value["trial"], m["letter"], m["name"]) for m in value["methods"]),
        *(Stage(**each) for each in value["stages"]), *(Part(**each) for each in value["parts"]),
        *(Difference(**each) for each in value["differences"]),
        *(Outcome(**each) for each in value["outcomes"]),
        *(Checkpoint(**each) for each in value["checkpoints"]),
        *(Cook(c["id"], value["trial"], c["number"]) for c in value["cooks"]),
        *(Pair(**each) for each in value["pairs"]),
        *(Piece(method_id=lots[each["id"]], **each) for each in value["pieces"]),
        Draw("d", value["trial"], 1, value["draw"]["lot_number"], NOON.utc, 60, "pair"),
        Seal("seal", value["trial"], LATER.utc, 60, text, hashlib.sha256(text.encode()).hexdigest())
    ]  # fmt: skip
    return Kitchen(records, value["trial"])


def test_a_seal_of_form_1_shows_no_change_that_nobody_made():
    """sealed_form_1.json: the seal of the pork ribs as this program wrote it in file form 1."""
    older = _of_form_1()
    assert untouched(seal_of(older))
    assert differs_from_seal(older) == ()
    assert {say(x.label) for x in what_is_sealed(seal_of(older))} >= {"Decides", "Draw", "Served"}
    trial_id = older.trial.id
    rounds = older.changed(Trial, trial_id, serving="rounds")
    assert "served: to every taster" in say(differs_from_seal(rounds)[0])
    salted = older.with_records(Addition("a", older.of(Stage)[0].id, 1, "rub", "pepper"))
    assert "rub: not there, now pepper" in say(differs_from_seal(salted)[0])


def test_a_seal_that_was_touched_is_known(sealed):
    seal = seal_of(sealed)
    touched = sealed.changed(Seal, seal.id, written=seal.written.replace("0.8", "0.2"))
    assert not untouched(seal_of(touched))

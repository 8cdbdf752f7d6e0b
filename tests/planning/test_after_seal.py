"""A sealed plan changes only with a reason, which stays with what was said before and since."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime

import pytest

from tests.planning.kitchen import shoulder
from trialbench.model.errors import Refused, Sealed
from trialbench.model.message import msg, say
from trialbench.model.records import (
    KINDS,
    AfterSeal,
    Cover,
    Lot,
    Measurement,
    Outcome,
    Piece,
    Seal,
    Sitting,
    Stage,
    Taster,
    Trial,
)
from trialbench.model.steps import Change, Step, added, removed
from trialbench.notebook import views
from trialbench.notebook.acts import plan as plan_acts
from trialbench.notebook.acts import question, stages
from trialbench.notebook.clock import SteppingClock
from trialbench.notebook.notebook import Notebook
from trialbench.notebook.views import OneTrial
from trialbench.planning.after_seal import end_change, open_for_change, told_changes
from trialbench.planning.asked import asked_before
from trialbench.planning.draw import draw_lots
from trialbench.planning.seal import seal_plan
from trialbench.planning.sealed_and_done import differs_from_seal
from trialbench.planning.sitting import Served, open_sitting, seal_sitting

WHY = "the oven broke"


@pytest.fixture
def book(tmp_path):
    clock = SteppingClock(datetime(2025, 3, 8, 12, tzinfo=UTC))
    with Notebook.open(tmp_path / "n.trialbench", clock, backups=tmp_path) as found:
        plan = shoulder().without("s3", "s4")
        records = [r for kind in KINDS for r in plan.book.all(kind) if kind is not Cover]
        found.apply(Step(msg("Brought in"), added(*records)))
        one = OneTrial(found, "t")
        found.apply(draw_lots(one, lot_number=628, when=found.now()))
        found.apply(seal_plan(one, found.now()))
        yield found


def opened(book, why=WHY):
    book.apply(open_for_change(OneTrial(book, "t"), why, book.now()))


def ended(book):
    book.apply(end_change(OneTrial(book, "t"), book.now()))


def key_opened(book, number=1):
    sitting = book.get(Sitting, f"s{number}")
    served = Served(book.all(Piece, cook_id=f"c{number}"), book.all(Taster)[:2])
    made = seal_sitting(book, sitting, served, book.now())
    book.seal_key(sitting.id, made.key_bytes, made.step)
    book.open_key(
        sitting.id,
        lambda key: open_sitting(
            book, book.get(Sitting, sitting.id), key, book.now(), early_reason="x"
        ),
    )


def told(book):
    return [say(each) for each in differs_from_seal(OneTrial(book, "t"))]


def test_without_a_reason_nothing_opens_and_nothing_changes(book):
    with pytest.raises(Refused, match="needs a reason"):
        open_for_change(OneTrial(book, "t"), "  ", book.now())
    with pytest.raises(Sealed):
        book.apply(stages.set_value(book, "roast", "set_temp_c", "130"))
    assert views.is_locked(book, "t")
    with pytest.raises(Sealed, match="not open"):
        end_change(OneTrial(book, "t"), book.now())


def test_an_unsealed_plan_needs_no_opening(book):
    plan = shoulder()
    with pytest.raises(Sealed, match="not sealed"):
        open_for_change(plan, WHY, book.now())


def test_open_for_change_it_can_be_changed_and_says_old_and_new(book):
    opened(book)
    assert views.is_sealed(book, "t") and not views.is_locked(book, "t")
    with pytest.raises(Sealed, match="open for change already"):
        open_for_change(OneTrial(book, "t"), "again", book.now())
    book.apply(stages.set_value(book, "roast", "set_temp_c", "130"))
    book.apply(question.set_matters(book, "t", "0.5"))
    ended(book)
    assert views.is_locked(book, "t")
    with pytest.raises(Sealed):
        book.apply(stages.set_value(book, "roast", "set_temp_c", "140"))
    assert told(book) == [
        "Changed after the seal on Saturday 8 March, before any key was open, because “the oven "
        "broke”: the smallest difference that matters: 0.8, now 0.5; Roast, at: 120 °C, now "
        "130 °C."
    ]
    labels = [say(row.label) for row in book.history(limit=8)]
    assert "Open for change after the seal: the oven broke" in labels
    assert "Changes after the seal ended" in labels


def test_each_reason_tells_its_own_changes(book):
    for why, degrees in ((WHY, "130"), ("too dark", "125")):
        opened(book, why)
        book.apply(stages.set_value(book, "roast", "set_temp_c", degrees))
        ended(book)
    found = told_changes(OneTrial(book, "t"))
    assert [(each.opening.reason, [say(c.sentence) for c in each.changes]) for each in found] == [
        (WHY, ["Roast, at: 120 °C, now 130 °C"]),
        ("too dark", ["Roast, at: 130 °C, now 125 °C"]),
    ]


def test_opened_and_left_alone_tells_nothing(book):
    opened(book)
    ended(book)
    assert told(book) == []


def test_who_gets_which_method_stays_as_it_was_drawn(book):
    opened(book)
    piece = next(iter(book.all(Piece, cook_id="c1")))
    other = next(m.id for m in views.methods(book, "t") if m.id != piece.method_id)
    with pytest.raises(Sealed, match="stays as it was drawn"):
        book.apply(Step(msg("x"), (Change(piece, replace(piece, method_id=other)),)))
    lot = book.all(Lot)[0]
    other = next(m.id for m in views.methods(book, "t") if m.id != lot.method_id)
    with pytest.raises(Sealed, match="stays as it was drawn"):
        book.apply(Step(msg("x"), (Change(lot, replace(lot, method_id=other)),)))
    with pytest.raises(Sealed):
        draw_lots(OneTrial(book, "t"), lot_number=2, when=book.now(), reason="x", early="x")
    book.apply(plan_acts.set_plan(book, "t", "planned_cooks", "3"))
    assert len(views.cooks(book, "t")) == 3
    assert "cook days: 4, now 3" in told(book)[0]


def test_neither_the_seal_nor_the_reason_is_ever_taken_away(book):
    seal = views.seal(book, "t")
    opened(book)
    (opening,) = book.all(AfterSeal)
    for record in (seal, opening):
        with pytest.raises(Sealed):
            book.apply(Step(msg("x"), removed(record)))
    with pytest.raises(Sealed):
        book.apply(Step(msg("x"), (Change(opening, replace(opening, reason="other")),)))
    with pytest.raises(Sealed):
        book.revert(open_for_change(OneTrial(_shut(book), "t"), WHY, book.now()))
    assert book.get(Seal, seal.id) == seal


def _shut(book):
    """The notebook as if nothing were open."""

    class Shut:
        def __getattr__(self, name):
            return getattr(book, name)

        def all(self, kind, **equals):
            return () if kind is AfterSeal else book.all(kind, **equals)

    return Shut()


def test_opening_a_key_shuts_what_is_open_for_change(book):
    opened(book)
    book.apply(question.set_matters(book, "t", "0.5"))
    key_opened(book)
    assert views.is_locked(book, "t")
    (opening,) = book.all(AfterSeal)
    assert opening.ended_utc and not opening.key_open
    assert asked_before(OneTrial(book, "t")) is None


def test_with_a_key_open_the_question_that_counts_is_the_earlier_one(book):
    opened(book, "first")
    book.apply(question.set_matters(book, "t", "0.7"))
    ended(book)
    key_opened(book)
    opened(book, "looked better so")
    book.apply(question.set_matters(book, "t", "0.3"))
    book.apply(plan_acts.set_plan(book, "t", "planned_cooks", "3"))
    ended(book)
    before = asked_before(OneTrial(book, "t"))
    assert before.trial.matters == 0.7 and before.trial.planned_cooks == 4
    assert [say(each.sentence) for each in before.changes] == [
        "the smallest difference that matters: 0.7, now 0.3", "cook days: 4, now 3",
    ]  # fmt: skip
    assert "with a key open" in told(book)[1]


def test_the_direction_of_what_decides_counts_as_the_question(book):
    key_opened(book)
    opened(book)
    outcome = book.get(Outcome, "juiciness")
    book.apply(Step(msg("x"), (Change(outcome, replace(outcome, better="less")),)))
    before = asked_before(OneTrial(book, "t"))
    assert before.outcomes[0].better == "more"


def test_a_stage_changed_with_a_key_open_is_told_and_leaves_the_question(book):
    key_opened(book)
    opened(book)
    book.apply(stages.set_value(book, "roast", "set_temp_c", "130"))
    assert book.get(Stage, "roast").set_temp_c == 130
    assert asked_before(OneTrial(book, "t")) is None
    assert "with a key open" in told(book)[0]


def test_weights_are_an_answer_too_where_they_decide(book):
    opened(book, "before the scales")
    loss = Outcome("loss", "t", 2, "loss", source="loss", low=0, high=100)
    trial = book.get(Trial, "t")
    book.apply(Step(msg("x"), (*added(loss), Change(trial, replace(trial, decides_id="loss")))))
    piece = book.all(Piece, cook_id="c1")[0]
    point = views.checkpoints(book, "t")
    assert not point  # this plan has no weighings: a weight needs one
    ended(book)
    (opening,) = book.all(AfterSeal)
    assert not opening.key_open
    weighed = Measurement("m", piece.id, "raw", book.now().utc, 60, 2287.0)
    seen = shoulder().with_records(loss, weighed).changed(Trial, "t", decides_id="loss")
    sealed = seen.with_records(Seal("seal", "t", "", 60, "{}", ""))
    step = open_for_change(sealed, WHY, book.now())
    assert step.changes[0].after.key_open

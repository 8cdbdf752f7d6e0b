"""Records to frames: what is counted, what is not, what is missing, and what a unit is."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from tests.examples import ribs, thighs, turkey
from tests.examples.cooking import draw, lay_out
from tests.examples.writing import Draft
from trialbench.findings.of_trial import reckon, reckon_trial
from trialbench.findings.redraws import allowed_redraws
from trialbench.findings.snapshot import NoSuchTrial, records_of, trial_named
from trialbench.findings.tables import COLUMNS, opened_samples, tables_of
from trialbench.findings.units import places_of, true_loads
from trialbench.model.message import say
from trialbench.model.records import (
    Checkpoint,
    LeftOut,
    Load,
    Measurement,
    Method,
    Outcome,
    Piece,
    Sample,
    Score,
    Seal,
    Sitting,
    Trial,
)


def _again(example):
    return example.make()


@pytest.fixture
def ribs_draft():
    return _again(ribs)


def _table(records, name):
    return next(table for table in tables_of(records) if table.outcome.name == name)


def test_the_warm_up_is_never_counted(ribs_draft):
    records = ribs_draft.records()
    warm_up = next(s for s in records.of(Sample) if s.position == 0)
    outcome = records.all(Outcome, name="liking")[0]
    ribs_draft.write(Score("stray", warm_up.id, outcome.id, "2026-04-04T12:00:00Z", 60, 9.0))
    again = ribs_draft.records()
    assert len(_table(again, "liking").rows) == len(_table(records, "liking").rows) == 58
    assert all(sample.position > 0 for sample in opened_samples(again))


def test_nothing_is_seen_under_a_sealed_key():
    records = ribs.make_sealed().records()
    assert _table(records, "liking").rows == ()
    assert len(_table(records, "loss of trimmed weight, until smoked").rows) == 12
    found = reckon_trial(records)
    assert found.family is None
    assert say(found.why_nothing).startswith("No key is open yet.")


def test_even_when_a_piece_stands_beside_a_sealed_code(ribs_draft):
    sitting = ribs_draft.all(Sitting)[0]
    ribs_draft.write(replace(sitting, key_state="sealed"))
    counted = {row.cook for row in _table(ribs_draft.records(), "liking").rows}
    assert counted == {"2", "3"}


def test_a_frame_has_its_columns(ribs_draft):
    frame = _table(ribs_draft.records(), "liking").frame()
    assert tuple(frame.columns) == COLUMNS
    assert set(frame["method"]) == {"A", "B"}
    assert set(frame["pair"]) == {"1", "2"} and set(frame["load"]) == {""}
    assert len(frame) == 58 and frame["value"].between(1, 9).all()


def test_missing_scores_are_counted_with_their_reason(ribs_draft):
    table = _table(ribs_draft.records(), "liking")
    assert sum(gone.count for gone in table.missing) == 2
    assert {gone.reason for gone in table.missing} == {"called away after the second sample"}
    score = ribs_draft.all(Score, outcome_id=table.outcome.id)[0]
    ribs_draft.write(replace(score, number=None, missing_reason="dropped on the floor"))
    again = _table(ribs_draft.records(), "liking")
    assert len(again.rows) == len(table.rows) - 1
    assert "dropped on the floor" in {gone.reason for gone in again.missing}


def test_a_loss_is_reckoned_per_piece_from_its_base(ribs_draft):
    table = _table(ribs_draft.records(), "loss of trimmed weight, until smoked")
    row = table.rows[0]
    masses = {m.checkpoint_id: m.mass_g for m in ribs_draft.all(Measurement, piece_id=row.piece_id)}
    names = {c.name: c.id for c in ribs_draft.all(Checkpoint)}
    trimmed, smoked = masses[names["trimmed"]], masses[names["smoked"]]
    assert row.value == pytest.approx(100 * (trimmed - smoked) / trimmed, abs=1e-12)
    assert row.taster == "" and row.repeat == 1


def test_a_missing_weight_is_missing_and_not_nothing(ribs_draft):
    names = {c.name: c.id for c in ribs_draft.all(Checkpoint)}
    weight = ribs_draft.all(Measurement, checkpoint_id=names["smoked"])[0]
    ribs_draft.write(replace(weight, mass_g=None, typed="", missing_reason="scale was flat"))
    table = _table(ribs_draft.records(), "loss of trimmed weight, until smoked")
    assert len(table.rows) == 11
    assert [(gone.reason, gone.count) for gone in table.missing] == [("scale was flat", 1)]


def _in_loads(draft: Draft, *, mixed: bool) -> None:
    letters = {m.id: m.letter for m in draft.all(Method)}
    for cook in draft.cooks():
        for letter in "AB":
            draft.write(Load(draft.id("load", cook.number, letter), cook.id, f"pan {letter}"))
        for piece in draft.pieces(cook):
            letter = "A" if mixed else letters[piece.method_id]
            draft.write(replace(piece, load_id=draft.id("load", cook.number, letter)))


def test_pieces_of_one_load_are_one_unit(ribs_draft):
    _in_loads(ribs_draft, mixed=False)
    records = ribs_draft.records()
    assert len(true_loads(records)) == 6
    assert {p.unit for p in places_of(records).values()} == {"pan A", "pan B"}
    finding = reckon_trial(records).deciding
    assert (finding.unit, finding.counts.units, finding.counts.pieces) == ("load", 6, 12)


def test_a_cooker_that_held_both_methods_makes_no_load(ribs_draft):
    _in_loads(ribs_draft, mixed=True)
    records = ribs_draft.records()
    assert true_loads(records) == {}
    finding = reckon_trial(records).deciding
    assert (finding.unit, finding.counts.units) == ("piece", 12)


def test_labels_that_come_twice_in_a_cook_are_told_apart(ribs_draft):
    for piece in ribs_draft.all(Piece):
        ribs_draft.write(replace(piece, label="rack"))
    records = ribs_draft.records()
    for cook in ("1", "2", "3"):
        names = [p.piece for p in places_of(records).values() if p.cook == cook]
        assert sorted(names) == ["rack (1)", "rack (2)", "rack (3)", "rack (4)"]
    assert reckon_trial(records).deciding.counts.pieces == 12


def test_repeated_servings_of_one_piece_are_numbered(ribs_draft):
    samples = [s for s in ribs_draft.all(Sample) if s.position > 0]
    same = samples[0]
    for sample in ribs_draft.all(Sample, sitting_id=same.sitting_id, taster_id=same.taster_id):
        if sample.position > 0:
            ribs_draft.write(replace(sample, piece_id=same.piece_id))
    taster = same.taster_id
    rows = [
        row
        for row in _table(ribs_draft.records(), "liking").rows
        if row.taster_id == taster and row.piece_id == same.piece_id
    ]
    assert [row.repeat for row in rows] == [1, 2, 3, 4]


def test_leaving_out_after_opening_never_changes_the_headline():
    draft = thighs.make()
    with_tray = reckon_trial(draft.records())
    (answer,) = with_tray.other_answers
    assert answer.way == "without"
    assert answer.subjects == (("T10", "6 g of salt short, written down on the day"),)
    bare = Draft(thighs.SLUG)
    for record in draft.records().records.as_set():
        if not isinstance(record, LeftOut):
            bare.write(record)
    nothing_left_out = reckon_trial(bare.records())
    assert nothing_left_out.other_answers == ()
    assert with_tray.deciding == nothing_left_out.deciding
    assert answer.finding.comparison.estimate != with_tray.deciding.comparison.estimate
    assert answer.finding.counts.units == with_tray.deciding.counts.units - 1


def test_leaving_out_before_opening_shows_both_answers_too():
    draft = thighs.make()
    (left,) = draft.all(LeftOut)
    after = reckon_trial(draft.records())
    draft.write(replace(left, after_opening=False))
    before = reckon_trial(draft.records())
    (answer,) = before.other_answers
    assert answer.way == "with"
    assert before.deciding == after.other_answers[0].finding
    assert answer.finding == after.deciding


def test_a_taster_can_be_left_out():
    draft = thighs.make()
    taster = draft.taster(2)
    draft.write(
        LeftOut("gone", draft.trial.id, "taster", taster.id, "had a cold", "2026-05-24T08:00:00Z",
                after_opening=True)
    )  # fmt: skip
    (answer,) = reckon_trial(draft.records()).other_answers
    assert ("Taster 2", "had a cold") in answer.subjects
    assert answer.finding.counts.tasters == 5


def test_the_redraw_goes_over_the_draws_that_the_places_allowed(ribs_draft):
    records = ribs_draft.records()
    allowed = allowed_redraws(records)
    assert len(allowed) == 20  # A on the left rack in three of six pairs
    redraw = reckon_trial(records).deciding.redraw
    assert (redraw.assignments, redraw.smallest_possible_p) == (20, 0.1)


def test_without_places_it_goes_over_all_draws_within_pairs():
    records = turkey.make().records()
    assert allowed_redraws(records) is None
    redraw = reckon_trial(records).deciding.redraw
    assert (redraw.assignments, redraw.smallest_possible_p) == (64, 2 / 64)


def test_looks_before_all_cook_days_are_in():
    draft = turkey.make()
    last = draft.all(Sitting)[-1]
    draft.write(replace(last, key_state="sealed"))
    for sample in draft.all(Sample, sitting_id=last.id):
        draft.write(replace(sample, piece_id=None))
    found = reckon_trial(draft.records())
    assert found.waiting and found.cooks_opened == 5 and found.planned_cooks == 6
    assert found.deciding.case == "no_claim"
    assert found.deciding.comparison.p is None
    assert all(other.holm_p is None and not other.also for other in found.others)


def test_an_unsealed_plan_is_said():
    draft = Draft(turkey.SLUG)
    for record in turkey.make().records().records.as_set():
        if not isinstance(record, Seal):
            draft.write(record)
    found = reckon_trial(draft.records())
    assert found.planned_cooks is None
    assert any("was not sealed" in say(caution) for caution in found.cautions)


def test_changed_and_early_keys_are_said(ribs_draft):
    score = ribs_draft.all(Score)[0]
    ribs_draft.write(replace(score, changed_after_opening=True))
    sitting = ribs_draft.all(Sitting)[0]
    ribs_draft.write(replace(sitting, opened_early_reason="guests had to leave"))
    said = " ".join(say(caution) for caution in reckon_trial(ribs_draft.records()).cautions)
    assert "1 score was written or changed with the key open." in said
    assert "opened before all score cards were in: guests had to leave." in said


@pytest.mark.parametrize(
    ("example", "case", "favours", "tasters"),
    [
        (turkey, "better_enough", "B", "others_like_them"),
        (ribs, "not_settled", None, "these"),
        (thighs, "same_recipe", None, "these"),
    ],
)
def test_the_examples_show_their_case(example, case, favours, tasters):
    finding = reckon_trial(example.make().records()).deciding
    assert (finding.case, finding.favours, finding.tasters) == (case, favours, tasters)
    assert finding.scope == "method"


def test_the_beans_are_at_least_as_good():
    from tests.examples import beans

    found = reckon_trial(beans.make().records())
    finding = found.deciding
    assert (finding.case, finding.favours, finding.easier) == ("at_least_as_good", None, "B")
    plain = finding.comparison
    assert plain.inner_low > -0.5 and plain.inner_high < 0.5
    assert [day.cook for day in finding.cook_differences] == [str(n) for n in range(1, 11)]


def test_a_notebook_with_nothing_in_it_says_what_is_missing(ribs_draft):
    draft = Draft("empty")
    trial = replace(ribs_draft.trial, decides_id=None, easier_id=None)
    draft.write(trial)
    assert "needs two methods; this trial has 0" in say(reckon(draft, trial.id).why_nothing)
    for method in ribs_draft.all(Method):
        draft.write(method)
    assert "name the outcome that decides" in say(reckon(draft, trial.id).why_nothing)
    outcome = ribs_draft.all(Outcome)[0]
    draft.write(outcome)
    draft.write(replace(trial, decides_id=outcome.id))
    assert "No key is open yet" in say(reckon(draft, trial.id).why_nothing)
    lay_out(draft, [date(2026, 4, 4)], lambda cook, position: (f"R{position}", ""))
    draw(draft, 12_345, date(2026, 4, 1))
    assert reckon(draft, trial.id).family is None


def test_trials_are_named_by_number_or_id(ribs_draft):
    assert trial_named(ribs_draft, None) == trial_named(ribs_draft, "3") == ribs_draft.trial
    assert trial_named(ribs_draft, ribs_draft.trial.id) == ribs_draft.trial
    with pytest.raises(NoSuchTrial, match=r"no trial 7 here\. There are: 3 Pork ribs"):
        trial_named(ribs_draft, "7")
    ribs_draft.write(replace(ribs_draft.trial, id="another", number=4, decides_id=None))
    with pytest.raises(NoSuchTrial, match="Name one of the trials here: 3 Pork ribs, 4 Pork ribs"):
        trial_named(ribs_draft, None)


def test_a_snapshot_holds_one_trial_and_is_unmoved(ribs_draft):
    before = records_of(ribs_draft, ribs_draft.trial.id)
    ribs_draft.write(replace(ribs_draft.trial, id="another", number=4))
    ribs_draft.write(replace(ribs_draft.trial, food="Ribs"))
    assert before.all(Trial) == (before.trial,) and before.trial.food == "Pork ribs"

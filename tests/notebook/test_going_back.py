"""Back to any line of history: one new step, and what is sealed stays sealed."""

from dataclasses import replace

import pytest

from tests.notebook.kitchen_book import (
    begun,
    juiciness,
    opened,
    opened_key,
    planned,
    sealed_key,
    sealed_plan,
    seated,
)
from trialbench.model.errors import Refused, Sealed
from trialbench.model.message import msg
from trialbench.model.records import (
    Cook,
    Cover,
    Outcome,
    Sample,
    Score,
    Seal,
    Sitting,
    Stage,
    Trial,
)
from trialbench.model.steps import Change, Step, added
from trialbench.notebook import views
from trialbench.notebook.acts import cooking, cover, plan, question, scores, stages


def _number(nb):
    return nb.history(limit=1)[0].number


def test_every_line_can_be_brought_back(nb):
    planned(nb)
    states = {}
    trial_id = nb.all(Trial)[0].id
    for word in ("ham", "neck", "belly"):
        nb.apply(question.set_words(nb, trial_id, "food", word))
        states[_number(nb)] = nb.snapshot().as_set()
    for number, state in sorted(states.items()):
        last = _number(nb)
        restored = nb.restore(number)
        assert nb.snapshot().as_set() == state
        assert restored.kept == ()
        assert restored.number == last + (1 if number != max(states) or last > number else 0)


def test_going_back_is_a_step_that_can_be_gone_back_on(nb):
    begun(nb)
    full, number = nb.snapshot().as_set(), _number(nb)
    nb.restore(1)
    assert nb.all(Trial) == ()
    nb.restore(number)
    assert nb.snapshot().as_set() == full


def test_back_to_the_state_at_opening(tmp_path):
    with opened(tmp_path) as nb:
        trial_id = begun(nb)
        before = nb.snapshot().as_set()
    with opened(tmp_path) as nb:
        nb.apply(question.set_words(nb, trial_id, "food", "ham"))
        begun(nb)
        nb.back_to_opening()
        assert nb.snapshot().as_set() == before
        assert str(nb.last_written.label) == "Back to the state at opening"


def test_a_sealed_plan_stays_with_everything_it_needs(nb):
    trial_id = planned(nb)
    sealed_plan(nb, trial_id)
    nb.apply(cover.name_notebook(nb, "Harbour Street"))
    nb.apply(plan.set_cook(nb, views.cooks(nb, trial_id)[0].id, "remark", "rain"))
    before = nb.snapshot()
    restored = nb.restore(1)
    assert restored.kept
    assert nb.all(Seal) == before.all(Seal)
    assert nb.get(Trial, trial_id) == before.get(Trial, trial_id)
    assert views.stages(nb, trial_id) == before.all(Stage)
    assert nb.all(Cover)[0].name == "kitchen"


def test_an_open_key_stays_open(nb):
    trial_id = planned(nb)
    before = _number(nb)
    sitting_id = seated(nb, trial_id)
    samples = sealed_key(nb, sitting_id)
    outcome = juiciness(nb, trial_id)
    for sample in samples:
        nb.apply(scores.set_score(nb, sample.id, outcome.id, "5"))
    opened_key(nb, sitting_id)
    restored = nb.restore(before)
    assert restored.kept
    assert nb.get(Sitting, sitting_id).key_state == "open"
    assert all(sample.piece_id for sample in nb.all(Sample))
    assert nb.get(Outcome, outcome.id)
    assert nb.get(Cook, nb.get(Sitting, sitting_id).cook_id)


def test_scores_brought_back_with_the_key_open_are_marked(nb):
    trial_id = planned(nb)
    sitting_id = seated(nb, trial_id)
    samples, outcome = sealed_key(nb, sitting_id), juiciness(nb, trial_id)
    nb.apply(scores.set_score(nb, samples[0].id, outcome.id, "5"))
    for sample in samples[1:]:
        nb.apply(scores.set_score(nb, sample.id, outcome.id, "6"))
    number = _number(nb)
    nb.apply(scores.set_score(nb, samples[0].id, outcome.id, "7"))
    opened_key(nb, sitting_id)
    nb.restore(number)
    found = views.score(nb, samples[0].id, outcome.id)
    assert (found.number, found.changed_after_opening) == (5, True)
    assert not views.score(nb, samples[1].id, outcome.id).changed_after_opening


def test_undoing_a_score_after_opening_leaves_the_mark(nb):
    trial_id = planned(nb)
    sitting_id = seated(nb, trial_id)
    samples, outcome = sealed_key(nb, sitting_id), juiciness(nb, trial_id)
    for sample in samples[1:]:
        nb.apply(scores.set_score(nb, sample.id, outcome.id, "6"))
    nb.apply(scores.set_score_missing(nb, samples[0].id, outcome.id, "dropped"))
    opened_key(nb, sitting_id)
    late = scores.set_score(nb, samples[1].id, outcome.id, "9")
    nb.apply(late)
    nb.revert(late)
    found = views.score(nb, samples[1].id, outcome.id)
    assert (found.number, found.changed_after_opening) == (6, True)
    nb.apply(late)
    assert views.score(nb, samples[1].id, outcome.id).number == 9
    nb.apply(scores.clear_score(nb, samples[1].id, outcome.id))
    emptied = views.score(nb, samples[1].id, outcome.id)
    assert emptied.number is None and emptied.changed_after_opening
    assert views.marked_scores(nb, trial_id) == (emptied,)


def test_a_step_that_goes_around_an_act_meets_the_seal_too(nb):
    trial_id = planned(nb)
    sealed_plan(nb, trial_id)
    trial = nb.get(Trial, trial_id)
    with pytest.raises(Sealed):
        nb.apply(Step(msg("x"), (Change(trial, replace(trial, matters=0.1)),)))


def test_undoing_what_came_before_the_seal_is_refused(nb):
    trial_id = planned(nb)
    step = stages.add_stage(nb, trial_id, "rest")
    nb.apply(step)
    sealed_plan(nb, trial_id)
    with pytest.raises(Sealed):
        nb.revert(step)


def _brought_in(nb, tmp_path):
    """A trial with a sealed plan and an open key, as one import step from another notebook."""
    with opened(tmp_path, "other.trialbench") as other:
        trial_id = planned(other)
        sealed_plan(other, trial_id)
        sitting_id = seated(other, trial_id)
        for sample in sealed_key(other, sitting_id):
            decides = juiciness(other, trial_id).id
            other.apply(scores.set_score(other, sample.id, decides, "5"))
        opened_key(other, sitting_id)
        records = [r for r in other.snapshot().as_set() if r.kind != "cover"]
    step = Step(msg("Trial brought in"), added(*records), origin="import")
    nb.apply(step)
    return trial_id, step


def test_a_trial_brought_in_sealed_can_leave_again(nb, tmp_path):
    before, number = nb.snapshot().as_set(), _number(nb)
    _, step = _brought_in(nb, tmp_path)
    nb.revert(step)
    assert nb.snapshot().as_set() == before
    nb.apply(step)
    assert nb.restore(number).kept == ()
    assert nb.snapshot().as_set() == before


def test_a_trial_brought_in_and_sealed_further_here_stays(nb, tmp_path):
    number = _number(nb)
    trial_id, step = _brought_in(nb, tmp_path)
    second = seated(nb, trial_id, number=2)
    sealed_key(nb, second)
    assert nb.restore(number).kept
    assert nb.get(Trial, trial_id) and nb.get(Sitting, second).key_state == "sealed"
    with pytest.raises((Refused, Sealed)):
        nb.revert(step)


def test_weights_can_be_taken_back_after_the_seal(nb):
    trial_id = planned(nb)
    sealed_plan(nb, trial_id)
    piece, raw = views.all_pieces(nb, trial_id)[0], views.checkpoints(nb, trial_id)[0]
    step = cooking.set_mass(nb, piece.id, raw.id, "2 405")
    nb.apply(step)
    nb.revert(step)
    assert views.measurement(nb, piece.id, raw.id) is None
    assert nb.all(Score) == ()

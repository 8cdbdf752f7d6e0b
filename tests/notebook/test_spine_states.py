"""What the spine says, page by page, as a trial goes on; and what planning and findings read."""

from tests.notebook.kitchen_book import (
    begun,
    opened_key,
    planned,
    sealed_key,
    sealed_plan,
    seated,
)
from trialbench.model.records import Cook, Piece, Score, Stage, Taster, Trial
from trialbench.notebook import views
from trialbench.notebook.acts import cooking, decision, question, scores, stages


def _said(nb, trial_id):
    return {
        state.page: (state.stitch, str(state.said) if state.said else None)
        for state in views.page_states(nb, trial_id)
    }


def test_a_trial_goes_from_page_to_page(nb):
    step = question.begin_trial(nb)
    nb.apply(step)
    empty = nb.all(Trial)[0].id
    assert set(_said(nb, empty).values()) == {("none", None)}
    trial_id = planned(nb)
    said = _said(nb, trial_id)
    assert said["question"] == ("complete", "juicier?")
    assert said["methods"] == ("begun", "nothing differs")
    assert said["plan"] == ("begun", "2 cook days")
    hold, method = views.stages(nb, trial_id)[1], views.methods(nb, trial_id)[1]
    nb.apply(stages.set_value(nb, hold.id, "medium", "its own juices", method.id))
    assert _said(nb, trial_id)["methods"] == ("begun", "1 differs")
    nb.apply(stages.set_role(nb, hold.id, "medium", "question"))
    assert _said(nb, trial_id)["methods"] == ("complete", "no riders")
    sealed_plan(nb, trial_id)
    assert _said(nb, trial_id)["plan"] == ("sealed", "2 cook days")


def test_cooking_tasting_and_deciding_are_counted(nb):
    trial_id = planned(nb)
    last = views.checkpoints(nb, trial_id)[-1]
    first_day = views.cooks(nb, trial_id)[0]
    for piece in views.pieces(nb, first_day.id):
        nb.apply(cooking.set_mass(nb, piece.id, last.id, "1 600"))
    assert _said(nb, trial_id)["cook"] == ("begun", "1 of 2")
    sitting_id = seated(nb, trial_id)
    samples = sealed_key(nb, sitting_id)
    outcome = views.deciding(nb, trial_id)
    nb.apply(scores.set_score(nb, samples[0].id, outcome.id, "5"))
    assert _said(nb, trial_id)["tasting"] == ("begun", "1 of 4")
    for sample in samples[1:]:
        nb.apply(scores.set_score(nb, sample.id, outcome.id, "5"))
    opened_key(nb, sitting_id)
    said = _said(nb, trial_id)
    assert said["tasting"] == said["findings"] == ("begun", "1 of 2")
    nb.apply(decision.decide(nb, trial_id, "keep"))
    assert _said(nb, trial_id)["recipe_note"] == ("begun", "decided")
    nb.apply(decision.hand_on(nb, trial_id, "pdf", "x", "{}"))
    assert _said(nb, trial_id)["recipe_note"][0] == "complete"


def test_one_trial_holds_what_belongs_to_it_and_nothing_else(nb):
    trial_id, other = planned(nb), planned(nb)
    sitting_id = seated(nb, trial_id)
    samples = sealed_key(nb, sitting_id)
    nb.apply(scores.set_score(nb, samples[0].id, views.deciding(nb, trial_id).id, "5"))
    one, two = views.OneTrial(nb, trial_id), views.OneTrial(nb, other)
    assert one.trial.id == trial_id
    assert len(one.of(Stage)) == len(two.of(Stage)) == 2
    assert len(one.of(Cook)) == 2 and len(one.of(Piece)) == 4
    assert {p.id for p in one.of(Piece)}.isdisjoint(p.id for p in two.of(Piece))
    assert (len(one.of(Score)), len(two.of(Score))) == (1, 0)
    assert (len(one.of(Taster)), len(two.of(Taster))) == (2, 0)
    assert one.of(Trial) == (nb.get(Trial, trial_id),)


def test_questions_can_be_asked_of_a_snapshot(nb):
    trial_id = begun(nb)
    then = nb.snapshot()
    nb.apply(question.set_words(nb, trial_id, "food", "ham"))
    assert views.trials(then)[0].food == "pork shoulder"
    assert [s.page for s in views.page_states(then, trial_id)] == list(views.PAGES)

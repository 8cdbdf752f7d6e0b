"""Any sequence of steps: undone, reopened or restored, the notebook is what it was."""

import tempfile
from dataclasses import replace
from pathlib import Path

from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    Bundle,
    RuleBasedStateMachine,
    initialize,
    invariant,
    precondition,
    rule,
)

from tests.notebook.kitchen_book import opened
from trialbench.model.errors import Refused
from trialbench.model.message import msg
from trialbench.model.records import Cook, Measurement, Piece, Stage, Taster, Trial, new_id
from trialbench.model.steps import Change, Step, added, removed
from trialbench.notebook import views
from trialbench.notebook.acts import (
    checkpoints,
    cooking,
    new_record,
    plan,
    question,
    stages,
    tasters,
)

_WORDS = st.text("abc äß☕\n", max_size=6)
_KINDS = st.sampled_from(["salt", "hold", "soak", "trim"])


class Steps(RuleBasedStateMachine):
    trials = Bundle("trials")

    @initialize()
    def begin(self):
        self.folder = tempfile.TemporaryDirectory()
        self.book = opened(Path(self.folder.name))
        self.empty = self.book.snapshot().as_set()
        self.undo, self.redo = [], []
        self.states = {1: self.empty}
        self.below_undo = self.empty

    def _take(self, make):
        """Build and apply; a refusal must leave everything as it was."""
        before, number = self.book.snapshot().as_set(), self.book.history(limit=1)[0].number
        try:
            step = make()
            written = self.book.apply(step)
        except Refused:
            assert self.book.snapshot().as_set() == before
            assert self.book.history(limit=1)[0].number == number
            return None
        assert (written == number) == (self.book.snapshot().as_set() == before)
        if written != number:
            self.undo.append(step)
            self.redo.clear()
        self.states[written] = self.book.snapshot().as_set()
        return step

    @rule(target=trials, food=_WORDS)
    def begin_trial(self, food):
        return new_record(self._take(lambda: question.begin_trial(self.book, food)), Trial).id

    def _there(self, trial_id):
        return self.book.find(Trial, trial_id) is not None

    @rule(trial_id=trials, field=st.sampled_from(["food", "usual", "idea"]), text=_WORDS)
    def write_words(self, trial_id, field, text):
        if self._there(trial_id):
            self._take(lambda: question.set_words(self.book, trial_id, field, text))

    @rule(trial_id=trials, word=st.sampled_from(["juicier", "less salty", "", "loses less"]))
    def write_came_out(self, trial_id, word):
        if self._there(trial_id):
            self._take(lambda: question.set_came_out(self.book, trial_id, word))

    @rule(trial_id=trials, kind=_KINDS, position=st.none() | st.integers(1, 3))
    def write_stage(self, trial_id, kind, position):
        if self._there(trial_id):
            self._take(lambda: stages.add_stage(self.book, trial_id, kind, position=position))
            self._take(lambda: checkpoints.lay_out_checkpoints(self.book, trial_id))

    @rule(data=st.data())
    def change_stage(self, data):
        found = self.book.all(Stage)
        if not found:
            return
        stage = data.draw(st.sampled_from(found))
        act = data.draw(st.sampled_from(["part", "join", "remove", "move", "write"]))
        methods = views.methods(self.book, stage.trial_id)
        makes = {
            "part": lambda: stages.part_line(self.book, stage.id, "set_temp_c"),
            "join": lambda: stages.join_line(self.book, stage.id, "set_temp_c", methods[0].id),
            "remove": lambda: stages.remove_stage(self.book, stage.id),
            "move": lambda: stages.move_stage(self.book, stage.id, 1),
            "write": lambda: stages.set_value(
                self.book, stage.id, "set_temp_c", "65", methods[1].id
            ),
        }
        self._take(makes[act])

    @rule(
        trial_id=trials,
        figure=st.sampled_from(
            [
                ("planned_cooks", "1"),
                ("planned_cooks", "3"),
                ("pieces_each", "2"),
                ("paired", "yes"),
            ]
        ),
    )
    def write_plan(self, trial_id, figure):
        if self._there(trial_id):
            self._take(lambda: plan.set_plan(self.book, trial_id, *figure))

    @rule(data=st.data(), grams=st.sampled_from(["900", "905,5", "2 kg", "x", "0"]))
    def weigh(self, data, grams):
        pieces = self.book.all(Piece)
        if pieces:
            piece = data.draw(st.sampled_from(pieces))
            trial_id = self.book.get(Cook, piece.cook_id).trial_id
            point = data.draw(st.sampled_from(views.checkpoints(self.book, trial_id)))
            self._take(lambda: cooking.set_mass(self.book, piece.id, point.id, grams))

    @rule(alias=_WORDS)
    def write_taster(self, alias):
        self._take(lambda: tasters.add_taster(self.book, alias))

    @precondition(lambda self: self.undo)
    @rule()
    def take_back(self):
        step = self.undo.pop()
        self.book.revert(step)
        self.redo.append(step)

    @precondition(lambda self: self.redo)
    @rule()
    def do_again(self):
        step = self.redo.pop()
        self.book.apply(step)
        self.undo.append(step)

    @rule(data=st.data())
    def restore(self, data):
        number = data.draw(st.sampled_from(sorted(self.states)))
        restored = self.book.restore(number)
        assert restored.kept == ()
        assert self.book.snapshot().as_set() == self.states[number]
        self.undo.clear()
        self.redo.clear()
        self.below_undo = self.book.snapshot().as_set()

    @rule()
    def reopen(self):
        before, drafts = self.book.snapshot().as_set(), self.book.drafts
        self.book.close()
        self.book = opened(Path(self.folder.name))
        assert self.book.snapshot().as_set() == before
        assert self.book.drafts == drafts

    @rule(place=st.sampled_from(["a", "b"]), text=_WORDS)
    def type_on(self, place, text):
        self.book.write_draft(place, text)
        assert self.book.draft(place) == text

    @invariant()
    def memory_is_the_file(self):
        if hasattr(self, "book"):
            other = opened(Path(self.folder.name))
            assert other.read_only
            assert other.snapshot().as_set() == self.book.snapshot().as_set()
            other.close()

    def teardown(self):
        if not hasattr(self, "book"):
            return
        while self.undo:
            self.take_back()
        assert self.book.snapshot().as_set() == self.below_undo
        restored = self.book.restore(1)
        assert restored.kept == ()
        assert self.book.snapshot().as_set() == self.empty
        self.book.close()
        self.folder.cleanup()


TestSteps = Steps.TestCase
TestSteps.settings = settings(
    max_examples=25,
    stateful_step_count=25,
    deadline=None,
    derandomize=True,
    suppress_health_check=[HealthCheck.too_slow],
)


def test_undoing_everything_gives_the_notebook_of_the_beginning(nb):
    """The same by hand, where every step stays on the stack."""
    before = nb.snapshot().as_set()
    trial = Trial(new_id(), 1, "x", "", "", "", nb.now().utc)
    cook = Cook(new_id(), trial.id, 1)
    piece = Piece(new_id(), cook.id, 1, "P01")
    steps = [
        Step(msg("one"), added(piece, cook, trial)),
        Step(msg("two"), (Change(trial, replace(trial, food="y")),)),
        Step(msg("three"), added(Taster(new_id(), "T", 1))),
        Step(msg("four"), removed(piece, cook)),
    ]
    for step in steps:
        nb.apply(step)
    after = nb.snapshot().as_set()
    for step in reversed(steps):
        nb.revert(step)
    assert nb.snapshot().as_set() == before
    for step in steps:
        nb.apply(step)
    assert nb.snapshot().as_set() == after
    assert nb.all(Measurement) == ()
    assert [row.number for row in nb.history()] == list(range(13, 0, -1))

"""A small invented trial carried out step by step in a real notebook, with scores chosen by hand.

Two cooks' ways of roasting beetroot, four cook days, one tray of each a day, two tasters.

juiciness (line 0 to 10), taster 1 and taster 2:

    day   A      B      B - A of each taster   D_k
    1     5 5    7 7    2  2                   2
    2     4 6    5 7    1  1                   1
    3     5 4    7 6    2  2                   2
    4     6 5    7 6    1  1                   1

mean 1.5; squares around it 4 x 0.25 = 1; sd = sqrt(1/3) = 0.577350; se = sd / sqrt(4) = 0.288675;
t = 1.5 / 0.288675 = 3 sqrt(3) = 5.196152; 3 degrees of freedom.
t(0.975; 3) = 3.182446 and t(0.95; 3) = 2.353363 (any table of t), so

    95 %: 1.5 -/+ 3.182446 x 0.288675 = 1.5 -/+ 0.918693 = 0.581 to 2.419
    90 %: 1.5 -/+ 2.353363 x 0.288675 = 1.5 -/+ 0.679358 = 0.821 to 2.179

For 3 degrees of freedom p = 1 - (2/pi) (atan(u) + u / (1 + u^2)) with u = t / sqrt(3) = 3:
atan(3) = 1.249046, 3/10 = 0.3, sum 1.549046, times 0.636620 = 0.986153, p = 0.013847.
d is 0.5 and 0.581 lies beyond it: better by enough. Two tasters: nothing is said of others.

Redraw: one tray of each on four days, 2^4 = 16 draws; only the one that was made and its mirror
image are as far apart: 2/16 = 0.125. alpha / 3 = 0.0167 needs 2 / 2^c, so c = 7 cook days.

Loss of raw weight until served: every tray 1 000 g raw; A serves at 700 g, B at 740, 750, 740,
750 g: losses A 30, B 26, 25, 26, 25 %. B - A: -4, -5, -4, -5; mean -4.5; the same sd and
half-width: -5.419 to -3.581. u = 4.5 / 0.288675 / sqrt(3) = 9: atan(9) = 1.460139,
9/82 = 0.109756, sum 1.569895, times 0.636620 = 0.999426, p = 0.000574. One
outcome beside the deciding one: Holm leaves p as it is.
"""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

from trialbench.model.records import (
    Outcome,
    Piece,
    Sample,
    Sitting,
    Taster,
    Trial,
)
from trialbench.model.steps import Step
from trialbench.notebook import acts, views
from trialbench.notebook.acts import (
    checkpoints,
    cooking,
    decision,
    outcomes,
    plan,
    question,
    scores,
    sitting,
    stages,
    tasters,
)
from trialbench.notebook.clock import SteppingClock
from trialbench.notebook.notebook import Notebook
from trialbench.planning.draw import draw_lots
from trialbench.planning.key import read_key
from trialbench.planning.seal import seal_plan
from trialbench.planning.sitting import Served, open_sitting, seal_sitting

SCORES = {
    1: {"A": (5, 5), "B": (7, 7)},
    2: {"A": (4, 6), "B": (5, 7)},
    3: {"A": (5, 4), "B": (7, 6)},
    4: {"A": (6, 5), "B": (7, 6)},
}
SERVED_G = {"A": (700, 700, 700, 700), "B": (740, 750, 740, 750)}


def open_book(folder: Path) -> Notebook:
    """A new notebook whose clock begins on 2 March 2026 in a kitchen one hour ahead of UTC."""
    clock = SteppingClock(datetime(2026, 3, 2, 9, 0, tzinfo=UTC), step_s=60.0, offset_min=60)
    return Notebook.open(folder / "golden.trialbench", clock, backups=folder / "backups")


class Golden:
    """The trial, written into an open notebook act by act."""

    def __init__(self, book: Notebook) -> None:
        self.book = book
        self.trial_id = self._question()

    def write(self, step: Step) -> Step:
        """One act."""
        self.book.apply(step)
        return step

    def _question(self) -> str:
        step = self.write(
            question.begin_trial(
                self.book, "Beetroot", "roasted bare", "roasted in a lidded pan",
                chapter="Vegetables",
            )
        )  # fmt: skip
        trial_id = acts.new_record(step, Trial).id
        self.write(question.set_words(self.book, trial_id, "remark", "All of it is invented."))
        self.write(question.set_came_out(self.book, trial_id, "juicier"))
        self.write(question.set_matters(self.book, trial_id, "0.5"))
        return trial_id

    def plan(self) -> None:
        """Stages, weighings, cook days, lots, seal."""
        book, trial_id = self.book, self.trial_id
        for kind, values in (
            ("roast", {"medium": "dry oven", "set_temp_c": "180", "end_feel": "soft"}),
            ("rest", {"duration_s": "10 min"}),
        ):
            step = self.write(stages.add_stage(book, trial_id, kind))
            stage = next(c.after for c in step.changes if c.before is None)
            for field, typed in values.items():
                self.write(stages.set_value(book, stage.id, field, typed))
            if kind == "roast":
                self._cover(stage.id)
        self.write(checkpoints.lay_out_checkpoints(book, trial_id))
        named = {c.name: c.id for c in views.checkpoints(book, trial_id)}
        self.write(outcomes.add_measured(book, trial_id, "loss", named["raw"], named["served"]))
        self.write(plan.set_plan(book, trial_id, "planned_tasters", "2"))
        self.write(plan.set_plan(book, trial_id, "pieces_each", "1"))
        self.write(plan.set_plan(book, trial_id, "planned_cooks", "4"))
        one = views.OneTrial(book, trial_id)
        self.write(
            draw_lots(one, lot_number=271_828, when=book.now(), early="racks are filled first")
        )
        self.write(seal_plan(one, book.now()))

    def _cover(self, stage_id: str) -> None:
        self.write(stages.part_line(self.book, stage_id, "cover"))
        a, b = views.methods(self.book, self.trial_id)
        self.write(stages.set_value(self.book, stage_id, "cover", "uncovered", a.id))
        self.write(stages.set_value(self.book, stage_id, "cover", "lid on", b.id))
        self.write(stages.set_role(self.book, stage_id, "cover", "question"))

    def cook_and_taste(self) -> None:
        """Weights, sittings, cards, keys opened after the last one, and the decision."""
        book = self.book
        self.write(tasters.add_tasters(book, 2))
        for cook in views.cooks(book, self.trial_id):
            for piece in views.pieces(book, cook.id):
                self._weigh(piece, cook.number)
        for cook in views.cooks(book, self.trial_id):
            self._sit(cook.id, cook.number)
        for each in views.sittings(book, self.trial_id):
            self.open(each)
        self.write(decision.decide(book, self.trial_id, "change", "In a lidded pan from now on."))

    def letter(self, piece: Piece) -> str:
        """The letter of a piece's method."""
        method = views.method_of_piece(self.book, piece)
        assert method is not None
        return method.letter

    def _weigh(self, piece: Piece, day: int) -> None:
        named = {c.name: c.id for c in views.checkpoints(self.book, self.trial_id)}
        served = SERVED_G[self.letter(piece)][day - 1]
        for name, typed in (("raw", "1 kg"), ("served", f"{served}")):
            self.write(cooking.set_mass(self.book, piece.id, named[name], typed))

    def _sit(self, cook_id: str, day: int) -> None:
        book = self.book
        made = acts.new_record(self.write(sitting.make_sitting(book, cook_id)), Sitting)
        served = Served(views.pieces(book, cook_id), tuple(book.all(Taster)))
        shut = seal_sitting(
            book, made, served, book.now(), lot_number=3_141_590 + day,
            earlier_keys=book.curtain_keys(self.trial_id),
        )  # fmt: skip
        book.seal_key(made.id, shut.key_bytes, shut.step)
        piece_of = read_key(shut.key_bytes).piece_of
        (juiciness,) = book.all(Outcome, trial_id=self.trial_id, source="attribute")
        number = {taster.id: n for n, taster in enumerate(book.all(Taster))}
        for sample in book.all(Sample, sitting_id=made.id):
            if sample.position > 0:
                letter = self.letter(book.get(Piece, piece_of[sample.id]))
                typed = str(SCORES[day][letter][number[sample.taster_id]])
                self.write(scores.set_score(book, sample.id, juiciness.id, typed))

    def open(self, each: Sitting) -> None:
        """Open the key of a sitting."""
        book = self.book
        book.open_key(each.id, lambda key: open_sitting(book, each, key, book.now()))

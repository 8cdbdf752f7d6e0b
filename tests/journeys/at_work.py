"""A cook at work: a whole trial done page by page, with nothing but keys, clicks and holds."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication

from tests.journeys.at_the_desk import choose, draw_now, focused, keyed, pressed, settle, write
from tests.journeys.trials import letters_under_the_key
from trialbench.model.records import Piece, Sample
from trialbench.notebook import views

ENTER, TAB = Qt.Key.Key_Return, Qt.Key.Key_Tab
CTRL = Qt.KeyboardModifier.ControlModifier


class Worker:
    """Works in an open window. It looks under the curtain only to know which number to type."""

    def __init__(self, qtbot: Any, window: Any) -> None:
        self.qtbot, self.window = qtbot, window

    @property
    def notebook(self) -> Any:
        return self.window.desk.notebook

    @property
    def trial_id(self) -> str:
        return str(self.window.desk.trial_id)

    def turn_to(self, number: int) -> Any:
        """A page by its key."""
        self.qtbot.keyClick(self.window, Qt.Key(Qt.Key.Key_0 + number), CTRL)
        settle(self.qtbot, self.window)
        return self.window.page()

    def press(self, name: str) -> None:
        """A verb of the head, by mouse."""
        verb = self.window.page().leaf.head.verbs()[name]
        assert not verb.why(), verb.why()
        self.qtbot.mouseClick(verb, Qt.MouseButton.LeftButton)
        QApplication.processEvents()

    def ask(self, *texts: str) -> None:
        """The sentence of the Question page: food, usual way, idea, how it came out, size."""
        page = self.turn_to(1)
        page.sentence.blanks["food"].setFocus()
        for text in texts[:-1]:
            write(self.qtbot, text)
        write(self.qtbot, texts[-1], ENTER)

    def stage(self, kind: str, *values: str) -> Any:
        """A stage of the Methods page and its values in their order."""
        page = self.turn_to(2)
        page._next.blank.setFocus()
        write(self.qtbot, kind, ENTER)
        self.qtbot.waitUntil(lambda: focused() is not page._next.blank)
        for text in values:
            write(self.qtbot, text)
        stage = views.stages(self.notebook, self.trial_id)[-1]
        return page, stage, page._blocks[stage.id]

    def plan(self, cooks: int, each: int = 1, tasters: int | None = None) -> None:
        """Figures, lots, seal."""
        page = self.turn_to(3)
        typed = {"planned_tasters": tasters, "pieces_each": each, "planned_cooks": cooks}
        for field, figure in typed.items():
            blank = page.figures.sentence.blanks[field]
            blank.setFocus()
            blank.selectAll()
            if figure is not None and blank.text() != str(figure):
                keyed(self.qtbot, str(figure), ENTER)
        draw_now(self.qtbot, page)
        self.press("seal")
        pressed(self.qtbot, page.seal.asks, "Seal it now")
        assert views.seal(self.notebook, self.trial_id) is not None

    def weigh(self, weights: Callable[[str, str, int], str]) -> None:
        """Every cook day: `weights(weighing, letter, day)` is what is typed; "" leaves it out."""
        page = self.turn_to(4)
        for day, cook in enumerate(views.cooks(self.notebook, self.trial_id), start=1):
            if not views.checkpoints(self.notebook, self.trial_id):
                self.press("weigh")
            if len(views.cooks(self.notebook, self.trial_id)) > 1:
                page._open_day(cook.id)
            for piece in views.pieces(self.notebook, cook.id):
                for point in views.checkpoints(self.notebook, self.trial_id):
                    text = weights(point.name, self.letter(piece), day)
                    if text:
                        page.table.go_to(*page.model.place_of(piece.id, point.id))
                        keyed(self.qtbot, text, ENTER)

    def letter(self, piece: Piece) -> str:
        method = views.method_of_piece(self.notebook, piece)
        assert method is not None
        return str(method.letter)

    def taste(self, tasters: int, scores: Callable[[str, int, int], str]) -> None:
        """A sitting a cook day: `scores(letter, day, taster)` is what is typed, tasters from 0."""
        page = self.turn_to(5)
        for day, _ in enumerate(views.cooks(self.notebook, self.trial_id), start=1):
            self.press("begin")
            if day == 1:
                keyed(self.qtbot, str(tasters), ENTER)
            self.press("seal")
            letters = letters_under_the_key(self.notebook, self.trial_id)
            sitting = views.sittings(self.notebook, self.trial_id)[-1]
            order = [seat.taster_id for seat in views.seats(self.notebook, sitting.id)]
            for row, places in enumerate(page.model._places):
                for column, place in enumerate(places):
                    if place is None:
                        continue
                    sample: Sample = place[0]
                    page.table.go_to(row, column)
                    text = scores(letters[sample.id], day, order.index(sample.taster_id))
                    one_key = page.model.columns()[column].one_key
                    keyed(self.qtbot, text, None if text in one_key and one_key else ENTER)
            assert page.sitting_key.early.isHidden()

    def open_keys(self) -> None:
        """Every key of the trial, each by a long hold."""
        page = self.turn_to(5)
        for sitting in views.sittings(self.notebook, self.trial_id):
            if page.days.isVisible():
                pressed(self.qtbot, page.days, str(sitting.number))
            verb = page.sitting_key.open
            with self.qtbot.waitSignal(verb.held, timeout=20_000):
                self.qtbot.mousePress(verb, Qt.MouseButton.LeftButton)
            self.qtbot.mouseRelease(verb, Qt.MouseButton.LeftButton)
            QApplication.processEvents()
        assert views.keys_open(self.notebook, self.trial_id) == len(
            views.sittings(self.notebook, self.trial_id)
        )

    def decide(self, choice: str, reason: str) -> None:
        """On the Recipe note."""
        page = self.turn_to(7)
        choose(self.qtbot, page.decision.choice, choice)
        settle(self.qtbot, self.window)
        write(self.qtbot, reason, ENTER)
        settle(self.qtbot, self.window)

    def hand_on(self, form: str, target: Any, answer_dialog: Any) -> None:
        """The note as a file."""
        page = self.turn_to(7)
        answer_dialog((str(target), ""))
        self.press("hand_on")
        pressed(self.qtbot, page.forms, form)
        settle(self.qtbot, self.window)

"""Lots: the draws so far, and the lines that draw, draw early, and draw again with a reason."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from PySide6.QtCore import Slot
from PySide6.QtWidgets import QVBoxLayout, QWidget

from trialbench.model.dates import said_day
from trialbench.model.errors import TrialbenchError
from trialbench.model.message import Message, msg
from trialbench.model.numbers import figure
from trialbench.model.records import Draw, Seal, Trial
from trialbench.model.steps import Step
from trialbench.notebook import views
from trialbench.notebook.clock import local_time
from trialbench.planning.draw import draw_day, draw_lots
from trialbench.planning.draw_rule import lot_number_for, set_aside
from trialbench.planning.lots import fresh_lot_number
from trialbench.planning.next_draw import NextDraw, next_draw
from trialbench.planning.shared_loads import with_shared_loads
from trialbench.ui.blanks import Blank
from trialbench.ui.page import Desk
from trialbench.ui.pages.writing import Writing
from trialbench.ui.runs import Item, Run
from trialbench.ui.text import Line
from trialbench.ui.trouble_line import TroubleLine
from trialbench.ui.verbs import TextVerb


class Lots(QWidget):
    """The paragraph under "Who gets which method", and the lines that draw."""

    def __init__(self, desk: Desk, places: Callable[[], list[str]]) -> None:
        super().__init__()
        self._desk, self._places, self._trial_id = desk, places, ""
        self.coming: NextDraw | None = None
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(8)
        self.said = Line("body")
        self.waits = Line("body")
        self.reason = Blank(
            msg("why the lots are drawn now"), hint=msg("say why, it will be printed"),
            role="body",
        )  # fmt: skip
        self._reason_writing = Writing(desk, self.reason, "", self._drawn)
        self.asking = Line("body")
        self.trouble = TroubleLine()
        for part in (self.said, self.waits, self.asking, self.trouble):
            column.addWidget(part)
        self.asking.lend(self.reason)
        for part in (self.waits, self.asking):
            part.hide()

    def _records(self) -> views.OneTrial:
        return views.OneTrial(self._desk.notebook, self._trial_id)

    def next_draw(self) -> NextDraw:
        """What the verb would draw."""
        return next_draw(self._records())

    def show_draws(self, trial_id: str) -> None:
        """What was drawn and sealed; a reason half written comes back."""
        self._trial_id = trial_id
        book = self._desk.notebook
        draws, seal = views.draws(book, trial_id), views.seal(book, trial_id)
        self.said.set_items(_draw_words(book, draws, seal))
        self._reason_writing.bind(f"draw:{trial_id}:{len(draws) + 1}:reason", "")
        coming = self.coming = self.next_draw()
        half_written = bool(self.reason.text()) and (coming.reason or coming.waits)
        self.asking.setVisible(half_written)
        if half_written:
            self._ask(coming)
        self._show_waits(coming, sealed=seal is not None)

    def _show_waits(self, coming: NextDraw, *, sealed: bool) -> None:
        """What the next lots wait for, and the way to draw them all the same."""
        waiting = coming.cook is not None and coming.why is not None and not coming.again
        self.waits.setVisible(waiting)
        if not waiting or coming.why is None:
            return
        items: list[Item] = [Run(coming.why, colour="pencil")]
        if coming.waits and not sealed:
            now = TextVerb(msg("Draw all lots now, and say why"), weight=600)
            now.clicked.connect(self.draw)
            items += [Run("   "), now]
        self.waits.set_items(items)

    # --- drawing -------------------------------------------------------------------------------

    @Slot()
    def draw(self) -> None:
        """Draw at once where nothing stands against it; else ask why."""
        coming = self.next_draw()
        if coming.reason or coming.waits:
            self._ask(coming)
            self.reason.setFocus()
            return
        self._take(self._drawn)

    def _ask(self, coming: NextDraw) -> None:
        number = len(views.draws(self._desk.notebook, self._trial_id))
        words = msg("Draw {number} is set aside because ", number=number)
        if coming.waits:
            words = msg("Lots are drawn now, before the weights of the parting, because ")
        elif coming.cook is not None and not coming.again:
            words = msg("Day {day} is drawn after draw {number} because ",
                        day=coming.cook.number, number=number)  # fmt: skip
        self.asking.set_items([Run(words), self.reason])
        self.asking.show()

    def _drawn(self, reason: str = "") -> Step:
        book, records, coming = self._desk.notebook, self._records(), self.next_draw()
        when = book.now()
        places = [] if views.is_sealed(book, self._trial_id) else self._places()
        if coming.cook is None or coming.waits:
            early = {"early": reason} if coming.waits else {"reason": reason}
            step = draw_lots(
                records, lot_number=fresh_lot_number(), when=when, places=places, **early
            )
        else:
            lot = fresh_lot_number() if coming.again else lot_number_for(records)
            step = draw_day(
                records, coming.cook.id, lot_number=lot, when=when, reason=reason, places=places
            )
        return with_shared_loads(records, step)

    def _take(self, act: Callable[[], Step]) -> None:
        trouble: TrialbenchError | None
        try:
            trouble = self._desk.take(act())
        except TrialbenchError as refused:
            trouble = refused
        self.trouble.show_trouble(trouble)


def _draw_words(book: Any, draws: tuple[Draw, ...], seal: Seal | None) -> list[Item]:
    if not draws:
        return [Run(msg("Lots are not drawn yet."), colour="pencil"), *_seal_words(seal)]
    last = draws[-1]
    items: list[Item] = [
        Run(msg("This is draw {number} of {all}", number=last.number, all=len(draws)), weight=600),
        Run(_made_words(last, two=len(views.methods(book, last.trial_id)) <= 2), colour="pencil"),
    ]
    aside = set_aside(views.OneTrial(book, last.trial_id))
    for draw in draws:
        if draw.reason:
            words = _reason_words(draw, aside.get(draw.id))
            items.append(Run(words, colour="pencil"))
    trial = book.get(Trial, last.trial_id)
    if trial.draw_early_reason:
        words = msg(" Drawn before the weights of the parting: \u201c{why}\u201d.",
                    why=trial.draw_early_reason.rstrip("."))  # fmt: skip
        items.append(Run(words, colour="pencil"))
    return [*items, *_seal_words(seal)]


def _reason_words(draw: Draw, before: Draw | None) -> Message:
    """Why there is one more draw: the one before was set aside, or pieces came after it."""
    why = draw.reason.rstrip(".")
    if before is None:
        return msg(" Draw {number} is of pieces that came later: \u201c{why}\u201d.",
                   number=draw.number, why=why)  # fmt: skip
    return msg(" Draw {number} was set aside: \u201c{why}\u201d.", number=before.number, why=why)


def _seal_words(seal: Seal | None) -> list[Item]:
    if seal is None:
        return []
    when = local_time(seal.made_utc, seal.offset_min)
    sealed = msg(
        " Sealed on {day}, {time}; fingerprint {print} \u2026",
        day=said_day(f"{when:%Y-%m-%d}"),
        time=f"{when:%H:%M}",
        print=" ".join((seal.fingerprint[:4], seal.fingerprint[4:8])),
    )
    return [Run(sealed)]


def _made_words(draw: Draw, *, two: bool) -> Message:
    when = local_time(draw.made_utc, draw.offset_min)
    within = msg("within each cook day")
    if draw.within == "pair":
        within = msg("within each pair") if two else msg("within each set")
    return msg(
        ", {within}, lot number {lot}, made on {day}, {time}.",
        within=within,
        lot=figure(draw.lot_number, 0),
        day=said_day(f"{when:%Y-%m-%d}"),
        time=f"{when:%H:%M}",
    )

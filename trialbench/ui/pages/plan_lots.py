"""Lots and seal: the last draw, drawing again with a reason, sealing after one look back."""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise
from typing import Any

from PySide6.QtCore import Signal, Slot
from PySide6.QtWidgets import QVBoxLayout, QWidget

from trialbench.model.dates import said_day
from trialbench.model.errors import TrialbenchError
from trialbench.model.message import Message, msg
from trialbench.model.numbers import figure
from trialbench.model.records import Draw, Seal
from trialbench.model.steps import Step
from trialbench.notebook import views
from trialbench.notebook.clock import local_time
from trialbench.planning.draw import draw_for_new_pieces, draw_lots
from trialbench.planning.lots import fresh_lot_number
from trialbench.planning.seal import seal_plan
from trialbench.planning.shared_loads import with_shared_loads
from trialbench.ui.blanks import Blank
from trialbench.ui.page import Desk
from trialbench.ui.pages.writing import Writing
from trialbench.ui.runs import Item, Run
from trialbench.ui.text import Line
from trialbench.ui.verbs import TextVerb


class Lots(QWidget):
    """The paragraph under "Who gets which method", and the lines that draw and seal."""

    changed = Signal()

    def __init__(self, desk: Desk, places: Callable[[], list[str]]) -> None:
        super().__init__()
        self._desk, self._places = desk, places
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(8)
        self.said = Line("body")
        self.reason = Blank(
            msg("why the last draw is set aside"), hint=msg("say why, it will be printed"),
            role="body",
        )  # fmt: skip
        self._reason_writing = Writing(desk, self.reason, "", self._again)
        self._asking = Line("body")
        self._sealing = Line("body")
        self._trouble = Line("body")
        for part in (self.said, self._asking, self._sealing, self._trouble):
            column.addWidget(part)
        self._asking.hide()
        self._sealing.hide()
        self._trouble.hide()

    def show_draws(self, trial_id: str) -> None:
        """What was drawn and sealed; a reason half written comes back."""
        self._trial_id = trial_id
        book = self._desk.notebook
        draws, seal = views.draws(book, trial_id), views.seal(book, trial_id)
        self.said.set_items(_draw_words(book, draws, seal))
        self._reason_writing.bind(f"draw:{trial_id}:{len(draws) + 1}:reason", "")
        self._asking.setVisible(bool(self.reason.text()) and seal is None)
        if self.reason.text():
            self._ask(len(draws))
        if seal is not None:
            self._sealing.hide()

    # --- drawing -------------------------------------------------------------------------------

    @Slot()
    def draw(self) -> None:
        """The first draw at once; a later one asks why."""
        draws = views.draws(self._desk.notebook, self._trial_id)
        if draws:
            self._ask(len(draws))
            self.reason.setFocus()
            return
        self._take(self._drawn)

    def _ask(self, number: int) -> None:
        words = msg("Draw {number} is set aside because ", number=number)
        if wants_lots(self._desk.notebook, self._trial_id):
            words = msg("New pieces came after draw {number} because ", number=number)
        self._asking.set_items([Run(words), self.reason])
        self._asking.show()

    def _drawn(self, reason: str = "") -> Step:
        book = self._desk.notebook
        records, lot = views.OneTrial(book, self._trial_id), fresh_lot_number()
        if wants_lots(book, self._trial_id):
            step = draw_for_new_pieces(records, lot_number=lot, when=book.now(), reason=reason)
        else:
            step = draw_lots(
                records, lot_number=lot, when=book.now(), reason=reason, places=self._places()
            )
        return with_shared_loads(records, step)

    def _again(self, text: str) -> Step:
        return self._drawn(text)

    # --- sealing -------------------------------------------------------------------------------

    @Slot()
    def seal(self) -> None:
        """Ask once, in place; nothing is sealed by one press."""
        yes, no = TextVerb(msg("Seal it now"), weight=600), TextVerb(msg("Not yet"), weight=600)
        yes.clicked.connect(self._seal_now)
        no.clicked.connect(self._sealing.hide)
        words = msg("Once sealed, who gets which method cannot be drawn again. Seal it?")
        self._sealing.set_items([Run(words), Run("   "), yes, Run("   "), no])
        self._sealing.show()
        yes.setFocus()

    @Slot()
    def _seal_now(self) -> None:
        self._sealing.hide()
        self._take(self._sealed)

    def _sealed(self) -> Step:
        book = self._desk.notebook
        return seal_plan(views.OneTrial(book, self._trial_id), book.now())

    def _take(self, act: Callable[[], Step]) -> None:
        trouble: TrialbenchError | None
        try:
            trouble = self._desk.take(act())
        except TrialbenchError as refused:
            trouble = refused
        self._trouble.setVisible(trouble is not None)
        if trouble is not None:
            way_out = getattr(trouble, "way_out", "")
            self._trouble.set_items([Run(trouble.message), Run(" "), Run(way_out)])


def wants_lots(book: Any, trial_id: str) -> bool:
    """Whether some pieces came after the last draw, while others keep the method it gave them."""
    drawn = [piece.method_id is not None for piece in views.all_pieces(book, trial_id)]
    return any(drawn) and not all(drawn)


def _next_words(book: Any, before: Draw, after: Draw, why: str) -> Message:
    """Why there is one more draw: the one before was set aside, or pieces came after it."""
    earlier, later = views.lots(book, before.id), views.lots(book, after.id)
    if earlier.keys().isdisjoint(later):
        return msg(" Draw {number} is of pieces that came later: \u201c{why}\u201d.",
                   number=after.number, why=why)  # fmt: skip
    return msg(" Draw {number} was set aside: \u201c{why}\u201d.", number=before.number, why=why)


def _draw_words(book: Any, draws: tuple[Draw, ...], seal: Seal | None) -> list[Item]:
    if not draws:
        return [Run(msg("Lots are not drawn yet."), colour="pencil")]
    last = draws[-1]
    items: list[Item] = [
        Run(msg("This is draw {number} of {all}", number=last.number, all=len(draws)), weight=600),
        Run(_made_words(last), colour="pencil"),
    ]
    for before, after in pairwise(draws):
        why = after.reason.rstrip(".")
        items.append(Run(_next_words(book, before, after, why), colour="pencil"))
    if seal is not None:
        when = local_time(seal.made_utc, seal.offset_min)
        sealed = msg(
            " Sealed on {day}, {time}; fingerprint {print} \u2026",
            day=said_day(f"{when:%Y-%m-%d}"),
            time=f"{when:%H:%M}",
            print=" ".join((seal.fingerprint[:4], seal.fingerprint[4:8])),
        )
        items.append(Run(sealed))
    return items


def _made_words(draw: Draw) -> Message:
    when = local_time(draw.made_utc, draw.offset_min)
    within = msg("within each pair") if draw.within == "pair" else msg("within each cook day")
    return msg(
        ", {within}, lot number {lot}, made on {day}, {time}.",
        within=within,
        lot=figure(draw.lot_number, 0),
        day=said_day(f"{when:%Y-%m-%d}"),
        time=f"{when:%H:%M}",
    )

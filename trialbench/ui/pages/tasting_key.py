"""Codes and key of one sitting: seal it, let the server plate, open it."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import Signal, Slot
from PySide6.QtWidgets import QHBoxLayout, QLineEdit, QVBoxLayout, QWidget

from trialbench.model.dates import said_day
from trialbench.model.message import Message, msg
from trialbench.model.numbers import figure
from trialbench.model.records import Sitting, Taster, Trial
from trialbench.notebook import views
from trialbench.notebook.clock import local_time
from trialbench.planning.key import read_key
from trialbench.planning.sitting import Served, open_sitting, seal_sitting
from trialbench.ui.blanks import Blank
from trialbench.ui.envelope import Envelope
from trialbench.ui.held_verb import HeldVerb
from trialbench.ui.page import Desk
from trialbench.ui.pages.tasting_plates import plate_tables
from trialbench.ui.runs import Run
from trialbench.ui.table import ReadingTable
from trialbench.ui.text import Line
from trialbench.ui.trouble_line import TroubleLine


class SittingKey(QWidget):
    """The envelope with what can be done to it. `plates_shown(bool)` while the key is seen."""

    plates_shown = Signal(object)

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self._desk = desk
        self._sitting: Sitting | None = None
        self.envelope = Envelope()
        self.passphrase = Blank(
            msg("passphrase of the key"), hint=msg("a passphrase, or nothing"), role="body",
            least_px=200,
        )  # fmt: skip
        self.passphrase.setEchoMode(QLineEdit.EchoMode.Password)
        self.reason = Blank(msg("why it is opened early"), hint=msg("why now"), role="body")
        self.reason.typed.connect(self._draft_reason)
        self.reason.entered.connect(self._reason_written)
        self.guard = Line("body")
        self.early = Line(
            "body", [Run(msg("Opened before all cards are in, because ")), self.reason]
        )
        self.plate = HeldVerb(msg("Show the plates to the server"))
        self.plate.held.connect(self._plate)
        self.open = HeldVerb(msg("Open the key"))
        self.open.held.connect(self._open)
        self.trouble = TroubleLine()
        self._plates: list[ReadingTable] = []
        self._lay_out()

    def _lay_out(self) -> None:
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(8)
        verbs = QHBoxLayout()
        verbs.setSpacing(10)
        verbs.addWidget(self.plate)
        verbs.addWidget(self.open)
        verbs.addStretch(1)
        for part in (self.envelope, self.guard, self.early, verbs, self.trouble):
            if isinstance(part, QWidget):
                self._column.addWidget(part)
            else:
                self._column.addLayout(part)

    # --- showing -------------------------------------------------------------------------------

    def show_sitting(self, sitting: Sitting) -> None:
        """The state of the key: none, sealed or open."""
        changed = self._sitting is None or self._sitting.id != sitting.id
        self._sitting = sitting
        state = sitting.key_state
        self.envelope.setVisible(state != "none")
        self.show_cards(sitting)
        guarded = state == "sealed" and sitting.key_guard == "passphrase"
        before, after = msg("Guard the key with "), msg("The key has a passphrase: ")
        self.guard.set_items([Run(before if state == "none" else after), self.passphrase])
        self.guard.setVisible(state == "none" or guarded)
        self._show_reason()
        for verb in (self.plate, self.open):
            verb.setVisible(state == "sealed")
        if state == "open" or changed:
            self._hide_plates()
        if changed:
            self.trouble.show_trouble(None)
            self.passphrase.keep("")

    def show_cards(self, sitting: Sitting) -> None:
        """How many cards are in: a stitch each."""
        state = sitting.key_state
        cards = views.cards_in(self._desk.notebook, sitting.id)
        self.envelope.show_key(
            cards.filled, cards.all, sealed=_sealed_words(sitting), keep=_keep_words(sitting),
            opens=msg("it can be opened when the seam is full") if state == "sealed" else "",
            is_open=state == "open",
        )  # fmt: skip
        early = state == "sealed" and cards.open > 0
        if early == self.early.isHidden():
            self.early.setVisible(early)

    # --- why it is opened early ----------------------------------------------------------------

    def _reason_place(self) -> str:
        return f"sitting:{self._sitting.id}:early" if self._sitting is not None else ""

    def _show_reason(self) -> None:
        """What was being written comes back; it is kept as a draft until the key is open."""
        if not self.reason.hasFocus():
            self.reason.setText(self._desk.notebook.draft(self._reason_place()) or "")

    @Slot(object)
    def _draft_reason(self, text: str) -> None:
        self._desk.write_draft(self._reason_place(), text or None)

    @Slot(object)
    def _reason_written(self, text: str) -> None:
        self.open.setFocus()

    # --- acts ----------------------------------------------------------------------------------

    def seal(self) -> None:
        """Codes and orders for everybody who sits, under a key that is sealed at once."""
        sitting, book = self._sitting, self._desk.notebook
        assert sitting is not None
        trial = book.get(Trial, sitting.trial_id)
        gone = {record.subject_id for record in views.left_out(book, trial.id)}
        gone |= views.dropped(book, sitting.cook_id)
        pieces = [p for p in views.pieces(book, sitting.cook_id) if p.id not in gone]
        tasters = [book.get(Taster, seat.taster_id) for seat in views.seats(book, sitting.id)]
        served = Served(
            tuple(pieces), tuple(tasters), trial.servings, most=trial.most_samples,
            rounds=trial.serving == "rounds",
        )  # fmt: skip

        def act() -> None:
            keys = book.curtain_keys(trial.id)
            made = seal_sitting(book, sitting, served, book.now(), earlier_keys=keys)
            book.seal_key(sitting.id, made.key_bytes, made.step, self.passphrase.text() or None)

        self._pass(act)
        self.passphrase.keep("")

    def _pass(self, act: Callable[[], object]) -> None:
        self.trouble.show_trouble(self._desk.pass_barrier(act))

    @Slot()
    def _open(self) -> None:
        sitting, book = self._sitting, self._desk.notebook
        assert sitting is not None

        def act() -> None:
            book.open_key(
                sitting.id,
                lambda key: open_sitting(
                    book, book.get(Sitting, sitting.id), key, book.now(),
                    early_reason=self.reason.text(),
                ),
                self.passphrase.text() or None,
            )  # fmt: skip

        self._pass(act)
        self.passphrase.keep("")
        if book.get(Sitting, sitting.id).key_state == "open":
            self._desk.write_draft(self._reason_place(), None)

    # --- plates --------------------------------------------------------------------------------

    @Slot()
    def _plate(self) -> None:
        """The list for whoever plates and does not taste; the look is written in history."""
        if self._plates:
            self._hide_plates()
            return
        sitting, book = self._sitting, self._desk.notebook
        assert sitting is not None
        found: list[bytes] = []
        trouble = self._desk.pass_barrier(
            lambda: found.append(book.key_for_server(sitting.id, self.passphrase.text() or None))
        )
        self.trouble.show_trouble(
            trouble or msg("For the server alone, who does not taste. The look is noted.")
        )
        if not found:
            return
        piece_of = read_key(found[0], sitting.key_fingerprint).piece_of
        self._plates = plate_tables(book, sitting, piece_of)
        for table in self._plates:
            self._column.addWidget(table)
        self.plate.set_label(msg("Put the list away"))
        self.plates_shown.emit(True)

    def _hide_plates(self) -> None:
        if self._plates:
            for table in self._plates:
                table.hide()
                table.deleteLater()
            self._plates = []
            self.plate.set_label(msg("Show the plates to the server"))
            self.trouble.show_trouble(None)
            self.plates_shown.emit(False)


def _at(utc: str, offset_min: int) -> Message:
    when = local_time(utc, offset_min)
    return msg("{day}, {time}", day=said_day(f"{when:%Y-%m-%d}"), time=f"{when:%H:%M}")


def _sealed_words(sitting: Sitting) -> Message | str:
    if sitting.key_state == "open":
        return msg("Key opened on {when}", when=_at(sitting.opened_utc, sitting.offset_min))
    if not sitting.sealed_utc:
        return ""
    when = _at(sitting.sealed_utc, sitting.offset_min)
    return msg("Key sealed on {when}", when=when)


def _keep_words(sitting: Sitting) -> Message:
    if sitting.key_state == "open":
        return msg("lot number {lot}", lot=figure(sitting.lot_number or 0, 0))
    if sitting.key_guard == "passphrase":
        return msg("under a passphrase")
    return msg("behind a curtain, not a lock")

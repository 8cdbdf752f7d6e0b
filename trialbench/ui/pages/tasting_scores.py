"""The scores of one sitting as a table that never shows a method before the key is open.

It shows either one attribute (a taster a row, samples in the order served) or one taster (a sample
a row, attributes across), so that a pile of paper cards can be typed in either way.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from trialbench.model.errors import Refused, TrialbenchError
from trialbench.model.message import Message, msg
from trialbench.model.numbers import MINUS, shortest
from trialbench.model.records import Method, Outcome, Piece, Sample, Score, Seat, Sitting, Taster
from trialbench.model.scales import SCALES
from trialbench.model.steps import Step
from trialbench.notebook import views
from trialbench.notebook.acts import scores
from trialbench.ui.cells import Cell, CellsModel, Column
from trialbench.ui.page import Desk

_DASHES = ("-", "\u2013", MINUS)
_NAME_PX, _CARDS_PX = 132, 76
_PLACES = (
    msg("first"), msg("second"), msg("third"), msg("fourth"), msg("fifth"), msg("sixth"),
    msg("seventh"), msg("eighth"),
)  # fmt: skip
_MARK = "\u2020"


def one_keys(outcome: Outcome) -> str:
    """The digits that fill a score by themselves and move on; "" where the scale has others."""
    scale = SCALES.get(outcome.scale)
    limits = views.range_of(outcome)
    whole = limits.step == 1 and limits.low is not None and limits.high is not None
    if scale is not None and not scale.one_key:
        return ""
    if not whole or limits.low is None or limits.high is None:
        return ""
    low, high = int(limits.low), int(limits.high)
    return "".join(str(n) for n in range(low, high + 1)) if low >= 1 and high <= 9 else ""


class ScoresModel(CellsModel):
    """`show_sitting` says what is shown: `what` is the id of an attribute or of a taster."""

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self._desk = desk
        self._sitting: Sitting | None = None
        self._places: list[list[tuple[Sample, Outcome] | None]] = []

    # --- what is shown -------------------------------------------------------------------------

    def show_sitting(self, sitting: Sitting, what: str) -> None:
        """Show the scores of a sitting as the notebook holds them."""
        self._sitting = sitting
        book = self._desk.notebook
        outcomes = views.attributes(book, sitting.trial_id)
        seats = views.seats(book, sitting.id)
        chosen = next((o for o in outcomes if o.id == what), None)
        if chosen is not None:
            self._show_attribute(book, chosen, seats)
        else:
            self._show_taster(book, what, outcomes)

    def _show_attribute(self, book: Any, outcome: Outcome, seats: Sequence[Seat]) -> None:
        served = {s.id: views.samples(book, s.sitting_id, s.taster_id) for s in seats}
        most = max((len(samples) for samples in served.values()), default=0)
        keys = one_keys(outcome)
        columns = [Column(msg("taster"), _NAME_PX, align="left")]
        columns += [
            Column(_place(n), editable=True, one_key=keys, role="score") for n in range(most)
        ]
        columns.append(Column(msg("cards in"), _CARDS_PX))
        rows, self._places = [], []
        for seat in seats:
            samples = served[seat.id]
            cells = [self._cell(book, sample, outcome, seat) for sample in samples]
            places: list[tuple[Sample, Outcome] | None] = [(s, outcome) for s in samples]
            blank = [Cell("", editable=False)] * (most - len(samples))
            alias = book.get(Taster, seat.taster_id).alias
            cards = views.cards_in(book, seat.sitting_id, seat.taster_id)
            said = str(msg("{n} of {all}", n=cards.filled, all=cards.all))
            rows.append([Cell(alias, "name"), *cells, *blank, Cell(said, colour="pencil")])
            self._places.append([None, *places, *([None] * len(blank)), None])
        self.show(columns, rows, [seat.id for seat in seats])

    def _show_taster(self, book: Any, taster_id: str, outcomes: Sequence[Outcome]) -> None:
        assert self._sitting is not None
        samples = views.samples(book, self._sitting.id, taster_id)
        columns = [Column(msg("sample"), _NAME_PX, align="left")]
        columns += [
            Column(outcome.name, editable=True, one_key=one_keys(outcome), role="score")
            for outcome in outcomes
        ]
        rows, self._places = [], []
        for sample in samples:
            seat = views.seat_of(book, sample)
            cells = [self._cell(book, sample, o, seat, code=False) for o in outcomes]
            head = Cell(_code(book, sample, self._sitting), "name", small=str(_place(
                sample.position - 1)))  # fmt: skip
            rows.append([head, *cells])
            self._places.append([None, *((sample, outcome) for outcome in outcomes)])
        self.show(columns, rows, [sample.id for sample in samples])

    def _cell(
        self, book: Any, sample: Sample, outcome: Outcome, seat: Seat | None, *, code: bool = True
    ) -> Cell:
        assert self._sitting is not None
        small = _code(book, sample, self._sitting) if code else ""
        found: Score | None = views.score(book, sample.id, outcome.id)
        if found is None:
            if seat is not None and seat.left_reason:
                return Cell(seat.left_reason, "missing", small=small, reason=seat.left_reason)
            return Cell("", "due", small=small)
        if found.number is None:
            return Cell(found.missing_reason, "missing", small=small, reason=found.missing_reason)
        text = found.typed or shortest(found.number)
        if found.changed_after_opening:
            spoken = str(msg("{score}, written after the key was open", score=text))
            return Cell(f"{text}{_MARK}", small=small, weight=500, spoken=spoken)
        return Cell(text, small=small, weight=500)

    # --- writing -------------------------------------------------------------------------------

    def place(self, row: int, column: int) -> str:
        """The draft's name of a cell."""
        found = self._places[row][column]
        assert found is not None
        return f"sample:{found[0].id}:{found[1].id}"

    def is_editable(self, row: int, column: int) -> bool:
        return self._places[row][column] is not None and super().is_editable(row, column)

    def row_name(self, row: int) -> str:
        cell = self.kept(row, 0)
        return " ".join(filter(None, (cell.text, cell.small)))

    def typed(self, row: int, column: int, text: str) -> None:
        shown = self.kept(row, column).text
        self._desk.write_draft(self.place(row, column), None if text == shown else text)
        self._desk.write_draft(f"{self.place(row, column)}:refused", None)

    def dropped(self, row: int, column: int) -> None:
        self._desk.write_draft(self.place(row, column), None)
        self._desk.write_draft(f"{self.place(row, column)}:refused", None)

    def commit(self, row: int, column: int, text: str) -> Refused | None:
        place = self.place(row, column)
        trouble: TrialbenchError | None
        try:
            step = self._step(row, column, text.strip().rstrip(_MARK))
        except TrialbenchError as refused:
            trouble = refused
        else:
            trouble = self._desk.take(step, clears_draft=place)
        if trouble is None:
            self._desk.write_draft(f"{place}:refused", None)
            return None
        self._desk.write_draft(place, text)
        self._desk.write_draft(f"{place}:refused", "yes")
        return trouble if isinstance(trouble, Refused) else Refused(trouble.message)

    def _step(self, row: int, column: int, text: str) -> Step:
        found = self._places[row][column]
        assert found is not None
        sample, outcome = found
        book = self._desk.notebook
        if not text:
            return scores.clear_score(book, sample.id, outcome.id)
        if text.startswith(_DASHES) and not any(sign.isdigit() for sign in text):
            return scores.set_score_missing(book, sample.id, outcome.id, text[1:].strip())
        return scores.set_score(book, sample.id, outcome.id, text)

    # --- drafts and places ---------------------------------------------------------------------

    def bring_back(self) -> tuple[int, int, str] | None:
        """Bring refused cells back from their drafts; the first half-typed cell, if any."""
        drafts = self._desk.notebook.drafts
        half_typed = None
        for row, places in enumerate(self._places):
            for column, found in enumerate(places):
                place = self.place(row, column) if found else ""
                if place not in drafts or self.cell(row, column).state == "refused":
                    continue
                if f"{place}:refused" in drafts:
                    self.write(row, column, drafts[place])
                elif half_typed is None:
                    half_typed = (row, column, drafts[place])
        return half_typed

    def first_due(self) -> tuple[int, int] | None:
        """The first empty score, row by row."""
        for row, places in enumerate(self._places):
            for column, found in enumerate(places):
                if found is not None and self.cell(row, column).state == "due":
                    return row, column
        return None

    def row_of(self, taster_id: str) -> int | None:
        """The row of a taster, when an attribute is shown."""
        for row, places in enumerate(self._places):
            if any(found is not None and found[0].taster_id == taster_id for found in places):
                return row
        return None


def _place(number: int) -> Message | str:
    return _PLACES[number] if number < len(_PLACES) else str(number + 1)


def _code(book: Any, sample: Sample, sitting: Sitting) -> str:
    """The code; with the method's letter once the key is open."""
    if sitting.key_state != "open":
        return sample.code
    piece = book.find(Piece, sample.piece_id)
    method = book.find(Method, piece.method_id) if piece else None
    return f"{sample.code} {method.letter}" if method else sample.code

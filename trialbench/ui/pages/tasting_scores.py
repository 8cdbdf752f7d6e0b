"""The scores of one sitting as a table that never shows a method before the key is open.

It shows either one attribute (a taster a row, samples in the order served) or one taster (a sample
a row, attributes across), so that a pile of paper cards can be typed in either way.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Any

from trialbench.model.message import Message, msg
from trialbench.model.numbers import shortest
from trialbench.model.records import Method, Outcome, Piece, Sample, Score, Seat, Sitting, Taster
from trialbench.model.scales import SCALES
from trialbench.model.steps import Step
from trialbench.notebook import views
from trialbench.notebook.acts import scores
from trialbench.ui import theme
from trialbench.ui.cells import Cell, Column
from trialbench.ui.page import Desk
from trialbench.ui.pages.drafted_cells import DraftedCells, said_missing

_NAME_PX, _WIDEST_NAME_PX, _CARDS_PX = 112, 220, 76
_MOST_SHARED, _SAMPLE_PX = 7, 76
"""So many samples share the width; more keep a width of their own and the table scrolls."""
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


Place = tuple[Sample, Outcome]


class ScoresModel(DraftedCells):
    """`show_sitting` says what is shown: `what` is the id of an attribute or of a taster."""

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self._sitting: Sitting | None = None
        self._places: list[list[Place | None]] = []
        self._written: dict[str, tuple[Score, ...]] = {}

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
        shown = [place[0].id for places in self._places for place in places if place]
        self._written = {sample_id: _scores(book, sample_id) for sample_id in shown}

    def show_scores(self) -> None:
        """Only scores have changed: show those cells anew, and how many cards of their tasters
        are in."""
        book = self._desk.notebook
        for row, places in enumerate(self._places):
            changed = [n for n, place in enumerate(places) if place and self._has_changed(place)]
            for column in changed:
                sample, outcome = places[column] or (None, None)
                assert sample is not None and outcome is not None and self._sitting is not None
                seat = views.seat_of(book, sample)
                by_card = self._by_card()
                self.put(row, column, self._cell(book, sample, outcome, seat, code=not by_card))
                if not by_card and seat is not None:
                    self.put(row, len(places) - 1, self._cards(book, seat))
            for column in changed:
                place = places[column]
                if place is not None:
                    self._written[place[0].id] = _scores(book, place[0].id)

    def _has_changed(self, place: Place) -> bool:
        known = self._written.get(place[0].id)
        return known is not _scores(self._desk.notebook, place[0].id)

    def _by_card(self) -> bool:
        return bool(self._places) and self._places[0][-1] is not None

    def _show_attribute(self, book: Any, outcome: Outcome, seats: Sequence[Seat]) -> None:
        served = {s.id: views.samples(book, s.sitting_id, s.taster_id) for s in seats}
        most = max((len(samples) for samples in served.values()), default=0)
        keys = one_keys(outcome)
        wide = _SAMPLE_PX if most > _MOST_SHARED else 0
        names = [book.get(Taster, seat.taster_id).alias for seat in seats]
        columns = [Column(msg("taster"), _name_px(names, most), align="left")]
        columns += [
            Column(_place(n), wide, editable=True, one_key=keys, role="score") for n in range(most)
        ]
        columns.append(Column(msg("cards in"), _CARDS_PX))
        rows, self._places = [], []
        for seat, alias in zip(seats, names, strict=True):
            samples = served[seat.id]
            cells = self._left_together([self._cell(book, s, outcome, seat) for s in samples])
            blank = [Cell("", editable=False)] * (most - len(samples))
            rows.append([Cell(alias, "name"), *cells, *blank, self._cards(book, seat)])
            places: list[Place | None] = [(s, outcome) for s in samples]
            self._places.append([None, *places, *([None] * len(blank)), None])
        self.show(columns, rows, [seat.id for seat in seats])

    def _left_together(self, cells: list[Cell]) -> list[Cell]:
        """What somebody who left did not taste stands as one, over all of its columns."""
        found = list(cells)
        for first, cell in enumerate(cells):
            if not _is_left(cell) or (first and _is_left(cells[first - 1])):
                continue
            span = next((n for n, c in enumerate(cells[first:]) if not _is_left(c)),
                        len(cells) - first)  # fmt: skip
            small = cell.small if span == 1 else ""
            found[first] = replace(cell, span=span, small=small)
        return found

    def _cards(self, book: Any, seat: Seat) -> Cell:
        cards = views.cards_in(book, seat.sitting_id, seat.taster_id)
        return Cell(str(msg("{n} of {all}", n=cards.filled, all=cards.all)), colour="pencil")

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
                said = str(msg("left early: {why}", why=seat.left_reason.rstrip(".")))
                return Cell(said, "missing", small, said, editable=False)
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
        found = self._places[row][column]
        assert found is not None
        return f"sample:{found[0].id}:{found[1].id}"

    def step(self, row: int, column: int, text: str) -> Step:
        found = self._places[row][column]
        assert found is not None
        sample, outcome = found
        book, text = self._desk.notebook, text.rstrip(_MARK)
        why = said_missing(text)
        if not text:
            return scores.clear_score(book, sample.id, outcome.id)
        if why is not None:
            return scores.set_score_missing(book, sample.id, outcome.id, why)
        return scores.set_score(book, sample.id, outcome.id, text)

    def writable(self) -> Iterator[tuple[int, int]]:
        return (
            (row, column)
            for row, places in enumerate(self._places)
            for column, found in enumerate(places)
            if found is not None
        )

    def is_editable(self, row: int, column: int) -> bool:
        return self._places[row][column] is not None and super().is_editable(row, column)

    def row_name(self, row: int) -> str:
        cell = self.kept(row, 0)
        return " ".join(filter(None, (cell.text, cell.small)))

    # --- where to write ------------------------------------------------------------------------

    def first_due(self) -> tuple[int, int] | None:
        """The first empty score, row by row."""
        due = (at for at in self.writable() if self.cell(*at).state == "due")
        return next(due, None)

    def row_of(self, taster_id: str) -> int | None:
        """The row of a taster; of the first card while the cards of that taster are shown."""
        for row, places in enumerate(self._places):
            if any(found is not None and found[0].taster_id == taster_id for found in places):
                return row
        return None


def draft_place(book: Any, sitting: Sitting) -> tuple[str, str] | None:
    """Sample and attribute of a score of a sitting that is half written or was refused."""
    served = {sample.id for sample in views.samples(book, sitting.id)}
    for place in book.drafts:
        kind, _, rest = place.partition(":")
        sample_id, _, outcome_id = rest.partition(":")
        if kind == "sample" and sample_id in served:
            return sample_id, outcome_id.removesuffix(":refused")
    return None


def _scores(book: Any, sample_id: str) -> tuple[Score, ...]:
    """The scores of a sample: the same tuple as long as none of them changes."""
    found: tuple[Score, ...] = book.all(Score, sample_id=sample_id)
    return found


def _is_left(cell: Cell) -> bool:
    return cell.state == "missing" and cell.editable is False


def _name_px(names: Sequence[str], samples: int) -> int:
    """Room for the longest name, as far as the samples leave any."""
    most = _NAME_PX if samples > _MOST_SHARED // 2 else _WIDEST_NAME_PX
    metrics = theme.metrics("cell")
    widest = max((metrics.horizontalAdvance(name) for name in names), default=0.0)
    return round(min(max(widest / theme.px(1) + 12, _NAME_PX), most))


def _place(number: int) -> Message | str:
    return _PLACES[number] if number < len(_PLACES) else str(number + 1)


def _code(book: Any, sample: Sample, sitting: Sitting) -> str:
    """The code; with the method's letter once the key is open."""
    if sitting.key_state != "open":
        return sample.code
    piece = book.find(Piece, sample.piece_id)
    method = book.find(Method, piece.method_id) if piece else None
    return f"{sample.code} {method.letter}" if method else sample.code

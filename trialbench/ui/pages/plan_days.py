"""Who gets which method: a row a cook day, its pairs or pieces as blocks, where each comes from."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from PySide6.QtWidgets import QGridLayout, QVBoxLayout, QWidget

from trialbench.model.dates import said_day
from trialbench.model.message import Message, msg
from trialbench.model.records import Cook, Load, Method, Pair, Piece
from trialbench.model.steps import Step
from trialbench.notebook import views
from trialbench.notebook.acts import plan
from trialbench.ui import theme
from trialbench.ui.page import Desk
from trialbench.ui.pages.writing import Writing
from trialbench.ui.pair_block import PairBlock, PairHalf
from trialbench.ui.rows import Row
from trialbench.ui.runs import Item, Run
from trialbench.ui.text import Line, Rule
from trialbench.ui.values import Value

_BLOCKS_A_LINE = 2
_PAIR = 2
_DAY_PX = 128
_NOT_DRAWN = "\u2013"


class DayRow(QWidget):
    """One cook day. `line` is the name of this line for the margin.

    `hidden`: who gets which method is not shown, for whoever trims and seasons.
    """

    def __init__(self, desk: Desk, cook: Cook, *, hidden: bool = False) -> None:
        super().__init__()
        self._desk, self._cook_id, self.line = desk, cook.id, f"cook:{cook.id}"
        self._hidden = hidden
        self._shown = _shown(desk.notebook, cook)
        self._sources: dict[str, Writing] = {}
        column = QVBoxLayout(self)
        column.setContentsMargins(0, round(theme.px(6)), 0, 0)
        column.setSpacing(round(theme.px(6)))
        book = desk.notebook
        days = Line("cell", _day_words(book, cook))
        column.addWidget(Row([(days, _DAY_PX), (self._blocks(book, cook), 0)]))
        column.addWidget(Rule())

    def keeps(self, cook: Cook, *, hidden: bool = False) -> bool:
        """Show a cook day as it is now, where only its words changed; False when it is another
        day or has other pieces, and a new row is wanted."""
        book = self._desk.notebook
        if cook.id != self._cook_id or hidden != self._hidden:
            return False
        if _shown(book, cook) != self._shown:
            return False
        for pair in views.pairs(book, cook.id):
            if pair.id in self._sources:
                self._sources[pair.id].show(pair.source)
        return True

    def _blocks(self, book: Any, cook: Cook) -> QWidget:
        holder = QWidget()
        grid = QGridLayout(holder)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(round(theme.px(16)))
        grid.setVerticalSpacing(round(theme.px(3)))
        groups = _grouped(book, cook)
        a_line = _BLOCKS_A_LINE if max(map(len, groups), default=0) <= _PAIR else 1
        for place in range(a_line):
            grid.setColumnStretch(place, 1)
        for number, group in enumerate(groups):
            halves = [_half(book, piece, hidden=self._hidden) for piece in group]
            pair = book.find(Pair, group[0].pair_id)
            block = PairBlock(halves[0], halves[1] if len(halves) > 1 else None,
                              _spoken(pair, len(halves)), more=halves[2:])  # fmt: skip
            row, place = divmod(number, a_line)
            grid.addWidget(block, 2 * row, place)
            if pair is not None and len(halves) > 1:
                grid.addWidget(self._source(pair), 2 * row + 1, place)
        return holder

    def _source(self, pair: Pair) -> Line:
        """Where a pair comes from: "Pair 1 from [animal, lot or batch]"."""
        two = len(views.methods(self._desk.notebook, self._desk.trial_id)) <= _PAIR
        value = Value(
            msg("pair {number} from", number=pair.number)
            if two
            else msg("set {number} from", number=pair.number),
            hint=msg("animal, lot or batch"),
            role="cell",
        )
        write = _Source(self._desk, pair.id)
        writing = Writing(self._desk, value, f"pair:{pair.id}:source", write)
        writing.show(pair.source)
        self._sources[pair.id] = writing
        said = msg("Pair {number} from ", number=pair.number) if two else msg(
            "Set {number} from ", number=pair.number
        )  # fmt: skip
        words = Run(said, colour="pencil")
        return Line("cell", [words, value])


class _Source:
    """Writes where one pair comes from."""

    def __init__(self, desk: Desk, pair_id: str) -> None:
        self._desk, self._pair_id = desk, pair_id

    def __call__(self, text: str) -> Step:
        return plan.set_source(self._desk.notebook, self._pair_id, text)


def _day_words(book: Any, cook: Cook) -> list[Item]:
    """ "Day 2", its date, and which method starts first."""
    items: list[Item] = [Run(msg("Day {number}", number=cook.number), weight=500)]
    first = book.find(Method, cook.starts_id)
    said: list[Message | str] = [said_day(cook.date)] if cook.date else []
    if first is not None:
        said.append(msg("{letter} goes in first", letter=first.letter))
    for words in said:
        items += [Run("\n"), Run(words, colour="pencil", role="label")]
    return items


def _spoken(pair: Pair | None, pieces: int) -> Message:
    if pair is None or pieces == 1:
        return msg("Piece")
    if pieces > _PAIR:
        return msg("Set {number}", number=pair.number)
    return msg("Pair {number}", number=pair.number)


def _shown(book: Any, cook: Cook) -> tuple[object, ...]:
    """What a row is made of."""
    halves = [_half(book, piece) for piece in views.pieces(book, cook.id)]
    pairs = [(pair.id, pair.number) for pair in views.pairs(book, cook.id)]
    inside = [piece.pair_id for piece in views.pieces(book, cook.id)]
    return cook.number, cook.date, cook.starts_id, *halves, *pairs, *inside


def _grouped(book: Any, cook: Cook) -> list[list[Piece]]:
    """Pieces by pair or set where there are any, else one by one."""
    pieces = views.pieces(book, cook.id)
    pairs = [[p for p in pieces if p.pair_id == pair.id] for pair in views.pairs(book, cook.id)]
    paired = [group for group in pairs if len(group) > 1]
    inside = {p.id for group in paired for p in group}
    return [*paired, *([p] for p in pieces if p.id not in inside)]


def _half(book: Any, piece: Piece, *, hidden: bool = False) -> PairHalf:
    method = None if hidden else book.find(Method, piece.method_id)
    load = None if hidden else book.find(Load, piece.load_id)
    where: Sequence[str] = [piece.place, load.name if load else ""]
    said: Message | str = ", ".join(filter(None, where))
    return PairHalf(method.letter if method else _NOT_DRAWN, piece.label, said)

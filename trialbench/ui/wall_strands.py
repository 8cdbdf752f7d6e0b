"""The strands of the wall list: each method's way through the columns, from line to line."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QPainter, QPainterPath

from trialbench.model.message import msg, say
from trialbench.ui import theme
from trialbench.ui.signs import SIGN_PX, paint_sign
from trialbench.ui.strands import paint_strand, paint_strand_path

_LANE_PX = 20.0
_BEND_PX = 11.0
_TAIL_PX = 16.0


@dataclass(frozen=True, slots=True)
class Stop:
    """From line `row` on the food is in `column`; `label` says how long."""

    row: int
    column: int
    label: str = ""


@dataclass(frozen=True, slots=True)
class Strand:
    """One method's way. `loose` ends after its last stop: it was dropped there."""

    letter: str
    stops: tuple[Stop, ...]
    loose: bool = False

    def words(self, places: Sequence[str]) -> str:
        """The way in words: "Strand A: Fridge 24 h, Oven about 9 h, Table." """
        said = [f"{places[stop.column]} {stop.label}".strip() for stop in self.stops]
        return say(msg("Strand {letter}: {way}.", letter=self.letter, way=", ".join(said)))


def paint_strands(
    painter: QPainter,
    strands: Sequence[Strand],
    levels: Sequence[float],
    columns: Sequence[float],
    column_px: float,
) -> None:
    """All strands. `levels` are the heights of the lines, `columns` the middles of the columns."""
    lanes = _Lanes(len(strands), column_px)
    for number, strand in enumerate(strands):
        if strand.stops:
            _paint(painter, strand, levels, [x + lanes.shift(number) for x in columns])
    for number, strand in enumerate(strands):
        if strand.stops:
            first = strand.stops[0]
            at = QPointF(columns[first.column] + lanes.shift(number), levels[first.row])
            _paint_head(painter, strand.letter, at + QPointF(0, lanes.drop(number)))
    _paint_labels(painter, strands, levels, (columns, lanes))


class _Lanes:
    """Strands in one column stand beside each other; where it is narrow their signs step down."""

    def __init__(self, count: int, column_px: float) -> None:
        room = (column_px - theme.px(10)) / max(count, 1)
        self._count, self._step = count, min(theme.px(_LANE_PX), room)

    def shift(self, number: int) -> float:
        return (number - (self._count - 1) / 2) * self._step

    def drop(self, number: int) -> float:
        sign = theme.px(SIGN_PX + 2)
        if self._step >= sign:
            return 0.0
        in_turn = 2 if 2 * self._step >= sign else 3
        return (number % in_turn) * sign


def _paint(
    painter: QPainter, strand: Strand, levels: Sequence[float], columns: Sequence[float]
) -> None:
    """Down its columns; at a line where it goes on to another place it bends over to it."""
    bend = theme.px(_BEND_PX)
    first = strand.stops[0]
    x, y = columns[first.column], levels[first.row]
    path = QPainterPath(QPointF(x, y))
    for stop in strand.stops[1:]:
        to, level = columns[stop.column], levels[stop.row]
        if to != x:
            path.lineTo(x, level - bend)
            path.cubicTo(x, level + bend * 0.6, to, level - bend * 0.6, to, level + bend)
            x = to
    last = levels[strand.stops[-1].row]
    path.lineTo(x, last + theme.px(_TAIL_PX if strand.loose else _BEND_PX))
    if strand.letter == "C":
        _paint_ticked(painter, path)
    else:
        paint_strand_path(painter, strand.letter, path)


def _paint_ticked(painter: QPainter, path: QPainterPath) -> None:
    """The strand with cross ticks: its line in short straight pieces, so that ticks lie across."""
    paint_strand_path(painter, "C", path)
    for polygon in path.toSubpathPolygons():
        for number in range(polygon.count() - 1):
            start, end = polygon.at(number), polygon.at(number + 1)
            if abs(end.y() - start.y()) > theme.px(24):
                paint_strand(painter, "C", start, end)


def _paint_head(painter: QPainter, letter: str, at: QPointF) -> None:
    """The sign stands once, where the strand begins, on ground of its own."""
    side = theme.px(SIGN_PX)
    box = QRectF(at.x() - side / 2, at.y() - side / 2, side, side)
    painter.fillRect(box.adjusted(-1, -2, 1, 3), theme.colour("page"))
    paint_sign(painter, letter, box)


def _paint_labels(
    painter: QPainter,
    strands: Sequence[Strand],
    levels: Sequence[float],
    across: tuple[Sequence[float], _Lanes],
) -> None:
    """How long the food stays, on the strand where there is room; what is alike stands once."""
    painter.setFont(theme.font("label"))
    columns, lanes = across
    said = {(stop.column, stop.label) for strand in strands for stop in strand.stops if stop.label}
    alone = {column for column in range(len(columns)) if sum(c == column for c, _ in said) == 1}
    taken = [box for strand in strands for box in _bends(strand, levels, columns)]
    seen: set[tuple[int, str]] = set()
    for number, strand in enumerate(strands):
        for stop, after in pairwise(strand.stops):
            if not stop.label or (stop.column, stop.label) in seen:
                continue
            room = levels[stop.row] + theme.px(_BEND_PX), levels[after.row] - theme.px(_BEND_PX)
            # Where strands stay for different times, each label stands on its own.
            x = columns[stop.column] + (0 if stop.column in alone else lanes.shift(number))
            box = _free_box(stop.label, x, room, taken)
            if box is not None:
                seen.add((stop.column, stop.label))
                taken.append(box)
                _paint_label(painter, stop.label, box)


def _bends(strand: Strand, levels: Sequence[float], columns: Sequence[float]) -> Iterator[QRectF]:
    """Where a strand goes over from one column to another, and its sign."""
    half, side = theme.px(_BEND_PX), theme.px(SIGN_PX)
    first = strand.stops[0] if strand.stops else None
    if first is not None:
        yield QRectF(columns[first.column] - side, levels[first.row] - side, 2 * side, 3 * side)
    for before, stop in pairwise(strand.stops):
        left, right = sorted((columns[before.column], columns[stop.column]))
        yield QRectF(left, levels[stop.row] - half, right - left, 2 * half)


def _free_box(
    label: str, x: float, room: tuple[float, float], taken: Sequence[QRectF]
) -> QRectF | None:
    """A place for a label in the middle of its stretch, or above or below; None without one."""
    metrics = theme.metrics("label")
    wide, high = metrics.horizontalAdvance(label) + 4, metrics.height()
    top, foot = room
    for share in (0.5, 0.3, 0.7, 0.15, 0.85):
        box = QRectF(x - wide / 2, top + (foot - top) * share - high / 2, wide, high)
        inside = box.top() >= top and box.bottom() <= foot
        if inside and not any(box.intersects(other) for other in taken):
            return box
    return None


def _paint_label(painter: QPainter, label: str, box: QRectF) -> None:
    painter.fillRect(box, theme.colour("page"))
    painter.setPen(theme.colour("ink"))
    painter.drawText(QPointF(box.x() + 2, box.y() + theme.metrics("label").ascent()), label)

"""The weights of one cook day as a table: pieces down, checkpoints across."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from trialbench.model.message import Message, msg, msg_n
from trialbench.model.numbers import figure
from trialbench.model.quantities import show_typed_mass
from trialbench.model.records import Checkpoint, Load, Method, Pair, Piece
from trialbench.model.steps import Step
from trialbench.notebook import views
from trialbench.notebook.acts import cooking
from trialbench.notebook.views import Loss
from trialbench.ui import theme
from trialbench.ui.cells import Cell, Column
from trialbench.ui.page import Desk
from trialbench.ui.pages.drafted_cells import DraftedCells, said_missing

_ROOMY, _CLOSE = (116, 58, 82), (96, 50, 74)
"""Widths of piece, method and what was lost; close together beside many weighings."""
_MOST_ROOMY, _MOST_SHARED, _WEIGHT_PX = 6, 8, 60
"""So many weighings share the width; more keep a width of their own and the table scrolls."""
_WIDEST_NAME = 12
_WITHOUT_TENTHS, _WITH_TENTHS = 6, 1.3
"""A column with a weight of more signs than this is so many times as wide."""
_AT_COUNTER, _LOST_AT_COUNTER_PX = 3, 116


class WeightsModel(DraftedCells):
    """Rows are the pieces of one cook day. A dash and words say why a weight is missing."""

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self.cook_id = self._trial_id = ""
        self._pieces: tuple[Piece, ...] = ()
        self._every: tuple[Checkpoint, ...] = ()
        self._checkpoints: tuple[Checkpoint, ...] = ()
        self._gains = False

    # --- what is shown -------------------------------------------------------------------------

    def show_cook(self, cook_id: str, trial_id: str) -> None:
        """Show a cook day as the notebook holds it."""
        book = self._desk.notebook
        self.cook_id, self._trial_id = cook_id, trial_id
        self._pieces = views.pieces(book, cook_id)
        self._every = self._checkpoints = views.checkpoints(book, trial_id)
        if theme.is_counter():
            self._checkpoints = self._beside_due()
        losses = [self._loss(book, piece) for piece in self._pieces]
        known = [loss for loss in losses if loss is not None]
        self._gains = bool(known) and all(loss.loss_percent < 0 for loss in known)
        rows = [self._row(book, p, loss) for p, loss in zip(self._pieces, losses, strict=True)]
        self.show(self._columns_now(rows), rows, [piece.id for piece in self._pieces])

    def _beside_due(self) -> tuple[Checkpoint, ...]:
        """Seen from across the room: the weighing that is due, the one before and the next."""
        out = (n for n, c in enumerate(self._every) for p in self._pieces if self._is_out(p, c))
        due = next(out, len(self._every))
        first = max(min(due - 1, len(self._every) - _AT_COUNTER), 0)
        return self._every[first : first + _AT_COUNTER]

    def _columns_now(self, rows: Sequence[Sequence[Cell]]) -> list[Column]:
        count = len(self._checkpoints)
        wide = _WEIGHT_PX if count > _MOST_SHARED else 0
        piece_px, method_px, lost_px = _ROOMY if count <= _MOST_ROOMY else _CLOSE
        weighings = []
        for place, checkpoint in enumerate(self._checkpoints, start=2):
            longest = max((len(row[place].text) for row in rows
                           if row[place].state in ("written", "left_out")), default=0)  # fmt: skip
            share = 1.0 if longest <= _WITHOUT_TENTHS else _WITH_TENTHS
            title = self._title(checkpoint.name)
            weighings.append(Column(title, round(wide * share), share, editable=True))
        base = self._every[0].name if self._every else ""
        changed = msg("gained so far") if self._gains else msg("lost so far")
        last = msg("{changed},\nof {base}", changed=changed, base=base)
        if theme.is_counter():
            lost_px = _LOST_AT_COUNTER_PX
            last = msg("gained of {base}", base=base) if self._gains else msg(
                "lost of {base}", base=base
            )  # fmt: skip
        return [
            Column(msg("piece"), piece_px, align="left"),
            Column(msg("method"), method_px, align="left"),
            *weighings,
            Column(last, lost_px),
        ]

    def _title(self, name: str) -> Message | str:
        if theme.is_counter():
            unit = views.cover(self._desk.notebook).mass_unit
            return msg("{weighing}, {unit}", weighing=name, unit=unit)
        return _in_two_lines(name)

    def _row(self, book: Any, piece: Piece, loss: Loss | None) -> list[Cell]:
        pair = book.find(Pair, piece.pair_id)
        method = book.find(Method, piece.method_id)
        load = book.find(Load, piece.load_id)
        aside = bool(views.left_out(book, self._trial_id, piece.id))
        pair_said = str(msg("pair {number}", number=pair.number)) if pair else ""
        small = pair_said or (load.name if load else "")
        weighed = views.measurements(book, piece.id)
        out = [c for c in self._every if c.id not in weighed and self.comes_to(piece, c)]
        due = out[0].id if out else None
        cells = [self._weight(book, weighed.get(c.id), c.id == due, aside)
                 for c in self._checkpoints]  # fmt: skip
        return [
            Cell(piece.label, "name", small=small, weight=600),
            Cell(letter=method.letter, state="method") if method else Cell("\u2013", "not_due"),
            *cells,
            self._lost(loss),
        ]

    def _weight(self, book: Any, found: Any, due: bool, aside: bool) -> Cell:
        if found is None:
            return Cell(state="due") if due else Cell("\u2013", "not_due")
        if found.mass_g is None:
            return Cell(found.missing_reason, "missing", reason=found.missing_reason)
        shown = show_typed_mass(found.mass_g, found.typed, views.cover(book).mass_unit)
        return Cell(shown, "left_out" if aside else "written")

    def _loss(self, book: Any, piece: Piece) -> Loss | None:
        base = self._every[0].id if self._every else None
        return views.loss_so_far(book, piece, base)

    def _lost(self, loss: Loss | None) -> Cell:
        if loss is None:
            return Cell("\u2013", "not_due", editable=False)
        percent = -loss.loss_percent if self._gains else loss.loss_percent
        return Cell(f"{figure(percent, 1)} %", "reckoned", editable=False)

    # --- writing -------------------------------------------------------------------------------

    def place(self, row: int, column: int) -> str:
        return f"piece:{self._pieces[row].id}:{self._checkpoints[column - 2].id}"

    def step(self, row: int, column: int, text: str) -> Step:
        book, piece = self._desk.notebook, self._pieces[row]
        checkpoint_id, why = self._checkpoints[column - 2].id, said_missing(text)
        if not text:
            return cooking.clear_measurement(book, piece.id, checkpoint_id)
        if why is not None:
            return cooking.set_missing(book, piece.id, checkpoint_id, why)
        return cooking.set_mass(book, piece.id, checkpoint_id, text)

    def writable(self) -> Iterator[tuple[int, int]]:
        columns = range(2, 2 + len(self._checkpoints))
        return ((row, column) for row in range(len(self._pieces)) for column in columns)

    # --- where to write ------------------------------------------------------------------------

    def comes_to(self, piece: Piece, checkpoint: Checkpoint) -> bool:
        """Whether a piece is weighed there at all: not after a stage of the other method."""
        return views.is_weighed_at(self._desk.notebook, piece, checkpoint)

    def _is_out(self, piece: Piece, checkpoint: Checkpoint) -> bool:
        found = views.measurement(self._desk.notebook, piece.id, checkpoint.id)
        return found is None and self.comes_to(piece, checkpoint)

    def next_due(self) -> tuple[int, int] | None:
        """The first empty weight, checkpoint by checkpoint: where weighing goes on."""
        for place, checkpoint in enumerate(self._checkpoints):
            for row, piece in enumerate(self._pieces):
                if self._is_out(piece, checkpoint):
                    return row, place + 2
        return None

    def place_of(self, piece_id: str, checkpoint_id: str) -> tuple[int, int] | None:
        """Row and column of a weight; of the piece's first weight without a checkpoint."""
        rows = [piece.id for piece in self._pieces]
        points = [checkpoint.id for checkpoint in self._checkpoints]
        if piece_id not in rows:
            return None
        column = points.index(checkpoint_id) if checkpoint_id in points else 0
        return rows.index(piece_id), column + 2

    def due_now(self) -> tuple[Checkpoint, tuple[Piece, ...]] | None:
        """The checkpoint that is due, and the pieces without a weight there."""
        found = self.next_due()
        if found is None:
            return None
        checkpoint = self._checkpoints[found[1] - 2]
        return checkpoint, tuple(p for p in self._pieces if self._is_out(p, checkpoint))


def sum_of(book: Any, method: Method, cook_id: str) -> Message | None:
    """What the pieces of a method lost on one cook day so far, with each base named.

    None until all of them have come to the same weighing.
    """
    mine = [p for p in views.pieces(book, cook_id) if p.method_id == method.id]
    of_raw = _mean_loss(book, mine, None)
    if of_raw is None:
        return None
    trimmed = [
        c for c in views.checkpoints(book, method.trial_id) if c.checkpoint_kind == "trimmed"
    ]
    of_trimmed = _mean_loss(book, mine, trimmed[0].id) if trimmed else None
    said = _lost_words(of_raw)
    if of_trimmed is not None and of_trimmed.until == of_raw.until:
        said = msg("{raw}; {trimmed}", raw=said, trimmed=_lost_words(of_trimmed))
    pieces = msg_n("{count} piece", "mean of {count} pieces", len(mine))
    return msg("by {until}: {said}; {pieces}", until=of_raw.until, said=said, pieces=pieces)


def _mean_loss(book: Any, pieces: Sequence[Piece], base_id: str | None) -> Loss | None:
    """The losses of these pieces put together: sums of their weights."""
    losses = [found for p in pieces if (found := views.loss_so_far(book, p, base_id)) is not None]
    if not losses or len(losses) < len(pieces):
        return None
    if len({(found.base, found.until) for found in losses}) > 1:
        return None
    percent = sum(found.loss_percent for found in losses) / len(losses)
    return Loss(losses[0].base, losses[0].until, 100.0, 100.0 - percent)


def _lost_words(loss: Loss) -> Message:
    change = figure(abs(loss.loss_percent), 1)
    left = figure(loss.yield_percent, 1)
    if loss.loss_percent < 0:
        return msg("gained {n} % of {base}, weighs {left} %", n=change, base=loss.base, left=left)
    return msg("lost {n} % of {base}, keeps {left} %", n=change, base=loss.base, left=left)


def _in_two_lines(name: str) -> Message | str:
    """A long name of a weighing on two lines, so that its column stays narrow."""
    words = name.split()
    if len(name) <= _WIDEST_NAME or len(words) < 2:
        return name
    half = len(words) // 2 or 1
    return f"{' '.join(words[:half])}\n{' '.join(words[half:])}"

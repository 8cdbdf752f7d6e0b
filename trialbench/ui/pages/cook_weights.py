"""The weights of one cook day as a table: pieces down, checkpoints across."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from trialbench.model.errors import Refused, TrialbenchError
from trialbench.model.message import Message, msg, msg_n
from trialbench.model.numbers import MINUS, figure
from trialbench.model.quantities import show_mass
from trialbench.model.records import Checkpoint, Load, Method, Pair, Piece
from trialbench.model.steps import Step
from trialbench.notebook import views
from trialbench.notebook.acts import cooking
from trialbench.notebook.views import Loss
from trialbench.ui.cells import Cell, CellsModel, Column
from trialbench.ui.page import Desk

_DASHES = ("-", "\u2013", MINUS)
_PIECE_PX, _METHOD_PX, _LOST_PX, _WEIGHT_PX = 116, 58, 82, 62
_MOST_SHARED = 6
"""So many weighings share the width; more keep a width of their own and the table scrolls."""
_WIDEST_NAME = 12


class WeightsModel(CellsModel):
    """Rows are the pieces of one cook day. A dash and words say why a weight is missing."""

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self._desk = desk
        self.cook_id = ""
        self._pieces: tuple[Piece, ...] = ()
        self._checkpoints: tuple[Checkpoint, ...] = ()
        self._gains = False

    # --- what is shown -------------------------------------------------------------------------

    def show_cook(self, cook_id: str, trial_id: str) -> None:
        """Show a cook day as the notebook holds it."""
        book = self._desk.notebook
        self.cook_id = cook_id
        self._pieces = views.pieces(book, cook_id)
        self._checkpoints = views.checkpoints(book, trial_id)
        losses = [self._loss(book, piece) for piece in self._pieces]
        known = [loss for loss in losses if loss is not None]
        self._gains = bool(known) and all(loss.loss_percent < 0 for loss in known)
        rows = [self._row(book, p, loss) for p, loss in zip(self._pieces, losses, strict=True)]
        self.show(self._columns_now(), rows, [piece.id for piece in self._pieces])

    def _columns_now(self) -> list[Column]:
        wide = _WEIGHT_PX if len(self._checkpoints) > _MOST_SHARED else 0
        weighings = [
            Column(_in_two_lines(checkpoint.name), wide, editable=True)
            for checkpoint in self._checkpoints
        ]
        base = self._checkpoints[0].name if self._checkpoints else ""
        last = (
            msg("gained so far,\nof {base}", base=base)
            if self._gains
            else msg("lost so far,\nof {base}", base=base)
        )
        return [
            Column(msg("piece"), _PIECE_PX, align="left"),
            Column(msg("method"), _METHOD_PX, align="left"),
            *weighings,
            Column(last, _LOST_PX),
        ]

    def _row(self, book: Any, piece: Piece, loss: Loss | None) -> list[Cell]:
        pair = book.find(Pair, piece.pair_id)
        method = book.find(Method, piece.method_id)
        load = book.find(Load, piece.load_id)
        aside = bool(views.left_out(book, book.get(Checkpoint, self._checkpoints[0].id).trial_id,
                                    piece.id)) if self._checkpoints else False  # fmt: skip
        pair_said = str(msg("pair {number}", number=pair.number)) if pair else ""
        small = ", ".join(filter(None, (pair_said, load.name if load else "")))
        weighed = views.measurements(book, piece.id)
        due = next((c.id for c in self._checkpoints if c.id not in weighed), None)
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
        shown = show_mass(found.mass_g, views.cover(book).mass_unit)
        return Cell(shown, "left_out" if aside else "written")

    def _loss(self, book: Any, piece: Piece) -> Loss | None:
        base = self._checkpoints[0].id if self._checkpoints else None
        return views.loss_so_far(book, piece, base)

    def _lost(self, loss: Loss | None) -> Cell:
        if loss is None:
            return Cell("\u2013", "not_due", editable=False)
        percent = -loss.loss_percent if self._gains else loss.loss_percent
        return Cell(f"{figure(percent, 1)} %", "reckoned", editable=False)

    # --- writing -------------------------------------------------------------------------------

    def place(self, row: int, column: int) -> str:
        """The draft's name of a cell."""
        return f"piece:{self._pieces[row].id}:{self._checkpoints[column - 2].id}"

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
            step = self._step(row, column, text.strip())
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
        book, piece = self._desk.notebook, self._pieces[row]
        checkpoint_id = self._checkpoints[column - 2].id
        if not text:
            return cooking.clear_measurement(book, piece.id, checkpoint_id)
        if text.startswith(_DASHES) and not any(sign.isdigit() for sign in text):
            return cooking.set_missing(book, piece.id, checkpoint_id, text[1:].strip())
        return cooking.set_mass(book, piece.id, checkpoint_id, text)

    # --- drafts --------------------------------------------------------------------------------

    def bring_back(self) -> tuple[int, int, str] | None:
        """Bring refused cells back from their drafts; the first half-typed cell, if any."""
        drafts = self._desk.notebook.drafts
        half_typed = None
        for row in range(len(self._pieces)):
            for column in range(2, 2 + len(self._checkpoints)):
                place = self.place(row, column)
                if place not in drafts or self.cell(row, column).state == "refused":
                    continue
                if f"{place}:refused" in drafts:
                    self.write(row, column, drafts[place])
                elif half_typed is None:
                    half_typed = (row, column, drafts[place])
        return half_typed

    # --- where to write ------------------------------------------------------------------------

    def next_due(self) -> tuple[int, int] | None:
        """The first empty weight, checkpoint by checkpoint: where weighing goes on."""
        for place, checkpoint in enumerate(self._checkpoints):
            for row, piece in enumerate(self._pieces):
                if views.measurement(self._desk.notebook, piece.id, checkpoint.id) is None:
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
        book = self._desk.notebook
        left = [p for p in self._pieces if views.measurement(book, p.id, checkpoint.id) is None]
        return checkpoint, tuple(left)


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

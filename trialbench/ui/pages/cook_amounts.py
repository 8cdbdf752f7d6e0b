"""What goes onto the pieces of one cook day by weight: target grams, and beside them the actual."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

from PySide6.QtCore import QRect
from PySide6.QtWidgets import QVBoxLayout, QWidget

from trialbench.model.message import Message, msg
from trialbench.model.numbers import figure
from trialbench.model.quantities import G_PER_OZ, show_typed_mass
from trialbench.model.records import Method, Piece
from trialbench.model.steps import Step
from trialbench.notebook import views
from trialbench.notebook.acts import amounts
from trialbench.planning.salt_as_weighed import salted_piece, shown_rate
from trialbench.planning.stage_words import listed
from trialbench.ui import theme
from trialbench.ui.cells import Cell, Column
from trialbench.ui.cells_table import CellsTable
from trialbench.ui.page import Desk
from trialbench.ui.pages.drafted_cells import DraftedCells, said_missing
from trialbench.ui.runs import Run
from trialbench.ui.text import Line

_NONE = "\u2013"
_PIECE_PX, _METHOD_PX, _TRIMMED_PX, _RATE_PX = 96, 58, 84, 92
_MOST_IN_ACT = 4


class AmountsModel(DraftedCells):
    """Rows are the pieces, two columns each thing: how much by the trimmed weight, and how much it
    was."""

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self.things: tuple[views.ToWeigh, ...] = ()
        self._pieces: tuple[Piece, ...] = ()
        self._trial_id, self._before = "", 3

    def show_cook(self, cook_id: str, trial_id: str) -> None:
        """Show a cook day as the notebook holds it."""
        book = self._desk.notebook
        self._trial_id = trial_id
        self.things = views.to_weigh(book, trial_id)
        self._pieces = views.pieces(book, cook_id)
        if theme.is_counter():
            due = self.next_thing()
            self.things = (due,) if due is not None else ()
        self._before = 2 if theme.is_counter() else 3
        rows = [self._row(book, piece) for piece in self._pieces]
        self.show(self._columns_now(), rows, [piece.id for piece in self._pieces])

    def _columns_now(self) -> list[Column]:
        columns = [
            Column(msg("piece"), _PIECE_PX, align="left"),
            Column(msg("method"), _METHOD_PX, align="left"),
            Column(msg("trimmed"), _TRIMMED_PX),
        ][: self._before]
        for thing in self.things:
            name = amounts.name_of(thing)
            columns.append(Column(msg("{what},\ntarget", what=name)))
            columns.append(Column(msg("{what},\nweighed", what=name), editable=True))
        if not theme.is_counter() and self._has_salt():
            columns.append(Column(msg("salt, g for\neach kg"), _RATE_PX))
        return columns

    def _has_salt(self) -> bool:
        return any(thing.role in ("salt", "rub", "other") for thing in self.things)

    def _row(self, book: Any, piece: Piece) -> list[Cell]:
        method = book.find(Method, piece.method_id)
        unit = views.cover(book).mass_unit
        trimmed = self._trimmed(book, piece, unit)
        cells = [
            Cell(piece.label, "name", weight=600),
            Cell(letter=method.letter, state="method") if method else Cell(_NONE, "not_due"),
            Cell(trimmed) if trimmed else Cell(_NONE, "not_due"),
        ][: self._before]
        for thing in self.things:
            cells += self._of_thing(book, piece, thing, unit)
        if not theme.is_counter() and self._has_salt():
            salted = salted_piece(book, piece)
            cells.append(
                Cell(shown_rate(salted.g_per_kg), "reckoned", editable=False)
                if salted
                else Cell(_NONE, "not_due", editable=False)
            )
        return cells

    def _trimmed(self, book: Any, piece: Piece, unit: str) -> str:
        checkpoint = views.trimmed_checkpoint(book, self._trial_id)
        found = views.measurement(book, piece.id, checkpoint.id) if checkpoint else None
        if found is None or found.mass_g is None:
            return ""
        return show_typed_mass(found.mass_g, found.typed, unit)

    def _of_thing(self, book: Any, piece: Piece, thing: views.ToWeigh, unit: str) -> list[Cell]:
        target, there = views.target_g(book, thing, piece), views.amount(book, thing, piece.id)
        wanted = Cell(_NONE, "not_due") if target is None else Cell(
            shown_grams(target, unit), "reckoned"
        )  # fmt: skip
        if there is None:
            gets_some = views.rate_g_per_kg(book, thing, piece) is not None
            if self.is_out(piece, thing):
                return [wanted, Cell(state="due")]
            return [wanted, Cell(_NONE, "not_due", editable=gets_some)]
        if there.mass_g is None:
            return [wanted, Cell(there.missing_reason, "missing", reason=there.missing_reason)]
        return [wanted, Cell(shown_grams(there.mass_g, unit, there.typed))]

    # --- writing -------------------------------------------------------------------------------

    def _thing(self, column: int) -> views.ToWeigh:
        return self.things[(column - self._before) // 2]

    def place(self, row: int, column: int) -> str:
        return f"amount:{self._pieces[row].id}:{self._thing(column).key}"

    def step(self, row: int, column: int, text: str) -> Step:
        book, piece = self._desk.notebook, self._pieces[row]
        key, why = self._thing(column).key, said_missing(text)
        if not text:
            return amounts.clear_amount(book, piece.id, key)
        if why is not None:
            return amounts.set_amount_missing(book, piece.id, key, why)
        return amounts.set_amount(book, piece.id, key, text)

    def writable(self) -> Iterator[tuple[int, int]]:
        columns = [self._before + 2 * n + 1 for n in range(len(self.things))]
        return ((row, column) for row in range(len(self._pieces)) for column in columns)

    # --- where to write ------------------------------------------------------------------------

    def is_out(self, piece: Piece, thing: views.ToWeigh) -> bool:
        """Whether a piece is to get some now, and what it got is not written."""
        return views.is_amount_due(self._desk.notebook, thing, piece)

    def is_live(self) -> bool:
        """Whether an amount is written, due, or still to come because nothing was weighed yet."""
        book = self._desk.notebook
        return any(
            views.amount(book, thing, piece.id) is not None
            or self.is_out(piece, thing)
            or views.trimmed_g(book, piece) is None
            for thing in self.things
            for piece in self._pieces
        )

    def next_thing(self) -> views.ToWeigh | None:
        """What is to be weighed out next."""
        return next((t for t in self.things if any(self.is_out(p, t) for p in self._pieces)), None)

    def next_due(self) -> tuple[int, int] | None:
        """The first empty amount whose target is known, thing by thing."""
        for place, thing in enumerate(self.things):
            for row, piece in enumerate(self._pieces):
                if self.is_out(piece, thing):
                    return row, self._before + 2 * place + 1
        return None

    def place_of(self, piece_id: str, key: str) -> tuple[int, int] | None:
        """Row and column of an amount."""
        rows, keys = [p.id for p in self._pieces], [t.key for t in self.things]
        if piece_id not in rows or key not in keys:
            return None
        return rows.index(piece_id), self._before + 2 * keys.index(key) + 1

    def targets_due(self, thing: views.ToWeigh) -> list[Message]:
        """ "13.5 g for P01": what is still to be weighed out."""
        book = self._desk.notebook
        unit = views.cover(book).mass_unit
        return [
            msg("{mass} for {piece}", piece=piece.label,
                mass=f"{shown_grams(views.target_g(book, thing, piece) or 0.0, unit)} {unit}")
            for piece in self._pieces
            if self.is_out(piece, thing)
        ]  # fmt: skip


def shown_grams(mass_g: float, unit: str, typed: str = "") -> str:
    """A small mass: tenths of a gram below 100 g, hundredths of an ounce below 10 oz."""
    if unit == "oz" and mass_g < 10 * G_PER_OZ:
        return figure(mass_g / G_PER_OZ, 2)
    if unit == "g" and mass_g < 100 and not typed:
        return figure(mass_g, 1)
    return show_typed_mass(mass_g, typed, unit)


class AmountsOnPieces(QWidget):
    """The table with its line over it; away where nothing goes on by weight."""

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self._desk = desk
        self._asked, self._cook_id = False, ""
        self.model = AmountsModel(desk)
        self.table = CellsTable(self.model, msg("What goes onto the pieces"), rows="stove")
        self._line = Line("cell")
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(round(theme.px(4)))
        column.addWidget(self._line)
        column.addWidget(self.table)

    def show_cook(self, cook_id: str, trial_id: str) -> None:
        """Show one cook day."""
        self._asked = self._asked and self._cook_id == cook_id
        self._cook_id = cook_id
        self.model.show_cook(cook_id, trial_id)
        unit = views.cover(self._desk.notebook).mass_unit
        self._line.set_items(
            [Run(msg("Onto the pieces"), weight=600),
             Run(msg("   in {unit}, by the trimmed weight of each", unit=unit))]
        )  # fmt: skip
        self._line.setVisible(not theme.is_counter())
        if theme.is_counter():
            self.table.measure()

    def is_wanted(self) -> bool:
        """Whether anything goes on by weight: due now or later, written, or asked for. A day that
        went by without it is left as it is.
        """
        return bool(self.model.things) and (self._asked or self.model.is_live())

    def ask(self) -> bool:
        """Show the table of a day that went by without it, and go there; False for none."""
        self._asked = True
        if not self.model.things or not self.model.rowCount():
            return False
        self.show()
        self.table.go_to(*next(self.model.writable()))
        return True

    def comes_before(self, stage_position: float) -> bool:
        """Whether something is to be weighed out before the weighing after that stage."""
        thing = self.model.next_thing()
        return thing is not None and thing.stage.position <= stage_position

    def act(self) -> Message | None:
        """The next act, where weighing out comes next: "Weigh out the salt: 13.5 g for P01." """
        thing = self.model.next_thing()
        if thing is None:
            return None
        due = self.model.targets_due(thing)
        most = 2 if theme.is_counter() else _MOST_IN_ACT
        words = listed(due[:most])
        if len(due) > most:
            words = msg("{some} and others", some=words)
        return msg("Weigh out the {what}: {targets}.", what=amounts.name_of(thing), targets=words)

    def go_on(self) -> bool:
        """Put the keyboard where weighing out goes on; False when nothing is due."""
        found = self.model.next_due()
        if found is not None:
            self.table.go_to(*found)
        return found is not None

    def place_in(self, row: int) -> Callable[[], QRect]:
        """Where a row stands, for `leaf.anchor` on the table."""
        return self.table.row_place(row)

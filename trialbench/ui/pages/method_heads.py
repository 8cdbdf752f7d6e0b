"""The methods over their columns: sign, letter, and the short name that can be written over."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from PySide6.QtWidgets import QHBoxLayout, QWidget

from trialbench.model.message import msg
from trialbench.model.records import Method
from trialbench.model.steps import Step
from trialbench.notebook.acts.methods import name_method
from trialbench.ui import theme
from trialbench.ui.page import Desk
from trialbench.ui.pages.field_grid import FieldGrid
from trialbench.ui.pages.parted_row import BEFORE_PX, WORD_PX
from trialbench.ui.pages.writing import Writing
from trialbench.ui.signs import MethodSign
from trialbench.ui.text import Line
from trialbench.ui.values import Value


class MethodHeads(QWidget):
    """One head a method, each over the left edge of its fields."""

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self._desk = desk
        self._shape: object = ()
        self._names: list[tuple[Value, Writing]] = []
        self._row = QHBoxLayout(self)
        self._row.setContentsMargins(round(theme.px(BEFORE_PX + WORD_PX)), 0, 0, 0)

    def show_methods(self, methods: Sequence[Method], *, sealed: bool) -> None:
        """Show the names as they are now."""
        shape = tuple((method.id, method.letter) for method in methods)
        if shape != self._shape:
            self._shape = shape
            self._lay(methods)
        for method, (value, writing) in zip(methods, self._names, strict=True):
            value.setReadOnly(sealed)
            writing.show(method.name)

    def stops(self) -> list[QWidget]:
        """What the Tab key visits."""
        return [value for value, _ in self._names]

    def _lay(self, methods: Sequence[Method]) -> None:
        while (item := self._row.takeAt(0)) is not None:
            gone = item.widget()
            if gone is not None:
                gone.hide()
                gone.deleteLater()
        self._names = []
        heads: list[QWidget] = []
        for method in methods:
            value = Value(
                msg("Method {letter}: short name", letter=method.letter), "",
                msg("a short name"), weight=500,
            )  # fmt: skip
            writing = Writing(
                self._desk, value, f"{method.id}:name", partial(self._name, method.id)
            )
            self._names.append((value, writing))
            heads.append(Line("body", [MethodSign(method.letter), " ", value]))
        self._row.addWidget(FieldGrid(heads), 1)

    def _name(self, method_id: str, typed: str) -> Step:
        return name_method(self._desk.notebook, method_id, typed)

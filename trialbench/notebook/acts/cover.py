"""Acts on the notebook itself: its name and the units on the screen."""

from __future__ import annotations

from trialbench.model.message import msg
from trialbench.model.steps import Step
from trialbench.notebook.acts.writing import line, one_of, rewrite
from trialbench.notebook.records_read import Reads
from trialbench.notebook.views.on_paper import cover

UNITS = {"temperature_unit": ("C", "F"), "mass_unit": ("g", "oz")}


def name_notebook(book: Reads, typed: str) -> Step:
    """Give the notebook its name. Raises Refused when it is empty or longer than 80 letters."""
    name = line(typed, "cover.name", most=80, needed=True)
    return rewrite(book, cover(book), msg("Notebook named {name}", name=name), name=name)


def show_in(book: Reads, field: str, unit: str) -> Step:
    """Show temperatures in C or F (`temperature_unit`), masses in g or oz (`mass_unit`)."""
    one_of(field, "cover", UNITS)
    one_of(unit, f"cover.{field}", UNITS[field])
    shown = f"°{unit}" if field == "temperature_unit" else unit
    return rewrite(book, cover(book), msg("Shown in {unit}", unit=shown), **{field: unit})

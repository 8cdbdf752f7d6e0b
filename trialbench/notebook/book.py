"""What an act needs of a notebook: its records and its clock."""

from __future__ import annotations

from typing import Protocol

from trialbench.notebook.clock import Moment
from trialbench.notebook.records_read import Reads


class Book(Reads, Protocol):
    """An open notebook, or anything that reads like one and knows the time."""

    def now(self) -> Moment:
        """The moment that new records are dated with."""
        ...

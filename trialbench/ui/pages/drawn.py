"""A picture that is drawn off the desk, while its words are had at once."""

from __future__ import annotations

from typing import Any


class Drawn:
    """Draws a picture for a look and a size, on the worker."""

    def words(self) -> tuple[Any, Any]:
        """The sentence and the table."""
        raise NotImplementedError

    def __call__(self, look: str, width_in: float, height_in: float) -> Any:
        """The figure."""
        raise NotImplementedError

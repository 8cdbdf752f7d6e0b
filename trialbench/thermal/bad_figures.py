"""The one error of this room."""

from __future__ import annotations

from trialbench.model.errors import BadInput


class BadFigures(BadInput, ValueError):
    """Numbers that the engine cannot work with; `where` names them, `allowed` says what can be."""

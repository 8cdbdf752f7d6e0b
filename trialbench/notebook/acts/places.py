"""Acts on the places of pieces in the cooker."""

from __future__ import annotations

from trialbench.model.errors import Refused
from trialbench.model.message import msg
from trialbench.model.records import Cook, Method
from trialbench.model.steps import Step
from trialbench.notebook import views
from trialbench.notebook.acts.writing import made, rewritten
from trialbench.notebook.records_read import Reads


def swap_places(book: Reads, cook_id: str, method_id: str, other_id: str) -> Step:
    """On one cook day the pieces of two methods change places, one for one.

    Raises Refused when something was weighed on that day, or a method has no piece there.
    """
    cook = book.get(Cook, cook_id)
    there = views.pieces(book, cook_id)
    pairs = list(zip(
        (p for p in there if p.method_id == method_id),
        (p for p in there if p.method_id == other_id),
        strict=False,
    ))  # fmt: skip
    if views.cook_is_begun(book, cook) or not pairs:
        raise Refused(
            msg("Cook day {number} has begun: its places stay.", number=cook.number),
            field="piece.place",
            allowed=msg("a cook day on which nothing was weighed"),
            way_out=msg("Swap the places on a day to come."),
        )
    changes = [
        change
        for one, other in pairs
        for change in (rewritten(one, place=other.place), rewritten(other, place=one.place))
    ]
    letters = [book.get(Method, each).letter for each in (method_id, other_id)]
    label = msg("Cook day {number}: {one} and {other} change places", number=cook.number,
                one=letters[0], other=letters[1])  # fmt: skip
    return made(book, label, changes)

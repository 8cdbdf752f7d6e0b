"""A line of the methods that holds what is varied: written there, it is a setting that is written.

So all methods at one setting stay alike, and what the question names is what is cooked.
"""

from __future__ import annotations

from trialbench.model.errors import Refused
from trialbench.model.message import msg
from trialbench.model.records import Factor
from trialbench.model.steps import Change, Step
from trialbench.notebook.acts.writing import rewritten
from trialbench.notebook.records_read import Reads
from trialbench.notebook.views import shapes


def write_setting(book: Reads, factor: Factor, typed: str, method_id: str | None) -> Step:
    """Write the setting that a method has of what is varied, for all methods that have it.

    Raises Refused for an empty one: settings are taken away on the Question page.
    """
    # The acts of settings write stages of their own, so they are loaded when asked.
    from trialbench.notebook.acts.shapes import add_level, set_level

    if not typed.strip():
        raise _stays(factor)
    own = shapes.levels_of_method(book, method_id or "")
    level = next((x for x in own if x.factor_id == factor.id), None)
    return set_level(book, level.id, typed) if level else add_level(book, factor.id, typed)


def check_not_varied(book: Reads, stage_id: str, field: str = "") -> None:
    """Raises Refused where a line, or any line of a stage, holds what is varied."""
    for factor in book.all(Factor, stage_id=stage_id):
        if field in ("", factor.field):
            raise _stays(factor)


def out_of_stage(book: Reads, stage_id: str) -> list[Change]:
    """What was varied in a stage that is taken away is in no line from now on."""
    return [rewritten(f, stage_id=None, field="") for f in book.all(Factor, stage_id=stage_id)]


def _stays(factor: Factor) -> Refused:
    return Refused(
        msg("{name} is what this trial varies. Its line stays parted, a setting a method.",
            name=factor.name or msg("This")),
        field="factor.field",
        allowed=msg("another setting"),
        way_out=msg("Take settings away, or choose another line, on the Question page."),
    )  # fmt: skip

"""Notes of the Methods page on what is varied and stands in no line yet."""

from __future__ import annotations

from collections.abc import Iterator

from trialbench.model.margin import MarginNote, NoteVerb
from trialbench.model.message import msg
from trialbench.model.records import Factor, Stage, Trial
from trialbench.notebook.acts.level_reading import likely_field
from trialbench.notebook.records_read import Reads
from trialbench.notebook.views import NUMBER_FIELDS, stages
from trialbench.notebook.views.shapes import factors, levels
from trialbench.planning.stage_words import stage_name


def notes_on_varied(book: Reads, trial_id: str) -> Iterator[MarginNote]:
    """Beside the last stage: let it, or the one before, hold what the question varies."""
    if book.get(Trial, trial_id).question != "which_setting":
        return
    for factor in factors(book, trial_id):
        if factor.stage_id is None and len(levels(book, factor.id)) >= 2:
            yield from _note(book, factor)


def _note(book: Reads, factor: Factor) -> Iterator[MarginNote]:
    field = likely_field(factor, levels(book, factor.id))
    fitting = [s for s in stages(book, factor.trial_id) if _fits(s, field)]
    label = msg("{name}: in no line yet", name=factor.name or msg("What you vary"))
    says = msg("Say where it stands, and every method has its setting there by itself.")
    verbs = tuple(
        NoteVerb(msg("Put it in {number} {stage}", number=stage.position,
                     stage=stage_name(stage)), "set_line", (factor.id, stage.id, field))
        for stage in fitting[:2]
    )  # fmt: skip
    yield MarginNote("next stage", "missing", label, (says,), verbs, dear=65)


def _fits(stage: Stage, field: str) -> bool:
    """A shared stage; one that has such a value already is the first to be thought of."""
    if stage.method_id is not None:
        return False
    if field in NUMBER_FIELDS:
        return stage.stage_kind not in ("prepare", "trim", "slice", "wrap")
    return True

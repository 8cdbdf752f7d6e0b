"""The parting: the last weighing that all methods share, and whose weights lots are drawn on."""

from __future__ import annotations

from trialbench.model.records import Addition, Checkpoint, Measurement, Part, Piece, Stage
from trialbench.planning.of_trial import OfTrial, pieces_of, stages_of


def first_own_stage(records: OfTrial) -> Stage | None:
    """The first stage in which the methods differ; None where none is written."""
    values: dict[str, set[tuple[str, object]]] = {}
    for part in records.of(Part):
        value = part.number if part.number is not None else part.text
        values.setdefault(f"{part.stage_id}:{part.field}", set()).add((part.field, value))
    differ = {key.partition(":")[0] for key, found in values.items() if len(found) > 1}
    differ |= {added.stage_id for added in records.of(Addition) if added.method_id}
    return next((s for s in stages_of(records) if s.method_id or s.id in differ), None)


def parting_checkpoint(records: OfTrial) -> Checkpoint | None:
    """The last weighing before the methods differ. None where no weighing is laid out.

    Where nothing differs (the same recipe twice, or methods not written yet) it is the last one
    before anything is cooked: trimmed, else raw.
    """
    stages = {stage.id: place for place, stage in enumerate(stages_of(records))}
    own = first_own_stage(records)
    shared: list[Checkpoint] = []
    for checkpoint in sorted(records.of(Checkpoint), key=lambda c: c.position):
        if _is_after(checkpoint, own, stages):
            break
        shared.append(checkpoint)
    return shared[-1] if shared else None


def _is_after(checkpoint: Checkpoint, own: Stage | None, stages: dict[str, int]) -> bool:
    if checkpoint.checkpoint_kind == "served":
        return True
    if own is None:
        return checkpoint.checkpoint_kind not in ("raw", "trimmed")
    return stages.get(checkpoint.stage_id or "", -1) >= stages[own.id]


def parting_weights(records: OfTrial) -> dict[str, float | None]:
    """Piece id to its weight in g at the parting, for pieces weighed there.

    None where it was said why the weight is missing: that piece need not be waited for.
    """
    at = parting_checkpoint(records)
    if at is None:
        return {}
    return {m.piece_id: m.mass_g for m in records.of(Measurement) if m.checkpoint_id == at.id}


def not_weighed(records: OfTrial, cook_id: str) -> tuple[Piece, ...]:
    """The pieces of a cook day whose weight at the parting is not in."""
    there = parting_weights(records)
    return tuple(piece for piece in pieces_of(records, cook_id) if piece.id not in there)


def is_parting_in(records: OfTrial, cook_id: str) -> bool:
    """Whether a cook day has pieces, and each was weighed at the parting."""
    return bool(pieces_of(records, cook_id)) and not not_weighed(records, cook_id)

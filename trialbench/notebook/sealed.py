"""What can no longer change: after the plan is sealed, and after a key is sealed.

Sealed with the plan: question, d, methods, stages, planned cook days with their pairs, pieces and
lots, the deciding outcome. Cook days may be added; they are counted and said in the finding. The
pieces of a cook day whose lots are still to come are bought, matched and drawn after the seal.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from trialbench.model.message import Message, msg
from trialbench.model.records import Cook, Draw, Lot, Outcome, Piece, Record, Sitting
from trialbench.model.steps import Change
from trialbench.notebook.belonging import (
    any_key_open,
    beyond_plan,
    is_sealed,
    open_after_seal,
    trial_id_of,
)
from trialbench.notebook.records_read import Reads

FREE_FIELDS: dict[str, frozenset[str]] = {
    "trial": frozenset(
        {"chapter", "remark", "invented", "number", "spares", "portion_g", "yield_percent"}
    ),
    "method": frozenset({"origin", "origin_note", "departs"}),
    "stage": frozenset(),
    "part": frozenset(),
    "addition": frozenset(),
    "factor": frozenset(),
    "level": frozenset(),
    "setting": frozenset(),
    "difference": frozenset(),
    "outcome": frozenset({"asked_as", "low_anchor", "high_anchor", "position"}),
    "cook": frozenset({"date", "remark", "serve_utc", "offset_min", "turns"}),
    "pair": frozenset({"source"}),
    "piece": frozenset(
        {"source", "load_id", "side", "lot", "bought_g", "thickness_mm", "marbling", "frozen", "ph"}
    ),
    "draw": frozenset(),
    "lot": frozenset(),
    "seal": frozenset(),
    "after_seal": frozenset(),
}
"""What may still be written in a record once the plan is sealed; kinds not named are free."""

KEY_FIELDS = frozenset(
    {"cook_id", "key_state", "key_guard", "key_fingerprint", "sealed_utc", "opened_utc",
     "opened_early_reason", "lot_number"}
)  # fmt: skip

PLAN_IS_SEALED = msg("The plan is sealed. This cannot be changed any more.")
LOTS_STAY = msg("Who gets which method stays as it was drawn, also in a plan open for change.")
KEY_IS_SEALED = msg("The key of this sitting is sealed. Who gets which sample stays as it is.")
LOOKS_STAY = msg("That the server looked at the key stays written down.")
KEY_IS_OPEN = msg("A key is open. No attribute can be added or taken away any more.")


def why_sealed(
    book: Reads,
    change: Change,
    together: Sequence[Change],
    leaving: frozenset[str] = frozenset(),
) -> Message | None:
    """Why a change cannot be made, or None. `together` are all changes of its step.

    `leaving` are trials that were brought in sealed and leave again as a whole.
    """
    record = change.before if change.before is not None else change.after
    assert record is not None
    if leaving and trial_id_of(book, record) in leaving:
        return None
    if record.kind == "cover" and change.after is None:
        return msg("A notebook keeps its cover.")
    if record.kind == "key_look" and change.before is not None:
        return LOOKS_STAY
    why = _why_key(book, change, record) or _why_open(book, change, record)
    if why is not None:
        return why
    if record.kind not in FREE_FIELDS or not is_sealed(book, trial_id_of(book, record)):
        return None
    if open_after_seal(book, trial_id_of(book, record)) is not None:
        return _why_still(change, record, together)
    if change.before is None:
        return _ADDED.get(record.kind, _no)(book, record, together)
    if change.after is None:
        return None if _is_beyond(book, record) else PLAN_IS_SEALED
    changed = _changed_fields(change) - FREE_FIELDS[record.kind]
    if not changed or (record.kind == "piece" and _is_beyond(book, record)):
        return None
    if isinstance(record, Cook) and record.starts_id is None and changed == {"starts_id"}:
        return None
    return PLAN_IS_SEALED


def _why_still(change: Change, record: Record, together: Sequence[Change]) -> Message | None:
    """What stays while a sealed plan is open for change: the seal, draws, and who got which."""
    if record.kind in ("seal", "after_seal"):
        return PLAN_IS_SEALED
    if isinstance(record, Lot):
        leaves = any(c.after is None and c.record.id == record.piece_id for c in together)
        return None if change.before is None or (change.after is None and leaves) else LOTS_STAY
    if isinstance(record, Draw):
        return None if change.before is None else LOTS_STAY
    if isinstance(change.before, Piece) and isinstance(change.after, Piece):
        drawn = change.before.method_id is not None
        return LOTS_STAY if drawn and change.after.method_id != change.before.method_id else None
    return None


def _changed_fields(change: Change) -> set[str]:
    assert change.before is not None and change.after is not None
    before, after = change.before.values(), change.after.values()
    return {name for name in before if before[name] != after[name]}


def _why_key(book: Reads, change: Change, record: Record) -> Message | None:
    values: dict[str, Any] = record.values()
    if isinstance(record, Sitting):
        sitting = book.find(Sitting, record.id)
        if sitting is None or sitting.key_state == "none":
            return None
        if change.after is None or _changed_fields(change) & KEY_FIELDS:
            return KEY_IS_SEALED
        return None
    if record.kind not in ("seat", "sample"):
        return None
    sitting = book.find(Sitting, values["sitting_id"])
    if sitting is None or sitting.key_state == "none":
        return None
    whole = change.before is not None and change.after is not None
    if whole and record.kind == "seat" and _changed_fields(change) <= {"left_reason", "position"}:
        return None
    return KEY_IS_SEALED


def _why_open(book: Reads, change: Change, record: Record) -> Message | None:
    """With a key open no attribute comes or goes: what is scored is settled before it is known."""
    if not isinstance(record, Outcome) or record.source != "attribute":
        return None
    comes_or_goes = change.before is None or change.after is None
    return KEY_IS_OPEN if comes_or_goes and any_key_open(book, record.trial_id) else None


def _is_beyond(book: Reads, record: Record) -> bool:
    """Whether a cook day, or what lies in it, was added to the plan, or waits for its lots."""
    if isinstance(record, Cook):
        return beyond_plan(book, record)
    if record.kind in ("pair", "piece"):
        cook_id = str(record.values()["cook_id"])
        return beyond_plan(book, book.find(Cook, cook_id)) or _waits_for_lots(book, cook_id)
    return False


def _waits_for_lots(book: Reads, cook_id: str) -> bool:
    return not any(piece.method_id for piece in book.all(Piece, cook_id=cook_id))


def _no(book: Reads, record: Record, together: Sequence[Change]) -> Message | None:
    return PLAN_IS_SEALED


def _new_cook(book: Reads, record: Record, together: Sequence[Change]) -> Message | None:
    assert isinstance(record, Cook)
    return None if beyond_plan(book, record) else PLAN_IS_SEALED


def _in_new_cook(book: Reads, record: Record, together: Sequence[Change]) -> Message | None:
    cook_id = record.values()["cook_id"]
    new = any(c.before is None and c.record.id == cook_id for c in together)
    return None if new or _is_beyond(book, record) else PLAN_IS_SEALED


def _lots_beyond(book: Reads, record: Record, together: Sequence[Change]) -> Message | None:
    """A draw after the seal may only give methods to pieces that have none."""
    for change in together:
        if change.record.kind == "lot":
            piece = book.find(Piece, str(change.record.values()["piece_id"]))
            if piece is not None and piece.method_id is not None:
                return PLAN_IS_SEALED
    return None


def _free(book: Reads, record: Record, together: Sequence[Change]) -> Message | None:
    return None


_ADDED: dict[str, Callable[[Reads, Record, Sequence[Change]], Message | None]] = {
    "trial": _free,
    "cook": _new_cook,
    "pair": _in_new_cook,
    "piece": _in_new_cook,
    "outcome": _free,
    "draw": _lots_beyond,
    "lot": _lots_beyond,
}

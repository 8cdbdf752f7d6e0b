"""Sealing and opening the key of a sitting: what goes with the steps into the file and out of it.

The notebook keeps a key as bytes and knows its fingerprint; what is in it is planning's matter.
"""

from __future__ import annotations

import hashlib
import sqlite3
from collections.abc import Callable
from dataclasses import replace

from trialbench.model.errors import FileTrouble, Refused, Sealed
from trialbench.model.message import msg
from trialbench.model.records import KeyLook, Sitting, new_id
from trialbench.model.steps import Change, Step, added
from trialbench.notebook.clock import Moment
from trialbench.notebook.records_read import Reads
from trialbench.store.key_guard import CURTAIN, seal, unseal
from trialbench.store.notebook_file import NotebookFile, put_sealed_key

SHOWN, PRINTED = "plates shown", "plate map printed"
"""Reasons of a KeyLook."""

_ANOTHER = msg("The key does not match the fingerprint that was written when it was sealed.")


def sealing(
    book: Reads, sitting_id: str, key_bytes: bytes, step: Step, passphrase: str | None
) -> tuple[Step, Callable[[sqlite3.Connection], None]]:
    """The barrier step with the guard that was really used, and the row that goes with it."""
    if book.get(Sitting, sitting_id).key_state != "none":
        raise Sealed(msg("The key of this sitting is sealed already."))
    sealed = seal(sitting_id, key_bytes, passphrase)
    guard = "curtain" if sealed.guard == CURTAIN else "passphrase"
    changes = tuple(_with_guard(change, sitting_id, guard) for change in step.changes)
    shut = next((c.after for c in changes if c.record.id == sitting_id), None)
    if not isinstance(shut, Sitting) or shut.key_state != "sealed":
        raise ValueError("the step does not seal this sitting")
    if shut.key_fingerprint != hashlib.sha256(key_bytes).hexdigest():
        raise FileTrouble(_ANOTHER)
    return replace(step, changes=changes, barrier=True), lambda db: put_sealed_key(db, sealed)


def _with_guard(change: Change, sitting_id: str, guard: str) -> Change:
    if isinstance(change.after, Sitting) and change.after.id == sitting_id:
        return Change(change.before, replace(change.after, key_guard=guard))
    return change


def unsealed(book: Reads, file: NotebookFile, sitting_id: str, passphrase: str | None) -> bytes:
    """The key, checked against the fingerprint. Raises Refused; FileTrouble."""
    sitting, sealed = book.get(Sitting, sitting_id), file.sealed_key(sitting_id)
    if sealed is None:
        raise Refused(
            msg("Sitting {number} has no sealed key.", number=sitting.number),
            field="sitting.key_state",
            allowed=msg("a sitting whose key was sealed in this notebook"),
            way_out=msg("Make codes and seal the key first."),
        )
    key_bytes = unseal(sealed, passphrase)
    if hashlib.sha256(key_bytes).hexdigest() != sitting.key_fingerprint:
        raise FileTrouble(_ANOTHER)
    return key_bytes


def looked(sitting: Sitting, when: Moment, *, printed: bool) -> Step:
    """The barrier step that a look into a sealed key leaves: who plates has seen it, and when."""
    seen = KeyLook(
        new_id(), sitting.id, when.utc, when.offset_min, PRINTED if printed else SHOWN
    )  # fmt: skip
    if printed:
        label = msg("The server put the plate map of sitting {number} on paper",
                    number=sitting.number)  # fmt: skip
    else:
        label = msg("The server looked at the key of sitting {number}", number=sitting.number)
    return Step(label, added(seen), barrier=True)


def curtain_keys(book: Reads, file: NotebookFile, trial_id: str) -> tuple[bytes, ...]:
    """The keys of a trial that are shut behind a curtain."""
    shut = book.all(Sitting, trial_id=trial_id, key_state="sealed", key_guard="curtain")
    return tuple(unsealed(book, file, sitting.id, None) for sitting in shut)


def sealed_by_itself(step: Step) -> bool:
    """Whether a step seals a sitting without its key: the key would be lost."""
    return any(
        isinstance(c.before, Sitting)
        and isinstance(c.after, Sitting)
        and (c.before.key_state, c.after.key_state) == ("none", "sealed")
        for c in step.changes
    )

"""Bringing a package into a notebook: one step with the origin import."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Literal

from trialbench.exchange.opened import open_package
from trialbench.findings.snapshot import TrialRecords
from trialbench.model.errors import BadInput
from trialbench.model.message import Message, msg, msg_n
from trialbench.model.records import (
    KINDS,
    REFERENCES,
    Cover,
    Record,
    Sitting,
    Taster,
    Trial,
    new_id,
)
from trialbench.model.steps import Step, added
from trialbench.notebook.records_read import Reads


class AlreadyThere(BadInput):
    """The notebook already has this trial; it can be brought in once more as a copy."""


def read_package(
    path: Path, notebook: Reads | None = None, *, again: Literal["refuse", "copy"] = "refuse"
) -> Step:
    """The step that brings a package in.

    Ids are kept. Without `notebook` the step fits an empty one. A trial that the notebook already
    has raises AlreadyThere, or with `again="copy"` comes in under fresh ids. Tasters whose id the
    notebook has are the notebook's; a trial number that is taken becomes the next free one. Raises
    BadInput.
    """
    return bring_in(open_package(path), notebook, again=again)


def bring_in(
    package: TrialRecords,
    notebook: Reads | None = None,
    *,
    again: Literal["refuse", "copy"] = "refuse",
) -> Step:
    """The same for a package that was already read."""
    there = _ids(notebook)
    records = [r for kind in KINDS if kind is not Cover for r in package.of(kind)]
    known = [r for r in records if r.id in there and not isinstance(r, Taster)]
    if known and again == "refuse":
        raise AlreadyThere(
            f"The notebook already has this trial: {package.trial.food}. Nothing was brought in.",
            where=f"trial {package.trial.id}",
            allowed="a trial that is not in the notebook yet, or the same one as a copy",
        )
    if known:
        records = _with_fresh_ids(records)
    records = [r for r in records if not (isinstance(r, Taster) and r.id in there)]
    fitted = tuple(_fitted(record, notebook) for record in records)
    return Step(_label(package), added(*fitted), origin="import")


def _label(package: TrialRecords) -> Message:
    food = package.trial.food
    sealed = len(package.all(Sitting, key_state="sealed"))
    if not sealed:
        return msg("Trial brought in: {food}", food=food)
    return msg_n(
        "Trial brought in: {food}; the key of {count} sitting stayed where it was sealed",
        "Trial brought in: {food}; the keys of {count} sittings stayed where they were sealed",
        sealed,
        food=food,
    )


def _ids(notebook: Reads | None) -> set[str]:
    if notebook is None:
        return set()
    return {record.id for kind in KINDS for record in notebook.all(kind)}


def _with_fresh_ids(records: list[Record]) -> list[Record]:
    fresh = {r.id: r.id if isinstance(r, Taster) else new_id() for r in records}
    return [_renamed(record, fresh) for record in records]


def _renamed(record: Record, fresh: Mapping[str, str]) -> Record:
    changes = {"id": fresh[record.id]}
    fields = [*REFERENCES.get(record.kind, ()), *(["subject_id"] * (record.kind == "left_out"))]
    for name in fields:
        value = getattr(record, name)
        if value is not None:
            changes[name] = fresh.get(value, value)
    return replace(record, **changes)


def _fitted(record: Record, notebook: Reads | None) -> Record:
    if notebook is None:
        return record
    if isinstance(record, Trial):
        taken = {trial.number for trial in notebook.all(Trial)}
        number = record.number if record.number not in taken else max(taken) + 1
        return replace(record, number=number)
    if isinstance(record, Taster):
        aliases = {taster.alias for taster in notebook.all(Taster)}
        return replace(record, alias=_free(record.alias, aliases))
    return record


def _free(alias: str, taken: set[str]) -> str:
    number, free = 2, alias
    while free in taken:
        free, number = f"{alias} ({number})", number + 1
    return free

"""The seal: what was written down before tasting, dated and fingerprinted.

`Seal.written` is canonical JSON (sorted names, no spaces, UTF-8) of the question, the smallest
difference that matters, outcomes, methods stage by stage with their roles, the plan's figures, the
policy number and the last draw. What was sealed and what was done are compared from it.
"""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import dataclass
from hashlib import sha256
from typing import Any

from trialbench.model.errors import Refused, Sealed
from trialbench.model.message import Message, msg
from trialbench.model.records import (
    Checkpoint,
    Cook,
    Difference,
    Outcome,
    Pair,
    Part,
    Piece,
    Record,
    Seal,
    new_id,
)
from trialbench.model.steps import Step, added
from trialbench.notebook.clock import Moment
from trialbench.planning.draw import draws_of
from trialbench.planning.of_trial import OfTrial, methods_of, pieces_of, stages_of

FORM = 1
"""The form of what is written; raised when its fields change."""

_OF_THE_QUESTION = (
    "food", "usual", "idea", "came_out", "question", "decides_id", "easier_id", "matters", "alpha",
    "policy",
)  # fmt: skip
_OF_THE_PLAN = (
    "planned_cooks", "pieces_each", "paired", "loads", "planned_tasters", "servings",
)  # fmt: skip


def plan_written(records: OfTrial) -> str:
    """What a seal made now would hold: the same plan gives the same text."""
    trial = records.trial.values()
    draws = draws_of(records)
    value = {
        "form": FORM,
        "trial": records.trial.id,
        "question": {name: trial[name] for name in _OF_THE_QUESTION},
        "plan": {name: trial[name] for name in _OF_THE_PLAN},
        "methods": [{"id": m.id, "letter": m.letter, "name": m.name} for m in methods_of(records)],
        "stages": [stage.values() for stage in stages_of(records)],
        "parts": _sorted(records.of(Part)),
        "differences": _sorted(records.of(Difference)),
        "outcomes": _sorted(records.of(Outcome)),
        "checkpoints": _sorted(records.of(Checkpoint)),
        "cooks": [{"id": c.id, "number": c.number} for c in _by_id(records.of(Cook))],
        "pairs": _sorted(records.of(Pair)),
        "pieces": [_piece(piece) for piece in pieces_of(records)],
        "draws": len(draws),
        "draw": _draw(records) if draws else None,
    }
    return json.dumps(value, sort_keys=True, separators=(",", ":"), ensure_ascii=False)


def _by_id(found: Iterable[Any]) -> list[Any]:
    return sorted(found, key=lambda record: record.id)


def _sorted(found: Iterable[Record]) -> list[dict[str, Any]]:
    return [record.values() for record in _by_id(found)]


def _piece(piece: Piece) -> dict[str, Any]:
    names = ("id", "cook_id", "position", "label", "pair_id", "place")
    return {name: getattr(piece, name) for name in names}


def _draw(records: OfTrial) -> dict[str, Any]:
    last = draws_of(records)[-1]
    lots = {piece.id: piece.method_id for piece in pieces_of(records)}
    drawn = {"number": last.number, "lot_number": last.lot_number, "within": last.within}
    return {**drawn, "lots": lots}


def fingerprint(written: str) -> str:
    """SHA-256 of the text in UTF-8, in hexadecimal."""
    return sha256(written.encode()).hexdigest()


def seal_plan(records: OfTrial, when: Moment) -> Step:
    """The barrier step that seals the plan.

    Raises Sealed when it is sealed already, Refused when something that a seal must hold is not
    written: what decides, how many cook days, and a draw over every piece.
    """
    if any(True for _ in records.of(Seal)):
        raise Sealed(msg("The plan is sealed already."))
    lacks = lacks_for_seal(records)
    if lacks:
        raise Refused(
            msg("The plan cannot be sealed yet. {first}", first=lacks[0]),
            field="seal.written",
            allowed=msg("a plan with what decides, its cook days, and lots for every piece"),
            way_out=lacks[0],
        )
    written = plan_written(records)
    seal = Seal(
        new_id(), records.trial.id, when.utc, when.offset_min, written, fingerprint(written)
    )
    return Step(msg("Plan sealed"), added(seal), barrier=True)


def lacks_for_seal(records: OfTrial) -> tuple[Message, ...]:
    """What must be written before the plan can be sealed, dearest first."""
    trial, pieces = records.trial, pieces_of(records)
    lacks: list[Message] = []
    if trial.decides_id is None:
        lacks.append(msg("Say on the Question page what decides."))
    if trial.question == "at_least_as_good" and trial.easier_id is None:
        lacks.append(msg("Say on the Question page which way is the easier one."))
    if trial.question == "at_least_as_good" and trial.matters is None:
        lacks.append(msg("Say on the Question page how much would matter."))
    if not trial.planned_cooks:
        lacks.append(msg("Say how many cook days there are to be."))
    if not draws_of(records) or any(piece.method_id is None for piece in pieces):
        lacks.append(msg("Draw lots for every piece."))
    return tuple(lacks)


@dataclass(frozen=True, slots=True)
class SealedLine:
    """One line of what is sealed, as a page shows it."""

    label: Message
    value: Message | str


def seal_of(records: OfTrial) -> Seal | None:
    """The seal, None before it is made."""
    return next(iter(records.of(Seal)), None)


def untouched(seal: Seal) -> bool:
    """Whether the text still has the fingerprint that was made of it."""
    return fingerprint(seal.written) == seal.fingerprint


def what_is_sealed(seal: Seal) -> tuple[SealedLine, ...]:
    """The sealed plan in words, from the seal alone."""
    value = json.loads(seal.written)
    question, plan, draw = value["question"], value["plan"], value["draw"]
    outcome = {o["id"]: o["name"] for o in value["outcomes"]}
    matters = question["matters"]
    lines = [
        SealedLine(msg("Food"), question["food"]),
        SealedLine(msg("My way"), question["usual"]),
        SealedLine(msg("My idea"), question["idea"]),
        SealedLine(msg("Decides"), outcome.get(question["decides_id"], "\u2013")),
        SealedLine(msg("Matters"), f"{matters:g}" if matters is not None else msg("not said")),
        SealedLine(msg("Cook days"), str(plan["planned_cooks"])),
        SealedLine(msg("Pieces of each a day"), str(plan["pieces_each"])),
        SealedLine(msg("Tasters"), str(plan["planned_tasters"] or "\u2013")),
        SealedLine(
            msg("Draw"),
            msg("{number}, lot number {lot}", number=draw["number"], lot=draw["lot_number"]),
        ),
        SealedLine(msg("Policy"), str(question["policy"])),
        SealedLine(msg("Fingerprint"), seal.fingerprint),
    ]
    return tuple(lines)

"""The canonical text of a plan: what a seal holds, and what a later state is compared with.

JSON with sorted names, no spaces, UTF-8. Form 2 has what plans of more than two methods need;
`read_text` gives a text of form 1 the values that form 2 gives to what nobody had a say in then,
so that an older seal shows no change that nobody made.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from dataclasses import MISSING, fields
from hashlib import sha256
from typing import Any

from trialbench.model.records import (
    Addition,
    Checkpoint,
    Cook,
    Difference,
    Factor,
    Level,
    Outcome,
    Pair,
    Part,
    Piece,
    Record,
    Setting,
    Stage,
    Trial,
)
from trialbench.planning.analysis_words import analysis_written
from trialbench.planning.draw_rule import draws_of, rule_written
from trialbench.planning.of_trial import OfTrial, methods_of, pieces_of, stages_of

FORM = 2
"""The form of what is written; raised when its fields change."""

OF_THE_QUESTION = (
    "food", "usual", "idea", "came_out", "question", "decides_id", "easier_id", "matters", "alpha",
    "policy", "shape", "usual_id", "compares", "reference",
)  # fmt: skip
OF_THE_PLAN = (
    "planned_cooks", "pieces_each", "paired", "loads", "planned_tasters", "servings", "serving",
    "most_samples",
)  # fmt: skip
_LISTS: dict[str, type[Record]] = {
    "stages": Stage, "parts": Part, "additions": Addition, "factors": Factor, "levels": Level,
    "settings": Setting, "differences": Difference, "outcomes": Outcome, "checkpoints": Checkpoint,
}  # fmt: skip
"""What is written whole, every field of every record."""


def plan_written(records: OfTrial, lot_number: int | None = None) -> str:
    """What a seal made now would hold: the same plan gives the same text.

    `lot_number` is that of the days to come, where no day is drawn yet.
    """
    trial = records.trial.values()
    value: dict[str, Any] = {
        "form": FORM,
        "trial": records.trial.id,
        "question": {name: trial[name] for name in OF_THE_QUESTION},
        "plan": {name: trial[name] for name in OF_THE_PLAN},
        "methods": [{"id": m.id, "letter": m.letter, "name": m.name} for m in methods_of(records)],
        **{name: _sorted(records.of(kind)) for name, kind in _LISTS.items()},
        "stages": [stage.values() for stage in stages_of(records)],
        "cooks": [{"id": c.id, "number": c.number} for c in _by_id(records.of(Cook))],
        "pairs": _sorted(records.of(Pair)),
        "pieces": [_piece(piece) for piece in pieces_of(records)],
        **_draws(records),
        "lots": rule_written(records, lot_number),
        "analysis": analysis_written(records),
    }
    return json.dumps(value, sort_keys=True, separators=(",", ":"), ensure_ascii=False)


def _by_id(found: Iterable[Any]) -> list[Any]:
    return sorted(found, key=lambda record: record.id)


def _sorted(found: Iterable[Record]) -> list[dict[str, Any]]:
    return [record.values() for record in _by_id(found)]


def _piece(piece: Piece) -> dict[str, Any]:
    names = ("id", "cook_id", "position", "label", "pair_id", "place")
    return {name: getattr(piece, name) for name in names}


def _draws(records: OfTrial) -> dict[str, Any]:
    """The last draw with what every piece has by now."""
    draws = draws_of(records)
    if not draws:
        return {"draws": 0, "draw": None}
    last = draws[-1]
    lots = {piece.id: piece.method_id for piece in pieces_of(records)}
    drawn = {"number": last.number, "lot_number": last.lot_number, "within": last.within}
    return {"draws": len(draws), "draw": {**drawn, "lots": lots}}


def fingerprint(written: str) -> str:
    """SHA-256 of the text in UTF-8, in hexadecimal: what `sha256sum` says of its file."""
    return sha256(written.encode()).hexdigest()


def read_text(written: str) -> dict[str, Any]:
    """A sealed text as plain values of form 2."""
    value: dict[str, Any] = {"methods": [], "cooks": [], "draw": None} | json.loads(written)
    usual = _defaults(Trial)
    for part, names in (("question", OF_THE_QUESTION), ("plan", OF_THE_PLAN)):
        value[part] = {name: usual.get(name, "") for name in names} | value.get(part, {})
    for name, kind in _LISTS.items():
        value[name] = [_defaults(kind) | record for record in value.get(name, ())]
    return value


def _defaults(kind: type[Record]) -> Mapping[str, Any]:
    return {f.name: f.default for f in fields(kind) if f.default is not MISSING}

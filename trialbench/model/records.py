"""The records of a notebook: frozen, flat, with globally unique ids and units in field names.

A field holds text, a whole number, a number, a truth value or None, so that every record kind is
one strict table. `None` is "not written". Times are UTC instants in ISO 8601 text with the offset
of the kitchen beside them in minutes. `*_typed` keeps a quantity as it was typed.
"""

from __future__ import annotations

from trialbench.model.record import Record, new_id
from trialbench.model.records_of_cooks import (
    AfterSeal,
    Amount,
    Cook,
    Draw,
    Load,
    Lot,
    Measurement,
    Pair,
    Piece,
    Replan,
    Seal,
)
from trialbench.model.records_of_tasting import (
    Decision,
    HandedOn,
    KeyLook,
    LeftOut,
    ReadBack,
    Sample,
    Score,
    Seat,
    Sitting,
    Taster,
)
from trialbench.model.records_on_paper import (
    Addition,
    Checkpoint,
    Cover,
    Difference,
    Expected,
    Factor,
    Feel,
    Level,
    Method,
    Outcome,
    Part,
    Price,
    Setting,
    Stage,
    Trial,
)

__all__ = [
    "KINDS",
    "KIND_BY_NAME",
    "REFERENCES",
    "Addition",
    "AfterSeal",
    "Amount",
    "Checkpoint",
    "Cook",
    "Cover",
    "Decision",
    "Difference",
    "Draw",
    "Expected",
    "Factor",
    "Feel",
    "HandedOn",
    "KeyLook",
    "LeftOut",
    "Level",
    "Load",
    "Lot",
    "Measurement",
    "Method",
    "Outcome",
    "Pair",
    "Part",
    "Piece",
    "Price",
    "ReadBack",
    "Record",
    "Replan",
    "Sample",
    "Score",
    "Seal",
    "Seat",
    "Setting",
    "Sitting",
    "Stage",
    "Taster",
    "Trial",
    "new_id",
]

KINDS: tuple[type[Record], ...] = (
    Cover, Trial, Method, Stage, Part, Addition, Expected, Feel, Factor, Level, Setting, Price,
    Difference, Outcome, Checkpoint, Cook, Pair, Load, Piece, Replan, Draw, Lot, Seal, AfterSeal,
    Measurement, Amount, Taster, Sitting, Seat, Sample, Score, KeyLook, ReadBack, LeftOut, Decision,
    HandedOn,
)  # fmt: skip
"""All record kinds, parents before children."""

KIND_BY_NAME: dict[str, type[Record]] = {kind.kind: kind for kind in KINDS}

REFERENCES: dict[str, dict[str, str]] = {
    "trial": {"decides_id": "outcome", "easier_id": "method", "usual_id": "method"},
    "method": {"trial_id": "trial"},
    "stage": {"trial_id": "trial", "method_id": "method"},
    "part": {"stage_id": "stage", "method_id": "method"},
    "addition": {"stage_id": "stage", "method_id": "method"},
    "expected": {"trial_id": "trial", "stage_id": "stage", "method_id": "method"},
    "factor": {"trial_id": "trial", "stage_id": "stage"},
    "level": {"factor_id": "factor"},
    "setting": {"method_id": "method", "level_id": "level"},
    "price": {"trial_id": "trial"},
    "difference": {"trial_id": "trial", "stage_id": "stage"},
    "outcome": {
        "trial_id": "trial",
        "from_checkpoint_id": "checkpoint",
        "to_checkpoint_id": "checkpoint",
    },
    "checkpoint": {"trial_id": "trial", "stage_id": "stage"},
    "cook": {"trial_id": "trial", "starts_id": "method"},
    "pair": {"cook_id": "cook"},
    "load": {"cook_id": "cook", "stage_id": "stage"},
    "piece": {"cook_id": "cook", "pair_id": "pair", "load_id": "load", "method_id": "method"},
    "replan": {"cook_id": "cook", "method_id": "method", "piece_id": "piece", "stage_id": "stage"},
    "draw": {"trial_id": "trial"},
    "lot": {"draw_id": "draw", "piece_id": "piece", "method_id": "method"},
    "seal": {"trial_id": "trial"},
    "after_seal": {"trial_id": "trial"},
    "measurement": {"piece_id": "piece", "checkpoint_id": "checkpoint"},
    "amount": {"piece_id": "piece", "stage_id": "stage"},
    "sitting": {"trial_id": "trial", "cook_id": "cook"},
    "seat": {"sitting_id": "sitting", "taster_id": "taster"},
    "sample": {"sitting_id": "sitting", "taster_id": "taster", "piece_id": "piece"},
    "score": {"sample_id": "sample", "outcome_id": "outcome"},
    "key_look": {"sitting_id": "sitting"},
    "read_back": {"sample_id": "sample", "outcome_id": "outcome"},
    "left_out": {"trial_id": "trial"},
    "decision": {"trial_id": "trial"},
    "handed_on": {"trial_id": "trial"},
}
"""Which field of which kind holds the id of which kind."""

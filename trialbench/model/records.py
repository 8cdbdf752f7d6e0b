"""The records of a notebook: frozen, flat, with globally unique ids and units in field names.

A field holds text, a whole number, a number, a truth value or None, so that every record kind is
one strict table. `None` is "not written". Times are UTC instants in ISO 8601 text with the offset
of the kitchen beside them in minutes. `*_typed` keeps a quantity as it was typed.
"""

from __future__ import annotations

import uuid
from dataclasses import dataclass, fields
from typing import ClassVar


def new_id() -> str:
    """A globally unique id."""
    return uuid.uuid4().hex


@dataclass(frozen=True, slots=True)
class Record:
    """What every record has. `kind` names its table."""

    kind: ClassVar[str] = ""
    id: str

    def values(self) -> dict[str, str | int | float | bool | None]:
        """Field name to value, in the order of the table's columns."""
        return {f.name: getattr(self, f.name) for f in fields(self)}


@dataclass(frozen=True, slots=True)
class Cover(Record):
    """The notebook itself: one record. Units are what the screen shows, never what is stored."""

    kind: ClassVar[str] = "cover"
    name: str
    begun_utc: str
    temperature_unit: str = "C"
    mass_unit: str = "g"


@dataclass(frozen=True, slots=True)
class Trial(Record):
    """One question. `question` is better | at_least_as_good | same_recipe.

    `usual` and `idea` are the two ways as written in the question; `came_out` the word the cook
    used ("juicier"). `easier_id` is the method that is less work, where that is the question.
    `planned_*` are the plan's figures; `pieces_each` counts pieces per method and cook day, and
    `paired` says that they come as matched pairs. `loads` is alone | shared: whether the pieces of
    one method share a pan, bag, bath or box of their own.
    """

    kind: ClassVar[str] = "trial"
    number: int
    food: str
    chapter: str
    usual: str
    idea: str
    begun_utc: str
    question: str = "better"
    came_out: str = ""
    decides_id: str | None = None
    matters: float | None = None
    matters_typed: str = ""
    easier_id: str | None = None
    planned_cooks: int | None = None
    pieces_each: int = 1
    paired: bool = False
    loads: str = "alone"
    planned_tasters: int | None = None
    servings: int = 1
    alpha: float = 0.05
    policy: int = 1
    invented: bool = False
    remark: str = ""


@dataclass(frozen=True, slots=True)
class Method(Record):
    """A way of cooking, shown as its letter with a short name. Origin: own | learned | cited."""

    kind: ClassVar[str] = "method"
    trial_id: str
    letter: str
    name: str
    origin: str = "own"
    origin_note: str = ""


@dataclass(frozen=True, slots=True)
class Stage(Record):
    """One step. `method_id` None: written once for all methods; else an own stage of one method.

    `stage_kind` and `medium` are words of model.words. The end is a time, a core temperature, a
    feel, or several of them. `salt_g_per_kg` counts on trimmed weight. A field that differs
    between methods of a stage written once is held by `Part` records.
    """

    kind: ClassVar[str] = "stage"
    trial_id: str
    position: int
    stage_kind: str
    method_id: str | None = None
    medium: str = ""
    set_temp_c: float | None = None
    duration_s: float | None = None
    end_core_c: float | None = None
    end_feel: str = ""
    cover: str = ""
    vessel: str = ""
    salt_g_per_kg: float | None = None
    note: str = ""


@dataclass(frozen=True, slots=True)
class Part(Record):
    """What one method has in one field of a stage that is otherwise written once.

    `field` is a field of Stage; `number` or `text` holds its value in the field's unit. Where a
    stage is parted every method has a Part.
    """

    kind: ClassVar[str] = "part"
    stage_id: str
    method_id: str
    field: str
    number: float | None = None
    text: str | None = None


@dataclass(frozen=True, slots=True)
class Difference(Record):
    """What the cook says of a difference between methods: `role` is question | rider.

    `stage_id` and `field` name the line; field "" is a stage that only one method has.
    """

    kind: ClassVar[str] = "difference"
    trial_id: str
    stage_id: str
    field: str
    role: str


@dataclass(frozen=True, slots=True)
class Outcome(Record):
    """What is scored or measured. `source` is attribute | loss | yield | mass.

    `scale` is a word of model.scales for attributes. `better` is more | less | neither.
    `more_word`, `less_word` are the words of a sentence ("juicier", "less juicy"). A loss or yield
    runs from one checkpoint to another and is a percentage of the first.
    """

    kind: ClassVar[str] = "outcome"
    trial_id: str
    position: int
    name: str
    source: str = "attribute"
    scale: str = ""
    low: float | None = None
    high: float | None = None
    step: float | None = None
    unit: str = ""
    better: str = "more"
    more_word: str = ""
    less_word: str = ""
    asked_as: str = ""
    low_anchor: str = ""
    high_anchor: str = ""
    from_checkpoint_id: str | None = None
    to_checkpoint_id: str | None = None


@dataclass(frozen=True, slots=True)
class Checkpoint(Record):
    """A named weighing. `checkpoint_kind`: raw | trimmed | stage | rested | sliced | served."""

    kind: ClassVar[str] = "checkpoint"
    trial_id: str
    position: int
    name: str
    checkpoint_kind: str = "stage"
    stage_id: str | None = None


@dataclass(frozen=True, slots=True)
class Cook(Record):
    """One occasion on which the methods are cooked: the block. `date` is the kitchen's own day.

    `after_opening` marks for good a cook day added to the plan when a key was already open.
    """

    kind: ClassVar[str] = "cook"
    trial_id: str
    number: int
    date: str = ""
    remark: str = ""
    after_opening: bool = False


@dataclass(frozen=True, slots=True)
class Pair(Record):
    """Pieces of one cook matched before the draw. `source` is the animal, lot or batch."""

    kind: ClassVar[str] = "pair"
    cook_id: str
    number: int
    source: str = ""


@dataclass(frozen=True, slots=True)
class Load(Record):
    """Pieces of one method that share a pan, bag, bath, cooker or hold box in one cook."""

    kind: ClassVar[str] = "load"
    cook_id: str
    name: str
    vessel: str = ""


@dataclass(frozen=True, slots=True)
class Piece(Record):
    """What is weighed and cut. `method_id` is what the draw gave it, None before the draw."""

    kind: ClassVar[str] = "piece"
    cook_id: str
    position: int
    label: str
    pair_id: str | None = None
    load_id: str | None = None
    method_id: str | None = None
    source: str = ""
    place: str = ""


@dataclass(frozen=True, slots=True)
class Draw(Record):
    """One drawing of lots over the whole plan. Every draw is kept; the last one holds.

    `reason` says why an earlier draw was set aside. `within` is pair | cook.
    """

    kind: ClassVar[str] = "draw"
    trial_id: str
    number: int
    lot_number: int
    made_utc: str
    offset_min: int
    within: str
    reason: str = ""


@dataclass(frozen=True, slots=True)
class Lot(Record):
    """What one draw gave one piece."""

    kind: ClassVar[str] = "lot"
    draw_id: str
    piece_id: str
    method_id: str


@dataclass(frozen=True, slots=True)
class Seal(Record):
    """What was written down before tasting, dated and fingerprinted (SHA-256 of `written`).

    `written` is the plan as canonical JSON: question, d, methods, plan figures, policy, last draw.
    """

    kind: ClassVar[str] = "seal"
    trial_id: str
    made_utc: str
    offset_min: int
    written: str
    fingerprint: str


@dataclass(frozen=True, slots=True)
class Measurement(Record):
    """An instrument's number on a piece at a checkpoint; missing with a reason when both are None.

    `typed` is what was typed, with its unit.
    """

    kind: ClassVar[str] = "measurement"
    piece_id: str
    checkpoint_id: str
    made_utc: str
    offset_min: int
    mass_g: float | None = None
    temp_c: float | None = None
    typed: str = ""
    missing_reason: str = ""


@dataclass(frozen=True, slots=True)
class Taster(Record):
    """Who scores, by alias. Belongs to the notebook, not to one trial."""

    kind: ClassVar[str] = "taster"
    alias: str
    position: int
    avoids: str = ""


@dataclass(frozen=True, slots=True)
class Sitting(Record):
    """One tasting of what one cook day gave.

    `key_state` is none | sealed | open. `key_guard` is curtain | passphrase. `key_fingerprint` is
    SHA-256 over the canonical key (which holds its own lot number, so it cannot be guessed).
    `lot_number` is that of codes and orders and is None until the key is open.
    """

    kind: ClassVar[str] = "sitting"
    trial_id: str
    cook_id: str
    number: int
    date: str = ""
    key_state: str = "none"
    key_guard: str = "curtain"
    key_fingerprint: str = ""
    sealed_utc: str = ""
    opened_utc: str = ""
    opened_early_reason: str = ""
    offset_min: int = 0
    lot_number: int | None = None
    served_temp_c: float | None = None
    slice_mm: float | None = None
    knife_to_mouth_min: float | None = None
    allergens: str = ""


@dataclass(frozen=True, slots=True)
class Seat(Record):
    """A taster at a sitting. `left_reason` says why the remaining cards stay empty."""

    kind: ClassVar[str] = "seat"
    sitting_id: str
    taster_id: str
    position: int
    left_reason: str = ""


@dataclass(frozen=True, slots=True)
class Sample(Record):
    """A portion under a three-digit code. Which piece it came from is in the key alone.

    `position` 0 is the warm-up sample, which is never analysed; others count from 1.
    `piece_id` stays None until the key is open.
    """

    kind: ClassVar[str] = "sample"
    sitting_id: str
    taster_id: str
    position: int
    code: str
    piece_id: str | None = None


@dataclass(frozen=True, slots=True)
class Score(Record):
    """What a taster wrote for one sample and one attribute. Missing is missing, never zero.

    `changed_after_opening` marks a score for good that was written or changed with the key open.
    """

    kind: ClassVar[str] = "score"
    sample_id: str
    outcome_id: str
    made_utc: str
    offset_min: int
    number: float | None = None
    typed: str = ""
    missing_reason: str = ""
    changed_after_opening: bool = False


@dataclass(frozen=True, slots=True)
class LeftOut(Record):
    """A piece or taster set aside with a reason. `subject` is piece | taster; both answers show."""

    kind: ClassVar[str] = "left_out"
    trial_id: str
    subject: str
    subject_id: str
    reason: str
    made_utc: str
    after_opening: bool = False


@dataclass(frozen=True, slots=True)
class Decision(Record):
    """What the cook does from now on, apart from the finding. `choice`: keep | change | again."""

    kind: ClassVar[str] = "decision"
    trial_id: str
    choice: str
    reason: str
    made_utc: str
    offset_min: int


@dataclass(frozen=True, slots=True)
class HandedOn(Record):
    """A recipe note that left the notebook: its form, headline and the finding as JSON."""

    kind: ClassVar[str] = "handed_on"
    trial_id: str
    form: str
    made_utc: str
    offset_min: int
    headline: str
    finding_json: str


KINDS: tuple[type[Record], ...] = (
    Cover, Trial, Method, Stage, Part, Difference, Outcome, Checkpoint, Cook, Pair, Load, Piece,
    Draw, Lot, Seal, Measurement, Taster, Sitting, Seat, Sample, Score, LeftOut, Decision, HandedOn,
)  # fmt: skip
"""All record kinds, parents before children."""

KIND_BY_NAME: dict[str, type[Record]] = {kind.kind: kind for kind in KINDS}

REFERENCES: dict[str, dict[str, str]] = {
    "trial": {"decides_id": "outcome", "easier_id": "method"},
    "method": {"trial_id": "trial"},
    "stage": {"trial_id": "trial", "method_id": "method"},
    "part": {"stage_id": "stage", "method_id": "method"},
    "difference": {"trial_id": "trial", "stage_id": "stage"},
    "outcome": {
        "trial_id": "trial",
        "from_checkpoint_id": "checkpoint",
        "to_checkpoint_id": "checkpoint",
    },
    "checkpoint": {"trial_id": "trial", "stage_id": "stage"},
    "cook": {"trial_id": "trial"},
    "pair": {"cook_id": "cook"},
    "load": {"cook_id": "cook"},
    "piece": {"cook_id": "cook", "pair_id": "pair", "load_id": "load", "method_id": "method"},
    "draw": {"trial_id": "trial"},
    "lot": {"draw_id": "draw", "piece_id": "piece", "method_id": "method"},
    "seal": {"trial_id": "trial"},
    "measurement": {"piece_id": "piece", "checkpoint_id": "checkpoint"},
    "sitting": {"trial_id": "trial", "cook_id": "cook"},
    "seat": {"sitting_id": "sitting", "taster_id": "taster"},
    "sample": {"sitting_id": "sitting", "taster_id": "taster", "piece_id": "piece"},
    "score": {"sample_id": "sample", "outcome_id": "outcome"},
    "left_out": {"trial_id": "trial"},
    "decision": {"trial_id": "trial"},
    "handed_on": {"trial_id": "trial"},
}
"""Which field of which kind holds the id of which kind."""

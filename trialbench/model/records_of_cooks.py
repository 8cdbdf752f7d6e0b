"""What is cooked and weighed, who gets which method, and what was sealed."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from trialbench.model.record import Record


@dataclass(frozen=True, slots=True)
class Cook(Record):
    """One occasion on which the methods are cooked: the block. `date` is the kitchen's own day.

    `after_opening` marks for good a cook day added to the plan when a key was already open.
    `serve_utc` is the moment everything is to be served. `starts_id` is the method that lots let
    start first; with `turns` what wants one place at one time goes one after the other.
    """

    kind: ClassVar[str] = "cook"
    trial_id: str
    number: int
    date: str = ""
    remark: str = ""
    after_opening: bool = False
    serve_utc: str = ""
    offset_min: int = 0
    starts_id: str | None = None
    turns: bool = False


@dataclass(frozen=True, slots=True)
class Pair(Record):
    """Pieces of one cook matched before the draw. `source` is the animal, lot or batch."""

    kind: ClassVar[str] = "pair"
    cook_id: str
    number: int
    source: str = ""


@dataclass(frozen=True, slots=True)
class Load(Record):
    """Pieces of one method that share a pan, bag, bath, cooker or hold box in one cook.

    `stage_id` is the stage in which they share it, where that was said.
    """

    kind: ClassVar[str] = "load"
    cook_id: str
    name: str
    vessel: str = ""
    stage_id: str | None = None


@dataclass(frozen=True, slots=True)
class Piece(Record):
    """What is weighed and cut. `method_id` is what the draw gave it, None before the draw.

    `side`, `lot`, `bought_g`, `thickness_mm`, `marbling`, `frozen` ("" | never | was) and `ph` are
    what it is matched by. A `spare` takes no part in the draw; a rejected piece says why.
    """

    kind: ClassVar[str] = "piece"
    cook_id: str
    position: int
    label: str
    pair_id: str | None = None
    load_id: str | None = None
    method_id: str | None = None
    source: str = ""
    place: str = ""
    side: str = ""
    lot: str = ""
    bought_g: float | None = None
    thickness_mm: float | None = None
    marbling: str = ""
    frozen: str = ""
    ph: float | None = None
    spare: bool = False
    rejected_reason: str = ""


@dataclass(frozen=True, slots=True)
class Replan(Record):
    """What was done when something ran late. `choice` is serve_late | hold_longer | drop.

    `stage_id` is the stage that took `late_s` longer.
    """

    kind: ClassVar[str] = "replan"
    cook_id: str
    made_utc: str
    offset_min: int
    choice: str
    late_s: float
    method_id: str | None = None
    piece_id: str | None = None
    reason: str = ""
    stage_id: str | None = None


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
class AfterSeal(Record):
    """A time in which a sealed plan may be changed, and why.

    `key_open` says whether a key was open when it began. `written` is the plan as canonical JSON
    (as in Seal) when it began, `written_after` when it ended; while `ended_utc` is "" it lasts.
    """

    kind: ClassVar[str] = "after_seal"
    trial_id: str
    number: int
    reason: str
    begun_utc: str
    offset_min: int
    key_open: bool
    written: str
    written_after: str = ""
    ended_utc: str = ""


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
class Amount(Record):
    """What was put on a piece or came out of it, as weighed.

    `role` is salt | rub | brine | medium | other going in, drip | fat_cap | jelly | bag_juice
    coming out. Missing with a reason when `mass_g` is None.
    """

    kind: ClassVar[str] = "amount"
    piece_id: str
    role: str
    made_utc: str
    offset_min: int
    stage_id: str | None = None
    name: str = ""
    mass_g: float | None = None
    typed: str = ""
    missing_reason: str = ""

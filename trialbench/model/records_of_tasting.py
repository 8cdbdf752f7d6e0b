"""Who tastes what under which code, and what came of it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from trialbench.model.record import Record


@dataclass(frozen=True, slots=True)
class Taster(Record):
    """Who scores, by alias. Belongs to the notebook, not to one trial.

    `person` is a name and personal, as is `avoids`; `consent_utc` is when the consent line was
    agreed to. `is_cook` is the cook tasting their own food.
    """

    kind: ClassVar[str] = "taster"
    alias: str
    position: int
    avoids: str = ""
    person: str = ""
    consent_utc: str = ""
    is_cook: bool = False


@dataclass(frozen=True, slots=True)
class Sitting(Record):
    """One tasting of what one cook day gave.

    `key_state` is none | sealed | open. `key_guard` is curtain | passphrase. `key_fingerprint` is
    SHA-256 over the canonical key (which holds its own lot number, so it cannot be guessed).
    `lot_number` is that of codes and orders and is None until the key is open.

    `form` is cards | solo | triangle | duo-trio | tetrad | 2-afc | 3-afc. `by_eye` says whether
    one could tell the methods by look ("" | yes | no) and `hidden_by` what was done about it;
    `sighted` is a second round, with the eyes. `tasted_before` is what the cook had tasted before.
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
    form: str = "cards"
    by_eye: str = ""
    hidden_by: str = ""
    sighted: bool = False
    tasted_before: str = ""


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
    `piece_id` stays None until the key is open, as does `reference`, which marks the reference
    sample. `round_number` counts rounds, `set_number` the sets of a series of choices.
    """

    kind: ClassVar[str] = "sample"
    sitting_id: str
    taster_id: str
    position: int
    code: str
    piece_id: str | None = None
    round_number: int = 1
    set_number: int = 0
    served_utc: str = ""
    reference: bool = False


@dataclass(frozen=True, slots=True)
class Score(Record):
    """What a taster wrote for one sample and one attribute. Missing is missing, never zero.

    `text` holds a remark, the ticked words of a check-all (one a line), or a guess.

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
    text: str = ""


@dataclass(frozen=True, slots=True)
class KeyLook(Record):
    """A look into a key while it was sealed, by the server, with the reason given."""

    kind: ClassVar[str] = "key_look"
    sitting_id: str
    made_utc: str
    offset_min: int
    reason: str = ""


@dataclass(frozen=True, slots=True)
class ReadBack(Record):
    """A cell of a paper score card read a second time, as it was read then."""

    kind: ClassVar[str] = "read_back"
    sample_id: str
    outcome_id: str
    made_utc: str
    offset_min: int
    number: float | None = None
    typed: str = ""


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

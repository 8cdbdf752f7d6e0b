"""What the margin says of one difference: how large it is, what it could explain, the ways out."""

from __future__ import annotations

from trialbench.model.margin import NoteVerb
from trialbench.model.message import Message, msg
from trialbench.model.numbers import shortest
from trialbench.model.quantities import show_duration
from trialbench.model.records import Trial
from trialbench.planning.differences import MethodDifference
from trialbench.planning.stage_words import (
    TEMPERATURES,
    Value,
    field_name,
    listed,
    stage_name,
    temperature_gap,
    the_stage,
    value_words,
)

_NOUNS: dict[str, Message] = {
    "medium": msg("what it lies in"),
    "set_temp_c": msg("the temperature"),
    "duration_s": msg("the time"),
    "end_core_c": msg("the core"),
    "end_feel": msg("the sign"),
    "cover": msg("the cover"),
    "vessel": msg("the vessel"),
    "salt_g_per_kg": msg("the salt"),
    "note": msg("the remark"),
    "": msg("the stage"),
}


def title(found: MethodDifference, *, alone: bool) -> Message:
    """The line's own name: "3 Rest", or "4 Hold, covered" where its stage differs in more."""
    if alone or not found.field:
        return msg("{number} {stage}", number=found.number, stage=stage_name(found.stage))
    return msg(
        "{number} {stage}, {field}",
        number=found.number,
        stage=stage_name(found.stage),
        field=field_name(found.field),
    )


def how_much(found: MethodDifference, unit: str = "C") -> Message:
    """How far apart: "25 min longer in A." """
    if not found.field:
        return msg("Only {letter} has it.", letter=found.values[0][0].letter)
    bare = [method.letter for method, value in found.values if value is None]
    if bare:
        return msg("Nothing is written for {letters}.", letters=listed(bare))
    if len(found.values) == 2 and all(isinstance(v, int | float) for _, v in found.values):
        return _gap(found, unit)
    words = [
        msg("{value} in {letter}", value=value_words(found.field, value, unit), letter=m.letter)
        for m, value in found.values
    ]
    return msg("It is {values}.", values=listed(words))


def _gap(found: MethodDifference, unit: str) -> Message:
    (low_method, low), (method, high) = sorted(found.values, key=_number)
    gap, letter = _number((low_method, high)) - _number((low_method, low)), method.letter
    if found.field == "duration_s":
        return msg("{gap} longer in {letter}.", gap=show_duration(gap), letter=letter)
    if found.field in TEMPERATURES:
        degrees = temperature_gap(gap, unit)
        if found.field == "end_core_c":
            return msg("The core goes {gap} higher in {letter}.", gap=degrees, letter=letter)
        return msg("{gap} warmer in {letter}.", gap=degrees, letter=letter)
    return msg("{gap} g more for each kilogram in {letter}.", gap=shortest(gap), letter=letter)


def _number(item: tuple[object, Value]) -> float:
    value = item[1]
    assert isinstance(value, int | float)
    return float(value)


def could_be_why(found: MethodDifference, trial: Trial) -> Message:
    """What it would explain besides the question."""
    word: Message | str = trial.came_out or msg("different")
    what = the_stage(found.stage)
    return msg("If one comes out {word}, {what} could be why.", word=word, what=what)


def make_equal(found: MethodDifference, unit: str = "C") -> NoteVerb | None:
    """The smallest change that removes it: the first method's value for all of them."""
    if not found.field:
        return NoteVerb(msg("Write it once, for all"), "give_stage", (found.stage.id, ""))
    kept = next(((m, v) for m, v in found.values if v is not None), None)
    if kept is None:
        return None
    method, value = kept
    label = _equal_label(found, value_words(found.field, value, unit))
    return NoteVerb(label, "join_line", (found.stage.id, found.field, method.id))


def _equal_label(found: MethodDifference, value: Message | str) -> Message:
    who = msg("both") if len(found.values) == 2 else msg("all")
    bath = found.stage.stage_kind == "water bath"
    stage = msg("Cook") if bath else stage_name(found.stage)
    field = found.field
    if field == "duration_s":
        return msg("{stage} {who} for {value}", stage=stage, who=who, value=value)
    if field == "set_temp_c":
        return msg("{stage} {who} at {value}", stage=stage, who=who, value=value)
    if field == "end_core_c":
        return msg("{stage} {who} to a core of {value}", stage=stage, who=who, value=value)
    if field == "salt_g_per_kg":
        return msg("{stage} {who} with {value}", stage=stage, who=who, value=value)
    if field in ("medium", "vessel"):
        return msg("{stage} {who} in {value}", stage=stage, who=who, value=value)
    if field == "cover":
        return msg("{stage} {who} {value}", stage=stage, who=who, value=value)
    if field == "end_feel":
        return msg("{stage} {who} until {value}", stage=stage, who=who, value=value)
    return msg("Write “{value}” for {who}", value=value, who=who)


def keep_as_rider(found: MethodDifference) -> NoteVerb:
    """Keep a difference that nobody asked for."""
    label = msg("Keep the difference, as a rider")
    return NoteVerb(label, "set_role", (found.stage.id, found.field, "rider"))


def name_it(found: MethodDifference) -> NoteVerb:
    """Keep what comes with the question, and say so."""
    label = msg("Name {what} in the finding", what=_NOUNS.get(found.field, found.field))
    return NoteVerb(label, "set_role", (found.stage.id, found.field, "rider"))


def ask_it(found: MethodDifference) -> NoteVerb:
    """Say that this is what the trial asks."""
    return NoteVerb(
        msg("This is the question"), "set_role", (found.stage.id, found.field, "question")
    )

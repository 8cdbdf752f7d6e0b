"""One difference in words: which line it is, how far apart, what it could explain."""

from __future__ import annotations

from collections.abc import Callable

from trialbench.model.message import Message, msg
from trialbench.model.numbers import shortest
from trialbench.model.quantities import show_duration
from trialbench.model.records import Method, Trial
from trialbench.model.words import ADDITION_ROLES
from trialbench.planning.differences import MethodDifference, usual_method
from trialbench.planning.stage_words import (
    TEMPERATURES,
    Value,
    and_listed,
    field_name,
    listed,
    stage_name,
    stage_noun,
    temperature_gap,
    the_stage,
    value_words,
)

_NOUNS: dict[str, Message] = {
    "medium": msg("the medium"),
    "set_temp_c": msg("the temperature"),
    "duration_s": msg("the time"),
    "end_core_c": msg("the core"),
    "end_feel": msg("the sign"),
    "cover": msg("the cover"),
    "vessel": msg("the vessel"),
    "salt_g_per_kg": msg("the salt"),
    "slice_mm": msg("the slices"),
    "knife_to_mouth_min": msg("the way from knife to mouth"),
    "place": msg("the place"),
    "note": msg("the remark"),
    "": msg("the stage"),
}
_ADDED: dict[str, Message] = {
    "rub": msg("the rub"),
    "brine": msg("the brine"),
    "medium": msg("the medium"),
    "fuel": msg("the fuel"),
    "wood": msg("the wood"),
    "other": msg("what goes with it"),
}
_Pair = tuple[Message, Message]
_LESS_AND_MORE: dict[str, Callable[[Message | str], _Pair]] = {
    "duration_s": lambda stage: (msg("the shorter {stage}", stage=stage),
                                 msg("the longer {stage}", stage=stage)),
    "set_temp_c": lambda stage: (msg("the cooler {stage}", stage=stage),
                                 msg("the warmer {stage}", stage=stage)),
    "end_core_c": lambda stage: (msg("the lower core after the {stage}", stage=stage),
                                 msg("the higher core after the {stage}", stage=stage)),
    "salt_g_per_kg": lambda stage: (msg("less salt"), msg("more salt")),
    "slice_mm": lambda stage: (msg("the thinner slices"), msg("the thicker slices")),
    "knife_to_mouth_min": lambda stage: (msg("the shorter way from knife to mouth"),
                                         msg("the longer way from knife to mouth")),
}  # fmt: skip
"""What a method with less, or more, of it has, by the noun of its stage."""


def title(found: MethodDifference, *, alone: bool) -> Message:
    """The line's own name: "3 Rest", or "4 Hold, covered" where its stage differs in more."""
    if (alone and not found.addition) or not found.field:
        return msg("{number} {stage}", number=found.number, stage=stage_name(found.stage))
    return msg(
        "{number} {stage}, {field}",
        number=found.number,
        stage=stage_name(found.stage),
        field=line_word(found),
    )


def line_word(found: MethodDifference) -> Message | str:
    """The word before the line: "for", "covered", "rub"."""
    if found.addition:
        return ADDITION_ROLES.get(found.addition, found.addition)
    return field_name(found.field)


def what_it_is(found: MethodDifference) -> Message | str:
    """The line inside a sentence: "the cover", "the rub"."""
    if found.addition:
        return _ADDED.get(found.addition, found.addition)
    return _NOUNS.get(found.field, found.field)


def sentence(found: MethodDifference, unit: str = "C") -> Message:
    """The whole difference by itself: "Rest: 30 min in A and C, 1 h in B." """
    name = stage_name(found.stage)
    if not found.field:
        return msg("{stage}: only in {letter}.", stage=name, letter=found.values[0][0].letter)
    values = _by_value(found, unit)
    if found.field == "duration_s":
        return msg("{stage}: {values}.", stage=name, values=values)
    word = line_word(found)
    return msg("{stage}, {word}: {values}.", stage=name, word=word, values=values)


def how_much(found: MethodDifference, unit: str = "C") -> Message:
    """How far apart: "25 min longer in A."; "It is 30 min in A and C, 1 h in B." """
    if not found.field:
        return msg("Only {letter} has it.", letter=found.values[0][0].letter)
    with_it = [(method, value) for method, value in found.values if value is not None]
    if len(found.values) == 2 and len(with_it) == 1:
        return _in_one_alone(found, with_it[0])
    if len(found.values) == 2 and all(isinstance(v, int | float) for _, v in found.values):
        return _gap(found, unit)
    return msg("It is {values}.", values=_by_value(found, unit))


def _in_one_alone(found: MethodDifference, has: tuple[Method, Value]) -> Message:
    method, value = has
    if found.addition:
        return msg("Only {letter} has it: {value}.", letter=method.letter, value=str(value))
    bare = [m.letter for m, v in found.values if v is None]
    return msg("Nothing is written for {letters}.", letters=listed(bare))


def _by_value(found: MethodDifference, unit: str) -> Message | str:
    """ "30 min in A and C, 1 h in B": methods with one value together, by their first letter."""
    letters: dict[Value, list[str]] = {}
    for method, value in found.values:
        letters.setdefault(value, []).append(method.letter)
    return listed([
        msg(
            "{value} in {letters}",
            value=msg("nothing") if value is None else value_words(found.field, value, unit),
            letters=and_listed(them),
        )
        for value, them in letters.items()
    ])  # fmt: skip


def _gap(found: MethodDifference, unit: str) -> Message:
    (low_method, low), (method, high) = sorted(found.values, key=_number)
    gap, letter = _number((method, high)) - _number((low_method, low)), method.letter
    if found.field == "duration_s":
        return msg("{gap} longer in {letter}.", gap=show_duration(gap), letter=letter)
    if found.field in TEMPERATURES:
        degrees = temperature_gap(gap, unit)
        if found.field == "end_core_c":
            return msg("The core goes {gap} higher in {letter}.", gap=degrees, letter=letter)
        return msg("{gap} warmer in {letter}.", gap=degrees, letter=letter)
    if found.field == "slice_mm":
        return msg("{gap} mm thicker in {letter}.", gap=shortest(gap), letter=letter)
    if found.field == "knife_to_mouth_min":
        return msg("{gap} min longer in {letter}.", gap=shortest(gap), letter=letter)
    return _salted_apart(found)


def _salted_apart(found: MethodDifference) -> Message:
    (one, first), (other, second) = found.values
    return msg(
        "{first} g for each kilogram in {one}, {second} g in {other}.",
        first=shortest(_number((one, first))),
        one=one.letter,
        second=shortest(_number((other, second))),
        other=other.letter,
    )


def _number(item: tuple[object, Value]) -> float:
    value = item[1]
    assert isinstance(value, int | float)
    return float(value)


def could_be_why(found: MethodDifference, trial: Trial) -> Message:
    """What it means for the finding: "If B wins, the shorter rest may be why." """
    there = [method for method, _ in found.values]
    if len(found.values) == 2:
        usual = usual_method(trial, there)
        other = next(m for m in there if m.id != usual.id)
        what = _of_method(found, other)
        return msg("If {letter} wins, {what} may be why.", letter=other.letter, what=what)
    if not found.field:
        letter, what = there[0].letter, the_stage(found.stage)
        return msg("If {letter} does not come out as the others, {what} may be why.",
                   letter=letter, what=what)  # fmt: skip
    word: Message | str = trial.came_out or msg("different")
    return msg("If one comes out {word}, {what} may be why.", word=word, what=_in_stage(found))


def _of_method(found: MethodDifference, method: Method) -> Message | str:
    """What this method has that the other has not: "the shorter rest"."""
    held = {m.id: v for m, v in found.values}
    mine = held[method.id]
    other = next(v for key, v in held.items() if key != method.id)
    if isinstance(mine, int | float) and isinstance(other, int | float):
        less, more = _LESS_AND_MORE[found.field](stage_noun(found.stage))
        return more if mine > other else less
    return _in_stage(found)


def _in_stage(found: MethodDifference) -> Message:
    if found.field == "duration_s":
        return msg("{stage}", stage=the_stage(found.stage))
    return msg("{what} in {stage}", what=what_it_is(found), stage=the_stage(found.stage))

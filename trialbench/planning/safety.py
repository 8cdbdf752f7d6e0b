"""Cautions on food in a planned method: usual limits beside the stages that come near them.

They are cautions and never a clearance: a stage without one has not been found in order. Limits and
their sources stand in resources/safety/.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from trialbench.model.margin import MarginNote
from trialbench.model.message import Message, msg
from trialbench.model.quantities import show_duration, show_temp
from trialbench.model.records import Stage, Trial
from trialbench.model.words import STAGE_KINDS
from trialbench.notebook.records_read import Reads
from trialbench.notebook.views import cover, method_stages, methods, stages
from trialbench.planning.safety_tables import (
    ROAST_CITED,
    MinimumCore,
    limits,
    minimum_cores,
    roast_row,
)
from trialbench.planning.stage_words import listed, stage_name

LOCAL_CODE = msg(
    "Follow your local food code and, for commercial production, a licensed food-safety "
    "professional."
)

HEATING = (
    "smoke", "roast", "braise", "simmer", "boil", "confit", "water bath", "steam", "bake", "fry",
    "sear",
)  # fmt: skip
_COLD_OR_AT_REST = ("prepare", "trim", "salt", "soak", "wrap", "slice")
_SLOW = ("smoke", "roast", "braise", "confit", "water bath", "bake")
_SLOW_BELOW_C = 121.0


@dataclass(frozen=True, slots=True)
class Caution:
    """One caution beside one stage, for the methods of these letters."""

    stage: Stage
    letters: tuple[str, ...]
    sentence: Message
    source: Message


Found = tuple[Stage, Message, Message]


def cautions_of(book: Reads, trial_id: str) -> tuple[Caution, ...]:
    """Every caution in the order of the stages; what holds for several methods stands once."""
    trial, unit = book.get(Trial, trial_id), cover(book).temperature_unit
    letters: dict[tuple[str, Message, Message], list[str]] = {}
    first: dict[tuple[str, Message, Message], Stage] = {}
    for method in methods(book, trial_id):
        for stage, sentence, source in _of_method(trial, method_stages(book, method.id), unit):
            key = (stage.id, sentence, source)
            letters.setdefault(key, []).append(method.letter)
            first.setdefault(key, stage)
    place = {stage.id: n for n, stage in enumerate(stages(book, trial_id))}
    found = [Caution(first[k], tuple(letters[k]), k[1], k[2]) for k in letters]
    return tuple(sorted(found, key=lambda c: place[c.stage.id]))


def _of_method(trial: Trial, own: Sequence[Stage], unit: str) -> Iterator[Found]:
    for place, stage in enumerate(own):
        heated = any(s.stage_kind in HEATING for s in own[:place])
        yield from _warm_hold(stage, unit)
        yield from _lukewarm(stage, unit)
        yield from _long_rest(stage, heated)
        yield from _cooling(stage, heated)
        yield from _reheating(stage, unit)
    yield from _slow_start(own, unit)
    yield from _core(trial, own, unit)


def _warm_hold(stage: Stage, unit: str) -> Iterator[Found]:
    word, cold = STAGE_KINDS.get(stage.stage_kind), limits()["cold_hold"].temp_c or 0
    if word is None or not word.warm:
        return
    limit = limits()["hot_hold"]
    source = msg("Hot holding: {cited}", cited=limit.cited)
    usual = msg("Hot food is usually held at {limit} or above.", limit=limit.temperature)
    if stage.set_temp_c is None:
        yield stage, msg("No temperature is written. {usual}", usual=usual), source
    elif stage.set_temp_c > cold and not limit.reached_by(stage.set_temp_c):
        held = show_temp(stage.set_temp_c, unit)
        yield stage, msg("Held at {held}. {usual}", held=held, usual=usual), source
    elif stage.set_temp_c > cold:
        watch = msg("Take the temperature of the food, not of the air. {usual}", usual=usual)
        yield stage, watch, source


def _lukewarm(stage: Stage, unit: str) -> Iterator[Found]:
    """Hours between cold and hot holding, as far as the set temperature tells."""
    cold, hot, alone = (limits()[name] for name in ("cold_hold", "hot_hold", "time_alone"))
    if stage.stage_kind not in (*_COLD_OR_AT_REST, *HEATING) or stage.set_temp_c is None:
        return
    assert cold.temp_c is not None and alone.time_s is not None
    upper = limits()["roast_hold"] if stage.stage_kind in HEATING else hot
    if stage.set_temp_c <= cold.temp_c or upper.reached_by(stage.set_temp_c):
        return
    if (stage.duration_s or 0) > alone.time_s:
        says = msg(
            "{time} at {temperature}. Food usually stays no longer than {most} between {cold} and "
            "{hot}.",
            time=show_duration(stage.duration_s or 0),
            temperature=show_temp(stage.set_temp_c, unit),
            most=alone.time,
            cold=cold.temperature,
            hot=hot.temperature,
        )
        yield stage, says, msg("Time alone: {cited}", cited=alone.cited)


def _long_rest(stage: Stage, heated: bool) -> Iterator[Found]:
    limit = limits()["cool_first"]
    if stage.stage_kind == "rest" and heated and (stage.duration_s or 0) > (limit.time_s or 0):
        says = msg(
            "{time} off the heat. What falls under {hot} usually passes {limit} within {most}.",
            time=show_duration(stage.duration_s or 0),
            hot=limits()["hot_hold"].temperature,
            limit=limit.temperature,
            most=limit.time,
        )
        yield stage, says, msg("Cooling: {cited}", cited=limit.cited)


def _cooling(stage: Stage, heated: bool) -> Iterator[Found]:
    if stage.stage_kind != "chill" or not heated:
        return
    first, whole = limits()["cool_first"], limits()["cool_all"]
    says = msg(
        "Cooked food usually goes from {hot} to {first} within {early}, and to {cold} within "
        "{late} in all. A thick piece does not do that by itself.",
        hot=limits()["hot_hold"].temperature,
        first=first.temperature,
        early=first.time,
        cold=whole.temperature,
        late=whole.time,
    )
    yield stage, says, msg("Cooling: {cited}", cited=whole.cited)


def _reheating(stage: Stage, unit: str) -> Iterator[Found]:
    if stage.stage_kind != "reheat":
        return
    limit, most = limits()["reheat"], limits()["reheat_time"]
    if stage.end_core_c is None or not limit.reached_by(stage.end_core_c):
        says = msg(
            "Food that is then held hot is usually reheated to {limit} in all parts.",
            limit=limit.temperature,
        )
        yield stage, says, msg("Reheating: {cited}", cited=limit.cited)
    if (stage.duration_s or 0) > (most.time_s or 0):
        says = msg(
            "{time} to reheat. It usually takes {most} at most.",
            time=show_duration(stage.duration_s or 0),
            most=most.time,
        )
        yield stage, says, msg("Reheating: {cited}", cited=most.cited)


def _slow_start(own: Sequence[Stage], unit: str) -> Iterator[Found]:
    stage = next((s for s in own if s.stage_kind in HEATING), None)
    limit, low = limits()["come_up"], limits()["come_up_low"]
    if stage is None or stage.stage_kind not in _SLOW or stage.set_temp_c is None:
        return
    if stage.set_temp_c <= _SLOW_BELOW_C and (stage.duration_s or 0) >= (limit.time_s or 0):
        says = msg(
            "A slow start at {temperature}. The inside usually passes from {low} to {limit} "
            "within {most}: write it as it comes up.",
            temperature=show_temp(stage.set_temp_c, unit),
            low=low.temperature,
            limit=limit.temperature,
            most=limit.time,
        )
        yield stage, says, msg("Coming up: {cited}", cited=limit.cited)


def _core(trial: Trial, own: Sequence[Stage], unit: str) -> Iterator[Found]:
    minimum, heating = minimum_core(trial), [s for s in own if s.stage_kind in HEATING]
    if minimum is None or not heating:
        return
    hottest = max(heating, key=lambda s: -300.0 if s.end_core_c is None else s.end_core_c)
    source = msg("Minimum inside: {cited}", cited=minimum.limit.cited)
    usual = msg("The usual minimum inside is {limit}.", limit=minimum.limit.temperature)
    if hottest.end_core_c is None:
        yield heating[-1], msg("No core temperature is written. {usual}", usual=usual), source
    elif not minimum.limit.reached_by(hottest.end_core_c):
        core = show_temp(hottest.end_core_c, unit)
        yield hottest, msg("A core of {core}. {usual}", core=core, usual=usual), source
        yield from _roast(hottest, minimum, core)


def _roast(stage: Stage, minimum: MinimumCore, core: str) -> Iterator[Found]:
    """Whole roasts have a table of their own: lower, for longer."""
    row = roast_row(stage.end_core_c or 0) if minimum.food == "meat" else None
    if row is not None:
        says = msg(
            "For a whole roast the table has {temp_c} °C ({temp_f} °F) for {time}.",
            temp_c=f"{row.temp_c:g}",
            temp_f=f"{row.temp_f:g}",
            time=show_duration(row.time_s),
        )
        yield stage, says, msg("Whole roasts: {cited}", cited=ROAST_CITED)


def minimum_core(trial: Trial) -> MinimumCore | None:
    """The usual minimum for the food that the trial names, None for food without one."""
    words = set(re.findall(r"\w+", f"{trial.food} {trial.chapter}".casefold()))
    return next((m for m in minimum_cores() if m.words & words), None)


def caution_notes(book: Reads, trial_id: str) -> tuple[MarginNote, ...]:
    """One watch note per stage that has cautions; the local food code closes the last one."""
    found = cautions_of(book, trial_id)
    everybody = len(methods(book, trial_id))
    notes = [
        _note(book, stage_id, [c for c in found if c.stage.id == stage_id], everybody)
        for stage_id in dict.fromkeys(c.stage.id for c in found)
    ]
    return with_local_code(notes)


def _note(book: Reads, stage_id: str, own: Sequence[Caution], everybody: int) -> MarginNote:
    stage = book.get(Stage, stage_id)
    number = [s.id for s in stages(book, stage.trial_id)].index(stage_id) + 1
    label = msg("{number} {stage}: watch", number=number, stage=stage_name(stage))
    says = tuple(_for(c, everybody) for c in own)
    source = in_a_row(dict.fromkeys(c.source for c in own))
    return MarginNote(f"stage:{stage_id}", "watch", label, says, source=source, dear=100)


def _for(caution: Caution, everybody: int) -> Message:
    if len(caution.letters) == everybody:
        return caution.sentence
    letters = listed(caution.letters)
    return msg("{letters}: {says}", letters=letters, says=caution.sentence)


def in_a_row(sentences: Iterable[Message]) -> Message:
    """Sentences one after the other, as one."""
    first, *rest = sentences
    return msg("{first} {rest}", first=first, rest=in_a_row(rest)) if rest else first


def with_local_code(notes: Sequence[MarginNote]) -> tuple[MarginNote, ...]:
    """The notes, with the sentence on local food codes closing the last one on food."""
    last = max((n for n, note in enumerate(notes) if note.mark == "watch"), default=None)
    if last is None:
        return tuple(notes)
    note = notes[last]
    source = in_a_row([note.source, LOCAL_CODE]) if note.source else LOCAL_CODE
    return (*notes[:last], replace(note, source=source), *notes[last + 1 :])

"""The cord: where methods go together, where lots are drawn, and where they join again."""

from __future__ import annotations

from dataclasses import dataclass

from trialbench.model.message import Message, msg
from trialbench.model.quantities import show_duration, show_temp
from trialbench.model.records import Stage
from trialbench.notebook.records_read import Reads
from trialbench.notebook.views import cover, methods, resolved_stage, stages
from trialbench.planning.differences import differences_of
from trialbench.planning.stage_words import stage_name

_SHOWN_WITH_TEMPERATURE = ("hold", "water bath")


@dataclass(frozen=True, slots=True)
class Stretch:
    """A stage on the cord. `apart` stretches belong to each method by itself.

    `says` holds (letters, words): one entry where all methods have the same words, else one each;
    a method that has not the stage is left out. `longest_s` is its longest written time.
    """

    stage_id: str
    name: Message | str
    says: tuple[tuple[str, Message | str], ...]
    apart: bool
    longest_s: float | None


@dataclass(frozen=True, slots=True)
class CordOfMethods:
    """All stretches in order. `parts_at` and `joins_at` count stretches from 0.

    `parts_at` is the first one in which methods differ (lots are drawn before it), None where
    nothing differs; `joins_at` the first one that all share again, the number of stretches where
    they never join.
    """

    letters: str
    stretches: tuple[Stretch, ...]
    parts_at: int | None
    joins_at: int | None


def cord_of(book: Reads, trial_id: str) -> CordOfMethods:
    """The cord of a trial's methods."""
    letters = "".join(method.letter for method in methods(book, trial_id))
    there = stages(book, trial_id)
    differ = {found.stage.id for found in differences_of(book, trial_id)}
    places = [place for place, stage in enumerate(there) if stage.id in differ]
    first, last = (places[0], places[-1]) if places else (len(there), -1)
    stretches = tuple(
        Stretch(
            stage_id=stage.id,
            name=stage_name(stage),
            says=_says(book, stage),
            apart=first <= place <= last,
            longest_s=_longest(book, stage),
        )
        for place, stage in enumerate(there)
    )
    if not places:
        return CordOfMethods(letters, stretches, None, None)
    return CordOfMethods(letters, stretches, first, last + 1)


def _resolved(book: Reads, stage: Stage) -> list[tuple[str, Stage]]:
    return [
        (method.letter, resolved_stage(book, stage, method.id))
        for method in methods(book, stage.trial_id)
        if stage.method_id in (None, method.id)
    ]


def _longest(book: Reads, stage: Stage) -> float | None:
    times = [s.duration_s for _, s in _resolved(book, stage) if s.duration_s is not None]
    return max(times, default=None)


def _says(book: Reads, stage: Stage) -> tuple[tuple[str, Message | str], ...]:
    unit = cover(book).temperature_unit
    said: dict[Message | str, str] = {}
    for letter, own in _resolved(book, stage):
        words = time_words(own, unit)
        said[words] = said.get(words, "") + letter
    return tuple((letters, words) for words, letters in said.items())


def time_words(stage: Stage, unit: str = "C") -> Message | str:
    """How long and how far, short: "to 92 °C core, about 9 h"; "65 °C, 8 h"; "24 h"."""
    time = show_duration(stage.duration_s) if stage.duration_s is not None else ""
    if stage.end_core_c is not None:
        core = show_temp(stage.end_core_c, unit)
        if time:
            return msg("to {core} core, about {time}", core=core, time=time)
        return msg("to {core} core", core=core)
    if time and stage.set_temp_c is not None and stage.stage_kind in _SHOWN_WITH_TEMPERATURE:
        return f"{show_temp(stage.set_temp_c, unit)}, {time}"
    return time or stage.end_feel

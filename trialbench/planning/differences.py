"""The difference audit: everything that differs between the methods, each with its part in it.

Several things that change at once are why a trial cannot say what did it. One difference is the
question (two where two things are crossed); every other one comes with it, is made the same, or is
kept as a rider that the finding names.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from trialbench.model.message import say
from trialbench.model.records import Factor, Method, Stage, Trial
from trialbench.notebook.acts.addition_words import shown_addition
from trialbench.notebook.records_read import Reads
from trialbench.notebook.views import (
    Slot,
    cover,
    differing,
    methods,
    part_value,
    parts,
    role_of_line,
    slot_of_field,
    stages,
)
from trialbench.planning.stage_words import Value, value_words


@dataclass(frozen=True, slots=True)
class MethodDifference:
    """One line in which methods differ. `number` is its stage's place on the page, from 1.

    `field` is a field of Stage, "addition 2" for a line of additions (then `addition` is its role),
    or "" for a stage that only one method has. `values` holds (method, value) by letter, None where
    nothing is written; for an own stage its method alone. `role` is what the cook said, or the
    shape of the trial (question | rider | "" for not yet); `suggested` what the notebook would say.
    """

    stage: Stage
    number: int
    field: str
    values: tuple[tuple[Method, Value], ...]
    role: str = ""
    suggested: str = ""
    addition: str = ""

    @property
    def asked(self) -> bool:
        """Whether it is the question, said or as far as one can tell."""
        return (self.role or self.suggested) == "question"

    @property
    def line(self) -> str:
        """The page's name of the line."""
        return ":".join(filter(None, ("stage", self.stage.id, self.field)))

    def value_of(self, method: Method) -> Value:
        """What a method has there; whether it has the stage at all for an own stage."""
        held = {m.id: v for m, v in self.values}
        return method.letter if not self.field and method.id in held else held.get(method.id)


def usual_method(trial: Trial, there: Sequence[Method]) -> Method:
    """The method that the others are held against: the usual one, else the first."""
    return next((m for m in there if m.id == trial.usual_id), there[0])


def differences_of(book: Reads, trial_id: str) -> tuple[MethodDifference, ...]:
    """Every difference in the order of the page, with the role said or suggested."""
    trial = book.get(Trial, trial_id)
    number = {stage.id: n for n, stage in enumerate(stages(book, trial_id), start=1)}
    found = [
        _difference(book, stage, number[stage.id], field)
        for stage, field in differing(book, trial_id)
    ]
    varied = bool(book.all(Factor, trial_id=trial_id))
    there = methods(book, trial_id)
    return _suggested(trial, there, found, cover(book).temperature_unit, varied=varied)


def _difference(book: Reads, stage: Stage, number: int, field: str) -> MethodDifference:
    role = role_of_line(book, stage.id, field) or ""
    slot = slot_of_field(book, stage.id, field)
    if slot is not None:
        values = _additions(book, stage, slot)
        return MethodDifference(stage, number, field, values, role, addition=slot.role)
    return MethodDifference(stage, number, field, _values(book, stage, field), role)


def _additions(book: Reads, stage: Stage, slot: Slot) -> tuple[tuple[Method, Value], ...]:
    there = methods(book, stage.trial_id)
    return tuple((m, shown_addition(slot.of(m.id)) or None) for m in there)


def _values(book: Reads, stage: Stage, field: str) -> tuple[tuple[Method, Value], ...]:
    if stage.method_id is not None:
        return ((book.get(Method, stage.method_id), None),)
    has = {part.method_id: part_value(part) for part in parts(book, stage.id, field)}
    there = methods(book, stage.trial_id)
    return tuple((m, None if has.get(m.id) == "" else has.get(m.id)) for m in there)


def _suggested(
    trial: Trial,
    there: Sequence[Method],
    found: Sequence[MethodDifference],
    unit: str,
    *,
    varied: bool,
) -> tuple[MethodDifference, ...]:
    """The question is the line that the idea names best; its own stage's other lines come with it.

    Where the cook has said what is asked, that stands; where something is varied on purpose, its
    line is the question and nothing comes with it.
    """
    if varied:
        return tuple(found)
    asked = [d for d in found if d.role == "question"]
    if not asked and trial.question != "same_recipe":
        asked = list(_named_by_ideas(trial, there, [d for d in found if not d.role], unit))
    own_stages = {d.stage.id for d in asked}
    return tuple(
        replace(d, suggested="question")
        if d in asked
        else replace(d, suggested="rider" if d.stage.id in own_stages else "")
        for d in found
    )


def _named_by_ideas(
    trial: Trial, there: Sequence[Method], found: Sequence[MethodDifference], unit: str
) -> Iterable[MethodDifference]:
    """What each method beside the usual one is about: by the idea, or by its own short name."""
    if len(found) == 1:
        return found
    if len(there) <= 2:
        best = _named_best(found, trial.idea, trial.usual, unit)
        return [] if best is None else [best]
    usual = usual_method(trial, there)
    named = []
    for method in there:
        its = [d for d in found if d.value_of(method) != d.value_of(usual)]
        best = its[0] if len(its) == 1 else _named_best(its, method.name, usual.name, unit)
        if method.id != usual.id and best is not None and best not in named:
            named.append(best)
    return named


def _named_best(
    found: Sequence[MethodDifference], idea: str, usual: str, unit: str
) -> MethodDifference | None:
    marks = [_likeness(d, _tokens(idea), _tokens(usual), unit) for d in found]
    best = max(marks, default=0)
    return found[marks.index(best)] if best > 0 else None


def _likeness(found: MethodDifference, idea: set[str], usual: set[str], unit: str) -> int:
    """How many words of its values the idea and the usual way name, each in its own value."""
    words = [_tokens(say(value_words(found.field, v, unit))) for _, v in found.values if v]
    if not found.field:
        words = [_tokens(f"{found.stage.stage_kind} {found.stage.medium} {found.stage.vessel}")]
    common = set.intersection(*words) if len(words) > 1 else set()
    own = set().union(*words) - common
    only_idea, only_usual = idea - usual, usual - idea
    return 2 * len(own & only_idea) + len(own & only_usual)


def _tokens(text: str) -> set[str]:
    return {word for word in re.findall(r"\w+", text.casefold()) if len(word) > 1}

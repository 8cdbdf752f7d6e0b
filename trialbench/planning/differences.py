"""The difference audit: everything that differs between the methods, each with its part in it.

Several things that change at once are why a trial cannot say what did it. One difference is the
question; every other one comes with it, is made the same, or is kept as a rider that the finding
names.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

from trialbench.model.message import say
from trialbench.model.records import Method, Stage, Trial
from trialbench.notebook.records_read import Reads
from trialbench.notebook.views import (
    cover,
    difference,
    differing,
    methods,
    part_value,
    parts,
    stages,
)
from trialbench.planning.stage_words import Value, value_words


@dataclass(frozen=True, slots=True)
class MethodDifference:
    """One line in which methods differ. `number` is its stage's place on the page, from 1.

    `field` is a field of Stage, or "" for a stage that only one method has. `values` holds (method,
    value) by letter, None where nothing is written; for an own stage its method alone. `role` is
    what the cook said (question | rider | "" for not yet); `suggested` what the notebook would say.
    """

    stage: Stage
    number: int
    field: str
    values: tuple[tuple[Method, Value], ...]
    role: str = ""
    suggested: str = ""

    @property
    def asked(self) -> bool:
        """Whether it is the question, said or as far as one can tell."""
        return (self.role or self.suggested) == "question"

    @property
    def line(self) -> str:
        """The page's name of the line."""
        return ":".join(filter(None, ("stage", self.stage.id, self.field)))


def differences_of(book: Reads, trial_id: str) -> tuple[MethodDifference, ...]:
    """Every difference in the order of the page, with the role said or suggested."""
    trial = book.get(Trial, trial_id)
    number = {stage.id: n for n, stage in enumerate(stages(book, trial_id), start=1)}
    found = [
        MethodDifference(stage, number[stage.id], field, _values(book, stage, field))
        for stage, field in differing(book, trial_id)
    ]
    said = [replace(d, role=_role(book, d)) for d in found]
    return _suggested(trial, said, cover(book).temperature_unit)


def _values(book: Reads, stage: Stage, field: str) -> tuple[tuple[Method, Value], ...]:
    if stage.method_id is not None:
        return ((book.get(Method, stage.method_id), None),)
    has = {part.method_id: part_value(part) for part in parts(book, stage.id, field)}
    there = methods(book, stage.trial_id)
    return tuple((m, None if has.get(m.id) == "" else has.get(m.id)) for m in there)


def _role(book: Reads, found: MethodDifference) -> str:
    said = difference(book, found.stage.id, found.field)
    return said.role if said else ""


def _suggested(
    trial: Trial, found: Sequence[MethodDifference], unit: str
) -> tuple[MethodDifference, ...]:
    """The question is the line that the idea names best; its own stage's other lines come with it.

    Where the cook has said what is asked, that stands.
    """
    asked = next((d for d in found if d.role == "question"), None)
    if asked is None and trial.question != "same_recipe":
        asked = _named_by_the_idea(trial, [d for d in found if not d.role], unit)
    if asked is None:
        return tuple(found)
    stage_id = asked.stage.id
    return tuple(
        replace(d, suggested="question")
        if d is asked
        else replace(d, suggested="rider" if d.stage.id == stage_id else "")
        for d in found
    )


def _named_by_the_idea(
    trial: Trial, found: Sequence[MethodDifference], unit: str
) -> MethodDifference | None:
    if len(found) == 1:
        return found[0]
    idea, usual = _tokens(trial.idea), _tokens(trial.usual)
    marks = [_likeness(d, idea, usual, unit) for d in found]
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

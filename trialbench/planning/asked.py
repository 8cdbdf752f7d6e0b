"""The question that counts: what was asked before anybody could see the answer.

What decides, the direction, the smallest difference that matters, how it is asked, at which alpha
and over how many cook days may be changed after the seal. Changed with a key open, such a change
never touches the headline: the finding is reckoned for the question as it stood, and says what the
other one gives.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from trialbench.model.records import Outcome, Trial
from trialbench.planning.after_seal import openings_of
from trialbench.planning.of_trial import OfTrial
from trialbench.planning.plan_changed import PlanChange, plan_changes
from trialbench.planning.seal_text import plan_written, read_text

OF_THE_TRIAL = ("question", "decides_id", "easier_id", "matters", "alpha", "usual_id", "compares",
                "shape")  # fmt: skip
OF_AN_OUTCOME = ("better", "target", "scale", "low", "high", "step")
_LINES = frozenset({"plan:planned_cooks", *(f"question:{name}" for name in OF_THE_TRIAL)})


@dataclass(frozen=True, slots=True)
class AskedBefore:
    """The trial and outcomes as they were asked; `changes` are what was asked otherwise since."""

    trial: Trial
    outcomes: tuple[Outcome, ...]
    changes: tuple[PlanChange, ...]


def asked_before(records: OfTrial) -> AskedBefore | None:
    """What was asked before the answer could be seen; None where it is still asked so."""
    first = next((each for each in openings_of(records) if each.key_open), None)
    if first is None:
        return None
    then, now = read_text(first.written), read_text(plan_written(records))
    changes = tuple(c for c in plan_changes(then, now) if _of_the_question(c))
    if not changes:
        return None
    values: dict[str, Any] = {name: then["question"][name] for name in OF_THE_TRIAL}
    values["planned_cooks"] = then["plan"]["planned_cooks"]
    sealed = {outcome["id"]: outcome for outcome in then["outcomes"]}
    outcomes = tuple(
        replace(o, **{name: sealed[o.id][name] for name in OF_AN_OUTCOME}) if o.id in sealed else o
        for o in records.of(Outcome)
    )
    return AskedBefore(replace(records.trial, **values), outcomes, changes)


def _of_the_question(change: PlanChange) -> bool:
    part, _, rest = change.name.partition(":")
    return change.name in _LINES or (part == "outcome" and rest.partition(":")[2] in OF_AN_OUTCOME)

"""Which procedure of the policy will speak when the numbers are in: written down with the seal."""

from __future__ import annotations

from typing import Any, Literal

from trialbench.model.message import Message, msg, msg_n, say
from trialbench.model.numbers import shortest
from trialbench.model.records import Factor, Method, Outcome
from trialbench.planning.assignments import units_of
from trialbench.planning.of_trial import OfTrial, methods_of
from trialbench.planning.units import PlannedUnits, planned_units

Procedure = Literal[
    "over_cooks", "each_pair", "with_usual", "contrasts", "trend", "one_cook", "none"
]


def procedure_of(records: OfTrial) -> Procedure:
    """Which one speaks by the plan as it stands (policy 6.2, 6.3, 6.7)."""
    trial, methods = records.trial, len(methods_of(records))
    if units_planned(records).scope != "method":
        return "one_cook" if units_planned(records).scope != "none" else "none"
    if methods <= 2:
        return "over_cooks"
    if trial.shape == "crossed":
        return "contrasts"
    if trial.shape == "ordered":
        return "trend"
    return "with_usual" if trial.compares == "with_usual" and trial.usual_id else "each_pair"


def units_planned(records: OfTrial) -> PlannedUnits:
    """What the plan counts."""
    deciding = next((o for o in records.of(Outcome) if o.id == records.trial.decides_id), None)
    tasted = deciding is None or deciding.source == "attribute"
    units = units_of(records)
    return planned_units(records.trial, len(methods_of(records)), units, tasted=tasted)


def analysis_of(records: OfTrial) -> tuple[Message, ...]:
    """The analysis in words, from the unit to what is claimed."""
    trial = records.trial
    alpha = shortest(trial.alpha, 4)
    says = [_procedure_words(records, procedure_of(records))]
    if trial.question == "same_recipe":
        says.append(msg("One recipe twice: no winner is named."))
    elif trial.question == "at_least_as_good":
        says.append(
            msg("At least as good: one-sided at {alpha}, against the smallest difference that "
                "matters.", alpha=alpha)
        )  # fmt: skip
    else:
        says.append(msg("Two-sided at {alpha}; the wanted direction only chooses words.",
                        alpha=alpha))  # fmt: skip
    if trial.planned_cooks:
        says.append(
            msg_n("Nothing is claimed before {count} cook day is in.",
                  "Nothing is claimed before {count} cook days are in.", trial.planned_cooks)
        )  # fmt: skip
    return tuple(says)


def _procedure_words(records: OfTrial, procedure: Procedure) -> Message:
    if procedure == "over_cooks":
        return msg("One number a cook day: the mean over tasters of each one's difference. A t "
                   "interval over cook days; the redraw test beside it.")  # fmt: skip
    if procedure == "each_pair":
        return msg("Every pair of methods by itself, one number a cook day; p by Holm, intervals "
                   "for all pairs at once.")  # fmt: skip
    if procedure == "with_usual":
        usual = next((m.letter for m in records.of(Method) if m.id == records.trial.usual_id), "")
        return msg("Every method against {usual} alone, one number a cook day; p by Holm, "
                   "intervals for all of them at once.", usual=usual)  # fmt: skip
    if procedure == "contrasts":
        names = " × ".join(f.name for f in sorted(records.of(Factor), key=lambda f: f.position))
        return msg("The contrasts of {factors}, one value a cook day each; main effects and "
                   "interactions are one family by Holm; where the factors act on each other, the "
                   "simple effects lead, a family of their own.", factors=names)  # fmt: skip
    if procedure == "trend":
        return msg("The rise over the settings and its bend, one value a cook day each.")
    if procedure == "one_cook":
        return _one_cook_words(records)
    return msg("No degrees of freedom are left: nothing can be claimed.")


def _one_cook_words(records: OfTrial) -> Message:
    units = units_planned(records)
    if units.each >= 2 and units.paired:
        return msg("One cook day: a paired t over its pairs. It speaks of that day's batch.")
    if units.each >= 2:
        return msg("One cook day: a pooled t over its pieces or loads. It speaks of that day's "
                   "batch.")  # fmt: skip
    if units.scope == "taster":
        return msg("One taster: a pooled t over the servings. It speaks of this taster.")
    return msg("One cook day, one of each: a paired t over tasters. It speaks of these pieces.")


def analysis_written(records: OfTrial) -> dict[str, Any]:
    """The analysis for the seal, in English whatever the language of the screen."""
    words = [say(each, "en") for each in analysis_of(records)]
    return {"procedure": procedure_of(records), "words": words}

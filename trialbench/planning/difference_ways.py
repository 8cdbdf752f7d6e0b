"""The ways out of one difference: the smallest change that removes it, or its part in the trial."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable

from trialbench.model.margin import NoteVerb
from trialbench.model.message import Message, msg
from trialbench.model.records import Method, Trial
from trialbench.planning.difference_words import what_it_is
from trialbench.planning.differences import MethodDifference, usual_method
from trialbench.planning.stage_words import Value, stage_name, value_words

_Said = Message | str
_LABELS: dict[str, Callable[[_Said, _Said, _Said], Message]] = {
    "duration_s": lambda stage, who, value: msg("{stage} {who} for {value}", stage=stage, who=who,
                                                value=value),
    "set_temp_c": lambda stage, who, value: msg("{stage} {who} at {value}", stage=stage, who=who,
                                                value=value),
    "end_core_c": lambda stage, who, value: msg("{stage} {who} to a core of {value}", stage=stage,
                                                who=who, value=value),
    "salt_g_per_kg": lambda stage, who, value: msg("{stage} {who} with {value}", stage=stage,
                                                   who=who, value=value),
    "medium": lambda stage, who, value: msg("{stage} {who} in {value}", stage=stage, who=who,
                                            value=value),
    "cover": lambda stage, who, value: msg("{stage} {who} {value}", stage=stage, who=who,
                                           value=value),
    "end_feel": lambda stage, who, value: msg("{stage} {who} until {value}", stage=stage, who=who,
                                              value=value),
    "slice_mm": lambda stage, who, value: msg("{stage} {who} in slices of {value}", stage=stage,
                                              who=who, value=value),
    "knife_to_mouth_min": lambda stage, who, value: msg("{stage} {who} {value} from the knife",
                                                        stage=stage, who=who, value=value),
}  # fmt: skip
_LABELS["vessel"] = _LABELS["place"] = _LABELS["medium"]


def make_equal(found: MethodDifference, trial: Trial, unit: str = "C") -> NoteVerb | None:
    """The smallest change that removes it: what most methods have, for all of them.

    Among equals it is what the usual method has. None where nothing is written.
    """
    if not found.field:
        return NoteVerb(msg("Write it once, for all"), "give_stage", (found.stage.id, ""))
    kept = _kept(found, trial)
    if kept is None:
        return None
    method, value = kept
    if value is None:
        label = msg("Leave out {what}", what=what_it_is(found))
    else:
        label = _equal_label(found, value_words(found.field, value, unit))
    return NoteVerb(label, "join_line", (found.stage.id, found.field, method.id))


def _kept(found: MethodDifference, trial: Trial) -> tuple[Method, Value] | None:
    """The method whose value stays, and the value; an addition may stay as none at all."""
    usual = usual_method(trial, [method for method, _ in found.values])
    order = sorted(found.values, key=lambda item: item[0].id != usual.id)
    counts = Counter(value for _, value in order)
    most = max(counts.values())
    if found.addition and counts.get(None, 0) == most > len(order) / 2:
        return next((m, v) for m, v in order if v is None)
    written = [(m, v) for m, v in order if v is not None]
    if not written:
        return None
    return max(written, key=lambda item: counts[item[1]])


def _equal_label(found: MethodDifference, value: Message | str) -> Message:
    who = msg("both") if len(found.values) == 2 else msg("all")
    bath = found.stage.stage_kind == "water bath"
    stage = msg("Cook") if bath else stage_name(found.stage)
    if found.addition:
        return msg("{stage} {who} with {value}", stage=stage, who=who, value=value)
    words = _LABELS.get(found.field)
    if words is None:
        return msg("Write “{value}” for {who}", value=value, who=who)
    return words(stage, who, value)


def keep_as_rider(found: MethodDifference) -> NoteVerb:
    """Keep a difference that nobody asked for."""
    label = msg("Keep the difference, as a rider")
    return NoteVerb(label, "set_role", (found.stage.id, found.field, "rider"))


def name_it(found: MethodDifference) -> NoteVerb:
    """Keep what comes with the question, and say so."""
    label = msg("Name {what} in the finding", what=what_it_is(found))
    return NoteVerb(label, "set_role", (found.stage.id, found.field, "rider"))


def ask_it(found: MethodDifference) -> NoteVerb:
    """Say that this is what the trial asks."""
    return NoteVerb(
        msg("This is the question"), "set_role", (found.stage.id, found.field, "question")
    )

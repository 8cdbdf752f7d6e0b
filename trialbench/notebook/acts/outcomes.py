"""Acts on outcomes: what decides, and what else we look at."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from trialbench.model.errors import Refused
from trialbench.model.message import msg
from trialbench.model.records import Outcome, Trial, new_id
from trialbench.model.scales import SCALES
from trialbench.model.steps import Step, added, removed
from trialbench.notebook import views
from trialbench.notebook.acts.attribute_words import asked_by_name
from trialbench.notebook.acts.question import is_scored
from trialbench.notebook.acts.writing import line, made, moved, one_of, rewrite, rewritten
from trialbench.notebook.records_read import Reads

SOURCES = ("attribute", "loss", "yield", "mass")
BETTER = ("more", "less", "neither")


def add_attribute(book: Reads, trial_id: str, name: str, scale: str | None = None) -> Step:
    """One more thing that tasters score, on the scale of the library unless another is named.

    Raises Refused when its name is there already.
    """
    name = _new_name(book, trial_id, name)
    fields = asked_by_name(name).fields() | {"name": name}
    if scale is not None:
        fields["scale"] = one_of(scale, "outcome.scale", SCALES)
    outcome = Outcome(
        new_id(),
        trial_id,
        _next_position(book, trial_id),
        **fields,
    )
    return made(book, msg("Also looked at: {name}", name=name), added(outcome))


def add_measured(
    book: Reads,
    trial_id: str,
    source: str,
    from_checkpoint_id: str | None = None,
    to_checkpoint_id: str | None = None,
) -> Step:
    """loss or yield (percent of the weight at the first checkpoint), or mass at the last one.

    Without checkpoints: from the first weighing to the last. Raises Refused when there are none,
    or when they are one and the same.
    """
    one_of(source, "outcome.source", SOURCES[1:])
    named = views.checkpoints(book, trial_id)
    base = from_checkpoint_id or (named[0].id if named else None)
    until = to_checkpoint_id or (named[-1].id if named else None)
    names = {c.id: c.name for c in named}
    if base not in names or until not in names or (base == until and source != "mass"):
        raise Refused(
            msg("A loss needs two weighings, the base first."),
            field="outcome.to_checkpoint_id",
            allowed=", ".join(names.values()),
            way_out=msg("Choose two weighings."),
        )
    name = {
        "loss": f"loss of {names[base]} weight",
        "yield": f"yield of {names[base]} weight",
        "mass": f"weight {names[until]}",
    }[source]
    if until != named[-1].id and source != "mass":
        name += f", until {names[until]}"
    outcome = Outcome(
        new_id(),
        trial_id,
        _next_position(book, trial_id),
        _new_name(book, trial_id, name),
        source=source,
        unit="g" if source == "mass" else "%",
        better="less" if source == "loss" else "more",
        more_word=f"more {source}",
        less_word=f"less {source}",
        from_checkpoint_id=None if source == "mass" else base,
        to_checkpoint_id=until,
    )
    return made(book, msg("Also looked at: {name}", name=name), added(outcome))


def _next_position(book: Reads, trial_id: str) -> int:
    return max((o.position for o in views.outcomes(book, trial_id)), default=0) + 1


def _new_name(book: Reads, trial_id: str, typed: str, but: str = "") -> str:
    name = line(typed, "outcome.name", most=60, needed=True)
    others = {o.name.casefold() for o in views.outcomes(book, trial_id) if o.id != but}
    if name.casefold() in others:
        raise Refused(
            msg("{name} is on the list already.", name=name),
            field="outcome.name",
            typed=typed,
            allowed=msg("a name of its own"),
            way_out=msg("Choose another name, or keep the one that is there."),
        )
    return name


def _scale(book: Reads, outcome: Outcome, typed: str) -> dict[str, Any]:
    one_of(typed, "outcome.scale", SCALES)
    if is_scored(book, outcome.id):
        raise Refused(
            msg("{name} has scores. Its scale stays.", name=outcome.name),
            field="outcome.scale",
            typed=typed,
            allowed=msg("the scale that was scored"),
            way_out=msg("Add another attribute with the other scale."),
        )
    return {"scale": typed, "low": None, "high": None, "step": None}


_FIELDS: dict[str, Callable[[Reads, Outcome, str], dict[str, Any]]] = {
    "name": lambda book, o, typed: {"name": _new_name(book, o.trial_id, typed, o.id)},
    "scale": _scale,
    "better": lambda book, o, typed: {"better": one_of(typed, "outcome.better", BETTER)},
    "more_word": lambda book, o, typed: {"more_word": line(typed, "outcome.more_word", most=60)},
    "less_word": lambda book, o, typed: {"less_word": line(typed, "outcome.less_word", most=60)},
    "asked_as": lambda book, o, typed: {"asked_as": line(typed, "outcome.asked_as", most=200)},
    "low_anchor": lambda book, o, typed: {"low_anchor": line(typed, "outcome.anchor", most=60)},
    "high_anchor": lambda book, o, typed: {"high_anchor": line(typed, "outcome.anchor", most=60)},
}


def set_outcome(book: Reads, outcome_id: str, field: str, typed: str) -> Step:
    """Write name, scale, better, more_word, less_word, asked_as, low_anchor or high_anchor."""
    one_of(field, "outcome", _FIELDS)
    outcome = book.get(Outcome, outcome_id)
    values = _FIELDS[field](book, outcome, typed)
    return rewrite(book, outcome, msg("{name}: {text}", name=outcome.name, text=typed), **values)


def move_outcome(book: Reads, outcome_id: str, position: int) -> Step:
    """Put an outcome at another place of the list, counted from 1."""
    outcome = book.get(Outcome, outcome_id)
    changes = moved(views.outcomes(book, outcome.trial_id), outcome, position)
    return made(book, msg("{name} moved", name=outcome.name), changes)


def remove_outcome(book: Reads, outcome_id: str) -> Step:
    """Take an outcome off the list. Raises Refused when it has scores.

    The one that decides leaves the question without one.
    """
    outcome = book.get(Outcome, outcome_id)
    if is_scored(book, outcome_id):
        raise Refused(
            msg("{name} has scores. It stays on the list.", name=outcome.name),
            field="outcome.id",
            allowed=msg("taking away what was not scored"),
            way_out=msg("Leave it; only one outcome decides."),
        )
    trial = book.get(Trial, outcome.trial_id)
    changes = [*removed(outcome)]
    if trial.decides_id == outcome_id:
        changes.append(rewritten(trial, decides_id=None, matters=None, matters_typed=""))
    return made(book, msg("No longer looked at: {name}", name=outcome.name), changes)


def set_decides(book: Reads, outcome_id: str) -> Step:
    """Let an outcome decide. How much matters is asked anew where its unit is another."""
    outcome = book.get(Outcome, outcome_id)
    trial = book.get(Trial, outcome.trial_id)
    before = views.deciding(book, trial.id)
    values: dict[str, Any] = {"decides_id": outcome.id}
    if before is not None and _measure(before) != _measure(outcome):
        values.update(matters=None, matters_typed="")
    return rewrite(book, trial, msg("{name} decides", name=outcome.name), **values)


def _measure(outcome: Outcome) -> tuple[object, ...]:
    return outcome.source, outcome.unit, views.range_of(outcome)

"""Acts on which way is better, and on a target to come closest to."""

from __future__ import annotations

from dataclasses import replace

from trialbench.model.errors import Refused
from trialbench.model.message import msg
from trialbench.model.numbers import parse_number, shortest
from trialbench.model.records import Outcome, Trial
from trialbench.model.steps import Change, Step
from trialbench.notebook import views
from trialbench.notebook.acts.writing import line, made, one_of, out_of_range
from trialbench.notebook.records_read import Reads

BETTER = ("more", "less", "target", "neither")


def set_better(book: Reads, outcome_id: str, better: str) -> Step:
    """Which way is better: more | less | target | neither. A target is then asked for.

    The word of the question follows where it spoke of a target, or now does.
    """
    one_of(better, "outcome.better", BETTER)
    outcome = book.get(Outcome, outcome_id)
    after = replace(outcome, better=better, target=outcome.target if better == "target" else None)
    label = msg("{name}: {text}", name=outcome.name, text=better)
    return made(book, label, [Change(outcome, after), *_asked_anew(book, outcome, after)])


def set_target(book: Reads, outcome_id: str, typed: str) -> Step:
    """Write what an outcome should come closest to, within its scale; "" takes it back.

    Raises Refused for what is no number of the scale.
    """
    outcome = book.get(Outcome, outcome_id)
    text = line(typed.removesuffix("%"), "outcome.target", most=20)
    target = in_scale(outcome, text) if text else None
    after = replace(outcome, better="target", target=target)
    label = msg("{name}: closest to {text}", name=outcome.name, text=text or "–")
    changes = [Change(outcome, after), *_asked_anew(book, outcome, after)]
    return made(book, label, changes, burst=f"{outcome_id}:target")


def in_scale(outcome: Outcome, typed: str) -> float:
    """A number that the outcome can have. Raises Refused."""
    number = parse_number(typed, field="outcome.target")
    limits = views.range_of(outcome)
    low, high = limits.low, limits.high
    if outcome.source in ("loss", "yield"):
        low, high = (-100.0 if outcome.source == "loss" else 0.0), 100.0
    if (low is not None and number < low) or (high is not None and number > high):
        raise out_of_range(typed, "outcome.target", low or 0, high or 0)
    return number


def target_words(outcome: Outcome) -> str:
    """What the question says of a target: "closer to 5 in saltiness"."""
    assert outcome.target is not None
    return f"closer to {shortest(outcome.target)} in {outcome.name}"


def farthest(outcome: Outcome) -> float | None:
    """The largest difference that two methods can show, in the outcome's unit."""
    limits = views.range_of(outcome)
    if outcome.source in ("loss", "yield"):
        return 100.0
    if limits.low is None or limits.high is None:
        return None
    if outcome.better == "target" and outcome.target is not None:
        return max(limits.high - outcome.target, outcome.target - limits.low)
    return limits.high - limits.low


def _asked_anew(book: Reads, before: Outcome, after: Outcome) -> list[Change]:
    """The word of the question, for the outcome that decides."""
    trial = book.get(Trial, before.trial_id)
    if trial.decides_id != before.id or "target" not in (before.better, after.better):
        return []
    if after.better == "target":
        word = target_words(after) if after.target is not None else trial.came_out
    else:
        word = after.less_word if after.better == "less" else after.more_word
    size = trial.matters
    most = farthest(after)
    if size is not None and most is not None and size >= most:
        return [Change(trial, replace(trial, came_out=word, matters=None, matters_typed=""))]
    return [Change(trial, replace(trial, came_out=word))]


def without_target(typed: str) -> Refused:
    """The error for "closer to 5" where nothing says of what."""
    return Refused(
        msg("{typed} in what? Nothing decides yet.", typed=typed),
        field="trial.came_out",
        typed=typed,
        allowed=msg("a number and what is scored: closer to 5 in saltiness"),
        way_out=msg("Write what is scored after the number."),
    )

"""Acts on score cards: a score, why one is missing, and the mark of one written late."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from trialbench.model.errors import Refused
from trialbench.model.message import Message, msg
from trialbench.model.numbers import parse_number
from trialbench.model.records import Outcome, Sample, Score, Sitting, new_id
from trialbench.model.steps import Change, Step, added, removed
from trialbench.notebook import views
from trialbench.notebook.acts.writing import made, reason
from trialbench.notebook.book import Book
from trialbench.notebook.records_read import Reads


def set_score(book: Book, sample_id: str, outcome_id: str, typed: str) -> Step:
    """Write what a taster scored. Raises Refused outside the scale or between its steps.

    Written or changed with the key open, it is marked for good.
    """
    sample, outcome = book.get(Sample, sample_id), book.get(Outcome, outcome_id)
    number = _on_scale(outcome, typed)
    label = msg("{code}, {name} {typed}", code=sample.code, name=outcome.name, typed=typed.strip())
    values = {"number": number, "typed": typed.strip(), "missing_reason": ""}
    return _written(book, sample, outcome, label, values)


def set_score_missing(book: Book, sample_id: str, outcome_id: str, why: str) -> Step:
    """Say why there is no score. Raises Refused without a reason."""
    sample, outcome = book.get(Sample, sample_id), book.get(Outcome, outcome_id)
    asked = msg("Why is {name} of {code} missing?", name=outcome.name, code=sample.code)
    text = reason(why, "score.missing_reason", asked)
    label = msg("{code}, {name} missing: {why}", code=sample.code, name=outcome.name, why=text)
    values = {"number": None, "typed": "", "missing_reason": text}
    return _written(book, sample, outcome, label, values)


def clear_score(book: Reads, sample_id: str, outcome_id: str) -> Step:
    """Leave a line of a card empty again; with the key open the mark stays."""
    sample, outcome = book.get(Sample, sample_id), book.get(Outcome, outcome_id)
    there = views.score(book, sample_id, outcome_id)
    label = msg("{code}, {name} left empty", code=sample.code, name=outcome.name)
    return made(book, label, removed(there) if there else ())


def _written(
    book: Book, sample: Sample, outcome: Outcome, label: Message, values: dict[str, Any]
) -> Step:
    now, late = book.now(), book.get(Sitting, sample.sitting_id).key_state == "open"
    there = views.score(book, sample.id, outcome.id)
    if there is None:
        fresh = Score(new_id(), sample.id, outcome.id, now.utc, now.offset_min)
        return made(book, label, added(replace(fresh, changed_after_opening=late, **values)))
    if all(getattr(there, name) == value for name, value in values.items()):
        return made(book, label, ())
    mark = late or there.changed_after_opening
    after = replace(there, made_utc=now.utc, offset_min=now.offset_min,
                    changed_after_opening=mark, **values)  # fmt: skip
    return made(book, label, [Change(there, after)], burst=f"{there.id}:number")


def _on_scale(outcome: Outcome, typed: str) -> float:
    limits = views.range_of(outcome)
    number = parse_number(typed, field="score.number")
    low, high = limits.low, limits.high
    if (low is not None and number < low) or (high is not None and number > high):
        raise Refused(
            msg("This line takes {low} to {high}. You wrote {typed}.", low=_figure(low),
                high=_figure(high), typed=typed.strip()),
            field="score.number",
            typed=typed,
            allowed=msg("{low} to {high}", low=_figure(low), high=_figure(high)),
            way_out=msg("Read the card again, or leave it empty."),
        )  # fmt: skip
    step = limits.step
    if step and abs((number - (low or 0)) / step - round((number - (low or 0)) / step)) > 1e-6:
        raise Refused(
            msg("This line goes in steps of {step}. You wrote {typed}.", step=_figure(step),
                typed=typed.strip()),
            field="score.number",
            typed=typed,
            allowed=msg("steps of {step}", step=_figure(step)),
            way_out=msg("Read the card again, or leave it empty."),
        )  # fmt: skip
    return number


def _figure(value: float | None) -> str:
    return "–" if value is None else f"{value:g}"

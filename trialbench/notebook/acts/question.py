"""Acts on the Question page: the sentence, what kind of question, how much matters."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from trialbench.model.errors import Refused
from trialbench.model.message import Message, msg
from trialbench.model.quantities import parse_mass_g
from trialbench.model.records import Checkpoint, Factor, Method, Outcome, Score, Trial, new_id
from trialbench.model.steps import Change, Step, added
from trialbench.notebook import views
from trialbench.notebook.acts.attribute_words import (
    Asked,
    asked_by_name,
    asked_by_word,
    asked_target,
)
from trialbench.notebook.acts.kinds import QUESTIONS
from trialbench.notebook.acts.sizes import read_size
from trialbench.notebook.acts.targets import farthest, in_scale, without_target
from trialbench.notebook.acts.writing import line, made, one_of, rewrite, rewritten
from trialbench.notebook.book import Book
from trialbench.notebook.records_read import Reads

WORDS: dict[str, Message] = {
    "food": msg("what is cooked"),
    "chapter": msg("chapter"),
    "usual": msg("my way"),
    "idea": msg("my idea"),
    "remark": msg("remark"),
}
"""The fields of a trial that are words, with what they are called in history."""

_SCALE_OF_TOP = {10: "line_10", 9: "points_9", 8: "points_8"}


def begin_trial(
    book: Book,
    food: str = "",
    usual: str = "",
    idea: str = "",
    *,
    chapter: str = "",
    question: str = "better",
) -> Step:
    """A new trial with its next number, methods A and B, and the weighings raw and served.

    `acts.new_record(step, Trial)` is the trial. Raises Refused for words that are too long.
    """
    one_of(question, "trial.question", QUESTIONS)
    number = max((t.number for t in views.trials(book)), default=0) + 1
    trial = Trial(
        new_id(),
        number,
        line(food, "trial.food", most=80),
        line(chapter, "trial.chapter", most=80),
        line(usual, "trial.usual", most=200),
        line(idea, "trial.idea", most=200),
        book.now().utc,
        question=question,
    )
    parts = (
        Method(new_id(), trial.id, "A", trial.usual),
        Method(new_id(), trial.id, "B", trial.idea),
        Checkpoint(new_id(), trial.id, 1, "raw", "raw"),
        Checkpoint(new_id(), trial.id, 2, "served", "served"),
    )
    varied = (Factor(new_id(), trial.id, 1, ""),) if question == "which_setting" else ()
    return made(book, msg("Trial {number} begun", number=number), added(trial, *parts, *varied))


def set_words(book: Reads, trial_id: str, field: str, typed: str) -> Step:
    """Write one of WORDS. A method still named as its way in the question takes the new name."""
    one_of(field, "trial", WORDS)
    trial = book.get(Trial, trial_id)
    text = line(typed, f"trial.{field}", most=2000 if field == "remark" else 200)
    changes = [rewritten(trial, **{field: text})]
    letter = {"usual": "A", "idea": "B"}.get(field)
    for method in views.methods(book, trial_id) if letter else ():
        if method.letter == letter and method.name == getattr(trial, field):
            changes.append(rewritten(method, name=text))
    label = msg("{what}: {text}", what=WORDS[field], text=text or "–")
    return made(book, label, changes, burst=f"{trial_id}:{field}")


def set_came_out(book: Reads, trial_id: str, typed: str) -> Step:
    """Write the cook's word ("juicier").

    Where nothing decides yet, an outcome is made of the word and decides; an outcome that the
    earlier word made and that has no scores yet is renamed.
    """
    trial = book.get(Trial, trial_id)
    word = line(typed, "trial.came_out", most=60)
    label = msg("it came out {word}", word=word or "–")
    if not word:
        return rewrite(book, trial, label, came_out="")
    asked, decides = _asked(book, trial, word), views.deciding(book, trial_id)
    burst = f"{trial_id}:came_out"
    if decides is None:
        outcome = _asked_for(book, trial_id, asked)
        after = replace(trial, came_out=word, decides_id=outcome.id)
        new = () if book.find(Outcome, outcome.id) else added(outcome)
        return made(book, label, (Change(trial, after), *new), burst)
    changes = [rewritten(trial, came_out=word)]
    made_of_word = decides.name == _asked(book, trial, trial.came_out).attribute.name
    same = decides.name == asked.attribute.name
    if (made_of_word or same) and not is_scored(book, decides.id):
        changes.append(rewritten(decides, **_fields_of(book, trial_id, asked)))
    return made(book, label, changes, burst)


def _asked(book: Reads, trial: Trial, word: str) -> Asked:
    """What a word asks for; "closer to 5" speaks of what decides. Raises Refused."""
    aimed = asked_target(word)
    if aimed is None:
        return asked_by_word(word)
    number, name = aimed
    decides = views.deciding(book, trial.id)
    if not name and decides is None:
        raise without_target(word)
    asked = asked_by_name(name or (decides.name if decides else ""))
    scored = Outcome("", trial.id, 1, asked.attribute.name, scale=asked.attribute.scale)
    same = decides if decides is not None and decides.name == scored.name else scored
    return replace(asked, better="target", target=in_scale(same, number))


def _fields_of(book: Reads, trial_id: str, asked: Asked) -> dict[str, Any]:
    fields = asked.fields() | {"from_checkpoint_id": None, "to_checkpoint_id": None}
    named = views.checkpoints(book, trial_id)
    if asked.source == "loss" and named:
        fields |= {"from_checkpoint_id": named[0].id, "to_checkpoint_id": named[-1].id}
    return fields


def _asked_for(book: Reads, trial_id: str, asked: Asked) -> Outcome:
    """The outcome of that name, or a new one."""
    known = views.outcomes(book, trial_id)
    same = next((o for o in known if o.name.casefold() == asked.attribute.name.casefold()), None)
    if same is not None:
        return same
    position = max((o.position for o in known), default=0) + 1
    return Outcome(new_id(), trial_id, position, **_fields_of(book, trial_id, asked))


def is_scored(book: Reads, outcome_id: str) -> bool:
    """Whether any score of an attribute was written."""
    return bool(book.all(Score, outcome_id=outcome_id))


def set_matters(book: Reads, trial_id: str, typed: str) -> Step:
    """How much would change the recipe: "0.8 points in 10", "half a point", "3 %", "40 g".

    Empty takes it back.

    "in 10" chooses the scale of an attribute that has no scores yet. Raises Refused when it is not
    above 0, as large as the whole scale, or in another scale than the one that was scored.
    """
    trial = book.get(Trial, trial_id)
    text = line(typed, "trial.matters", most=60)
    if not text:
        label = msg("What matters: not said")
        return rewrite(book, trial, label, matters=None, matters_typed="")
    outcome = views.deciding(book, trial_id)
    changes: list[Change] = []
    if outcome is not None and outcome.source == "mass":
        value = parse_mass_g(text, views.cover(book).mass_unit, field="trial.matters")
    else:
        value, top = read_size(book, outcome, text)
        outcome, changes = _on_scale(book, outcome, top, typed)
    _check_size(value, outcome, typed)
    changes.append(rewritten(trial, matters=value, matters_typed=text))
    return made(book, msg("by {size}", size=text), changes, burst=f"{trial_id}:matters")


def _on_scale(
    book: Reads, outcome: Outcome | None, top: int | None, typed: str
) -> tuple[Outcome | None, list[Change]]:
    """The outcome on the scale that ends at `top`, and the change that puts it there."""
    if outcome is None or outcome.source != "attribute" or top is None:
        return outcome, []
    if views.range_of(outcome).high == top:
        return outcome, []
    if is_scored(book, outcome.id) or top not in _SCALE_OF_TOP:
        limits = views.range_of(outcome)
        raise Refused(
            msg(
                "{name} is scored from {low} to {high}. You wrote {typed}.",
                name=outcome.name,
                low=f"{limits.low:g}",
                high=f"{limits.high:g}",
                typed=typed.strip(),
            ),
            field="trial.matters",
            typed=typed,
            allowed=msg("points in {high}", high=f"{limits.high:g}"),
            way_out=msg("Write it in points of that scale."),
        )
    onto = replace(outcome, scale=_SCALE_OF_TOP[top], low=None, high=None, step=None)
    return onto, [Change(outcome, onto)]


def _check_size(value: float, outcome: Outcome | None, typed: str) -> None:
    most = farthest(outcome) if outcome is not None else None
    if value > 0 and (most is None or value < most):
        return
    said = msg("{typed} is no size that could matter. Not written.", typed=typed.strip())
    if value > 0 and outcome is not None and most is not None:
        said = msg(
            "{typed}: no two ways can differ by that much in {name}; {most} is all there is. "
            "Not written.",
            typed=typed.strip(), name=outcome.name, most=f"{most:g}",
        )  # fmt: skip
    raise Refused(
        said,
        field="trial.matters",
        typed=typed,
        allowed=msg("above 0") if most is None else msg("above 0, below {most}", most=f"{most:g}"),
        way_out=msg("Write the smallest difference that would change the recipe."),
    )

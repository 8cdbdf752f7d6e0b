"""The act that chooses the kind of question, and what follows of it for the methods."""

from __future__ import annotations

from typing import Any

from trialbench.model.errors import Refused
from trialbench.model.message import Message, msg, msg_n, say
from trialbench.model.records import Factor, Level, Method, Setting, Trial, new_id
from trialbench.model.steps import Change, Step, removed
from trialbench.notebook import views
from trialbench.notebook.acts.level_reading import read_levels, read_number
from trialbench.notebook.acts.shape_methods import Design, changes_to, drawn
from trialbench.notebook.acts.writing import made, one_of, rewritten
from trialbench.notebook.records_read import Reads
from trialbench.notebook.views import shapes

QUESTIONS = ("better", "at_least_as_good", "which_setting", "same_recipe")

_SAID: dict[str, Message] = {
    "better": msg("The question: is it better"),
    "at_least_as_good": msg("The question: is the easier way at least as good"),
    "which_setting": msg("The question: which setting"),
    "same_recipe": msg("The question: how noisy is my kitchen"),
}
_LABELS = (msg("First label"), msg("Second label"))


def choose_question(
    book: Reads, trial_id: str, question: str, easier_id: str | None = None
) -> Step:
    """better | at_least_as_good | which_setting | same_recipe.

    `easier_id` is the method that is less work; without it B is, the idea. Which setting begins
    with the ways that are written as its settings; from it, each setting stays as a method. Raises
    Refused for one recipe twice with more than two methods, and where lots name the methods.
    """
    one_of(question, "trial.question", QUESTIONS)
    trial = book.get(Trial, trial_id)
    if question != trial.question and "which_setting" in (question, trial.question):
        _check_drawn(book, trial)
    if question == "which_setting" != trial.question:
        changes = _into_settings(book, trial)
    else:
        changes = _without_settings(book, trial, question, easier_id)
    return made(book, _SAID[question], changes)


def _check_drawn(book: Reads, trial: Trial) -> None:
    if any(piece.method_id for piece in views.all_pieces(book, trial.id)):
        raise drawn()


def _into_settings(book: Reads, trial: Trial) -> list[Change]:
    """The ways that are written become the settings of one thing that is varied."""
    there = views.methods(book, trial.id)
    named = [m.name for m in there]
    if trial.question == "same_recipe" or not all(named) or len(set(named)) < len(named):
        named = []
    steps = bool(named) and all(read_number(name) is not None for name in named)
    factor = Factor(new_id(), trial.id, 1, "", ordered=steps)
    levels = tuple(Level(new_id(), factor.id, n, None, text) for n, text in enumerate(named, 1))
    if steps:
        levels = read_levels(book, factor, levels)
    design = Design((factor,), (levels,))
    return changes_to(book, trial, design, question="which_setting", easier_id=None)


def _without_settings(
    book: Reads, trial: Trial, question: str, easier_id: str | None
) -> list[Change]:
    there = views.methods(book, trial.id)
    if question == "same_recipe" and len(there) > 2:
        raise _too_many(len(there))
    values: dict[str, Any] = {"question": question}
    names = {m.id: m.name for m in there}
    changes: list[Change] = []
    if trial.question == "which_setting" != question:
        values |= _ways(book, trial, there)
        changes += _no_settings(book, trial)
    if question == "same_recipe":
        values["idea"] = ""
        names = {m.id: say(_LABELS[n]) for n, m in enumerate(there)}
    elif trial.question == "same_recipe":
        ways = (trial.usual, trial.idea)
        names = {m.id: ways[n] if m.name == say(_LABELS[n]) else m.name
                 for n, m in enumerate(there)}  # fmt: skip
    if question == "at_least_as_good":
        values["easier_id"] = easier_id or trial.easier_id or there[1].id
    else:
        values["easier_id"] = None
    changes += [rewritten(m, name=names[m.id]) for m in there]
    return [rewritten(trial, **values), *changes]


def _ways(book: Reads, trial: Trial, there: tuple[Method, ...]) -> dict[str, Any]:
    """The first two settings are my way and my idea; further ones stay as ideas."""
    if len(shapes.settings(book, trial.id)) < 2:
        return {"shape": "two", "idea": ""}
    shape = "several" if len(there) > 2 else "two"
    return {"shape": shape, "usual": there[0].name, "idea": there[1].name}


def _no_settings(book: Reads, trial: Trial) -> list[Change]:
    gone: list[Any] = []
    for factor in shapes.factors(book, trial.id):
        for level in shapes.levels(book, factor.id):
            gone += [*book.all(Setting, level_id=level.id), level]
        gone.append(factor)
    return list(removed(*gone))


def _too_many(count: int) -> Refused:
    return Refused(
        msg_n(
            "{count} method is compared here, and one recipe twice takes two. Not written.",
            "{count} methods are compared here, and one recipe twice takes two. Not written.",
            count,
        ),
        field="trial.question",
        allowed=msg("two methods"),
        way_out=msg("Take the others away first, or begin another trial for it."),
    )

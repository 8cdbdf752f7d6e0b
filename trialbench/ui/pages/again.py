"""A finding that leaves something open leads to the next trial of the same food."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import partial
from typing import Any

from trialbench.model.errors import TrialbenchError
from trialbench.model.numbers import shortest
from trialbench.model.records import Trial
from trialbench.model.steps import Step
from trialbench.notebook import views
from trialbench.notebook.acts import ideas, kinds, new_record, plan, question, shapes
from trialbench.notebook.views import shapes as seen
from trialbench.ui.page import Desk

Act = Callable[[], Step]


def ask_again(desk: Desk, trial_id: str, cook_days: str = "") -> None:
    """Begin a trial and open its Question page.

    With `cook_days` it asks the same again over so many days: the same kind of question, the same
    ideas or settings. Without, only the usual way is taken over, because what came along is to be
    asked one by one.
    """
    book = desk.notebook
    before = book.get(Trial, trial_id)
    settings = before.question == "which_setting" and bool(cook_days)
    idea = before.idea if cook_days and not settings else ""
    kind = "which_setting" if settings else "better"
    step = question.begin_trial(
        book, before.food, before.usual, idea, chapter=before.chapter, question=kind
    )
    if desk.take(step) is not None:
        return
    begun = new_record(step, Trial).id
    for act in _acts(book, before, begun, cook_days):
        try:
            desk.take(act())
        except TrialbenchError as refused:
            desk.trouble.emit(refused)
            return
    desk.go("question", begun)


def _acts(book: Any, before: Trial, begun: str, cook_days: str) -> Iterator[Act]:
    """Each act is made when the one before it was taken."""
    if before.came_out:
        yield partial(question.set_came_out, book, begun, before.came_out)
    if cook_days and before.question == "which_setting":
        yield from _same_settings(book, before, begun)
    elif cook_days:
        for method in views.methods(book, before.id)[2:]:
            yield partial(ideas.add_idea, book, begun, method.name)
        if before.question != "better":
            yield partial(kinds.choose_question, book, begun, before.question)
    if before.matters is not None:
        yield partial(question.set_matters, book, begun, shortest(before.matters))
    if cook_days:
        yield partial(plan.set_plan, book, begun, "planned_cooks", cook_days)


def _same_settings(book: Any, before: Trial, begun: str) -> Iterator[Act]:
    for n, factor in enumerate(seen.factors(book, before.id)):
        if n:
            yield partial(shapes.vary, book, begun)
        new = seen.factors(book, begun)[n]
        yield partial(shapes.name_factor, book, new.id, factor.name)
        for level in seen.levels(book, factor.id):
            yield partial(shapes.add_level, book, new.id, seen.level_words(book, factor, level))

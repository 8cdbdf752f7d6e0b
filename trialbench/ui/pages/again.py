"""A finding that leaves something open leads to the next trial of the same food."""

from __future__ import annotations

from collections.abc import Callable

from trialbench.model.errors import TrialbenchError
from trialbench.model.numbers import shortest
from trialbench.model.records import Trial
from trialbench.model.steps import Step
from trialbench.notebook.acts import new_record, plan, question
from trialbench.ui.page import Desk


def ask_again(desk: Desk, trial_id: str, cook_days: str = "") -> None:
    """Begin a trial and open its Question page.

    With `cook_days` it asks the same again over so many days; without, only the usual way is
    taken over, because what came along is to be asked one by one.
    """
    book = desk.notebook
    before = book.get(Trial, trial_id)
    idea = before.idea if cook_days else ""
    step = question.begin_trial(book, before.food, before.usual, idea, chapter=before.chapter)
    if desk.take(step) is not None:
        return
    begun = new_record(step, Trial).id
    acts: list[Callable[[], Step]] = [lambda: question.set_came_out(book, begun, before.came_out)]
    if before.matters is not None:
        acts.append(lambda: question.set_matters(book, begun, shortest(before.matters or 0.0)))
    if cook_days:
        acts.append(lambda: plan.set_plan(book, begun, "planned_cooks", cook_days))
    for act in acts if before.came_out else acts[1:]:
        try:
            desk.take(act())
        except TrialbenchError as refused:
            desk.trouble.emit(refused)
            return
    desk.go("question", begun)

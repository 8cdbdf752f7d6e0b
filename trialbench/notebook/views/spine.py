"""What the spine says of each page: its stitch, and at most two words."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

from trialbench.model.message import Message, msg, msg_n
from trialbench.model.records import Trial
from trialbench.notebook.records_read import Reads
from trialbench.notebook.views import kitchen, on_paper, shapes, standing, table

Stitch = Literal["none", "begun", "complete", "sealed"]

PAGES = ("question", "methods", "plan", "cook", "tasting", "findings", "recipe_note")


@dataclass(frozen=True, slots=True)
class PageState:
    """One page of a trial. `said` is None when there is nothing to say yet."""

    page: str
    stitch: Stitch
    said: Message | None = None


def page_states(book: Reads, trial_id: str) -> tuple[PageState, ...]:
    """The seven pages in order."""
    return tuple(page_state(book, trial_id, page) for page in PAGES)


def page_state(book: Reads, trial_id: str, page: str) -> PageState:
    """One page of PAGES."""
    return PageState(page, *_STATES[page](book, book.get(Trial, trial_id)))


_State = tuple[Stitch, Message | None]


def _question(book: Reads, trial: Trial) -> _State:
    said = msg("{word}?", word=trial.came_out) if trial.came_out else None
    if shapes.is_asked(book, trial):
        return "complete", said
    return ("begun" if trial.usual or trial.idea or trial.came_out else "none"), said


def _methods(book: Reads, trial: Trial) -> _State:
    if not on_paper.stages(book, trial.id):
        return "none", None
    lines = on_paper.differing(book, trial.id)
    roles = [on_paper.role_of_line(book, stage.id, field) for stage, field in lines]
    if trial.question == "same_recipe" and not lines:
        return "complete", msg("the same")
    if not lines:
        return "begun", msg("nothing differs")
    if None in roles:
        return "begun", msg_n("{count} differs", "{count} differ", len(lines))
    riders = roles.count("rider")
    return "complete", msg_n("{count} rider", "{count} riders", riders) if riders else msg(
        "no riders"
    )


def _plan(book: Reads, trial: Trial) -> _State:
    planned = trial.planned_cooks
    said = msg_n("{count} cook day", "{count} cook days", planned) if planned else None
    if on_paper.seal(book, trial.id) is not None:
        return "sealed", said
    draw = on_paper.latest_draw(book, trial.id)
    if draw is not None:
        return "begun", msg("draw {number}", number=draw.number)
    return ("begun" if planned else "none"), said


def _cook(book: Reads, trial: Trial) -> _State:
    days = kitchen.cooks(book, trial.id)
    if not any(kitchen.cook_is_begun(book, day) for day in days):
        return "none", None
    all_days = max(kitchen.planned_or_laid_out(book, trial.id), len(days))
    done = sum(kitchen.cook_is_weighed(book, day) for day in days)
    said = msg("{done} of {all}", done=done, all=all_days)
    return ("complete" if done >= all_days else "begun"), said


def _tasting(book: Reads, trial: Trial) -> _State:
    found = table.sittings(book, trial.id)
    if not found:
        return "none", None
    opened = table.keys_open(book, trial.id)
    wanted = max(kitchen.planned_or_laid_out(book, trial.id), len(found))
    if opened >= wanted:
        return "complete", msg("{done} of {all}", done=opened, all=wanted)
    latest = next((s for s in reversed(found) if s.key_state != "open"), None)
    if latest is None:
        return "begun", msg("{done} of {all}", done=opened, all=wanted)
    cards = table.cards_in(book, latest.id)
    return "begun", msg("{done} of {all}", done=cards.filled, all=cards.all) if cards.all else None


def _findings(book: Reads, trial: Trial) -> _State:
    done, wanted = standing.days_in(book, trial.id)
    if not done:
        return "none", None
    if done < wanted:
        return "begun", msg("{done} of {all}", done=done, all=wanted)
    return "complete", None


def _recipe_note(book: Reads, trial: Trial) -> _State:
    if on_paper.handed_on(book, trial.id):
        return "complete", msg("handed on")
    chosen = on_paper.decision(book, trial.id)
    return ("begun", msg("decided")) if chosen else ("none", None)


_STATES: dict[str, Callable[[Reads, Trial], _State]] = {
    "question": _question,
    "methods": _methods,
    "plan": _plan,
    "cook": _cook,
    "tasting": _tasting,
    "findings": _findings,
    "recipe_note": _recipe_note,
}

"""The pages of the book: one row a page, and the window they are sewn into.

A page is a module of this folder; its row says where it stands and is all that is read before the
page is first opened. `book_window(notebook)` is the whole window.
"""

from __future__ import annotations

from collections.abc import Callable
from importlib import import_module
from typing import Any

from trialbench.model.message import Message, msg
from trialbench.notebook.views import PAGES, page_state
from trialbench.ui.page import Desk, Page, PageEntry
from trialbench.ui.settings import Settings
from trialbench.ui.signs import Stitch
from trialbench.ui.window import Window

_STITCHES: dict[str, Stitch] = {
    "none": "none", "begun": "begun", "complete": "sewn", "sealed": "sealed"
}  # fmt: skip


def _row(key: str, number: int | None, name: Message, made_by: str, of: str = "") -> PageEntry:
    """`made_by` is "module.Class" below this folder, imported when the page is first opened."""
    return PageEntry(key, number, name, _maker(made_by), _state(key), of)


def _maker(made_by: str) -> Callable[[Desk], Page]:
    module, _, name = made_by.rpartition(".")

    def make(desk: Desk) -> Page:
        page: Page = getattr(import_module(f"{__name__}.{module}"), name)(desk)
        return page

    return make


def _state(key: str) -> Callable[[Any, str], tuple[Message | str, Stitch]]:
    def state(notebook: Any, trial_id: str) -> tuple[Message | str, Stitch]:
        if key not in PAGES:
            return "", "none"
        found = page_state(notebook, trial_id, key)
        return found.said or "", _STITCHES[found.stitch]

    return state


TABLE: tuple[PageEntry, ...] = (
    _row("contents", 0, msg("Contents"), "contents.ContentsPage"),
    _row("question", 1, msg("Question"), "question.QuestionPage"),
    _row("methods", 2, msg("Methods"), "methods.MethodsPage"),
    _row("plan", 3, msg("Plan"), "plan.PlanPage"),
    _row("timetable", None, msg("Timetable"), "timetable.TimetablePage", of="plan"),
    _row("cook", 4, msg("Cook"), "cook.CookPage"),
    _row("tasting", 5, msg("Tasting"), "tasting.TastingPage"),
    _row("findings", 6, msg("Findings"), "findings.FindingsPage"),
    _row("reckoned", None, msg("How it was reckoned"), "reckoned.ReckonedPage", of="findings"),
    _row("recipe_note", 7, msg("Recipe note"), "recipe_note.RecipeNotePage"),
)
"""Every page, in the order of the book. `number` is the Ctrl key and the page number."""


def book_window(notebook: Any, settings: Settings | None = None) -> Window:
    """The window of an open notebook, with every page; no page is open yet."""
    from trialbench.ui.pages.spine_words import foot_words, spine_words

    return Window(notebook, TABLE, spine_words, settings, foot_words)

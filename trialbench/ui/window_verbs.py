"""The verbs of the window itself and their keys: pages, notes, sizes, back and forth."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication, QWidget

from trialbench.model.message import Message, msg
from trialbench.ui import theme
from trialbench.ui.verbs_table import VerbEntry

if TYPE_CHECKING:
    from trialbench.ui.window import Window


def window_verbs(window: Window) -> tuple[VerbEntry, ...]:
    """The rows of the window in the table of verbs."""

    def nothing_back() -> Message | None:
        return None if window.history.can_undo() else msg("nothing to take back")

    def nothing_again() -> Message | None:
        return None if window.history.can_redo() else msg("nothing was taken back")

    return (
        *_page_verbs(window),
        VerbEntry("index", msg("Index"), partial(window.open_page, "index"), "F10"),
        VerbEntry("take_back", msg("Take the last step back"), window.history.undo, "Ctrl+Z",
                  nothing_back),
        VerbEntry("take_again", msg("Take it again"), window.history.redo, "Ctrl+Shift+Z",
                  nothing_again),
        VerbEntry("next_note", msg("Go to the next note"), partial(step_note, window, 1), "F7"),
        VerbEntry("last_note", msg("Go to the note before"), partial(step_note, window, -1),
                  "Shift+F7"),
        VerbEntry("next_part", msg("Go to spine, page or margin"), partial(next_part, window),
                  "F6"),
        VerbEntry("full_screen", msg("Fill the whole screen"), partial(full_screen, window),
                  "F11"),
        VerbEntry("counter_size", msg("Counter size, to read from where you stand"),
                  partial(counter_size, window), "Shift+F11"),
        VerbEntry("theme_light", msg("Paper by day"), partial(choose_theme, window, "light")),
        VerbEntry("theme_dark", msg("Paper by night"), partial(choose_theme, window, "dark")),
        VerbEntry("theme_system", msg("Paper as the system has it"),
                  partial(choose_theme, window, "system")),
        VerbEntry("larger_text", msg("Larger text"), partial(step_text, window, 10), "Ctrl++"),
        VerbEntry("smaller_text", msg("Smaller text"), partial(step_text, window, -10), "Ctrl+-"),
        VerbEntry("reduce_motion", msg("Let nothing move by itself, or let it again"),
                  partial(turn_motion, window)),
    )  # fmt: skip


def _page_verbs(window: Window) -> tuple[VerbEntry, ...]:
    return tuple(
        VerbEntry(
            f"page:{entry.key}",
            msg("Open {page}", page=entry.name),
            partial(window.open_page, entry.key),
            f"Ctrl+{entry.number}",
            partial(_no_trial, window, entry.number),
        )
        for entry in window.entries()
        if entry.number is not None
    )


def _no_trial(window: Window, number: int) -> Message | None:
    if number and not window.desk.trial_id:
        return msg("no trial is open")
    return None


def step_note(window: Window, by: int) -> None:
    """The next or the last note of the open page."""
    leaf = window.page().leaf
    if leaf is not None:
        leaf.step_note(by)


def next_part(window: Window) -> None:
    """F6: spine, page, margin, spine ..."""
    leaf = window.page().leaf
    now = QApplication.focusWidget()
    if leaf is None:
        return
    if now is not None and (now is window.spine or window.spine.isAncestorOf(now)):
        focus_first(leaf.page)
    elif now is not None and leaf.page.isAncestorOf(now) and leaf.focus_margin():
        return
    else:
        window.spine.focus_open()


def focus_first(part: QWidget) -> None:
    """The keyboard goes to the first thing in `part` that can have it."""
    for inner in part.findChildren(QWidget):
        wanted = inner.focusPolicy() & Qt.FocusPolicy.TabFocus
        if wanted and inner.isVisibleTo(part) and inner.isEnabled():
            inner.setFocus(Qt.FocusReason.TabFocusReason)
            return


def full_screen(window: Window) -> None:
    """The whole screen, or the window again."""
    whole = window.window()
    if whole.isFullScreen():
        whole.showNormal()
    else:
        whole.showFullScreen()


def counter_size(window: Window) -> None:
    """Counter size on or off; kept for the next start."""
    on = not theme.is_counter()
    window.desk.settings.put("counter_size", on)
    theme.set_counter(on)


def choose_theme(window: Window, name: theme.Choice) -> None:
    """Light, dark or as the system has it; kept for the next start."""
    window.desk.settings.put("theme", name)
    theme.set_choice(name)


def step_text(window: Window, by: int) -> None:
    """Larger or smaller text, from 80 to 200 in 100."""
    percent = max(80, min(200, window.desk.settings.number("text_percent") + by))
    window.desk.settings.put("text_percent", percent)
    theme.set_text_percent(percent)


def turn_motion(window: Window) -> None:
    """Motion on or off; kept for the next start."""
    still = not window.desk.settings.on("reduce_motion")
    window.desk.settings.put("reduce_motion", still)
    theme.set_still(still)

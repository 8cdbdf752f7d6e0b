"""The window: spine, the open leaf with its margin, the strip over it. Parts do the rest."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from PySide6.QtCore import QByteArray, QEvent, Qt, QTimer, Signal, Slot
from PySide6.QtGui import QAction, QCloseEvent, QKeySequence, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QApplication, QStackedWidget, QWidget

from trialbench.model.errors import TrialbenchError
from trialbench.model.margin import NoteVerb
from trialbench.model.message import Message, msg
from trialbench.ui import theme
from trialbench.ui.background import Background
from trialbench.ui.folding import widths
from trialbench.ui.history import History
from trialbench.ui.index import IndexPage
from trialbench.ui.leaf import Leaf
from trialbench.ui.page import Desk, Page, PageEntry
from trialbench.ui.settings import Settings
from trialbench.ui.spine import PageState, Spine, SpineText
from trialbench.ui.strip import Strip
from trialbench.ui.style import FocusFollower
from trialbench.ui.verbs_table import VerbsTable
from trialbench.ui.window_verbs import window_verbs

Words = Message | str
SpineWords = Callable[[Any, str], SpineText]
SMALLEST_PX = (800, 600)


class Window(QWidget):
    """One notebook in one window.

    `notebook` follows `trialbench.notebook.Notebook`. `entries` is the table of pages, `spine`
    gives the words of the spine (without pages and states, which come from the entries), `foot`
    what the foot says of the last step. Close it to stop the worker; the notebook stays open.
    """

    painted = Signal()

    def __init__(
        self,
        notebook: Any,
        entries: Sequence[PageEntry],
        spine: SpineWords,
        settings: Settings | None = None,
        foot: Callable[[Any], Words] | None = None,
    ) -> None:
        super().__init__()
        self.setMinimumSize(*SMALLEST_PX)
        # The window itself has the keyboard until a part is chosen.
        self.setFocusPolicy(Qt.FocusPolicy.ClickFocus)
        self.setFocus()
        self._spine_words, self._foot_words = spine, foot
        self._settings = settings or Settings()
        self.history = History(notebook, self)
        self.background = Background(self)
        self.background.hold()
        self.desk = Desk(notebook, self.history, self.background, self._settings, self)
        self.verbs = VerbsTable()
        self._entries = {entry.key: entry for entry in entries}
        self._pages: dict[str, Page] = {}
        self._actions: list[QAction] = []
        self._open = ""
        self._first_paint = True
        self._build()
        self._unsubscribe = notebook.subscribe(self._changed)
        self._connect()
        self.verbs.put("window", window_verbs(self))
        self._restore()

    def _build(self) -> None:
        self.spine = Spine(self)
        self.leaves = QStackedWidget(self)
        self.strip = Strip(self)
        self._follower = FocusFollower(self)

    def _connect(self) -> None:
        self.spine.page_chosen.connect(self.open_page)
        self.desk.wants_page.connect(self._go)
        self.desk.trouble.connect(self.show_trouble)
        self.desk.margin_changed.connect(self.show_margin)
        self.history.changed.connect(self._show_foot)
        self.history.trouble.connect(self.show_trouble)
        self.verbs.listeners.append(self._hang_keys)
        theme.signals().theme_changed.connect(self._arrange)
        app = QApplication.instance()
        assert isinstance(app, QApplication)
        app.focusChanged.connect(self._peek_names)

    @Slot()
    def _peek_names(self) -> None:
        """Names that are folded show themselves while one of them has the keyboard."""
        if self.spine.is_folded():
            self._arrange()

    def _restore(self) -> None:
        kept = self._settings.text("window_geometry")
        if not kept or not self.restoreGeometry(QByteArray.fromBase64(kept.encode())):
            self.resize(1280, 800)

    # --- pages ---------------------------------------------------------------------------------

    @Slot(object)
    def open_page(self, key: str) -> None:
        """Open a page of the trial that is open ("plan"), "contents" or "index"."""
        self._go((key, self.desk.trial_id))

    @Slot(object)
    def _go(self, wanted: tuple[str, str]) -> None:
        key, trial_id = wanted
        if key != "index" and key not in self._entries:
            return
        other_trial = trial_id != self.desk.trial_id
        self.desk.trial_id = trial_id
        before, self._open = self._open, key
        page = self._page(key)
        assert page.leaf is not None
        if key != "index":
            # The index lists, and does, what the page can do from which it was opened.
            self.verbs.put("page", page.verbs())
        page.refresh(frozenset())
        self.leaves.setCurrentWidget(page.leaf)
        self._arrange()
        self.show_margin()
        self._show_spine()
        self._show_foot()
        arriving = key != before or other_trial
        if arriving:
            page.leaf.to_top()
        if before:
            page.leaf.take_keyboard(arriving=arriving)
        elif self.spine.is_folded() and not page.leaf.isAncestorOf(self.focusWidget()):
            self.setFocus()
        if isinstance(page, IndexPage):
            page.focus_find()
        else:
            self._settings.put("last_page", key)
            self._settings.put("last_trial", trial_id)
            self._settings.put("last_notebook", str(getattr(self.desk.notebook, "path", "")))
            self._settings.put("last_scroll", 0)
            self._settings.write()

    def _page(self, key: str) -> Page:
        """The page, made when it is first opened."""
        if key not in self._pages:
            if key == "index":
                page: Page = IndexPage(self.desk, self.verbs)
                page.chosen.connect(self._do_from_index)  # type: ignore[attr-defined]
                page.left.connect(self._leave_index)  # type: ignore[attr-defined]
            else:
                page = self._entries[key].make(self.desk)
            leaf = Leaf()
            page.leaf = leaf
            leaf.verb.connect(self._do)
            leaf.take_back.connect(self.history.undo)
            self.leaves.addWidget(leaf)
            page.build(leaf)
            leaf.set_number(self._number_words(key))
            self._pages[key] = page
        return self._pages[key]

    def page(self) -> Page:
        """The page that is open."""
        return self._pages[self._open]

    def has_page(self, key: str) -> bool:
        """Whether the table of pages has a row of this key."""
        return key in self._entries

    def entries(self) -> list[PageEntry]:
        """The table of pages, in its order."""
        return list(self._entries.values())

    def _number_words(self, key: str) -> Words:
        entry = self._entries.get(key)
        of = self._entries.get(entry.of) if entry is not None and entry.of else entry
        if of is None or not of.number:
            return ""
        count = sum(1 for each in self._entries.values() if each.number)
        return msg("page {number} of {count}", number=of.number, count=count)

    @Slot(object)
    def _do(self, verb: NoteVerb) -> None:
        self.page().do(verb.name, verb.args)

    @Slot(object)
    def _do_from_index(self, name: str) -> None:
        entry = self.verbs.entry(name)
        back = str(self._settings.text("last_page"))
        if name.startswith("page:") or back not in self._pages:
            entry.handler()
            return
        self.open_page(back)
        entry.handler()

    @Slot()
    def _leave_index(self) -> None:
        """Back to the page from which the index was opened."""
        back = str(self._settings.text("last_page"))
        self.open_page(back if back in self._pages else "contents")

    # --- what changes --------------------------------------------------------------------------

    def _changed(self, kinds: frozenset[str]) -> None:
        if self._open:
            self.page().refresh(kinds)
            self.show_margin()
        self._show_spine()
        self._show_foot()

    @Slot()
    def show_margin(self) -> None:
        """Ask the open page what its margin says now."""
        if self._open:
            page = self.page()
            assert page.leaf is not None
            page.leaf.show_margin(page.margin())

    def _show_spine(self) -> None:
        notebook, trial = self.desk.notebook, self.desk.trial_id
        text = self._spine_words(notebook, trial)
        entry = self._entries.get(self._open)
        open_key = entry.of if entry is not None and entry.of else self._open
        pages: tuple[PageState, ...] = ()
        if trial and open_key != "contents":
            numbered = [each for each in self._entries.values() if each.number]
            pages = tuple(
                PageState(each.key, each.name, *each.state(notebook, trial)) for each in numbered
            )
        self.spine.show_text(
            SpineText(
                text.notebook,
                text.notebook_says,
                text.trial,
                text.trial_title,
                pages,
                text.contents,
            ),
            open_key,
        )
        self.setWindowTitle(text.notebook)

    @Slot()
    def _show_foot(self) -> None:
        if not self._open:
            return
        page = self.page()
        assert page.leaf is not None
        words = page.foot()
        if words is None:
            words = self._foot_words(self.desk.notebook) if self._foot_words else ""
        page.leaf.set_written(words or "", can_take_back=self.history.can_undo())

    @Slot(object)
    def show_trouble(self, trouble: TrialbenchError | Message) -> None:
        """Trouble with the file: a strip over the page."""
        self.strip.show_trouble(trouble)
        self._arrange()

    # --- place ---------------------------------------------------------------------------------

    def resizeEvent(self, event: QResizeEvent) -> None:
        self._arrange()

    @Slot()
    def _arrange(self) -> None:
        wide = widths(self.width(), text_factor=theme.text_factor(), counter=theme.is_counter())
        left = wide.hinge + wide.names
        self.spine.set_folded(not wide.names)
        peeking = not wide.names and self.spine.has_keyboard()
        shown = wide.hinge + round(theme.px(theme.size("names"))) if peeking else left
        self.spine.setGeometry(0, 0, shown, self.height())
        self.spine.raise_()
        over = 0
        if not self.strip.isHidden():
            over = max(self.strip.heightForWidth(self.width() - left), 44)
            self.strip.setGeometry(left, 0, self.width() - left, over)
        self.leaves.setGeometry(left, over, self.width() - left, self.height() - over)
        for page in self._pages.values():
            if page.leaf is not None:
                page.leaf.set_widths(wide)

    def event(self, event: QEvent) -> bool:
        if event.type() == QEvent.Type.LayoutRequest:
            self._arrange()
        return super().event(event)

    def paintEvent(self, event: QPaintEvent) -> None:
        if self._first_paint:
            self._first_paint = False
            self.painted.emit()
            QTimer.singleShot(0, self.background.warm_up)

    # --- keys ----------------------------------------------------------------------------------

    def _hang_keys(self) -> None:
        """Every verb with a key is an action of the window."""
        for action in self._actions:
            self.removeAction(action)
            action.deleteLater()
        self._actions = []
        for entry in self.verbs.entries():
            if not entry.key:
                continue
            action = QAction(self)
            action.setShortcut(QKeySequence(entry.key))
            action.setObjectName(entry.name)
            action.triggered.connect(self._run_action)
            self.addAction(action)
            self._actions.append(action)

    @Slot()
    def _run_action(self) -> None:
        entry = self.verbs.entry(self.sender().objectName())
        if entry.why() is None:
            entry.handler()

    # --- the end -------------------------------------------------------------------------------

    def closeEvent(self, event: QCloseEvent) -> None:
        """Nothing to save and nothing to ask: leave the open blank, stop the worker."""
        inner = self.focusWidget()
        if inner is not None:
            inner.clearFocus()
        self._unsubscribe()
        self.background.close()
        self.history.close()
        if self._open and not isinstance(self.page(), IndexPage):
            leaf = self.page().leaf
            self._settings.put("last_scroll", leaf.scroll_px() if leaf is not None else 0)
        geometry = bytes(self.window().saveGeometry().toBase64().data()).decode()
        self._settings.put("window_geometry", geometry)
        self._settings.write()
        super().closeEvent(event)

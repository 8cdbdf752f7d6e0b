"""From a path to an open window: first start, later starts, and a file that cannot be opened."""

from __future__ import annotations

import contextlib
from pathlib import Path

from PySide6.QtCore import QObject, QTimer, Slot
from PySide6.QtWidgets import QApplication, QWidget

from trialbench import paths
from trialbench.model.errors import DamagedFile, FileTrouble, TrialbenchError
from trialbench.model.records import Trial
from trialbench.notebook.acts import new_record
from trialbench.notebook.notebook import Notebook
from trialbench.ui import theme
from trialbench.ui.pages import book_window
from trialbench.ui.settings import Settings
from trialbench.ui.window import Window

_LOOK_AGAIN_MS = 2000


def run(path: Path | None = None) -> int:
    """Open the window on a notebook (the usual one when no path is given) until it is closed."""
    app = QApplication.instance() or QApplication(["trialbench"])
    assert isinstance(app, QApplication)
    app.setApplicationName("trialbench")
    app.setApplicationDisplayName("Trialbench")
    start = Start(app, Settings(paths.settings_file()))
    start.open(path or paths.default_notebook(), usual=path is None)
    code = app.exec()
    start.close()
    return int(code)


class Start(QObject):
    """Holds what is open: one notebook with its window, or the page that says why there is none."""

    def __init__(self, app: QApplication, settings: Settings) -> None:
        super().__init__(app)
        self.settings = settings
        self.notebook: Notebook | None = None
        self.window: QWidget | None = None
        self._watch = QTimer(self)
        self._watch.setInterval(_LOOK_AGAIN_MS)
        self._watch.timeout.connect(self._look_again)
        theme.install(app, settings.text("theme"))  # type: ignore[arg-type]
        theme.set_still(settings.on("reduce_motion"))
        theme.set_text_percent(settings.number("text_percent"))
        theme.set_counter(settings.on("counter_size"))

    def open(self, path: Path, *, usual: bool = True) -> None:
        """Open a notebook and show it where it was left; a file that cannot be read is said."""
        try:
            if usual:
                path.parent.mkdir(parents=True, exist_ok=True)
            self.notebook = Notebook.open(path)
        except (FileTrouble, OSError) as trouble:
            self._say(path, trouble)
            return
        window = book_window(self.notebook, self.settings)
        self.window = window
        first = not self.notebook.all(Trial) and not self.notebook.read_only
        if first:
            self._begin(window)
        else:
            go_back(window)
        if self.notebook.trouble is not None:
            window.show_trouble(self.notebook.trouble)
            self._watch.start()
        window.show()
        window.activateWindow()

    def _begin(self, window: Window) -> None:
        """The very first start: a blank trial 1; the examples come in once it is on the screen."""
        from trialbench.notebook.acts.question import begin_trial

        assert self.notebook is not None
        step = begin_trial(self.notebook)
        self.notebook.apply(step)
        window.desk.go("question", new_record(step, Trial).id)
        window.painted.connect(self._bring_examples)

    @Slot()
    def _bring_examples(self) -> None:
        QTimer.singleShot(0, self.bring_examples)

    @Slot()
    def bring_examples(self) -> None:
        """Bring in the example trials that come with the program."""
        if self.notebook is None:
            return
        from trialbench.exchange.bringing import read_package
        from trialbench.exchange.opened import is_package

        for package in sorted(paths.example_trials().iterdir()):
            if is_package(package):
                self.notebook.apply(read_package(package, self.notebook))

    def _say(self, path: Path, trouble: Exception) -> None:
        from trialbench.ui.trouble_page import TroublePage

        page = TroublePage(path, trouble, can_rescue=isinstance(trouble, DamagedFile))
        page.rescue.connect(self._rescue)
        page.usual.connect(self._open_usual)
        self.window = page
        page.show()

    @Slot(object)
    def _rescue(self, path: Path) -> None:
        from trialbench.notebook.clock import system_clock
        from trialbench.store.rescue import rescue

        page = self.window
        try:
            found = rescue(path, system_clock().utc)
        except TrialbenchError as trouble:
            page.show_trouble(trouble)  # type: ignore[union-attr]
            return
        self._put_away()
        self.open(found.path, usual=False)

    @Slot()
    def _open_usual(self) -> None:
        self._put_away()
        self.open(paths.default_notebook())

    def _put_away(self) -> None:
        # The next window is shown before the event loop can see that the last one is gone.
        if self.window is not None:
            self.window.hide()
            self.window.deleteLater()
            self.window = None

    @Slot()
    def _look_again(self) -> None:
        """A window that only reads shows what the other one writes."""
        if self.notebook is not None:
            with contextlib.suppress(FileTrouble):
                self.notebook.refresh()

    def close(self) -> None:
        """The window is closed: let the file go."""
        self._watch.stop()
        if self.window is not None:
            self.window.close()
            self.window.deleteLater()
            self.window = None
        if self.notebook is not None:
            self.notebook.close()
            self.notebook = None


def go_back(window: Window) -> None:
    """Open the page, trial and place where this notebook was left; Contents when there is none."""
    settings = window.desk.settings
    key, trial_id = settings.text("last_page"), settings.text("last_trial")
    known = window.desk.notebook.find(Trial, trial_id) is not None
    here = settings.text("last_notebook") == str(window.desk.notebook.path)
    if not here or (not known and key != "contents"):
        window.desk.go("contents", "")
        return
    if not window.has_page(key):
        key = "contents"
    scroll = settings.number("last_scroll")
    window.desk.go(key, trial_id if known else "")
    leaf = window.page().leaf
    if leaf is not None and scroll:
        leaf.scroll_to(scroll)

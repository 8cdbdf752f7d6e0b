"""From a path to an open notebook: first start, later starts, and a file that cannot be opened.

The paper is on the screen before anything of the notebook is loaded; the page follows at once, and
the engine once the page is painted.
"""

from __future__ import annotations

import contextlib
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Qt, QTimer, Slot
from PySide6.QtWidgets import QApplication, QWidget

from trialbench import paths
from trialbench.model.message import msg, say
from trialbench.ui import theme
from trialbench.ui.paper import Paper
from trialbench.ui.settings import Settings

if TYPE_CHECKING:
    from trialbench.notebook.notebook import Notebook
    from trialbench.ui.window import Window

_LOOK_AGAIN_MS = 2000


def run(path: Path | None = None) -> int:
    """Open the window on a notebook (the usual one when no path is given) until it is closed."""
    app = QApplication.instance() or QApplication(["trialbench"])
    assert isinstance(app, QApplication)
    app.setApplicationName("trialbench")
    app.setApplicationDisplayName("Trialbench")
    start = Start(app, Settings(paths.settings_file()))
    start.open_when_painted(path)
    code = app.exec()
    start.close()
    return int(code)


class Start(QObject):
    """Holds what is open: one notebook with its window, or the page that says why there is none.

    `paper` is the window of the system, `window` what lies on it.
    """

    def __init__(self, app: QApplication, settings: Settings) -> None:
        super().__init__(app)
        self.settings = settings
        self.notebook: Notebook | None = None
        self.window: QWidget | None = None
        self._path: Path | None = None
        self._watch = QTimer(self)
        self._watch.setInterval(_LOOK_AGAIN_MS)
        self._watch.timeout.connect(self._look_again)
        theme.install(app, settings.text("theme"))  # type: ignore[arg-type]
        theme.set_still(settings.on("reduce_motion"))
        theme.set_text_percent(settings.number("text_percent"))
        theme.set_counter(settings.on("counter_size"))
        self.paper = Paper(settings)

    def open_when_painted(self, path: Path | None) -> None:
        """Show the paper, and open the notebook (the usual one for None) once it is painted."""
        self._path = path
        # Queued, so that the painted paper reaches the screen first.
        self.paper.painted.connect(self._open_now, Qt.ConnectionType.QueuedConnection)
        self.paper.show()

    @Slot()
    def _open_now(self) -> None:
        if self.paper.isVisible():
            self.open(self._path or paths.default_notebook(), usual=self._path is None)

    def open(self, path: Path, *, usual: bool = True) -> None:
        """Open a notebook and show it where it was left; a file that cannot be read is said."""
        from trialbench.model.errors import FileTrouble
        from trialbench.model.records import Trial
        from trialbench.notebook.notebook import Notebook
        from trialbench.ui.pages import book_window

        try:
            if usual:
                path.parent.mkdir(parents=True, exist_ok=True)
            self.notebook = Notebook.open(path)
        except (FileTrouble, OSError) as trouble:
            self._say(path, trouble)
            return
        window = book_window(self.notebook, self.settings)
        if not self.notebook.all(Trial) and not self.notebook.read_only:
            self._begin(window, name=usual)
        else:
            go_back(window)
        if self.notebook.trouble is not None:
            window.show_trouble(self.notebook.trouble)
            self._watch.start()
        self._show(window)

    def _show(self, part: QWidget) -> None:
        # Laid on the paper, a part forgets where its keyboard was.
        wanted = part.focusWidget()
        self.window = part
        self.paper.put(part)
        self.paper.show()
        self.paper.activateWindow()
        if wanted is not None:
            wanted.setFocus()

    def _begin(self, window: Window, *, name: bool) -> None:
        """The very first start: a blank trial 1; the examples come in once it is on the screen."""
        from trialbench.model.records import Trial
        from trialbench.notebook.acts import new_record
        from trialbench.notebook.acts.cover import name_notebook
        from trialbench.notebook.acts.question import begin_trial

        assert self.notebook is not None
        if name:
            self.notebook.apply(name_notebook(self.notebook, say(msg("My notebook"))))
        step = begin_trial(self.notebook)
        self.notebook.apply(step)
        window.desk.go("question", new_record(step, Trial).id)
        window.painted.connect(self._bring_examples, Qt.ConnectionType.QueuedConnection)

    @Slot()
    def _bring_examples(self) -> None:
        """Bring in the example trials that come with the program."""
        if self.notebook is None:
            return
        from trialbench.exchange.bringing import read_package
        from trialbench.exchange.opened import is_package

        for package in sorted(paths.example_trials().iterdir()):
            if is_package(package):
                self.notebook.apply(read_package(package, self.notebook))

    def _say(self, path: Path, trouble: Exception) -> None:
        from trialbench.model.errors import DamagedFile
        from trialbench.ui.trouble_page import TroublePage

        page = TroublePage(path, trouble, can_rescue=isinstance(trouble, DamagedFile))
        page.rescue.connect(self._rescue)
        page.usual.connect(self._open_usual)
        page.left.connect(self.paper.close)
        self._show(page)

    @Slot(object)
    def _rescue(self, path: Path) -> None:
        from trialbench.model.errors import TrialbenchError
        from trialbench.notebook.clock import system_clock
        from trialbench.store.rescue import rescue
        from trialbench.ui.trouble_page import TroublePage

        try:
            found = rescue(path, system_clock().utc)
        except TrialbenchError as trouble:
            if isinstance(self.window, TroublePage):
                self.window.show_trouble(trouble)
            return
        self.open(found.path, usual=False)

    @Slot()
    def _open_usual(self) -> None:
        self.open(paths.default_notebook())

    @Slot()
    def _look_again(self) -> None:
        """A window that only reads shows what the other one writes."""
        from trialbench.model.errors import FileTrouble

        if self.notebook is not None:
            with contextlib.suppress(FileTrouble):
                self.notebook.refresh()

    def close(self) -> None:
        """Take what is open off the paper and let the file go."""
        self._watch.stop()
        self.paper.keep_place()
        self.paper.clear()
        self.paper.hide()
        self.window = None
        if self.notebook is not None:
            self.notebook.close()
            self.notebook = None


def go_back(window: Window) -> None:
    """Open the page, trial and place where this notebook was left; Contents when there is none."""
    from trialbench.model.records import Trial

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

"""Pictures of every page: `python -m tests.screens OUTDIR [--sample] [--only WORD] [--readme]`.

The notebook in the pictures is filled from example_trials/. Each look (light, dark, one and a half
times, a large screen) is taken in a process of its own, because the scale of a screen is fixed when
Qt starts. `--sample` takes the sample pages of the kit instead, `--only` one look or page by a word
of its name, `--readme` only the pictures that README shows, under their own names.
"""

from __future__ import annotations

import argparse
import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Collection, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from PySide6.QtWidgets import QApplication

    from trialbench.ui.window import Window

SETTLED_S = 60.0
"""How long a page may reckon before its picture is taken as a failure."""


@dataclass(frozen=True)
class Look:
    """How the pages are looked at. `scale` is the screen's pixel ratio, sizes are in its points."""

    name: str
    theme: str
    width_px: int = 1280
    height_px: int = 800
    scale: float = 1.0
    counter: bool = False
    trials: int | None = 1
    """How many example trials to walk through; None is all of them."""


LOOKS = (
    Look("light", "light", trials=None),
    Look("dark", "dark"),
    Look("light-1.5", "light", scale=1.5),
    Look("light-1920", "light", 1920, 1080),
    Look("light-narrow", "light", 900, 700),
    Look("counter", "dark", counter=True),
)

README = {"findings": "findings.png", "methods": "methods.png"}
"""The pages whose pictures README shows, taken in the first look."""


def _application(look: Look) -> QApplication:
    from PySide6.QtWidgets import QApplication

    from trialbench.ui import theme

    app = QApplication(["trialbench-screens"])
    theme.install(app, look.theme)  # type: ignore[arg-type]
    theme.set_still(True)
    theme.set_counter(look.counter)
    return app


@contextmanager
def example_notebook(folder: Path) -> Iterator[Any]:
    """An open notebook with every example trial in it, always at the same hour."""
    from trialbench import paths
    from trialbench.exchange.bringing import read_package
    from trialbench.notebook.clock import Moment
    from trialbench.notebook.notebook import Notebook

    file, hour = folder / "An invented kitchen.trialbench", Moment("2026-05-03T14:20:00Z", 0)
    with Notebook.open(file, lambda: hour, backups=folder / "backups") as book:
        for package in sorted(paths.example_trials().iterdir()):
            if (package / "datapackage.json").exists():
                book.apply(read_package(package, book))
        yield book


@contextmanager
def _bound(sample: bool) -> Iterator[tuple[Window, list[str]]]:
    """The window and the ids of the trials to walk through."""
    from trialbench.ui.settings import Settings

    if sample:
        from tests.ui.sample_book import sample_window

        window = sample_window(Settings())
        yield window, [window.desk.trial_id]
        return
    from trialbench.model.records import Trial
    from trialbench.ui.pages import book_window

    with tempfile.TemporaryDirectory() as folder, example_notebook(Path(folder)) as book:
        trials = sorted(book.all(Trial), key=lambda trial: trial.number)
        yield book_window(book, Settings()), [trial.id for trial in trials]


def settle(app: QApplication, window: Window) -> None:
    """Run the window until it has nothing left to reckon and to lay out."""
    end = time.monotonic() + SETTLED_S
    quiet = 0
    while quiet < 5:
        app.processEvents()
        quiet = 0 if window.background.is_busy() else quiet + 1
        if time.monotonic() > end:
            raise TimeoutError("a page is still reckoning")
        time.sleep(0.005)


def _pages(window: Window, trial_ids: list[str]) -> Iterator[tuple[str, str, str]]:
    """(name of the picture, page, trial) in the order of the book; pages of no trial come once."""
    for number, trial_id in enumerate(trial_ids):
        for entry in window.entries():
            of_no_trial = not entry.number and not entry.of
            if of_no_trial and number:
                continue
            place = entry.number if entry.number is not None else 9
            yield f"{number + 1}-{place}-{entry.key}", entry.key, trial_id
    yield "1-9-index", "index", trial_ids[0]


Keep = Callable[[str, str, Any], None]


def _show(app: QApplication, window: Window, key: str, trial_id: str) -> None:
    """Open a page; what goes wrong while it is shown is raised here and not printed by Qt."""
    troubles: list[BaseException] = []
    before, sys.excepthook = sys.excepthook, lambda kind, trouble, at: troubles.append(trouble)
    try:
        window.desk.go(key, trial_id)
        settle(app, window)
    finally:
        sys.excepthook = before
    if troubles:
        raise RuntimeError(f"the page {key} cannot be shown") from troubles[0]


def take(look: Look, sample: bool, keep: Keep, pages: Collection[str] = ()) -> None:
    """Show every page in this look (or only `pages` of the first trial) and hand its picture to
    `keep(name, page, pixmap)`.
    """
    app = _application(look)
    with _bound(sample) as (window, trial_ids):
        window.resize(look.width_px, look.height_px)
        window.show()
        walked = trial_ids[: 1 if pages else look.trials]
        for name, key, trial_id in _pages(window, walked):
            if pages and key not in pages:
                continue
            _show(app, window, key, trial_id)
            keep(name, key, window.grab())
        window.close()
        app.processEvents()


def _writes(folder: Path, look: Look, only: str) -> Keep:
    def keep(name: str, key: str, picture: Any) -> None:
        place = folder / look.name / f"{name}.png"
        if only not in f"{look.name}/{name}":
            return
        place.parent.mkdir(parents=True, exist_ok=True)
        if not picture.save(str(place)):
            raise OSError(f"cannot write {place}")
        print(place)

    return keep


def _writes_readme(folder: Path) -> Keep:
    def keep(name: str, key: str, picture: Any) -> None:
        folder.mkdir(parents=True, exist_ok=True)
        picture.save(str(folder / README[key]))
        print(folder / README[key])

    return keep


def _asked() -> argparse.Namespace:
    parser = argparse.ArgumentParser(prog="python -m tests.screens", description=__doc__)
    parser.add_argument("outdir", type=Path)
    parser.add_argument("--sample", action="store_true")
    parser.add_argument("--only", default="", help="a word of a look or of a page")
    parser.add_argument("--readme", action="store_true")
    parser.add_argument("--look", choices=[look.name for look in LOOKS])
    return parser.parse_args()


def main() -> int:
    """Take one look here, or every look in a process of its own."""
    asked = _asked()
    if asked.look or asked.readme:
        look = next(look for look in LOOKS if look.name == (asked.look or LOOKS[0].name))
        if asked.readme:
            take(look, asked.sample, _writes_readme(asked.outdir), README)
        else:
            take(look, asked.sample, _writes(asked.outdir, look, asked.only))
        return 0
    for look in LOOKS:
        surroundings = {**os.environ, "QT_SCALE_FACTOR": f"{look.scale:g}"}
        surroundings.setdefault("QT_QPA_PLATFORM", "offscreen")
        command = [sys.executable, "-m", "tests.screens", *sys.argv[1:], "--look", look.name]
        subprocess.run(command, env=surroundings, check=True)
    return 0


if __name__ == "__main__":
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    sys.exit(main())

"""Asking where a file is to stand: the dialog begins in the folder used last, else at home."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtWidgets import QFileDialog, QWidget

from trialbench.model.errors import FileTrouble
from trialbench.model.message import Message, msg, say
from trialbench.model.records import Trial
from trialbench.ui.settings import Settings

_FOLDER = "last_folder"


def file_stem(trial: Trial, *more: str) -> str:
    """A file name that tells the food and the number of the trial and nothing of its methods."""
    words = "".join(c if c.isalnum() else "-" for c in trial.food.lower()).strip("-")
    return "-".join([words or "trial", str(trial.number), *more])


def ask_where(parent: QWidget | None, settings: Settings, named: str, kind: Message) -> Path | None:
    """Where to write; None when nothing was chosen. The folder is kept for the next time.

    A missing ending (that of `named`) is added. Raises FileTrouble where a file of that name is
    there already, which nobody was asked about.
    """
    last = settings.text(_FOLDER)
    folder = Path(last) if last and Path(last).is_dir() else Path.home()
    title = say(msg("Write to a file"))
    chosen, _ = QFileDialog.getSaveFileName(parent, title, str(folder / named), say(kind))
    if not chosen:
        return None
    path, ending = Path(chosen), Path(named).suffix
    settings.put(_FOLDER, str(path.parent))
    if path.suffix.lower() == ending:
        return path
    ended = path.with_name(path.name + ending)
    if ended.exists():
        said = msg("{file} is there already. Write its whole name to replace it.", file=ended.name)
        raise FileTrouble(said, cause=str(ended))
    return ended

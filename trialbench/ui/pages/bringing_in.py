"""Bringing in a trial: a package chosen by the cook becomes a step, trouble a strip."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtWidgets import QFileDialog, QWidget

from trialbench.model.errors import TrialbenchError
from trialbench.model.message import msg, say
from trialbench.model.steps import Step
from trialbench.ui.page import Desk


def choose_package(parent: QWidget | None) -> str:
    """Ask for a package: its .zip, or datapackage.json in its folder. "" when none was chosen."""
    kinds = say(msg("Trials (datapackage.json *.zip)"))
    path, _ = QFileDialog.getOpenFileName(parent, say(msg("Bring in a trial")), "", kinds)
    return str(path)


def step_from(desk: Desk, path: str) -> Step | None:
    """The step that brings the package in; a trial that is there already comes in as a copy.

    None when it cannot be read: the desk says why over the page.
    """
    from trialbench.exchange.bringing import read_package

    place = Path(path)
    if place.name == "datapackage.json":
        place = place.parent
    try:
        return read_package(place, desk.notebook, again="copy")
    except TrialbenchError as trouble:
        desk.trouble.emit(trouble)
        return None

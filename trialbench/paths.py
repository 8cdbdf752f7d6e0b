"""The one place that knows where shipped files, settings and backups are."""

from __future__ import annotations

from importlib import resources
from pathlib import Path

import platformdirs

_BESIDE_PACKAGE = Path(__file__).resolve().parent.parent


def shipped(*parts: str) -> Path:
    """Path of a file or folder that comes with the program.

    `parts` starts with "resources" or "example_trials". An installed copy holds them inside the
    package; a checkout holds them beside it. Raises FileNotFoundError when neither has it.
    """
    inside = Path(str(resources.files("trialbench"))).joinpath("_shipped", *parts)
    beside = _BESIDE_PACKAGE.joinpath(*parts)
    for place in (inside, beside):
        if place.exists():
            return place
    raise FileNotFoundError(f"shipped file not found: {'/'.join(parts)}")


def resource(*parts: str) -> Path:
    """Path below resources/ (fonts, look, catalogues)."""
    return shipped("resources", *parts)


def example_trials() -> Path:
    """Folder with the example trials as open packages."""
    return shipped("example_trials")


def default_notebook() -> Path:
    """Where the notebook lives when the command line names none."""
    return Path(platformdirs.user_data_dir("trialbench", appauthor=False)) / "notebook.trialbench"


def settings_file() -> Path:
    """The settings of this machine (not of a notebook)."""
    return Path(platformdirs.user_config_dir("trialbench", appauthor=False)) / "settings.ini"


def backups() -> Path:
    """Folder that receives a copy of a notebook before its file form is raised."""
    return Path(platformdirs.user_data_dir("trialbench", appauthor=False)) / "backups"

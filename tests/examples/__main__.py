"""`python -m tests.examples [FOLDER]` writes the example trials, else into example_trials/."""

from __future__ import annotations

import sys
from pathlib import Path

from tests.examples import beans, octopus, ribs, thighs, turkey
from trialbench.exchange.package import write_package

TRIALS = (turkey, beans, ribs, thighs, octopus)


def write_all(folder: Path) -> list[Path]:
    """Write every example trial as an open package below `folder`."""
    written = []
    for trial in TRIALS:
        draft = trial.make()
        written.append(write_package(draft, draft.trial.id, folder / trial.SLUG))
    return written


if __name__ == "__main__":
    beside = Path(__file__).resolve().parents[2] / "example_trials"
    for place in write_all(Path(sys.argv[1]) if len(sys.argv) > 1 else beside):
        print(place)

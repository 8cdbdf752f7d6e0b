"""README's examples: `python -m tests.readme` runs the shown commands and writes what they print.

A block of commands is marked `<!-- tested: NAME -->`, a table that they read
`<!-- file: NAME.csv -->`. A test fails while README shows something else than is printed.
"""

from __future__ import annotations

import os
import re
import shlex
import subprocess
import sys
import tempfile
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
README = ROOT / "README.md"

_BLOCK = re.compile(r"(<!-- tested: (\w+) -->\n```console\n)(.*?)(```)", re.DOTALL)
_FILE = re.compile(r"<!-- file: (\S+) -->\n```csv\n(.*?)```", re.DOTALL)


@dataclass(frozen=True)
class Shown:
    """A command as README shows it, and what README says it prints."""

    command: str
    prints: str

    @property
    def words(self) -> list[str]:
        """The command's words after `trialbench`. ValueError for another program."""
        program, *rest = shlex.split(self.command.replace("\\\n", " "))
        if program != "trialbench":
            raise ValueError(f"README shows a command of another program: {program}")
        return rest


def _of_body(body: str) -> list[Shown]:
    found = []
    for entry in re.split(r"^\$ ", body, flags=re.MULTILINE)[1:]:
        command, prints = re.match(r"((?:[^\n]*\\\n)*[^\n]*)\n?(.*)", entry, re.DOTALL).groups()  # type: ignore[union-attr]
        found.append(Shown(command, prints))
    return found


def blocks(text: str) -> dict[str, list[Shown]]:
    """The tested blocks by name, in the order of the text."""
    return {name: _of_body(body) for _, name, body, _ in _BLOCK.findall(text)}


def lay_out(text: str, folder: Path) -> None:
    """Put what the commands read into a folder: the tables shown, and example_trials."""
    (folder / "example_trials").symlink_to(ROOT / "example_trials", target_is_directory=True)
    for name, table in _FILE.findall(text):
        (folder / name).write_text(table, "utf-8")


def run(shown: Shown, folder: Path) -> subprocess.CompletedProcess[str]:
    """Run a shown command in a folder that `lay_out` has filled."""
    return subprocess.run(
        [sys.executable, "-m", "trialbench", *shown.words],
        cwd=folder,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        check=False,
        capture_output=True,
        text=True,
    )


def renewed(text: str) -> str:
    """The text with what the commands print now."""
    with tempfile.TemporaryDirectory() as place:
        lay_out(text, Path(place))

        def again(block: re.Match[str]) -> str:
            shown = _of_body(block[3])
            body = "".join(f"$ {s.command}\n{run(s, Path(place)).stdout}" for s in shown)
            return f"{block[1]}{body}{block[4]}"

        return _BLOCK.sub(again, text)


if __name__ == "__main__":
    README.write_text(renewed(README.read_text("utf-8")), "utf-8")

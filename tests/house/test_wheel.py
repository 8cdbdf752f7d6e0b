"""What is installed holds everything that the program reads."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import sysconfig
import venv
from pathlib import Path

import pytest

from tests.house.tree import ROOT, files

_READ = """
import json, pathlib, trialbench
from trialbench import paths
def below(folder):
    return sorted(p.relative_to(folder).as_posix() for p in folder.rglob("*") if p.is_file())
print(json.dumps({
    "home": trialbench.__file__,
    "resources": below(paths.resource()),
    "example_trials": below(paths.example_trials()),
}))
"""


def _run(*command: str | Path, **more) -> str:
    done = subprocess.run([*map(str, command)], check=False, capture_output=True, text=True, **more)
    assert done.returncode == 0, done.stderr + done.stdout
    return done.stdout


@pytest.fixture(scope="module")
def installed(tmp_path_factory) -> tuple[Path, Path]:
    """A fresh environment with the wheel in it (the libraries are lent) and its folder."""
    place = tmp_path_factory.mktemp("fresh")
    _run(sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", place, cwd=ROOT)
    (wheel,) = place.glob("trialbench-*.whl")
    home = place / "environment"
    venv.create(home, with_pip=False)
    python = home / ("Scripts" if os.name == "nt" else "bin") / "python"
    _run(sys.executable, "-m", "pip", "--python", python, "install", "--no-deps", "-q", wheel)
    site = Path(
        _run(python, "-c", "import sysconfig; print(sysconfig.get_path('purelib'))").strip()
    )
    (site / "lent.pth").write_text(sysconfig.get_path("purelib"), "utf-8")
    return python, home


def test_shipped_files_are_all_there(installed, tmp_path):
    python, home = installed
    found = json.loads(_run(python, "-c", _READ, cwd=tmp_path))
    assert Path(found["home"]).is_relative_to(home)
    for top in ("resources", "example_trials"):
        ours = {name.split("/", 1)[1] for name in files() if name.startswith(f"{top}/")}
        assert ours
        assert set(found[top]) == ours


def test_the_command_is_installed_and_tells_its_version(installed, tmp_path):
    python, _ = installed
    told = _run(python.with_name("trialbench"), "--version", cwd=tmp_path)
    assert "0.1.0" in told or "rialbench" in told

"""What README tells a reader to type does what README shows."""

from __future__ import annotations

import os
import re
import shlex
import subprocess
import sys
import tomllib

import pytest

from tests.house.tree import ROOT, text_of

README = text_of("README.md") or ""
_BLOCK = re.compile(r"<!-- tested: (\w+) -->\n```console\n(.*?)```", re.DOTALL)
_FILE = re.compile(r"<!-- file: (\S+) -->\n```csv\n(.*?)```", re.DOTALL)


def _blocks() -> list[tuple[str, list[tuple[str, str]]]]:
    """Each tested block as (name, [(command, what it prints)])."""
    found = []
    for name, body in _BLOCK.findall(README):
        pairs = []
        for entry in re.split(r"^\$ ", body, flags=re.MULTILINE)[1:]:
            command, _, shown = entry.replace("\\\n", " ").partition("\n")
            pairs.append((command, shown))
        found.append((name, pairs))
    return found


@pytest.fixture
def kitchen(tmp_path):
    """A folder in which README's paths are there and what is written does no harm."""
    (tmp_path / "example_trials").symlink_to(ROOT / "example_trials", target_is_directory=True)
    for name, table in _FILE.findall(README):
        (tmp_path / name).write_text(table, "utf-8")
    return tmp_path


def test_both_commands_without_the_window_are_shown():
    assert [name for name, _ in _blocks()] == ["analyse", "report"]


@pytest.mark.parametrize("name", [name for name, _ in _blocks()])
def test_a_shown_command_prints_what_is_shown(name, kitchen):
    for command, shown in dict(_blocks())[name]:
        program, *rest = shlex.split(command)
        assert program == "trialbench"
        done = subprocess.run(
            [sys.executable, "-m", "trialbench", *rest],
            cwd=kitchen,
            env={**os.environ, "PYTHONPATH": str(ROOT)},
            check=False,
            capture_output=True,
            text=True,
        )
        assert (done.returncode, done.stderr) == (0, "")
        assert done.stdout.splitlines() == shown.splitlines()
        if "-o" in rest:
            assert (kitchen / rest[rest.index("-o") + 1]).stat().st_size > 1000


def _lines_after(heading: str) -> list[str]:
    """The lines of the first code block after a heading or marker."""
    body = README.split(heading, 1)[1]
    return re.search(r"```sh\n(.*?)```", body, re.DOTALL)[1].splitlines()


@pytest.mark.parametrize("heading", ["## Open it", "<!-- test command -->"])
def test_the_two_commands_are_one_line_each_with_their_own_environment(heading):
    (line,) = _lines_after(heading)
    first, *then = line.split(" && ")
    assert first == "python3 -m venv .venv"
    assert all(".venv/bin/" in part for part in then)


def test_the_test_command_runs_the_tests_and_the_run_script_reads_it_here():
    (line,) = _lines_after("<!-- test command -->")
    assert line.endswith(".venv/bin/python -m pytest")
    assert "<!-- test command -->" in (text_of(".ci/run") or "")


def test_readme_and_the_run_script_name_the_same_libraries():
    script = text_of(".ci/run") or ""
    libraries = set(re.search(r"^needed=\((.*?)\)", script, re.DOTALL | re.MULTILINE)[1].split())
    shown = set(README.split("--no-install-recommends ", 1)[1].split("\n", 1)[0].split())
    assert libraries < shown
    screen = set(re.search(r"^wanted=\((.*?)\)", script, re.DOTALL | re.MULTILINE)[1].split())
    assert shown - libraries - {"python3-venv"} == screen - {"xvfb", "xauth", "poppler-utils"}


def test_readme_asks_for_the_python_that_the_package_asks_for():
    wanted = tomllib.loads(text_of("pyproject.toml") or "")["project"]["requires-python"]
    assert f"Python {wanted.removeprefix('>=')} or newer" in README


def test_readme_shows_a_picture_of_the_window():
    (picture,) = re.findall(r"!\[[^\]]+\]\((resources/pictures/[^)]+\.png)\)", README)
    data = (ROOT / picture).read_bytes()
    assert data.startswith(b"\x89PNG\r\n")
    width, height = (int.from_bytes(data[at : at + 4]) for at in (16, 20))
    assert (width, height) >= (1280, 800)


def test_readme_defers_to_the_local_food_code():
    assert "follow your local food code" in " ".join(README.split())
    assert "licensed food-safety professional" in " ".join(README.split())

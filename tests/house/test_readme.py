"""What README tells a reader to type does what README shows."""

from __future__ import annotations

import re
import tomllib

import pytest

from tests.house.tree import ROOT, text_of
from tests.readme import blocks, lay_out, run
from tests.screens import README as README_PICTURES

README = text_of("README.md") or ""
BLOCKS = blocks(README)


@pytest.fixture
def kitchen(tmp_path):
    """A folder in which README's paths are there and what is written does no harm."""
    lay_out(README, tmp_path)
    return tmp_path


def test_both_commands_without_the_window_are_shown():
    assert list(BLOCKS) == ["analyse", "report"]


@pytest.mark.parametrize("name", list(BLOCKS))
def test_a_shown_command_prints_what_is_shown(name, kitchen):
    for shown in BLOCKS[name]:
        done = run(shown, kitchen)
        assert (done.returncode, done.stderr) == (0, "")
        assert done.stdout == shown.prints, "run: python -m tests.readme"
        if "-o" in shown.words:
            written = kitchen / shown.words[shown.words.index("-o") + 1]
            assert written.stat().st_size > 1000


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


def test_readme_shows_the_pictures_that_are_made_for_it():
    shown = re.findall(r"!\[[^\]]+\]\(resources/pictures/([^)]+\.png)\)", README)
    assert sorted(shown) == sorted(README_PICTURES.values())
    for picture in shown:
        data = (ROOT / "resources" / "pictures" / picture).read_bytes()
        assert data.startswith(b"\x89PNG\r\n")
        assert [int.from_bytes(data[at : at + 4]) for at in (16, 20)] == [1280, 800]


def test_readme_defers_to_the_local_food_code():
    assert "follow your local food code" in " ".join(README.split())
    assert "licensed food-safety professional" in " ".join(README.split())

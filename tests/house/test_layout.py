"""What stands where: the top level, no paths of a machine, nothing that is known to fail."""

from __future__ import annotations

import ast
import json
import tomllib
from collections.abc import Iterator
from pathlib import PurePosixPath

import pytest

from tests.house.tree import ROOT, files, python_files, syntax, text_of

TOP_LEVEL = {
    *("README.md", "DEVELOPERS.md", "pyproject.toml"),
    *("trialbench", "tests", "resources", "example_trials"),
}
DOT_FILES = {".ci", ".gitignore"}

# put together here so that this file does not hold what it looks for
_MACHINE = [
    *(
        "/".join(("", top, ""))
        for top in ("work", "tmp", "home", "root", "Users", "private", "opt")
    ),
    *("/".join(("..", name)) for name in ("shared", "reference", "main")),
    *(":".join((drive, "\\")) for drive in "CD"),
    *(".".join(host) for host in (("pypi", "org"), ("pythonhosted", "org"), ("anaconda", "org"))),
    *(".".join(host) for host in (("npmjs", "com"), ("crates", "io"), ("proxy", "golang"))),
]


def test_the_top_level_holds_these_and_nothing_else():
    tops = {PurePosixPath(name).parts[0] for name in files()}
    assert tops - DOT_FILES == TOP_LEVEL


def _lines() -> Iterator[tuple[str, str]]:
    for name in files():
        for number, line in enumerate((text_of(name) or "").splitlines(), 1):
            yield f"{name}:{number}", line


def test_no_file_names_a_place_outside_or_a_registry():
    outside = [f"{where}: {bad}" for where, line in _lines() for bad in _MACHINE if bad in line]
    assert outside == []


def test_no_line_is_left_over_from_a_merge_or_for_later():
    left = ("<" * 7 + " ", ">" * 7 + " ", "TO" + "DO", "FIX" + "ME", "X" * 3 + ":")
    assert [where for where, line in _lines() if any(mark in line for mark in left)] == []


def _imported(name: str) -> Iterator[str]:
    for node in ast.walk(syntax(name)):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            yield from (f"{node.module}.{alias.name}" for alias in node.names)


@pytest.mark.parametrize(
    ("banned", "instead"),
    [
        ("matplotlib.pyplot", "matplotlib.figure.Figure: pyplot keeps closed figures alive"),
        ("QThread", "concurrent.futures: a running QThread that is dropped ends the process"),
        ("QThreadPool", "concurrent.futures: Qt's threads have too small a stack for numpy"),
        ("QRunnable", "concurrent.futures"),
        ("QDoubleSpinBox", "a line edit and our own parser: a decimal comma is lost here"),
        ("QSpinBox", "a line edit and our own parser"),
        ("PySide6.QtQml", "widgets"),
        ("PySide6.QtUiTools", "forms are tables in code"),
        ("PyQt6", "PySide6"),
        ("pickle", "JSON or a table"),
    ],
)
def test_nothing_imports_what_is_known_to_fail(banned, instead):
    used = [
        name
        for name in python_files("trialbench")
        if any(f".{found}.".find(f".{banned}.") >= 0 for found in _imported(name))
    ]
    assert used == [], f"use {instead}"


def test_signals_carry_nothing_or_one_object():
    """Signal(int) wraps, Signal(dict) and Signal(list) copy or lose what they carry."""
    typed = []
    for name in python_files("trialbench/ui"):
        for node in ast.walk(syntax(name)):
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
                plain = [getattr(arg, "id", "?") for arg in node.args]
                if node.func.id == "Signal" and plain not in ([], ["object"]):
                    typed.append(f"{name}:{node.lineno}")
    assert typed == []


def test_every_room_says_what_it_is_for():
    """A docstring of a package is its line on the plan of the house."""
    silent = [
        name
        for name in python_files("trialbench")
        if not ast.get_docstring(syntax(name)) and (text_of(name) or "").strip()
    ]
    assert silent == []


def test_camel_case_is_for_what_qt_calls():
    """Outside ui no function has a capital in its name."""
    camel = [
        f"{name}:{node.lineno} {node.name}"
        for name in python_files("trialbench")
        if not name.startswith("trialbench/ui/")
        for node in ast.walk(syntax(name))
        if isinstance(node, ast.FunctionDef) and node.name != node.name.lower()
    ]
    assert camel == []


def test_shipped_folders_go_into_the_wheel():
    settings = tomllib.loads(text_of("pyproject.toml") or "")
    included = settings["tool"]["hatch"]["build"]["targets"]["wheel"]["force-include"]
    assert included == {name: f"trialbench/_shipped/{name}" for name in
                        ("resources", "example_trials")}  # fmt: skip


def test_every_font_comes_with_its_licence():
    fonts = [name for name in files() if name.endswith((".ttf", ".otf"))]
    assert fonts
    told = text_of("resources/LICENCES.md") or ""
    for font in fonts:
        family = PurePosixPath(font).name.split("_")[0]
        licence = f"resources/fonts/{family}-OFL.txt"
        assert "SIL OPEN FONT LICENSE Version 1.1" in (ROOT / licence).read_text("utf-8")
        assert PurePosixPath(font).name in told


def test_json_files_can_be_read():
    for name in files():
        if name.endswith(".json"):
            json.loads(text_of(name) or "")

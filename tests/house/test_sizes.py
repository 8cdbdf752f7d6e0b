"""Alarm levels of size: what grows past them is taken apart, or stands here with its reason."""

from __future__ import annotations

import ast
from collections.abc import Iterator

from tests.house.tree import python_files, syntax, text_of

MODULE_LINES = 400
FUNCTION_LINES = 40
ARGUMENTS = 6
PUBLIC_METHODS = 20

EXCEPTIONS: dict[str, str] = {
    "trialbench/stats/over.py::over_cooks": "columns are named one by one, as at a prompt",
}
"""What may be larger, "file" or "file::Class.function", with the reason."""

_ENGINE = ("trialbench/stats/", "trialbench/thermal/", "trialbench/findings/")
_FREE_KEYWORDS = (*_ENGINE, "trialbench/figures/", "tests/")
"""Where public functions may take any number of keyword-only options."""

_Function = ast.FunctionDef | ast.AsyncFunctionDef


def _inside(node: ast.AST, path: str) -> Iterator[tuple[str, _Function | ast.ClassDef]]:
    for child in ast.iter_child_nodes(node):
        if isinstance(child, ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef):
            name = f"{path}{child.name}"
            yield name, child
            yield from _inside(child, f"{name}.")
        else:
            yield from _inside(child, path)


def _lines(function: _Function) -> int:
    """Lines of a function without its docstring, which is to be as long as it needs to be."""
    total = (function.end_lineno or 0) - function.lineno + 1
    first = function.body[0]
    if ast.get_docstring(function, clean=False) is not None:
        total -= (first.end_lineno or 0) - first.lineno + 1
    return total


def _arguments(function: _Function, free_keywords: bool) -> int:
    """How many arguments, without self and without the parent that every widget has."""
    spec = function.args
    plain = [arg.arg for arg in (*spec.posonlyargs, *spec.args) if arg.arg != "parent"]
    count = len(plain) - (plain[:1] in (["self"], ["cls"]))
    return count if free_keywords else count + len(spec.kwonlyargs)


def _public_methods(cls: ast.ClassDef) -> int:
    """Our own public methods: camelCase is for what Qt calls, and Qt has named it."""
    names = [item.name for item in cls.body if isinstance(item, ast.FunctionDef)]
    return sum(name == name.lower() and not name.startswith("_") for name in names)


def _too_large(file: str) -> Iterator[tuple[str, str]]:
    lines = len((text_of(file) or "").splitlines())
    if lines > MODULE_LINES:
        yield file, f"{lines} lines, at most {MODULE_LINES}"
    for name, node in _inside(syntax(file), ""):
        where = f"{file}::{name}"
        if isinstance(node, ast.ClassDef):
            if (count := _public_methods(node)) > PUBLIC_METHODS:
                yield where, f"{count} public methods, at most {PUBLIC_METHODS}"
            continue
        if (count := _lines(node)) > FUNCTION_LINES:
            yield where, f"{count} lines, at most {FUNCTION_LINES}"
        public = node.name == "__init__" or not node.name.startswith("_")
        free = public and file.startswith(_FREE_KEYWORDS)
        if (count := _arguments(node, free)) > ARGUMENTS:
            yield where, f"{count} arguments, at most {ARGUMENTS}"


def _found() -> dict[str, str]:
    files = python_files("trialbench", "tests")
    return dict(large for file in files for large in _too_large(file))


def test_nothing_has_grown_past_its_alarm_level():
    grown = [f"{where}: {size}" for where, size in _found().items() if where not in EXCEPTIONS]
    assert not grown, "\n".join(grown)


def test_every_exception_is_still_needed_and_gives_its_reason():
    assert set(EXCEPTIONS) <= set(_found())
    assert all(EXCEPTIONS.values())


def test_no_module_has_a_name_that_says_nothing():
    empty = {"utils", "util", "misc", "helpers", "helper", "common", "core", "tools"}
    named = {
        file: part
        for file in python_files("trialbench", "tests")
        for part in file.removesuffix(".py").split("/")
        if part in empty
    }
    assert named == {}


def test_names_of_test_files_are_used_once():
    names = [f.rsplit("/", 1)[-1] for f in python_files("tests") if "/test_" in f]
    assert len(names) == len(set(names)), sorted(n for n in set(names) if names.count(n) > 1)

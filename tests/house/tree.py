"""The files of the checkout and their syntax trees, read once for all tests of the house."""

from __future__ import annotations

import ast
import re
import subprocess
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]

_CACHES = {"__pycache__", "dist", "build", "node_modules"}


def _walked() -> list[str]:
    found = []
    for path in ROOT.rglob("*"):
        parts = path.relative_to(ROOT).parts
        hidden = any(part.startswith(".") and part != ".ci" for part in parts[:-1])
        if path.is_file() and not hidden and not _CACHES.intersection(parts):
            found.append("/".join(parts))
    return found


@cache
def files() -> tuple[str, ...]:
    """Every file that belongs to the checkout, as "folder/name": what git knows or would add."""
    if not (ROOT / ".git").exists():
        return tuple(sorted(_walked()))
    listed = subprocess.run(
        ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"],
        cwd=ROOT,
        capture_output=True,
        check=True,
        text=True,
    ).stdout
    return tuple(sorted(name for name in listed.split("\0") if name and (ROOT / name).is_file()))


@cache
def text_of(name: str) -> str | None:
    """The text of a file, None for a file that is not text."""
    try:
        return (ROOT / name).read_text("utf-8")
    except UnicodeDecodeError:
        return None


@cache
def python_files(*folders: str) -> tuple[str, ...]:
    """Python files below the folders ("trialbench", "tests/house")."""
    below = tuple(f"{folder}/" for folder in folders)
    return tuple(name for name in files() if name.startswith(below) and name.endswith(".py"))


@cache
def syntax(name: str) -> ast.Module:
    """The syntax tree of a Python file."""
    return ast.parse(text_of(name) or "", filename=name)


def module_name(name: str) -> str:
    """The dotted name of a Python file: trialbench/ui/window.py is trialbench.ui.window."""
    return name.removesuffix(".py").removesuffix("/__init__").replace("/", ".")


@dataclass(frozen=True)
class Call:
    """A call found in the source: where it stands, the name called and the node."""

    where: str
    name: str
    node: ast.Call


def called(node: ast.Call) -> str:
    """The last part of the name that is called: `errors.Refused(...)` gives "Refused"."""
    target = node.func
    if isinstance(target, ast.Attribute):
        return target.attr
    return target.id if isinstance(target, ast.Name) else ""


def calls(names: set[str], *folders: str) -> Iterator[Call]:
    """All calls of these names in Python files below the folders."""
    for file in python_files(*folders):
        for node in ast.walk(syntax(file)):
            if isinstance(node, ast.Call) and called(node) in names:
                yield Call(f"{file}:{node.lineno}", called(node), node)


def words_of(node: ast.expr) -> str | None:
    """The text of a string or f-string, holes as {}; None for any other expression."""
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        return node.value
    if isinstance(node, ast.JoinedStr):
        return "".join(words_of(part) or "{}" for part in node.values)
    if isinstance(node, ast.BinOp) and isinstance(node.op, ast.Add):
        left, right = words_of(node.left), words_of(node.right)
        return None if left is None and right is None else f"{left or '{}'}{right or '{}'}"
    return None


def whole_word(words: tuple[str, ...]) -> re.Pattern[str]:
    """A pattern that finds these words standing alone, in any case."""
    return re.compile(rf"(?<![\w-])(?:{'|'.join(words)})(?![\w-])", re.IGNORECASE)

"""Every message can be rendered with the arguments it is given, in any language."""

from __future__ import annotations

import ast
from string import Formatter

from tests.house.tree import calls


def _fields(text: str) -> set[str]:
    names = {name for _, name, _, _ in Formatter().parse(text) if name is not None}
    return {name.split(".")[0].split("[")[0] for name in names}


def _given(node: ast.Call) -> set[str] | None:
    """Names of the arguments, None when some are given as **mapping."""
    names = {keyword.arg for keyword in node.keywords}
    return None if None in names else {name for name in names if name}


def _texts(node: ast.Call, count: int) -> list[str]:
    return [t.value for t in node.args[:count]
            if isinstance(t, ast.Constant) and isinstance(t.value, str)]  # fmt: skip


def test_fields_of_each_message_are_the_arguments_it_gets():
    wrong = []
    for call in calls({"msg"}, "trialbench"):
        given = _given(call.node)
        for text in _texts(call.node, 1):
            if given is not None and _fields(text) != given:
                wrong.append(f"{call.where}: {text!r} gets {sorted(given)}")
    assert wrong == []


def test_fields_of_each_counted_message_are_its_arguments_or_the_count():
    wrong = []
    for call in calls({"msg_n"}, "trialbench"):
        given = _given(call.node)
        if given is None:
            continue
        one, many = (_fields(text) | {"count"} for text in _texts(call.node, 2))
        given |= {"count"}
        if not one <= given or many != given:  # one thing may be said in fewer figures
            wrong.append(f"{call.where}: gets {sorted(given)}")
    assert wrong == []

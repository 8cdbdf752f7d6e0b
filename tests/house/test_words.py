"""Words that are never printed to a cook, and sentences that bypass the catalogue."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator

from tests.house.tree import Call, calls, files, text_of, whole_word, words_of

NEVER = whole_word(
    (
        # they promise what no trial can give
        *("significant", "significantly", "valid", "safe", "safely", "passed", "proven"),
        # they belong to other trades
        *("sheet", "carved", "session", "ballot", "primary", "seed"),
        *("trunk", "branch", "split", "shelf", "dashboard", "project", "workspace"),
    )
)

_ERRORS = {"TrialbenchError", "Refused", "BadInput", "FileTrouble", "NewerFile", "DamagedFile"}
_ERRORS |= {"HeldElsewhere", "Sealed"}
_MESSAGES = {"msg", "msg_n"}
_PARSER = {"add_argument", "add_parser", "ArgumentParser"}

_SHOWN = {
    *("setText", "setToolTip", "setStatusTip", "setWhatsThis", "setWindowTitle", "setTitle"),
    *("setPlaceholderText", "setAccessibleName", "setAccessibleDescription", "setHeaderData"),
    *("QLabel", "QPushButton", "QCheckBox", "QRadioButton", "QAction", "QGroupBox", "drawText"),
    *("addAction", "addItem", "setLabelText", "setInformativeText", "showMessage"),
}
"""Qt calls whose text a person sees or hears."""


def _printed(call: Call) -> Iterator[str]:
    """The texts of a call that reach a person; option names of the command line do not count."""
    plain = call.node.args if call.name not in _PARSER else []
    for value in (*plain, *(keyword.value for keyword in call.node.keywords)):
        text = words_of(value)
        if text is not None:
            yield text


def _found(texts: Iterator[tuple[str, str]]) -> list[str]:
    return [f"{where}: {found.group()!r} in {text!r}" for where, text in texts
            for found in NEVER.finditer(text)]  # fmt: skip


def test_messages_errors_and_options_use_the_words_of_the_trade():
    every = calls(_MESSAGES | _ERRORS | _PARSER, "trialbench")
    assert _found((call.where, text) for call in every for text in _printed(call)) == []


def _shipped_texts() -> Iterator[tuple[str, str]]:
    for name in files():
        read = name.startswith(("example_trials/", "resources/catalogues/")) or name == "README.md"
        if read and (text := text_of(name)) is not None:
            for number, line in enumerate(text.splitlines(), 1):
                yield f"{name}:{number}", line


def test_example_trials_catalogues_and_readme_use_them_too():
    assert _found(_shipped_texts()) == []


def test_the_check_finds_a_word_standing_alone_in_any_case():
    assert NEVER.findall("Safe to eat; food-safety and safety stay") == ["Safe"]
    assert NEVER.findall("a seeded bun") == []


def test_every_message_is_written_out_where_it_is_made():
    """A text put together elsewhere never reaches the catalogue."""
    loose = []
    for call in calls(_MESSAGES, "trialbench"):
        texts = call.node.args[: 2 if call.name == "msg_n" else 1]
        literal = [isinstance(t, ast.Constant) and isinstance(t.value, str) for t in texts]
        if not texts or not all(literal):
            loose.append(call.where)
    assert loose == []


def test_the_window_shows_messages_and_no_bare_sentences():
    bare = [
        f"{call.where}: {call.name}({text!r})"
        for call in calls(_SHOWN, "trialbench/ui")
        for arg in call.node.args
        if (text := words_of(arg)) not in (None, "Trialbench") and re.search(r"[A-Za-z]{2}", text)
    ]
    assert bare == []

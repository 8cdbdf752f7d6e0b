"""The template for translators is current, and a translation reaches every message."""

from __future__ import annotations

from string import Formatter

import pytest
from babel.messages.catalog import Catalog
from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po

from tests.catalogue import TEMPLATE, collected
from trialbench.model import message
from trialbench.model.message import Message, as_json, from_json, msg, say

ACCENTS = str.maketrans("aeiouAEIOUcnsy", "áéíóúÁÉÍÓÚçñšý")


def _accented(text: str) -> str:
    """The text with accents on its letters and its {holes} untouched."""
    out = []
    for plain, name, spec, conversion in Formatter().parse(text):
        out.append(plain.translate(ACCENTS).replace("{", "{{").replace("}", "}}"))
        if name is not None:
            out.append("{" + name + (f"!{conversion}" if conversion else ""))
            out.append((f":{spec}" if spec else "") + "}")
    return "".join(out)


@pytest.fixture(scope="module")
def template() -> Catalog:
    with TEMPLATE.open("rb") as source:
        return read_po(source)


@pytest.fixture
def accented(template, tmp_path, monkeypatch):
    """A made-up language "xx": every message with accents."""
    catalog = Catalog(locale=None, charset="utf-8")
    for entry in template:
        if entry.id:
            plural = isinstance(entry.id, tuple)
            string = tuple(map(_accented, entry.id)) if plural else _accented(entry.id)
            catalog.add(entry.id, string)
    folder = tmp_path / "xx" / "LC_MESSAGES"
    folder.mkdir(parents=True)
    with (folder / "trialbench.mo").open("wb") as out:
        write_mo(out, catalog)
    monkeypatch.setattr(message.paths, "resource", lambda *parts: tmp_path)
    message._catalogue.cache_clear()
    yield
    message._catalogue.cache_clear()


def _ids(catalog: Catalog) -> set[object]:
    return {entry.id for entry in catalog if entry.id}


def test_the_template_holds_the_messages_of_the_code(template):
    assert _ids(template) == _ids(collected()), "run: python -m tests.catalogue"


def _messages(template: Catalog) -> list[Message]:
    made = []
    for entry in template:
        texts = entry.id if isinstance(entry.id, tuple) else (entry.id,)
        names = {name for text in texts for _, name, _, _ in Formatter().parse(text) if name}
        if isinstance(entry.id, tuple):
            names.discard("count")
        args = tuple((name, 7) for name in sorted(names))
        if isinstance(entry.id, tuple):
            made += [Message(texts[0], args, texts[1], count) for count in (1, 4)]
        elif entry.id:
            made.append(Message(entry.id, args))
    return made


def test_a_translation_reaches_every_message(template, accented):
    for plain in _messages(template):
        shown, english = say(plain, "xx"), say(plain)
        assert shown.translate(ACCENTS) == english.translate(ACCENTS)
        if english != english.translate(ACCENTS):
            assert shown != english


def test_messages_inside_messages_are_translated_too(template, accented):
    inner = _messages(template)[0]
    outer = Message("{inner}", (("inner", inner),))
    assert say(outer, "xx") == say(inner, "xx")


def test_a_stored_message_is_the_same_message(template):
    for made in _messages(template):
        assert from_json(as_json(made)) == made


def test_names_typed_by_the_cook_are_not_translated(accented):
    assert say("Roast", "xx") == "Roast"
    assert say(msg("Roast"), "xx") == "Róášt"


def test_a_message_that_says_nothing_stays_empty_in_any_language(accented):
    assert say(msg(""), "xx") == ""

"""Sentences of three methods or more are those of the golden file, and keep to their scope."""

from __future__ import annotations

import re

import pytest

from tests.findings.sentences_several import GOLDEN, every, written
from trialbench.findings import wording_several as wording
from trialbench.model.message import say

MADE = list(every())
IDS = [each[0] for each in MADE]
COMMAND = "python -m tests.findings.sentences_several"


def test_sentences_are_those_that_were_read_by_eye():
    assert written() == GOLDEN.read_text(encoding="utf-8"), COMMAND


@pytest.mark.parametrize(("name", "made", "names"), MADE, ids=IDS)
def test_language_keeps_to_the_scope(name, made, names):
    whole = say(wording.whole_headline(made, names))
    short = say(wording.short_form(made, names))
    assert "the same" not in whole and "significant" not in whole
    if made.claims_nothing:
        assert not re.search(r"\bthan\b|enough to matter", whole), whole
        return
    if made.scope == "method":
        assert "on this day" not in whole
        return
    assert "next time" not in whole and " is more tender" not in whole
    assert "these pieces on this day" in whole and "these pieces only" in short


@pytest.mark.parametrize(("name", "made", "names"), MADE, ids=IDS)
def test_nobody_is_ahead_who_is_not_told_apart(name, made, names):
    if not made.told and made.kind == "better":
        said = say(wording.headline(made, names))
        assert not re.search(r"\bthan\b|enough to matter|best at", said), said
    if any(claim.finding.case == "better_enough" for claim in made.told):
        return
    assert "by enough" not in say(wording.short_form(made, names))


def test_two_cooks_are_said():
    made = next(made for name, made, _ in MADE if name == "two cooks")
    names = next(names for name, _, names in MADE if name == "two cooks")
    assert "two cook days" in say(wording.whole_headline(made, names))

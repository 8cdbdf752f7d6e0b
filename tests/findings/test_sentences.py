"""Sentences are those of the golden file, and never say more than the design allows."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from tests.findings.made_up import JUICY, LOSS, PLAIN, every, finding
from tests.findings.sentences import GOLDEN, written
from trialbench.findings import wording
from trialbench.findings.finding import Comparison, Counts, OtherOutcome, Redraw
from trialbench.planning.number_words import counted


def test_sentences_are_those_that_were_read_by_eye():
    assert written() == GOLDEN.read_text(encoding="utf-8"), "python -m tests.findings.sentences"


MADE = list(every())


@pytest.mark.parametrize(("name", "made", "names"), MADE, ids=[each[0] for each in MADE])
def test_language_keeps_to_the_scope(name, made, names):
    whole = str(wording.whole_headline(made, names))
    short = str(wording.short_form(made, names))
    if made.scope == "method":
        assert "these two pieces" not in whole
        return
    assert "next time" not in whole
    assert " is juicier" not in whole and " is higher" not in whole
    if made.case not in ("same_recipe", "no_claim"):
        limit = "one palate" if made.scope == "taster" else "these"
        assert limit in whole and limit.split()[0] in short


def test_no_winner_is_named_without_one():
    for _, made, names in MADE:
        if made.favours is None and made.kind == "better":
            said = str(wording.headline(made, names))
            assert not re.search(r"(is|came out) \w+ (with .* )?than", said), said


def test_the_table_says_also_only_where_holm_allows():
    row = OtherOutcome("loss", Comparison("A", "B", estimate=2.4), Counts(), "lower", also=True)
    assert str(wording.other_verdict(row, LOSS, "B")) == "also loses less"
    assert str(wording.other_verdict(row, LOSS, "A")) == "also loses more"
    assert str(wording.other_verdict(replace(row, also=False), LOSS, "B")) == "not told apart"


def test_limits_are_rounded_so_that_never_too_much_is_ruled_out():
    made = finding("not_settled")
    tight = replace(made.comparison, low=-0.81, high=0.61)
    said = str(wording.ruled_out(replace(made, comparison=tight), JUICY))
    assert "by more than 0.7 points" in said and "by more than 0.9 points" in said
    near = replace(made.comparison, low=-2.0, high=-0.04)
    said = str(wording.ruled_out(replace(made, comparison=near), JUICY))
    assert said == "Ruled out: that held dry is juicier, and any gap above 2.0 points."


def test_nothing_that_names_a_winner_is_ruled_out_once_the_redraw_test_spoke_against_it():
    against = Redraw(0.06, 2 / 252, 252, hits=15, may_speak=True, overruled=True)
    for case in ("not_settled", "no_difference_that_matters"):
        made = replace(finding(case), redraw=against)
        made = replace(made, comparison=finding("better_too_little").comparison)
        said = str(wording.ruled_out(made, JUICY))
        assert said == "Ruled out: any gap above 0.5 points."


def test_two_cooks_are_said_whatever_the_case():
    for name, made, names in MADE:
        two = replace(made, counts=replace(made.counts, cooks=2))
        if made.scope == "method" and made.case != "no_claim":
            assert "two cook days" in str(wording.whole_headline(two, names)), name


def test_a_plain_label_keeps_its_case():
    made = finding("better_enough")
    plain = replace(made.comparison, a="a", b="b")
    said = str(wording.headline(replace(made, comparison=plain, favours="b"), PLAIN))
    assert said == "Liking is higher with b than with a, by enough to matter."


@pytest.mark.parametrize(
    ("text", "measure", "said"),
    [
        ("1", "points", "1 point"),
        ("+1", "points", "+1 point"),
        ("\u22121", "points", "\u22121 point"),
        ("1.0", "points", "1.0 points"),
        ("11", "points", "11 points"),
        ("1", "g", "1 g"),
        ("1", "", "1"),
    ],
)
def test_one_is_counted_as_one(text: str, measure: str, said: str) -> None:
    assert counted(text, measure) == said

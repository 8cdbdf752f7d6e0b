"""Whole trials of three methods or more: from records to what they support."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.findings.trials_made_up import HEATS, SIX, WRAPS, made
from trialbench.findings.of_trial import reckon_trial
from trialbench.findings.tables import tables_of
from trialbench.findings.wording_several import headline
from trialbench.model.message import say
from trialbench.model.records import LeftOut, Method, Outcome, Piece, Score, Setting


def _said(found) -> str:
    return say(headline(found.several, found.names_of(found.several.outcome)))


def test_three_methods_are_told_pair_by_pair():
    found = reckon_trial(made(WRAPS).records())
    several = found.several
    assert found.deciding is None and found.spoken and several.plan.shape == "pairs"
    assert _said(found).startswith("Paper wrap is juicier than bare, by enough to matter;")
    assert (several.counts.cooks, several.counts.units, several.counts.tasters) == (5, 30, 6)
    assert several.ahead == found.favours == "B"
    assert {other.outcome for other in several.others} == {"saltiness", "loss of raw weight"}


def test_five_levels_are_told_by_their_curve():
    found = reckon_trial(made(HEATS).records())
    assert found.several.plan.shape == "ordered"
    assert "best at about 63 °C" in _said(found)
    days = found.several.claims[0].cook_values
    assert [cook for cook, _ in days] == ["1", "2", "3", "4", "5"]


def test_six_methods_have_fifteen_pairs():
    assert len(reckon_trial(made(SIX).records()).several.claims) == 15


def test_the_usual_method_is_held_against_each_other():
    found = reckon_trial(made(replace(WRAPS, usual="A")).records())
    assert [(c.contrast.a, c.contrast.b) for c in found.several.claims] == [("A", "B"), ("A", "C")]


def test_settings_that_are_not_all_written_are_read_pair_by_pair():
    draft = made(HEATS)
    records = draft.records()
    lost = records.of(Setting)[0]
    draft.write(replace(lost, level_id="nowhere"))
    assert reckon_trial(draft.records()).several.plan.shape == "pairs"


def test_while_planned_cook_days_are_out_nothing_is_told():
    found = reckon_trial(made(replace(WRAPS, planned=7)).records())
    assert found.waiting and found.several.claims_nothing
    assert _said(found) == "5 of 7 cook days in: nothing is claimed yet."
    assert not any(other.also for other in found.several.others)


def test_what_was_set_aside_shows_both_answers():
    draft = made(WRAPS)
    piece = next(p for p in draft.all(Piece) if p.method_id == draft.id("method", "B"))
    draft.write(
        LeftOut("gone", draft.trial.id, "piece", piece.id, "burnt", "2026-08-01T10:00:00Z", True)
    )
    kept, found = reckon_trial(made(WRAPS).records()), reckon_trial(draft.records())
    assert found.several.claims == kept.several.claims
    (answer,) = found.other_several
    assert (answer.way, answer.subjects) == ("without", ((piece.label, "burnt"),))
    assert answer.finding.claims[0].finding.comparison != kept.several.claims[0].finding.comparison


def test_a_method_without_numbers_is_named():
    draft = made(WRAPS)
    draft.write(Method(draft.id("method", "D"), draft.trial.id, "D", "lid"))
    found = reckon_trial(draft.records())
    assert found.several.plan.letters == ("A", "B", "C")
    assert "No numbers yet of D." in [say(note) for note in found.several.notes]


def test_a_target_judges_the_distance_from_it():
    draft = made(replace(WRAPS, target=7.0))
    records = draft.records()
    table = next(t for t in tables_of(records) if t.outcome.name == "juiciness")
    scores = [s.number for s in records.of(Score) if s.outcome_id == table.outcome.id]
    assert sorted(row.value for row in table.rows) == sorted(abs(x - 7.0) for x in scores)
    found = reckon_trial(records)
    assert found.several.better == "lower"
    names = found.names_of("juiciness")
    assert (say(names.less), say(names.more)) == (
        "closer to 7 in juiciness",
        "farther from 7 in juiciness",
    )


def test_a_target_of_two_methods_is_worded_as_closer():
    means = {"A": 2.0, "B": 5.2}
    two = replace(WRAPS, slug="two", names={"A": "bare", "B": "wrap"}, means=means,
                  values={"A": "uncovered", "B": "wrapped in foil"}, target=5.0,
                  shape="two")  # fmt: skip
    from trialbench.findings import wording

    draft = made(two)
    assert draft.all(Outcome, name="juiciness")[0].target == 5.0
    found = reckon_trial(draft.records())
    said = say(wording.headline(found.deciding, found.names_of("juiciness")))
    assert said.startswith("Wrap is closer to 5 in juiciness than bare")
    assert found.deciding.favours == "B"


@pytest.mark.parametrize("one", [WRAPS, HEATS], ids=["pairs", "ordered"])
def test_one_cook_day_speaks_of_that_day_alone(one):
    found = reckon_trial(made(replace(one, slug=f"{one.slug}-1", cooks=1)).records())
    assert found.several.scope == "batch"
    assert "on this day" in _said(found)

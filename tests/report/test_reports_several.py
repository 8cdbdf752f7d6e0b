"""The recipe note of three methods or more: every comparison, every mean, in every form."""

from __future__ import annotations

import re
import shutil
import subprocess

import pytest

from tests.examples import octopus
from tests.findings.trials_made_up import HEATS, SIX, WRAPS, made
from trialbench.findings.of_trial import reckon_trial
from trialbench.model.message import say
from trialbench.model.numbers import figure
from trialbench.report.handed import finding_json, headline_of
from trialbench.report.note import recipe_note
from trialbench.report.writing import FORMS, report_bytes

DRAFTS = {"octopus": octopus.make, "wraps": lambda: made(WRAPS), "six": lambda: made(SIX),
          "heats": lambda: made(HEATS)}  # fmt: skip


@pytest.fixture(scope="module")
def reckoned():
    found = {}
    for name, draft in DRAFTS.items():
        records = draft().records()
        trial = reckon_trial(records)
        found[name] = (records, trial, recipe_note(records, trial))
    return found


def _section(note, label):
    return next(s for s in (*note.sections, *note.reckoned) if say(s.label) == label)


@pytest.mark.parametrize("name", DRAFTS)
@pytest.mark.parametrize("ending", list(FORMS))
def test_every_form_is_written_and_the_same_each_time(reckoned, name, ending):
    records, found, _ = reckoned[name]
    made_ = report_bytes(records, ending, found)
    assert made_ and made_ == report_bytes(records, ending, found)


@pytest.mark.parametrize("name", DRAFTS)
def test_the_headline_and_every_comparison_stand_in_the_text(reckoned, name):
    records, found, note = reckoned[name]
    text = report_bytes(records, ".md", found).decode()
    flat = " ".join(text.split()).replace("\\", "")
    assert say(headline_of(found)) in flat
    sizes = _section(note, "The comparisons").table
    assert len(sizes.rows) == len(found.several.claims)
    for claim, row in zip(found.several.claims, sizes.rows, strict=True):
        assert say(row[1]).lstrip("+−") == figure(abs(claim.finding.comparison.estimate), 3)
    assert not re.search(r"\b(significant|valid|passed|proven|seed|session)\b", flat)


def test_the_octopus_note_is_for_what_came_out_ahead(reckoned):
    _, found, note = reckoned["octopus"]
    assert say(note.title) == "Octopus arms, in stock, 88 °C"
    assert found.favours == "B"
    assert [say(head) for head in note.means.heads[2:]] == ["A", "B", "C", "D"]
    loss = next(row for row in note.means.rows if "Loss" in say(row[0]))
    assert [say(cell) for cell in loss[2:]] == ["43.9", "51.9", "38.9", "46.9"]
    assert '"lead": "simple"' in finding_json(found)


def test_the_curve_is_told_with_its_limits(reckoned):
    *_, note = reckoned["heats"]
    lines = [say(line) for line in _section(note, "The curve").lines]
    assert any("(Fieller)" in line and "about 63 °C" in line for line in lines)
    assert any(line.startswith("4 °C more: ") for line in lines)


def test_where_there_is_no_redraw_it_is_said(reckoned):
    heats = [say(line) for line in _section(reckoned["heats"][2], "Redraw").lines]
    assert heats == ["It compares two methods; for a trend over several settings there is none."]
    crossed = [say(line) for line in _section(reckoned["octopus"][2], "Redraw").lines]
    assert "for an interaction there is none" in " ".join(crossed)


@pytest.mark.skipif(shutil.which("pdftotext") is None, reason="needs pdftotext")
def test_the_octopus_note_keeps_to_one_side_of_paper(reckoned, tmp_path):
    records, found, _ = reckoned["octopus"]
    path = tmp_path / "note.pdf"
    path.write_bytes(report_bytes(records, ".pdf", found))
    text = subprocess.run(
        ["pdftotext", "-layout", path, "-"], capture_output=True, check=True, text=True
    ).stdout
    first, second, *_ = text.split("\f")
    assert "It shows" in first and "local food code" in first
    assert second.lstrip().startswith("How it was reckoned")

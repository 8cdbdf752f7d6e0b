"""The golden trial from question to PDF: every printed number is known beforehand.

The arithmetic stands in tests/journeys/golden.py.
"""

from __future__ import annotations

import shutil
import subprocess
from html import unescape

import pytest

from tests.journeys.golden import Golden, open_book
from trialbench.cli import main
from trialbench.exchange.bringing import read_package
from trialbench.exchange.package import write_package
from trialbench.findings.of_trial import reckon
from trialbench.findings.snapshot import records_of
from trialbench.model.message import say
from trialbench.model.records import Trial
from trialbench.notebook.notebook import Notebook
from trialbench.report.note import recipe_note
from trialbench.report.writing import report_bytes

PRINTED = [
    "Beetroot, roasted in a lidded pan",
    "Method B of trial 1",
    "1 000 g raw gives 745 g served: loss 25.5 % of raw. Means of 4 pieces.",
    "B over A: +1.5 points (+0.6 to +2.4)",
    "Seen on 4 cook days.",
    "for these two tasters",
    "In a lidded pan from now on.",
    "+0.6 to +2.4",
    "\u22124.5",
    "\u22125.4 to \u22123.6",
    "Mean +1.500, spread 0.577, 3 degrees of freedom, standard error 0.289, alpha 0.05",
    "t = 5.196, p = 0.014.",
    "95 %: +0.581 to +2.419. 90 %: +0.821 to +2.179.",
    "Smallest difference that matters: 0.5.",
    "2 of 16 possible draws give a gap this wide, p = 0.13",
    "from 7 cook days",
    "p < 0.001 alone, p < 0.001 after Holm.",
    "lot number 271828",
    "Policy 1.",
]


@pytest.fixture(scope="module")
def golden(tmp_path_factory):
    folder = tmp_path_factory.mktemp("golden")
    with open_book(folder) as book:
        trial = Golden(book)
        trial.plan()
        trial.cook_and_taste()
        yield trial, folder


def test_the_finding_is_the_one_reckoned_by_hand(golden):
    trial, _ = golden
    found = reckon(trial.book, trial.trial_id)
    finding = found.deciding
    plain = finding.comparison
    assert (finding.case, finding.favours, finding.scope) == ("better_enough", "B", "method")
    assert (finding.tasters, plain.others) == ("these", None)
    assert -plain.estimate == pytest.approx(1.5, abs=1e-12)
    assert plain.df == 3
    assert plain.sd == pytest.approx((1 / 3) ** 0.5, rel=1e-12)
    assert -plain.t == pytest.approx(27**0.5, rel=1e-12)
    assert plain.p == pytest.approx(0.013847, abs=5e-7)
    assert (-plain.high, -plain.low) == pytest.approx((0.581307, 2.418693), abs=5e-7)
    assert (-plain.inner_high, -plain.inner_low) == pytest.approx((0.820642, 2.179358), abs=5e-7)
    assert [-day.difference for day in finding.cook_differences] == [2, 1, 2, 1]
    redraw = finding.redraw
    assert (redraw.p, redraw.assignments, redraw.cooks_needed) == (0.125, 16, 7)
    (loss,) = found.others
    assert -loss.comparison.estimate == pytest.approx(-4.5, abs=1e-9)
    assert loss.comparison.p == pytest.approx(0.000574, abs=5e-7)
    assert loss.holm_p == loss.comparison.p and loss.also and loss.favours == "B"
    assert found.cautions == () and found.missing == () and not found.waiting


def test_nothing_was_seen_while_keys_were_shut(tmp_path):
    with open_book(tmp_path) as book:
        trial = Golden(book)
        trial.open = lambda each: None
        trial.plan()
        trial.cook_and_taste()
        found = reckon(book, trial.trial_id)
        assert found.deciding is None
        data = report_bytes(records_of(book, trial.trial_id), ".csv").decode()
        assert not any(line.startswith("juiciness") for line in data.splitlines())


def test_the_note_says_it_in_words(golden):
    trial, _ = golden
    records = records_of(trial.book, trial.trial_id)
    note = recipe_note(records, reckon(trial.book, trial.trial_id))
    shows = [say(line) for line in note.sections[0].lines]
    assert shows[0].startswith("Roasted in a lidded pan is juicier than roasted bare")
    assert "by enough to matter" in shows[0]
    assert say(note.recipe[0]) == "Roast in the oven at 180 °C until soft, lid on."
    assert say(note.sections[-1].label) == "Decision"


def _plain(text: str) -> str:
    spaces = dict.fromkeys(map(ord, "\u00a0\u2009\u202f\n\x0c"), " ")
    return " ".join(text.translate(spaces).split())


@pytest.mark.skipif(shutil.which("pdftotext") is None, reason="needs poppler-utils")
def test_every_number_is_printed_in_the_pdf(golden):
    trial, folder = golden
    target = folder / "golden.pdf"
    trial.book.save_copy(folder / "copy.trialbench")
    assert main(["report", str(folder / "copy.trialbench"), "1", "-o", str(target)]) == 0
    text = subprocess.run(
        ["pdftotext", "-layout", str(target), "-"], capture_output=True, check=True
    ).stdout.decode()
    flat = subprocess.run(
        ["pdftotext", str(target), "-"], capture_output=True, check=True
    ).stdout.decode()
    missing = [one for one in PRINTED if one not in _plain(text) and one not in _plain(flat)]
    assert missing == []
    pages = subprocess.run(["pdfinfo", str(target)], capture_output=True, check=True)
    assert "Pages:           2" in pages.stdout.decode()


def test_every_number_is_in_the_text_and_the_page(golden):
    trial, _ = golden
    records = records_of(trial.book, trial.trial_id)
    markdown = _plain(report_bytes(records, ".md").decode()).replace("\\", "")
    page = _plain(unescape(report_bytes(records, ".html").decode()))
    for one in PRINTED:
        assert one in markdown and one in page, one


def test_a_package_of_it_gives_the_same_finding(golden, tmp_path):
    trial, _ = golden
    path = write_package(trial.book, trial.trial_id, tmp_path / "golden.zip")
    with Notebook.open(tmp_path / "other.trialbench", backups=tmp_path / "backups") as other:
        other.apply(read_package(path, other))
        (there,) = other.all(Trial)
        assert reckon(other, there.id) == reckon(trial.book, trial.trial_id)

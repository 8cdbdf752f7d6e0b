"""Reports: every form says the same, twice the same bytes, and errors say the way out."""

from __future__ import annotations

import json
import shutil
import subprocess
from dataclasses import replace
from html.parser import HTMLParser

import pytest
from markdown_it import MarkdownIt

from tests.examples import beans, ribs, thighs, turkey
from trialbench.cli import main
from trialbench.exchange.bringing import read_package
from trialbench.exchange.opened import is_package, open_package
from trialbench.exchange.package import write_package
from trialbench.findings.of_trial import reckon_trial
from trialbench.findings.snapshot import trial_records
from trialbench.model.errors import BadInput
from trialbench.model.message import say
from trialbench.model.records import Cover, Decision, Draw, Method, Part, Seal, Stage, Trial
from trialbench.notebook.notebook import Notebook
from trialbench.report.note import noted_method, recipe_note
from trialbench.report.recipe import by_weight, recipe_lines
from trialbench.report.words import tied
from trialbench.report.writing import FORMS, report_bytes

EXAMPLES = [turkey, beans, ribs, thighs]
NEVER = (
    "significant", "valid", "passed", "proven", "sheet", "carved", "session", "ballot", "primary",
    "seed",
)  # fmt: skip


@pytest.fixture(scope="module")
def notes():
    found = {}
    for example in EXAMPLES:
        records = example.make().records()
        found[example.SLUG] = (records, recipe_note(records, reckon_trial(records)))
    return found


def _section(note, label):
    return next(s for s in (*note.sections, *note.reckoned) if say(s.label) == label)


def _lines(note, label):
    return [say(line) for line in _section(note, label).lines]


@pytest.mark.parametrize("ending", list(FORMS))
def test_the_same_trial_gives_the_same_bytes(ending):
    records = turkey.make().records()
    assert report_bytes(records, ending) == report_bytes(turkey.make().records(), ending)


def test_the_turkey_note(notes):
    _, note = notes[turkey.SLUG]
    assert say(note.title) == "Turkey breast, slow oven"
    assert [say(line) for line in note.recipe] == [
        "Trim: cut each half to about 900 g, skin on.",
        "Salt 899 g with 10.8 g (12 g for each kilogram). "
        "Keep it in the fridge at 4 °C for 24 h, uncovered.",
        "Roast in the oven at 120 °C until the core is 74 °C, about 1 h 45 min, uncovered. "
        "On a wire rack, one oven for each half.",
        "Rest for 15 min, loosely covered.",
        "Slice: 6 mm, across the grain.",
    ]
    assert say(note.weight) == (
        "955 g raw gives 899 g trimmed, 746 g cooked and 735 g rested: loss 23.0 % of raw. "
        "Means of 6 pieces."
    )
    assert say(note.under_title[-1]) == "Invented: this trial was never cooked."
    shows = " ".join(_lines(note, "It shows"))
    assert "Slow oven is juicier than Hot oven, by enough to matter." in shows
    assert "also less crisp" in shows and "also loses less" in shows
    assert "Ruled out: that Hot oven is juicier" in shows


def test_unadjusted_intervals_are_marked_where_they_stand(notes):
    _, note = notes[turkey.SLUG]
    assert say(note.outcomes.heads[-1]) == "95 % interval, each alone"


def test_what_it_does_not_show(notes):
    _, note = notes[ribs.SLUG]
    said = _lines(note, "It does not show")
    assert any("cook days would probably find a gap of 0.75 points" in line for line in said)
    assert "Whether the methods differ in tenderness, smokiness." in said
    rider = next(line for line in said if line.startswith("Which of the changes did it"))
    assert "the smoke, 1 h longer in A" in rider and "the rest, 1 h longer in B" in rider
    assert "wrapped in paper" not in rider
    assert "What other tasters would say." in said


def test_both_answers_are_printed(notes):
    _, note = notes[thighs.SLUG]
    (line,) = _lines(note, "Set aside")
    assert line.startswith("Without T10 (6 g of salt short, written down on the day): ")
    assert not any(say(s.label) == "It does not show" for s in note.sections)


def test_missing_cards_are_counted(notes):
    _, note = notes[ribs.SLUG]
    assert _lines(note, "Missing")[0] == (
        "A: 1 missing in liking, bark, tenderness, smokiness; called away after the second sample."
    )


def test_draws_with_their_reasons_and_the_seal():
    draft = turkey.make()
    (draw,) = draft.all(Draw)
    draft.write(replace(draw, id="again", number=2, reason="bird 3 was still frozen"))
    records = draft.records()
    said = _lines(recipe_note(records, reckon_trial(records)), "Seal and lots")
    assert said[0].startswith("Draw 1 of 2, ") and said[1].startswith("Draw 2 of 2, ")
    assert said[2] == "Draw 1 was set aside: bird 3 was still frozen."
    assert said[3].startswith("Lots were drawn before the weights of the parting: ")
    assert f"lot number {turkey.DRAW_LOT_NUMBER}" in said[0]
    assert "fingerprint" in said[4]


def test_the_decision_chooses_the_method_of_the_note(notes):
    records, _ = notes[turkey.SLUG]
    found = reckon_trial(records)
    draft = turkey.make()
    (decision,) = draft.all(Decision)
    for choice, letter in (("change", "B"), ("keep", "A"), ("again", "B")):
        draft.write(replace(decision, choice=choice))
        assert noted_method(draft.records(), found).letter == letter


def test_units_follow_the_cover():
    draft = turkey.make()
    draft.write(Cover("cover", "Kitchen", "2026-01-01T00:00:00.000Z", "F", "oz"))
    records = draft.records()
    method = noted_method(records, reckon_trial(records))
    lines = " ".join(say(line) for line in recipe_lines(records, method))
    assert "at 248 °F until the core is 165.2 °F" in lines
    assert say(by_weight(records, method)).startswith("33.7 oz raw gives ")


def test_a_trial_without_any_data_still_has_its_recipe():
    draft = turkey.make()
    kept = [r for kind in (Trial, Method, Stage, Part) for r in draft.all(kind)]
    trial = replace(kept[0], decides_id=None)
    records = trial_records([trial, *kept[1:]], trial.id)
    note = recipe_note(records, reckon_trial(records))
    assert len(note.recipe) == 5 and note.weight is None and note.outcomes is None
    for ending in set(FORMS) - {".json"}:
        assert report_bytes(records, ending)
    with pytest.raises(BadInput, match="not sealed"):
        report_bytes(records, ".json")
    assert _lines(note, "It shows")[0].startswith("Nothing decides yet")


def test_food_cautions_carry_their_source_and_the_local_code():
    draft = turkey.make()
    draft.write(Stage("hold", draft.trial.id, 6, "hold", set_temp_c=50.0, duration_s=4 * 3600.0))
    records = draft.records()
    note = recipe_note(records, reckon_trial(records))
    assert note.cautions and all(say(source) for _, source in note.cautions)
    page = report_bytes(records, ".html").decode()
    assert page.count("Follow your local food code") == 1
    assert "Food: watch" in page


class _Tags(HTMLParser):
    void = {"meta", "br", "path", "use", "rect", "image"}

    def __init__(self):
        super().__init__()
        self.open, self.fetched = [], []

    def handle_starttag(self, tag, attrs):
        self.fetched += [v for k, v in attrs if k in ("src", "href", "xlink:href")]
        if tag not in self.void:
            self.open.append(tag)

    def handle_endtag(self, tag):
        if tag not in self.void:
            assert self.open.pop() == tag


@pytest.mark.parametrize("example", EXAMPLES, ids=lambda e: e.SLUG)
def test_the_page_is_whole_and_fetches_nothing(example, notes):
    records, _ = notes[example.SLUG]
    page = report_bytes(records, ".html").decode()
    tags = _Tags()
    tags.feed(page)
    assert tags.open == []
    assert all(link.startswith("#") for link in tags.fetched)
    assert page.count("<svg") == 2 and "aria-label" in page


@pytest.mark.parametrize("example", EXAMPLES, ids=lambda e: e.SLUG)
def test_markdown_reads_as_headings_and_tables(example, notes):
    records, _ = notes[example.SLUG]
    tokens = MarkdownIt().enable("table").parse(report_bytes(records, ".md").decode())
    kinds = [token.type for token in tokens]
    assert kinds.count("table_open") == 4
    assert kinds.count("heading_open") > 8


def test_typed_marks_stay_text():
    draft = turkey.make()
    draft.write(replace(draft.trial, food="<b>Bird</b> *one* | two", remark="a_b [c](d) #x $y @z"))
    records = draft.records()
    page, text = (report_bytes(records, ending).decode() for ending in (".html", ".md"))
    assert "<b>" not in page and "&lt;b&gt;Bird" in page
    assert r"\<b\>Bird\</b\> \*one\* \| two" in text
    assert report_bytes(records, ".pdf").startswith(b"%PDF")


@pytest.mark.parametrize("example", EXAMPLES, ids=lambda e: e.SLUG)
def test_words_that_are_never_printed(example, notes):
    records, _ = notes[example.SLUG]
    text = report_bytes(records, ".md").decode().casefold()
    words = set("".join(c if c.isalpha() else " " for c in text).split())
    assert not words & set(NEVER)


def test_numbers_hold_on_to_their_units():
    assert tied("Salt 899 g with 10.8 g at 4 °C for 24 h") == (
        "Salt 899\u00a0g with 10.8\u00a0g at 4\u00a0°C for 24\u00a0h"
    )
    assert tied("5 grams and 3 days") == "5 grams and 3 days"


# --- the command -------------------------------------------------------------------------------


@pytest.fixture
def package(tmp_path):
    draft = turkey.make()
    return write_package(draft, draft.trial.id, tmp_path / "turkey")


@pytest.mark.parametrize("ending", list(FORMS))
def test_the_command_writes_every_form(package, tmp_path, ending, capsys):
    target = tmp_path / f"out{ending}"
    assert main(["report", str(package), "-o", str(target)]) == 0
    assert capsys.readouterr().out.strip() == str(target)
    assert target.read_bytes() == report_bytes(open_package(package), ending)


def test_the_sealed_text_has_the_fingerprint_that_sha256sum_gives(package, tmp_path):
    """sha256sum of coreutils (FIPS 180-4), run on the file as it was written."""
    target = tmp_path / "sealed.json"
    assert main(["report", str(package), "-o", str(target)]) == 0
    tool = shutil.which("sha256sum")
    if tool is None:
        pytest.skip("no sha256sum here")
    said = subprocess.run([tool, str(target)], capture_output=True, text=True, check=True).stdout
    (seal,) = turkey.make().all(Seal)
    assert said.split()[0] == seal.fingerprint
    assert seal.fingerprint in report_bytes(open_package(package), ".md").decode()


def test_a_notebook_with_several_trials_needs_a_name(tmp_path, capsys):
    path = tmp_path / "book.trialbench"
    with Notebook.open(path, backups=tmp_path / "backups") as book:
        for example in (turkey, ribs):
            draft = example.make()
            folder = write_package(draft, draft.trial.id, tmp_path / example.SLUG)
            book.apply(read_package(folder, book))
    target = tmp_path / "out.md"
    assert main(["report", str(path), "-o", str(target)]) == 2
    assert "Name one of the trials here: 1 Turkey breast, 3 Pork ribs." in capsys.readouterr().err
    assert main(["report", str(path), "2", "-o", str(target)]) == 2
    assert "There is no trial 2 here" in capsys.readouterr().err
    assert not target.exists()
    assert main(["report", str(path), "3", "-o", str(target)]) == 0
    assert target.read_text(encoding="utf-8").startswith("# Pork ribs, bare")


@pytest.mark.parametrize(
    ("source", "target", "said"),
    [
        ("turkey", "out.docx", "A report cannot be written as .docx. Allowed: .md, .html"),
        ("turkey", "out", "a file without an ending"),
        ("nowhere", "out.md", "There is no notebook or package at"),
        ("letter.txt", "out.md", "letter.txt is not a notebook."),
        ("turkey", "no/such/folder/out.md", "cannot be written"),
    ],
)
def test_errors_say_what_is_allowed(package, tmp_path, source, target, said, capsys):
    (tmp_path / "letter.txt").write_text("dear cook, this is long enough to be read as a file")
    words = ["report", str(tmp_path / source), "-o", str(tmp_path / target)]
    assert main(words) == 2
    err = capsys.readouterr().err
    assert said in err and "Traceback" not in err
    assert not (tmp_path / target).exists()


def test_an_empty_folder_is_no_package(tmp_path, capsys):
    (tmp_path / "empty").mkdir()
    assert not is_package(tmp_path / "empty")
    assert main(["report", str(tmp_path / "empty"), "-o", str(tmp_path / "o.md")]) == 2
    assert "datapackage.json is missing" in capsys.readouterr().err


def test_the_finding_goes_into_json_as_it_is(notes):
    _, note = notes[turkey.SLUG]
    value = json.loads(json.dumps(note.finding.to_json("")))
    assert value["case"] == "better_enough" and value["policy"] == 1

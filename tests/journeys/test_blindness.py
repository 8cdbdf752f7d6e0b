"""Nobody at the table knows which is which: no page, export or history row couples a code with a
method, a piece or a colour, and nothing is added up by method, before a key is open."""

from __future__ import annotations

import csv
import json
import re
from collections.abc import Iterator

import pytest

from tests.journeys.at_the_desk import desk, settle, show
from tests.journeys.on_screen import every_word
from tests.journeys.trials import letters_under_the_key, ready_to_cook, sealed, staged
from trialbench.exchange.package import write_package
from trialbench.findings.snapshot import records_of
from trialbench.notebook import views
from trialbench.notebook.acts import cooking, outcomes, scores, sitting
from trialbench.planning.sitting import open_sitting
from trialbench.report.writing import report_bytes

# Whole marks on a scale to ten: what they come to by method stands nowhere by chance.
GIVEN = {"A": (7.3, 6.9), "B": (2.1, 3.3)}
ADDED_UP = re.compile(r"(?<![\d.,])(7\.1|7\.10|2\.7|2\.70|4\.4|4\.40|14\.2|5\.4|8\.8)(?![\d.]*\d)")


@pytest.fixture
def shut(book, qtbot, tmp_path):
    """Two cook days weighed and tasted, every card in but one, both keys shut."""
    with desk(qtbot, tmp_path) as window:
        notebook = window.desk.notebook
        trial_id = ready_to_cook(notebook)
        staged(notebook, trial_id)
        notebook.apply(outcomes.add_attribute(notebook, trial_id, "saltiness"))
        decides = views.deciding(notebook, trial_id)
        notebook.apply(outcomes.set_outcome(notebook, decides.id, "scale", "line_10"))
        for cook in views.cooks(notebook, trial_id):
            _weighed(notebook, cook)
            made = sealed(notebook, cook, 2)
            _scored(notebook, trial_id, made, decides)
        last = views.seats(notebook, made.id)[1]
        notebook.apply(sitting.leave(notebook, last.id, "a train"))
        show(qtbot, window, "tasting", trial_id)
        yield window, trial_id


def _weighed(notebook, cook) -> None:
    points = views.checkpoints(notebook, cook.trial_id)
    for piece in views.pieces(notebook, cook.id):
        for number, point in enumerate(points):
            # "1 0.." grams: no group of figures in it could be a code.
            typed = str(1095 - 7 * number - 3 * piece.position)
            notebook.apply(cooking.set_mass(notebook, piece.id, point.id, typed))


def _scored(notebook, trial_id, made, decides) -> None:
    letters = letters_under_the_key(notebook, trial_id)
    seats = [seat.taster_id for seat in views.seats(notebook, made.id)]
    for sample in views.samples(notebook, made.id):
        number = GIVEN[letters[sample.id]][seats.index(sample.taster_id)]
        notebook.apply(scores.set_score(notebook, sample.id, decides.id, f"{number}"))
        for outcome in views.attributes(notebook, trial_id):
            if outcome.id != decides.id and sample.taster_id == seats[0]:
                notebook.apply(scores.set_score(notebook, sample.id, outcome.id, "5"))


def _given_away(notebook, trial_id) -> tuple[re.Pattern[str], re.Pattern[str]]:
    """What names a sample, and what names its method or piece."""
    codes, hidden = [], ["method [AB]", "method_[ab]", r"(?<!\w)[AB](?!\w)", "held dry",
                         "held in its juices"]  # fmt: skip
    for made in views.sittings(notebook, trial_id):
        for sample in views.samples(notebook, made.id, warm_up=True):
            codes += [rf"(?<!\d){sample.code}(?!\d)", re.escape(sample.id)]
    for piece in views.all_pieces(notebook, trial_id):
        hidden += [rf"(?<!\w){piece.label}(?!\w)", re.escape(piece.id)]
    hidden += [re.escape(method.id) for method in views.methods(notebook, trial_id)]
    return re.compile("|".join(codes)), re.compile("|".join(hidden))


def _coupled(texts: Iterator[str], notebook, trial_id) -> list[str]:
    samples, hidden = _given_away(notebook, trial_id)
    return [text for text in texts if samples.search(text) and hidden.search(text)]


def _coupled_fields(rows: Iterator[list[str]], notebook, trial_id) -> list[list[str]]:
    """The same for rows of fields: a code is a field of its own, not three figures of a time."""
    samples = {value for made in views.sittings(notebook, trial_id)
               for s in views.samples(notebook, made.id, warm_up=True)
               for value in (s.code, s.id)}  # fmt: skip
    _, hidden = _given_away(notebook, trial_id)
    return [row for row in rows if samples & set(row) and hidden.search(" ".join(row))]


def _every_page(qtbot, window, trial_id) -> Iterator[tuple[str, str]]:
    """Page and text, of every page and of each way the Tasting page shows its scores."""
    for key in (*(entry.key for entry in window.entries()), "index"):
        window.desk.go(key, trial_id)
        settle(qtbot, window)
        if key == "tasting":
            yield from _every_sitting(window)
        for text in every_word(window):
            yield key, text


def _every_sitting(window) -> Iterator[tuple[str, str]]:
    page, notebook = window.page(), window.desk.notebook
    for made in views.sittings(notebook, window.desk.trial_id):
        page._sitting_id = made.id
        page.refresh(frozenset())
        attributes = views.attributes(notebook, window.desk.trial_id)
        for what in (*attributes, *views.tasters(notebook)):
            page._show_what(what.id)
            for text in every_word(window):
                yield f"tasting of {what}", text


def test_no_page_couples_a_code_with_a_method_a_piece_or_a_colour(shut, qtbot):
    window, trial_id = shut
    seen = list(_every_page(qtbot, window, trial_id))
    codes = {s.code for made in views.sittings(window.desk.notebook, trial_id)
             for s in views.samples(window.desk.notebook, made.id)}  # fmt: skip
    said = " ".join(text for _, text in seen)
    assert all(code in said for code in codes)
    coupled = _coupled((text for _, text in seen), window.desk.notebook, trial_id)
    assert coupled == []


def test_nothing_is_added_up_by_method_on_any_page(shut, qtbot):
    window, trial_id = shut
    found = {(key, text) for key, text in _every_page(qtbot, window, trial_id)
             if ADDED_UP.search(text.replace("\u2212", "-"))}  # fmt: skip
    assert found == set()
    for key in ("findings", "recipe_note", "reckoned", "contents"):
        window.desk.go(key, trial_id)
        settle(qtbot, window)
        said = " ".join(every_word(window)).lower()
        assert not any(word in said for word in ("is juicier than", "by enough", "not settled"))


def test_after_opening_the_same_walk_does_find_it(shut, qtbot):
    """The walk is able to see: with a key open code and letter stand side by side."""
    window, trial_id = shut
    notebook = window.desk.notebook
    made = views.sittings(notebook, trial_id)[0]
    notebook.open_key(
        made.id, lambda key: open_sitting(notebook, made, key, notebook.now(), early_reason="tried")
    )
    texts = (text for _, text in _every_page(qtbot, window, trial_id))
    assert _coupled(texts, notebook, trial_id)


def test_no_history_row_and_no_draft_gives_it_away(shut):
    window, trial_id = shut
    notebook = window.desk.notebook
    rows = notebook.history(limit=10_000)
    with notebook._file.reading() as db:
        kept = [str(row[0]) for row in db.execute("SELECT changes FROM history")]
    drafts = [f"{place} {text}" for place, text in notebook.drafts.items()]
    single = [_fields(change) for text in kept for change in json.loads(text)]
    assert len(rows) > 20 and single
    labels = [str(row.label) for row in rows]
    assert _coupled(iter([*labels, *drafts]), notebook, trial_id) == []
    assert _coupled_fields(iter(single), notebook, trial_id) == []


def _fields(found: object) -> list[str]:
    if isinstance(found, dict):
        return [text for value in found.values() for text in _fields(value)]
    return [str(found)]


def test_no_table_of_the_file_couples_them(shut):
    window, trial_id = shut
    notebook = window.desk.notebook
    with notebook._file.reading() as db:
        listed = "SELECT name FROM sqlite_master WHERE type = 'table' AND name != 'history'"
        names = [name for (name,) in db.execute(listed)]
        rows = {name: [[str(value) for value in row] for row in db.execute(f"SELECT * FROM {name}")]
                for name in names}  # fmt: skip
    # A key without a passphrase is called what it is, a curtain; it lies in its own table.
    (keys,) = [name for name in names if "key" in name and name != "key_look"]
    assert [row[1] for row in rows.pop(keys)] == ["curtain", "curtain"]
    fields = [row for table in rows.values() for row in table]
    assert len(fields) > 50
    assert _coupled_fields(iter(fields), notebook, trial_id) == []


def test_no_export_gives_it_away(shut, tmp_path):
    window, trial_id = shut
    notebook = window.desk.notebook
    records = records_of(notebook, trial_id)
    prose = [line for ending in (".md", ".html")
             for line in report_bytes(records, ending).decode().splitlines()]  # fmt: skip
    tables = list(csv.reader(report_bytes(records, ".csv").decode().splitlines()))
    folder = write_package(notebook, trial_id, tmp_path / "package")
    for path in folder.glob("**/*.csv"):
        tables += list(csv.reader(path.read_text(encoding="utf-8").splitlines()))
    assert len(prose) > 10 and len(tables) > 20
    assert _coupled(iter(prose), notebook, trial_id) == []
    assert _coupled_fields(iter(tables), notebook, trial_id) == []
    told = [*prose, *(field for row in tables for field in row)]
    assert not [text for text in told if ADDED_UP.search(text)]


def test_only_the_servers_list_names_the_pieces(shut, qtbot):
    window, trial_id = shut
    page = window.page()
    notebook = window.desk.notebook
    page.sitting_key._plate()
    settle(qtbot, window)
    said = list(every_word(window))
    codes = [s.code for s in views.samples(notebook, page._sitting_id)]
    assert all(any(code in text for text in said) for code in codes)
    heads = {p.label for p in views.all_pieces(notebook, trial_id)}
    assert any(text in heads for text in said)
    assert not any("method" in text and any(code in text for code in codes) for text in said)
    page.sitting_key._plate()

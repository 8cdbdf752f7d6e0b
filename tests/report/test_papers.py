"""Papers: both sizes, every page tagged, the words read back, and blind where they must be."""

from __future__ import annotations

import io
import re
from dataclasses import replace
from functools import cache

import pytest
from pypdf import PdfReader

from tests.examples import octopus, ribs, thighs, turkey
from tests.report.papers_read import (
    OF_TRIAL,
    inks,
    inks_of_methods,
    made,
    records_of_example,
    text_of,
)
from trialbench.findings.snapshot import trial_records
from trialbench.model.errors import BadInput, Sealed
from trialbench.model.records import (
    Addition,
    Cook,
    Cover,
    Measurement,
    Method,
    Outcome,
    Piece,
    Sample,
    Seat,
    Sitting,
    Taster,
    Trial,
)
from trialbench.notebook import views
from trialbench.report.papers.making import PAPERS, Wanted, paper_bytes

SIZES = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}
NEVER = (
    "significant", "valid", "passed", "proven", "sheet", "carved", "session", "ballot", "primary",
    "seed",
)  # fmt: skip


# --- all papers -----------------------------------------------------------------------------------


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("name", PAPERS)
def test_the_size_the_tags_and_the_language(name, size):
    reader = made(records_of_example(), name, size)
    root = reader.trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"] and "/StructTreeRoot" in root and root["/Lang"]
    assert reader.metadata.title
    for page in reader.pages:
        sides = sorted(float(side) / 72 * 25.4 for side in page.mediabox[2:])
        assert sides == pytest.approx(sorted(SIZES[size]), abs=0.2)


@pytest.mark.parametrize("name", PAPERS)
def test_equal_records_give_equal_bytes(name):
    first, second = (made(turkey.make().records(), name) for _ in range(2))
    assert text_of(first) == text_of(second)
    trial = records_of_example().trial.id
    wanted = Wanted(name, "a4", views.sittings(records_of_example(), trial)[0].id)
    assert paper_bytes(records_of_example(), wanted) == paper_bytes(turkey.make().records(), wanted)


@pytest.mark.parametrize("name", PAPERS)
@pytest.mark.parametrize("example", [turkey, ribs, octopus, thighs])
def test_no_word_that_is_never_printed(name, example):
    text = text_of(made(records_of_example(example), name)).lower()
    assert [word for word in NEVER if re.search(rf"\b{word}\b", text)] == []


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("name", PAPERS)
def test_nothing_stands_outside_the_paper(name, size):
    """Where each piece of text begins, by its matrix, lies within the margins of the page."""
    for page in made(_long_names(), name, size).pages:
        width, height = (float(side) for side in page.mediabox[2:])
        assert [
            (text, x, y)
            for text, x, y in _begins(page)
            if not (20 <= x <= width - 20 and 20 <= y <= height - 20)
        ] == []


def _begins(page) -> list[tuple[str, float, float]]:
    """Every piece of text with the point at which it begins, in points."""
    found = []

    def seen(text, page_matrix, matrix, *_):
        a, b, c, d, e, f = page_matrix
        x, y = matrix[4:6]
        if text.strip():
            found.append((text, a * x + c * y + e, b * x + d * y + f))

    page.extract_text(visitor_text=seen)
    return found


def test_an_unknown_paper_size_or_sitting_says_what_there_is():
    for wanted in (Wanted("poster"), Wanted("plan", "a3"), Wanted("cards", "a4", "none")):
        with pytest.raises(BadInput):
            paper_bytes(records_of_example(), wanted)


@cache
def _long_names():
    """A trial whose names are longer than anything that was made room for."""
    long = "Donaudampfschifffahrtsgesellschaftskapitaensmuetzenbraten " * 2
    draft = ribs.make()
    for method in draft.all(Method):
        draft.write(replace(method, name=f"{method.name} {long}".strip()))
    for piece in draft.all(Piece):
        draft.write(replace(piece, place=f"{piece.place} {long}".strip(), source=long.strip()))
    for taster in draft.all(Taster):
        draft.write(replace(taster, alias=f"{taster.alias} {long}"[:60].strip()))
    for outcome in draft.all(Outcome):
        draft.write(replace(outcome, asked_as=f"How {long}?"[:90], low_anchor=long[:60]))
    return draft.records()


# --- papers of the plan ---------------------------------------------------------------------------


def test_the_plan_says_question_d_methods_and_fingerprint():
    reader = made(records_of_example(), "plan")
    text = text_of(reader)
    assert len(reader.pages) == 1
    assert "Turkey breast: juicier roasted in a slow oven?" in text
    assert "0.75 points or more" in text and "6 cook days, 1 matched pair a day" in text
    assert "at 200 °C, for 50 min" in text and "at 120 °C, for 1 h 45 min" in text
    assert text.count("12 g salt for each kilogram") == 1
    seal = views.seal(records_of_example(), records_of_example().trial.id)
    assert seal.fingerprint in text.replace(" ", "")


def test_riders_stand_on_the_plan():
    text = text_of(made(records_of_example(ribs), "plan"))
    assert "Differs, not asked for" in text and "the rest, 1 h longer in B" in text


def test_a_page_for_every_cook_day_with_its_places_and_loads():
    records = records_of_example(octopus)
    reader = made(records, "places")
    assert len(reader.pages) == 5
    text = reader.pages[0].extract_text()
    assert "Pot 1" in text and "O01" in text and "In a sealed bag" in text
    first = ribs.make().records()
    for piece in views.pieces(first, views.cooks(first, first.trial.id)[0].id):
        page = made(first, "places").pages[0].extract_text()
        assert piece.label in page and piece.place.lower() in page.lower()


def test_before_lots_the_places_say_so_and_name_no_method():
    draft = ribs.make()
    for piece in draft.all(Piece):
        draft.write(replace(piece, method_id=None))
    for cook in draft.all(Cook):
        draft.write(replace(cook, starts_id=None))
    text = text_of(made(draft.records(), "places"))
    assert "lots not drawn" in text and "Paper wrap" not in text.replace("wrapped", "")


def test_targets_are_grams_of_the_trimmed_weight_and_a_rate_before_it():
    records = records_of_example(turkey)
    piece = views.pieces(records, views.cooks(records, records.trial.id)[0].id)[0]
    grams = views.trimmed_g(records, piece)
    text = made(records, "weighing").pages[0].extract_text()
    assert f"{grams * 12 / 1000:.1f}" in text
    kept = [r for r in _all(records) if not isinstance(r, Measurement)]
    empty = text_of(made(trial_records(kept, records.trial.id), "weighing"))
    assert "12 g for each kg trimmed" in empty and "Every target counts on the weight" in empty


def _all(records):
    return [record for record in records.records.as_set() if not isinstance(record, Cover)]


def test_the_list_without_methods_names_none_and_ends_with_the_parting():
    records = records_of_example(ribs)
    text = text_of(made(records, "weighing_without"))
    page = made(records, "weighing_without")
    # The title of the trial names both ways; who gets which is what must not be here.
    assert not re.search(r"R\d\d [AB]\b", text)
    assert not inks(page) & inks_of_methods()
    assert "trimmed, g" in text and "smoked, g" not in text
    assert inks(made(records, "weighing")) & inks_of_methods()


def test_grams_that_differ_are_not_on_the_list_without_methods():
    records = records_of_example(ribs)
    a, b = views.methods(records, records.trial.id)
    salt = next(s for s in views.stages(records, records.trial.id) if s.stage_kind == "salt")
    rubs = [
        Addition("rub a", salt.id, 1, "rub", "paprika", a.id, g_per_kg=20.0),
        Addition("rub b", salt.id, 1, "rub", "paprika", b.id, g_per_kg=30.0),
    ]
    changed = trial_records([*_all(records), *rubs], records.trial.id)
    text = text_of(made(changed, "weighing_without"))
    assert "because it differs between the methods: paprika" in text
    assert "paprika, target" not in text
    assert "paprika, target" in text_of(made(changed, "weighing"))


@pytest.mark.parametrize("name", OF_TRIAL)
def test_an_empty_trial_explains_itself(name):
    trial = Trial("t", 1, "", "", "", "", "2026-01-01T00:00:00.000Z")
    records = trial_records([trial], "t")
    text = text_of(PdfReader(io.BytesIO(paper_bytes(records, Wanted(name)))))
    assert "yet" in text


# --- papers of a sitting --------------------------------------------------------------------------


def _opened(records):
    """The codes of the first sitting with what lies under them."""
    sitting = views.sittings(records, records.trial.id)[0]
    return sitting, views.samples(records, sitting.id, warm_up=True)


def test_the_plate_map_is_one_page_with_every_code_and_says_who_must_not_see_it():
    records = records_of_example(ribs)
    reader = made(records, "plates")
    text = text_of(reader)
    assert len(reader.pages) == 1
    assert "Tasters must not see this page" in text
    for sample in _opened(records)[1]:
        piece = records.get(Piece, sample.piece_id)
        method = records.get(Method, piece.method_id)
        assert re.search(rf"{sample.code} {piece.label} {method.letter}\b", text)


def test_while_the_key_is_sealed_the_plate_map_wants_the_key():
    records = records_of_example(ribs)
    sitting, samples = _opened(records)
    piece_of = {sample.id: sample.piece_id for sample in samples}
    shut = replace(sitting, key_state="sealed")
    hidden = {s.id: replace(s, piece_id=None) for s in samples}
    others = [hidden.get(r.id, r) for r in _all(records) if r.id != sitting.id]
    sealed = trial_records([shut, *others], records.trial.id)
    with pytest.raises(Sealed, match="with the key"):
        made(sealed, "plates")
    assert text_of(made(sealed, "plates", piece_of=piece_of)) == text_of(made(records, "plates"))


def test_each_code_has_two_labels_and_no_other_figure_is_on_them():
    records = records_of_example(ribs)
    text = text_of(made(records, "labels"))
    for sample in _opened(records)[1]:
        assert text.count(sample.code) == 2


@pytest.mark.parametrize("size", SIZES)
def test_a_card_for_every_sample_in_the_order_served(size):
    records = records_of_example(ribs)
    reader = made(records, "cards", size)
    sitting, samples = _opened(records)
    shown = re.findall(r"\b\d{3}\b", text_of(reader))
    served = [
        s.code
        for seat in views.seats(records, sitting.id)
        for s in views.samples(records, sitting.id, seat.taster_id, warm_up=True)
    ]
    assert shown == served
    assert len(reader.pages) == -(-len(samples) // 2)
    text = text_of(reader)
    for outcome in views.attributes(records, records.trial.id):
        assert text.count(outcome.asked_as) == len(samples)
    assert text.count("warm-up plate") == len(views.seats(records, sitting.id))


@pytest.mark.parametrize("size", SIZES)
def test_eight_tasters_six_samples_five_questions_fit(size):
    reader = made(_crowd(), "cards", size)
    assert len(reader.pages) == 8 * 7 / 2
    plates = made(_crowd(), "plates", size)
    assert len(plates.pages) == 1
    assert len(set(re.findall(r"\b\d{3}\b", text_of(plates)))) == 56


@cache
def _crowd():
    """Eight tasters with a warm-up sample and six others each, five things asked."""
    records = records_of_example(octopus)
    sitting, _ = _opened(records)
    pieces = views.pieces(records, sitting.cook_id)
    asked = views.attributes(records, records.trial.id)
    kept = [r for r in _all(records) if not isinstance(r, (Seat, Sample, Sitting, Taster))
            and getattr(r, "sample_id", None) is None]  # fmt: skip
    tasters = [Taster(f"taster {n}", f"Taster {n}", n) for n in range(1, 9)]
    seats = [Seat(f"seat {t.id}", sitting.id, t.id, t.position) for t in tasters]
    samples = [
        Sample(f"s {t.id} {place}", sitting.id, t.id, place, str(100 + 10 * t.position + place),
               pieces[place].id)
        for t in tasters for place in range(7)
    ]  # fmt: skip
    more = [replace(asked[0], id=f"more {n}", name=f"more {n}", position=90 + n)
            for n in range(5 - len(asked))]  # fmt: skip
    return trial_records([*kept, sitting, *tasters, *seats, *samples, *more], records.trial.id)

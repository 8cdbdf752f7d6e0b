"""Papers: both sizes, every page tagged, the words read back, and blind where they must be."""

from __future__ import annotations

import io
import re
from dataclasses import replace
from functools import cache

import pytest
from pypdf import PdfReader

from tests.examples import octopus, ribs, thighs, turkey
from trialbench.figures.look import colours
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
OF_TRIAL = [name for name, kind in PAPERS.items() if kind.of == "trial"]
BLIND = ("labels", "cards")
NEVER = (
    "significant", "valid", "passed", "proven", "sheet", "carved", "session", "ballot", "primary",
    "seed",
)  # fmt: skip


@cache
def _records(example=turkey):
    return example.make().records()


def _made(records, name, size="a4", piece_of=None, sitting=0) -> PdfReader:
    sitting_id = views.sittings(records, records.trial.id)[sitting].id
    wanted = Wanted(name, size, "" if name in OF_TRIAL else sitting_id, piece_of)
    return PdfReader(io.BytesIO(paper_bytes(records, wanted)))


def _text(reader) -> str:
    pages = [page.extract_text() for page in reader.pages]
    return re.sub(r"[\s\u00a0\u2009\u202f\u200b]+", " ", " ".join(pages))


def _operands(reader) -> set[tuple[float, ...]]:
    """Every triple of numbers that sets a colour, of pages and of the pictures in them."""
    found = set()
    for stream in _streams(reader):
        for three in re.findall(rb"([\d.]+) ([\d.]+) ([\d.]+) (?:rg|RG|sc|SC|scn|SCN)\b", stream):
            found.add(tuple(round(float(part), 2) for part in three))
    return found


def _streams(reader):
    for page in reader.pages:
        yield page.get_contents().get_data()
        yield from _pictures(page.get("/Resources", {}))


def _pictures(resources):
    for one in (resources.get_object().get("/XObject") or {}).values():
        held = one.get_object()
        yield held.get_data()
        yield from _pictures(held.get("/Resources", {}) or {})


def _inks_of_methods() -> set[tuple[float, ...]]:
    look = colours("paper")
    hexes = [ink for _, ink in (*look.methods, *look.tints)]
    return {tuple(round(int(ink[at : at + 2], 16) / 255, 2) for at in (1, 3, 5)) for ink in hexes}


# --- all papers -----------------------------------------------------------------------------------


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("name", PAPERS)
def test_the_size_the_tags_and_the_language(name, size):
    reader = _made(_records(), name, size)
    root = reader.trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"] and "/StructTreeRoot" in root and root["/Lang"]
    assert reader.metadata.title
    for page in reader.pages:
        sides = sorted(float(side) / 72 * 25.4 for side in page.mediabox[2:])
        assert sides == pytest.approx(sorted(SIZES[size]), abs=0.2)


@pytest.mark.parametrize("name", PAPERS)
def test_equal_records_give_equal_bytes(name):
    first, second = (_made(turkey.make().records(), name) for _ in range(2))
    assert _text(first) == _text(second)
    trial = _records().trial.id
    wanted = Wanted(name, "a4", views.sittings(_records(), trial)[0].id)
    assert paper_bytes(_records(), wanted) == paper_bytes(turkey.make().records(), wanted)


@pytest.mark.parametrize("name", PAPERS)
@pytest.mark.parametrize("example", [turkey, ribs, octopus, thighs])
def test_no_word_that_is_never_printed(name, example):
    text = _text(_made(_records(example), name)).lower()
    assert [word for word in NEVER if re.search(rf"\b{word}\b", text)] == []


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("name", PAPERS)
def test_nothing_stands_outside_the_paper(name, size):
    """Where each piece of text begins, by its matrix, lies within the margins of the page."""
    for page in _made(_long_names(), name, size).pages:
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
            paper_bytes(_records(), wanted)


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
    reader = _made(_records(), "plan")
    text = _text(reader)
    assert len(reader.pages) == 1
    assert "Turkey breast: juicier roasted in a slow oven?" in text
    assert "0.75 points or more" in text and "6 cook days, 1 matched pair a day" in text
    assert "at 200 °C, for 50 min" in text and "at 120 °C, for 1 h 45 min" in text
    assert text.count("12 g salt for each kilogram") == 1
    seal = views.seal(_records(), _records().trial.id)
    assert seal.fingerprint in text.replace(" ", "")


def test_riders_stand_on_the_plan():
    text = _text(_made(_records(ribs), "plan"))
    assert "Differs, not asked for" in text and "the rest, 1 h longer in B" in text


def test_a_page_for_every_cook_day_with_its_places_and_loads():
    records = _records(octopus)
    reader = _made(records, "places")
    assert len(reader.pages) == 5
    text = reader.pages[0].extract_text()
    assert "Pot 1" in text and "O01" in text and "In a sealed bag" in text
    first = ribs.make().records()
    for piece in views.pieces(first, views.cooks(first, first.trial.id)[0].id):
        page = _made(first, "places").pages[0].extract_text()
        assert piece.label in page and piece.place.lower() in page.lower()


def test_before_lots_the_places_say_so_and_name_no_method():
    draft = ribs.make()
    for piece in draft.all(Piece):
        draft.write(replace(piece, method_id=None))
    for cook in draft.all(Cook):
        draft.write(replace(cook, starts_id=None))
    text = _text(_made(draft.records(), "places"))
    assert "lots not drawn" in text and "Paper wrap" not in text.replace("wrapped", "")


def test_targets_are_grams_of_the_trimmed_weight_and_a_rate_before_it():
    records = _records(turkey)
    piece = views.pieces(records, views.cooks(records, records.trial.id)[0].id)[0]
    grams = views.trimmed_g(records, piece)
    text = _made(records, "weighing").pages[0].extract_text()
    assert f"{grams * 12 / 1000:.1f}" in text
    kept = [r for r in _all(records) if not isinstance(r, Measurement)]
    empty = _text(_made(trial_records(kept, records.trial.id), "weighing"))
    assert "12 g for each kg trimmed" in empty and "Every target counts on the weight" in empty


def _all(records):
    return [record for record in records.records.as_set() if not isinstance(record, Cover)]


def test_the_list_without_methods_names_none_and_ends_with_the_parting():
    records = _records(ribs)
    text = _text(_made(records, "weighing_without"))
    page = _made(records, "weighing_without")
    # The title of the trial names both ways; who gets which is what must not be here.
    assert not re.search(r"R\d\d [AB]\b", text)
    assert not _operands(page) & _inks_of_methods()
    assert "trimmed, g" in text and "smoked, g" not in text
    assert _operands(_made(records, "weighing")) & _inks_of_methods()


def test_grams_that_differ_are_not_on_the_list_without_methods():
    records = _records(ribs)
    a, b = views.methods(records, records.trial.id)
    salt = next(s for s in views.stages(records, records.trial.id) if s.stage_kind == "salt")
    rubs = [
        Addition("rub a", salt.id, 1, "rub", "paprika", a.id, g_per_kg=20.0),
        Addition("rub b", salt.id, 1, "rub", "paprika", b.id, g_per_kg=30.0),
    ]
    changed = trial_records([*_all(records), *rubs], records.trial.id)
    text = _text(_made(changed, "weighing_without"))
    assert "because it differs between the methods: paprika" in text
    assert "paprika, target" not in text
    assert "paprika, target" in _text(_made(changed, "weighing"))


@pytest.mark.parametrize("name", OF_TRIAL)
def test_an_empty_trial_explains_itself(name):
    trial = Trial("t", 1, "", "", "", "", "2026-01-01T00:00:00.000Z")
    records = trial_records([trial], "t")
    text = _text(PdfReader(io.BytesIO(paper_bytes(records, Wanted(name)))))
    assert "yet" in text


# --- papers of a sitting --------------------------------------------------------------------------


def _opened(records):
    """The codes of the first sitting with what lies under them."""
    sitting = views.sittings(records, records.trial.id)[0]
    return sitting, views.samples(records, sitting.id, warm_up=True)


def test_the_plate_map_is_one_page_with_every_code_and_says_who_must_not_see_it():
    records = _records(ribs)
    reader = _made(records, "plates")
    text = _text(reader)
    assert len(reader.pages) == 1
    assert "Tasters must not see this page" in text
    for sample in _opened(records)[1]:
        piece = records.get(Piece, sample.piece_id)
        method = records.get(Method, piece.method_id)
        assert re.search(rf"{sample.code} {piece.label} {method.letter}\b", text)


def test_while_the_key_is_sealed_the_plate_map_wants_the_key():
    records = _records(ribs)
    sitting, samples = _opened(records)
    piece_of = {sample.id: sample.piece_id for sample in samples}
    shut = replace(sitting, key_state="sealed")
    hidden = {s.id: replace(s, piece_id=None) for s in samples}
    others = [hidden.get(r.id, r) for r in _all(records) if r.id != sitting.id]
    sealed = trial_records([shut, *others], records.trial.id)
    with pytest.raises(Sealed, match="with the key"):
        _made(sealed, "plates")
    assert _text(_made(sealed, "plates", piece_of=piece_of)) == _text(_made(records, "plates"))


def test_each_code_has_two_labels_and_no_other_figure_is_on_them():
    records = _records(ribs)
    text = _text(_made(records, "labels"))
    for sample in _opened(records)[1]:
        assert text.count(sample.code) == 2


@pytest.mark.parametrize("size", SIZES)
def test_a_card_for_every_sample_in_the_order_served(size):
    records = _records(ribs)
    reader = _made(records, "cards", size)
    sitting, samples = _opened(records)
    shown = re.findall(r"\b\d{3}\b", _text(reader))
    served = [
        s.code
        for seat in views.seats(records, sitting.id)
        for s in views.samples(records, sitting.id, seat.taster_id, warm_up=True)
    ]
    assert shown == served
    assert len(reader.pages) == -(-len(samples) // 2)
    text = _text(reader)
    for outcome in views.attributes(records, records.trial.id):
        assert text.count(outcome.asked_as) == len(samples)
    assert text.count("warm-up plate") == len(views.seats(records, sitting.id))


@pytest.mark.parametrize("size", SIZES)
def test_eight_tasters_six_samples_five_questions_fit(size):
    reader = _made(_crowd(), "cards", size)
    assert len(reader.pages) == 8 * 7 / 2
    plates = _made(_crowd(), "plates", size)
    assert len(plates.pages) == 1
    assert len(set(re.findall(r"\b\d{3}\b", _text(plates)))) == 56


@cache
def _crowd():
    """Eight tasters with a warm-up sample and six others each, five things asked."""
    records = _records(octopus)
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


# --- blind ----------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", BLIND)
@pytest.mark.parametrize("example", [turkey, ribs, octopus, thighs])
def test_what_tasters_see_tells_nothing_of_methods(name, example):
    records = _records(example)
    reader = _made(records, name)
    text = _text(reader) + str(dict(reader.metadata)) + str(reader.xmp_metadata and _xmp(reader))
    trial = records.trial
    told = [m.name for m in views.methods(records, trial.id)]
    told += [trial.usual, trial.idea, trial.food]
    told += [p.label for p in records.of(Piece)] + [p.place for p in records.of(Piece)]
    asked = " ".join(o.asked_as for o in views.attributes(records, trial.id)).lower()
    for word in filter(None, told):
        assert word.lower() not in text.lower() or word.lower() in asked
    assert not re.search(r"(?<!\w)[A-D](?![\w.])", text.replace("A sip", ""))
    assert records.trial.id not in text


@pytest.mark.parametrize("name", BLIND)
@pytest.mark.parametrize("example", [turkey, ribs, octopus, thighs])
def test_no_sign_and_no_ink_of_a_method_is_drawn_on_them(name, example):
    reader = _made(_records(example), name)
    assert not _operands(reader) & _inks_of_methods()
    assert not any(True for page in reader.pages for _ in _pictures(page.get("/Resources", {})))
    assert _curves(reader) == 0
    # The page with the key has both: this check sees them where they are.
    key = _made(_records(example), "plates")
    assert _operands(key) & _inks_of_methods() and _curves(key) > 0


def _curves(reader) -> int:
    """How often a curve is drawn: the lid of A has one, tags, lines and ticks have none."""
    return sum(len(re.findall(rb"(?:-?[\d.]+ ){6}c\b", stream)) for stream in _streams(reader))


def _xmp(reader) -> str:
    return reader.trailer["/Root"]["/Metadata"].get_data().decode()


@pytest.mark.parametrize("name", BLIND)
def test_they_are_the_same_whatever_lies_under_the_codes(name):
    """The strongest form: change every piece, method and name, and not one byte changes."""
    draft = ribs.make()
    records = draft.records()
    wanted = Wanted(name, "a4", views.sittings(records, records.trial.id)[0].id)
    before = paper_bytes(records, wanted)
    for method in draft.all(Method):
        draft.write(replace(method, name=f"other {method.letter}", letter=method.letter.lower()))
    for sample in draft.all(Sample):
        draft.write(replace(sample, piece_id=None))
    for piece in draft.all(Piece):
        draft.write(replace(piece, label=f"X{piece.position}", method_id=None, place="left"))
    draft.write(replace(records.trial, usual="x", idea="y", food="z"))
    assert paper_bytes(draft.records(), wanted) == before

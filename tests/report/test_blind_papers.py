"""What tasters see is blind in fact: no method in the text, the drawing or the metadata."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from tests.examples import octopus, ribs, thighs, turkey
from tests.report.papers_read import (
    curves,
    inks,
    inks_of_methods,
    made,
    pictures,
    records_of_example,
    text_of,
    xmp,
)
from trialbench.model.records import Method, Piece, Sample
from trialbench.notebook import views
from trialbench.report.papers.making import Wanted, paper_bytes

BLIND = ("labels", "cards")


@pytest.mark.parametrize("name", BLIND)
@pytest.mark.parametrize("example", [turkey, ribs, octopus, thighs])
def test_what_tasters_see_tells_nothing_of_methods(name, example):
    records = records_of_example(example)
    reader = made(records, name)
    shown = text_of(reader) + str(dict(reader.metadata))
    text = shown + xmp(reader)
    trial = records.trial
    told = [m.name for m in views.methods(records, trial.id)]
    told += [trial.usual, trial.idea, trial.food]
    told += [p.label for p in records.of(Piece)] + [p.place for p in records.of(Piece)]
    asked = " ".join(o.asked_as for o in views.attributes(records, trial.id)).lower()
    for word in filter(None, told):
        assert word.lower() not in text.lower() or word.lower() in asked
    assert not re.search(r"(?<!\w)[A-D](?![\w.])", shown)
    assert records.trial.id not in text


@pytest.mark.parametrize("name", BLIND)
@pytest.mark.parametrize("example", [turkey, ribs, octopus, thighs])
def test_no_sign_and_no_ink_of_a_method_is_drawn_on_them(name, example):
    reader = made(records_of_example(example), name)
    assert not inks(reader) & inks_of_methods()
    assert not any(True for page in reader.pages for _ in pictures(page.get("/Resources", {})))
    assert curves(reader) == 0
    # The page with the key has both: this check sees them where they are.
    key = made(records_of_example(example), "plates")
    assert inks(key) & inks_of_methods() and curves(key) > 0


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

"""Where a plan shares vessels, the draw puts the pieces of a method into one load a day."""

import pytest

from trialbench.model.records import Load, Piece, Trial
from trialbench.notebook import acts, views
from trialbench.notebook.acts import plan, question
from trialbench.notebook.notebook import Notebook
from trialbench.planning.draw import draw_for_new_pieces, draw_lots
from trialbench.planning.shared_loads import with_shared_loads


@pytest.fixture
def book(tmp_path):
    with Notebook.open(tmp_path / "k.trialbench", backups=tmp_path / "backups") as notebook:
        yield notebook


def _planned(book, **figures) -> str:
    step = question.begin_trial(book, "beans", "soaked", "not soaked")
    book.apply(step)
    trial_id = acts.new_record(step, Trial).id
    for field, typed in {"planned_cooks": "2", "pieces_each": "2", **figures}.items():
        book.apply(plan.set_plan(book, trial_id, field, typed))
    return trial_id


def _draw(book, trial_id, lot_number=5, reason="") -> None:
    records = views.OneTrial(book, trial_id)
    step = draw_lots(
        records, lot_number=lot_number, when=book.now(), reason=reason, early="one pan a method"
    )
    book.apply(with_shared_loads(records, step))


def _inside(book, trial_id) -> dict[tuple[int, str], set[str | None]]:
    """Cook day and load to the methods of its pieces."""
    return {
        (cook.number, load.name): {p.method_id for p in views.pieces_of_load(book, load.id)}
        for cook in views.cooks(book, trial_id)
        for load in views.loads(book, cook.id)
    }


def test_pieces_alone_make_no_load(book):
    trial_id = _planned(book)
    _draw(book, trial_id)
    assert book.all(Load) == ()


@pytest.mark.parametrize("paired", ["no", "yes"])
def test_one_load_a_method_and_day_each_of_one_method(book, paired):
    trial_id = _planned(book, loads="shared", paired=paired)
    _draw(book, trial_id)
    inside = _inside(book, trial_id)
    assert sorted(inside) == [(1, "load 1"), (1, "load 2"), (2, "load 1"), (2, "load 2")]
    assert all(len(methods) == 1 for methods in inside.values())
    assert all(piece.load_id for piece in book.all(Piece))


def test_a_second_draw_gives_lots_to_the_loads_that_are_there(book):
    trial_id = _planned(book, loads="shared")
    _draw(book, trial_id)
    before = {piece.id: piece.load_id for piece in book.all(Piece)}
    seen = set()
    for lot in range(2, 14):
        _draw(book, trial_id, lot, "the pan leaked")
        assert {piece.id: piece.load_id for piece in book.all(Piece)} == before
        assert all(len(methods) == 1 for methods in _inside(book, trial_id).values())
        seen.add(tuple(piece.method_id for piece in book.all(Piece)))
    assert len(seen) > 1


def test_a_day_that_comes_later_gets_loads_of_its_own(book):
    trial_id = _planned(book, loads="shared")
    _draw(book, trial_id)
    before = _inside(book, trial_id)
    book.apply(plan.add_cook(book, trial_id))
    records = views.OneTrial(book, trial_id)
    step = draw_for_new_pieces(records, lot_number=9, when=book.now(), reason="one more guest")
    book.apply(with_shared_loads(records, step))
    after = _inside(book, trial_id)
    assert {key: after[key] for key in before} == before
    assert len(after) == 6 and all(len(methods) == 1 for methods in after.values())


def test_the_name_of_a_load_tells_nothing_of_its_method(book):
    trial_id = _planned(book, loads="shared")
    _draw(book, trial_id)
    letters = {method.letter for method in views.methods(book, trial_id)}
    assert not any(set(load.name.split()) & letters for load in book.all(Load))

"""The matching list: what each piece is, pairs by hand and as proposed, spares, rejects."""

from __future__ import annotations

import pytest

from trialbench.model.errors import Refused
from trialbench.model.records import Load, Pair, Piece, Trial
from trialbench.notebook import acts, views
from trialbench.notebook.acts import loads, matching, plan, question
from trialbench.planning.draw import draw_lots


@pytest.fixture
def book(nb):
    return nb


@pytest.fixture
def planned(book):
    step = question.begin_trial(book, "pork shoulder", "dry", "in its juices")
    book.apply(step)
    trial_id = acts.new_record(step, Trial).id
    for field, typed in {"planned_cooks": "2", "pieces_each": "2", "paired": "yes"}.items():
        book.apply(plan.set_plan(book, trial_id, field, typed))
    return trial_id


def day(book, trial_id, number=1):
    return views.cooks(book, trial_id)[number - 1]


def named(book, trial_id, label) -> Piece:
    cooks = views.cooks(book, trial_id)
    return next(p for c in cooks for p in views.every_piece(book, c.id) if p.label == label)


def paired(book, trial_id) -> dict[str, list[str]]:
    found: dict[str, list[str]] = {}
    for piece in views.all_pieces(book, trial_id):
        pair = book.find(Pair, piece.pair_id)
        found.setdefault(f"{pair.cook_id == day(book, trial_id).id}:{pair.number}" if pair else "",
                         []).append(piece.label)  # fmt: skip
    return found


@pytest.mark.parametrize(("field", "typed", "held"), [
    ("bought_g", "2.3 kg", 2300.0), ("bought_g", "", None), ("source", " pig  7 ", "pig 7"),
    ("side", "left", "left"), ("lot", "L2", "L2"), ("thickness_mm", "4.5 cm", 45.0),
    ("marbling", "3 of 5", "3 of 5"), ("frozen", "No", "never"), ("frozen", "was", "was"),
    ("ph", "5,6", 5.6),
])  # fmt: skip
def test_what_a_piece_is_matched_by_is_read(book, planned, field, typed, held):
    piece = named(book, planned, "P01")
    book.apply(matching.set_match(book, piece.id, field, typed))
    assert getattr(book.get(Piece, piece.id), field) == held


@pytest.mark.parametrize(("field", "typed"), [("bought_g", "0"), ("bought_g", "heavy"),
                                              ("ph", "12"), ("frozen", "a bit"),
                                              ("thickness_mm", "0")])  # fmt: skip
def test_what_cannot_be_is_refused(book, planned, field, typed):
    with pytest.raises(Refused):
        matching.set_match(book, named(book, planned, "P01").id, field, typed)


def test_pairs_are_accepted_as_a_whole_and_stay_when_another_figure_changes(book, planned):
    p = {label: named(book, planned, label).id for label in ("P01", "P02", "P03", "P04")}
    sets = [(p["P01"], p["P04"]), (p["P02"], p["P03"])]
    book.apply(matching.match_pieces(book, day(book, planned).id, sets, ("pig 1", "")))
    wanted = {"True:1": ["P01", "P04"], "True:2": ["P02", "P03"]}
    assert wanted.items() <= paired(book, planned).items()
    assert views.pairs(book, day(book, planned).id)[0].source == "pig 1"
    book.apply(plan.set_plan(book, planned, "planned_tasters", "7"))
    book.apply(plan.set_plan(book, planned, "planned_cooks", "3"))
    assert wanted.items() <= paired(book, planned).items()
    book.apply(plan.set_plan(book, planned, "paired", "no"))
    book.apply(plan.set_plan(book, planned, "paired", "yes"))
    assert paired(book, planned)["True:1"] == ["P01", "P02"]


def test_places_stay_with_their_place_in_the_pair(book, planned):
    for label, place in zip(("P01", "P02", "P03", "P04"), ("up", "down") * 2, strict=True):
        book.apply(plan.set_piece(book, named(book, planned, label).id, "place", place))
    p = [named(book, planned, f"P0{n}").id for n in (1, 2, 3, 4)]
    book.apply(matching.match_pieces(book, day(book, planned).id, [(p[0], p[2]), (p[1], p[3])]))
    places = {x: named(book, planned, x).place for x in ("P01", "P02", "P03", "P04")}
    assert places == {"P01": "up", "P03": "down", "P02": "up", "P04": "down"}


def test_a_piece_put_into_a_full_pair_exchanges_with_the_last_one_there(book, planned):
    book.apply(matching.set_pair(book, named(book, planned, "P01").id, "2"))
    assert paired(book, planned)["True:1"] == ["P02", "P04"]
    assert paired(book, planned)["True:2"] == ["P01", "P03"]
    with pytest.raises(Refused, match="no pair 5"):
        matching.set_pair(book, named(book, planned, "P01").id, "5")
    book.apply(matching.set_pair(book, named(book, planned, "P01").id, "–"))
    assert paired(book, planned)[""] == ["P01"]


def test_spares_are_laid_out_and_take_the_place_of_a_rejected_piece(book, planned):
    book.apply(plan.set_plan(book, planned, "spares", "1"))
    spares = [p.label for p in views.every_piece(book, day(book, planned).id) if p.spare]
    assert spares == ["S01"] and len(views.all_pieces(book, planned)) == 8
    with pytest.raises(Refused, match="only with a reason"):
        matching.reject(book, named(book, planned, "P03").id, " ")
    before = named(book, planned, "P03")
    book.apply(matching.reject(book, before.id, "a broken bone"))
    assert "P03" not in [p.label for p in views.all_pieces(book, planned)]
    book.apply(matching.take_in(book, named(book, planned, "S01").id))
    taken = named(book, planned, "S01")
    assert (taken.spare, taken.pair_id, taken.position) == (False, before.pair_id, before.position)
    assert named(book, planned, "P03").pair_id is None
    # Other figures leave it so, and no label is given twice.
    book.apply(plan.set_plan(book, planned, "planned_cooks", "3"))
    labels = [p.label for c in views.cooks(book, planned) for p in views.every_piece(book, c.id)]
    assert len(set(labels)) == len(labels)
    book.apply(plan.set_plan(book, planned, "spares", "0"))
    assert not any(p.spare for c in views.cooks(book, planned)
                   for p in views.every_piece(book, c.id))  # fmt: skip


def test_another_piece_sets_the_lots_of_its_day_aside(book, planned):
    records = views.OneTrial(book, planned)
    book.apply(draw_lots(records, lot_number=5, when=book.now(), early="one rack"))
    book.apply(matching.reject(book, named(book, planned, "P01").id, "still frozen"))
    drawn = {p.label: p.method_id is not None for p in views.all_pieces(book, planned)}
    assert drawn == {"P02": False, "P03": False, "P04": False, "P05": True, "P06": True,
                     "P07": True, "P08": True}  # fmt: skip
    book.apply(matching.take_in(book, named(book, planned, "P01").id))
    assert paired(book, planned)["True:1"] == ["P01", "P02"]


def test_a_vessel_is_made_joined_and_left_by_its_name(book, planned):
    one, other = named(book, planned, "P01"), named(book, planned, "P03")
    book.apply(loads.put_in(book, one.id, "pan 2"))
    book.apply(loads.put_in(book, other.id, " Pan 2"))
    load = book.all(Load)[0]
    assert [p.label for p in views.pieces_of_load(book, load.id)] == ["P01", "P03"]
    book.apply(loads.share_at(book, load.id, None))
    book.apply(loads.put_in(book, one.id, ""))
    book.apply(loads.put_in(book, other.id, ""))
    assert book.all(Load) == ()
    book.apply(matching.make_spare(book, one.id))
    with pytest.raises(Refused, match="takes no part"):
        loads.put_in(book, one.id, "pan 2")

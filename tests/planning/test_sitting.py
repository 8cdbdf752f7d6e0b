"""A sealed sitting tells nothing of its pieces; an opened one tells all, and can be checked."""

from __future__ import annotations

import json
from collections import Counter
from dataclasses import replace

import pytest

from tests.planning.kitchen import LATER, NOON, kitchen
from trialbench.model.errors import Refused, Sealed
from trialbench.model.records import Piece, Sample, Score, Seat, Sitting, Taster
from trialbench.planning.draw import draw_lots
from trialbench.planning.key import WrongKey, fingerprint, read_key
from trialbench.planning.sitting import (
    Served,
    drawn_again,
    open_sitting,
    seal_sitting,
    served_before,
)


@pytest.fixture(scope="module")
def plan():
    bare = kitchen()
    return bare.after(draw_lots(bare, lot_number=628, when=NOON))


def served(plan, day=1, tasters=8, **more):
    pieces = tuple(p for p in plan.of(Piece) if p.cook_id == f"c{day}")
    return Served(pieces, tuple(plan.book.all(Taster))[:tasters], **more)


def sealed(plan, day=1, lot=4711, **more):
    sitting = plan.book.get(Sitting, f"s{day}")
    return seal_sitting(plan.book, sitting, served(plan, day, **more), NOON, lot_number=lot)


def scored(plan, samples):
    scores = [Score(f"score-{s.id}", s.id, "juiciness", NOON.utc, 60, 5.0) for s in samples]
    return plan.with_records(*scores)


def test_every_taster_gets_a_warm_up_and_every_piece_once(plan):
    made = sealed(plan)
    after = plan.after(made.step)
    samples = after.book.all(Sample, sitting_id="s1")
    piece_of = read_key(made.key_bytes).piece_of
    assert len(samples) == 8 * 5
    assert len({s.code for s in samples}) == 40
    for taster in plan.book.all(Taster):
        own = [s for s in samples if s.taster_id == taster.id]
        assert sorted(s.position for s in own) == [0, 1, 2, 3, 4]
        pieces = [piece_of[s.id] for s in own if s.position > 0]
        assert sorted(pieces) == ["c1x0", "c1x1", "c1x2", "c1x3"]
    warm = Counter(piece_of[s.id] for s in samples if s.position == 0)
    assert set(warm.values()) == {2}
    assert made.evenness.even
    assert [s.taster_id for s in after.book.all(Seat, sitting_id="s1")] == [
        t.id for t in plan.book.all(Taster)
    ]


def test_sealing_is_a_barrier_with_the_fingerprint_of_the_key(plan):
    made = sealed(plan)
    sitting = plan.after(made.step).book.get(Sitting, "s1")
    assert made.step.barrier
    assert sitting.key_state == "sealed" and sitting.sealed_utc == NOON.utc
    assert sitting.key_fingerprint == fingerprint(made.key_bytes)
    assert sitting.lot_number is None


def test_servings_come_in_rounds(plan):
    made = sealed(plan, servings=2, warm_up=False)
    key = read_key(made.key_bytes)
    samples = plan.after(made.step).book.all(Sample, sitting_id="s1", taster_id="taster1")
    pieces = [key.piece_of[s.id] for s in sorted(samples, key=lambda s: s.position)]
    assert len(pieces) == 8
    assert len(set(pieces[:4])) == len(set(pieces[4:])) == 4


def test_nothing_in_the_step_names_a_piece_or_a_lot_number(plan):
    made = sealed(plan, lot=987_654_321_012)
    written = json.dumps([change.record.values() for change in made.step.changes])
    written += repr(made.step.label) + repr(made.evenness)
    for piece in plan.of(Piece):
        assert f'"{piece.id}"' not in written
    for word in ("987654321012", read_key(made.key_bytes).nonce, "mA", "mB"):
        assert word not in written
    assert all(s.after.piece_id is None for s in made.step.changes if s.record.kind == "sample")


def test_neither_ids_nor_the_order_of_rows_follow_the_pieces(plan):
    """Over many keys, where a row, an id or a code stands says nothing of the piece.

    Each table is 4 pieces by 4 ranks; chi-square on 9 df passes 27.9 once in a thousand.
    """
    by_row, by_id, by_code = Counter(), Counter(), Counter()
    for lot in range(300):
        made = sealed(plan, lot=lot, tasters=1, warm_up=False)
        piece_of = read_key(made.key_bytes).piece_of
        rows = [c.after for c in made.step.changes if c.record.kind == "sample"]
        for counts, order in (
            (by_row, rows),
            (by_id, sorted(rows, key=lambda s: s.id)),
            (by_code, sorted(rows, key=lambda s: s.code)),
        ):
            counts.update((place, piece_of[s.id]) for place, s in enumerate(order))
    for counts in (by_row, by_code):
        assert len(counts) == 16
        assert sum((n - 75) ** 2 / 75 for n in counts.values()) < 27.9
    # Ids are fresh random numbers, so this table is not the same on every run; ids that followed
    # the pieces would give 300 in four cells and 0 in twelve.
    assert max(by_id.values()) < 150


def test_the_order_in_which_pieces_and_tasters_are_given_does_not_change_the_lots(plan):
    sitting = plan.book.get(Sitting, "s1")
    one = served(plan)
    other = replace(one, pieces=one.pieces[::-1])
    keys = [
        seal_sitting(plan.book, sitting, each, NOON, lot_number=5).key_bytes
        for each in (one, other)
    ]
    assert read_key(keys[0]).serving == read_key(keys[1]).serving


def test_a_fresh_key_differs_every_time(plan):
    sitting = plan.book.get(Sitting, "s1")
    keys = [
        read_key(seal_sitting(plan.book, sitting, served(plan), NOON).key_bytes) for _ in range(5)
    ]
    assert len({key.lot_number for key in keys}) == 5
    assert len({key.nonce for key in keys}) == 5


def test_opening_names_the_pieces_and_the_lot_number(plan):
    made = sealed(plan)
    shut = plan.after(made.step)
    sitting = shut.book.get(Sitting, "s1")
    full = scored(shut, [s for s in shut.book.all(Sample) if s.position > 0])
    step = open_sitting(full.book, sitting, made.key_bytes, LATER)
    after = full.after(step)
    opened = after.book.get(Sitting, "s1")
    assert step.barrier
    assert (opened.key_state, opened.opened_utc, opened.lot_number) == ("open", LATER.utc, 4711)
    assert opened.opened_early_reason == ""
    samples = after.book.all(Sample, sitting_id="s1")
    assert all(s.piece_id for s in samples)
    key = read_key(made.key_bytes)
    assert drawn_again(key, samples)
    moved = replace(samples[0], code="999")
    assert not drawn_again(key, (moved, *samples[1:]))


def test_opening_early_needs_a_reason(plan):
    made = sealed(plan)
    shut = plan.after(made.step)
    sitting = shut.book.get(Sitting, "s1")
    with pytest.raises(Refused, match="32 score cards are still out"):
        open_sitting(shut.book, sitting, made.key_bytes, LATER)
    step = open_sitting(shut.book, sitting, made.key_bytes, LATER, early_reason=" rain ")
    assert shut.after(step).book.get(Sitting, "s1").opened_early_reason == "rain"


def test_cards_of_a_taster_who_left_are_not_waited_for(plan):
    made = sealed(plan)
    shut = plan.after(made.step)
    cards = [s for s in shut.book.all(Sample) if s.position > 0 and s.taster_id != "taster5"]
    seat = next(s for s in shut.book.all(Seat) if s.taster_id == "taster5")
    full = scored(shut, cards)
    sitting = full.book.get(Sitting, "s1")
    with pytest.raises(Refused, match="4 score cards"):
        open_sitting(full.book, sitting, made.key_bytes, LATER)
    left = full.changed(Seat, seat.id, left_reason="called away")
    assert open_sitting(left.book, sitting, made.key_bytes, LATER).barrier


def test_another_key_does_not_open_it(plan):
    made, other = sealed(plan), sealed(plan, lot=4712)
    shut = plan.after(made.step)
    sitting = shut.book.get(Sitting, "s1")
    with pytest.raises(WrongKey, match="fingerprint differs"):
        open_sitting(shut.book, sitting, other.key_bytes, LATER, early_reason="x")
    with pytest.raises(WrongKey, match="no key"):
        read_key(b"{}")
    with pytest.raises(Sealed, match="no sealed key"):
        open_sitting(plan.book, plan.book.get(Sitting, "s2"), made.key_bytes, LATER)


def test_a_key_is_canonical_and_reads_back(plan):
    made = sealed(plan)
    key = read_key(made.key_bytes)
    assert key.as_bytes() == made.key_bytes
    assert made.key_bytes.startswith(b'{"form":2,')
    assert b", " not in made.key_bytes


def test_a_later_sitting_reads_opened_and_shut_ones(plan):
    made = sealed(plan)
    shut = plan.after(made.step)
    second = shut.book.get(Sitting, "s2")
    assert served_before(shut.book, second) == ()
    by_key = served_before(shut.book, second, [made.key_bytes])
    assert len(by_key) == 8 and all(sorted(o) == ["mA", "mA", "mB", "mB"] for o in by_key)
    step = open_sitting(
        shut.book, shut.book.get(Sitting, "s1"), made.key_bytes, LATER, early_reason="x"
    )
    assert served_before(shut.after(step).book, second) == by_key


def test_what_cannot_be_served_is_refused(plan):
    sitting = plan.book.get(Sitting, "s1")
    whole = served(plan)
    with pytest.raises(Refused, match="Nobody tastes"):
        seal_sitting(plan.book, sitting, replace(whole, tasters=()), NOON)
    with pytest.raises(Refused, match="nothing to taste"):
        seal_sitting(plan.book, sitting, replace(whole, pieces=()), NOON)
    bare = replace(whole.pieces[0], method_id=None)
    with pytest.raises(Refused, match="P01 has no method yet"):
        seal_sitting(plan.book, sitting, replace(whole, pieces=(bare,)), NOON)
    shut = plan.after(sealed(plan).step).book.get(Sitting, "s1")
    with pytest.raises(Sealed, match="has its key already"):
        seal_sitting(plan.book, shut, whole, NOON)

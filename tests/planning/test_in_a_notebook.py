"""From plan to opened key in a notebook file: nothing on the disk says which piece is which."""

from __future__ import annotations

import sqlite3
from datetime import UTC, datetime

import pytest

from tests.planning.kitchen import kitchen
from trialbench.model.errors import Sealed
from trialbench.model.message import msg
from trialbench.model.records import KINDS, Cover, Draw, Piece, Sample, Seat, Sitting, Taster
from trialbench.model.steps import Step, added
from trialbench.notebook.clock import SteppingClock
from trialbench.notebook.notebook import Notebook
from trialbench.notebook.views import OneTrial
from trialbench.planning.draw import draw_lots
from trialbench.planning.key import read_key
from trialbench.planning.seal import seal_plan
from trialbench.planning.sitting import Served, drawn_again, open_sitting, seal_sitting


@pytest.fixture
def book(tmp_path):
    clock = SteppingClock(datetime(2025, 3, 8, 12, tzinfo=UTC))
    with Notebook.open(tmp_path / "n.trialbench", clock, backups=tmp_path) as found:
        plan = kitchen(cooks=2, tasters=3)
        records = [r for kind in KINDS for r in plan.book.all(kind) if kind is not Cover]
        found.apply(Step(msg("Brought in"), added(*records)))
        yield found


def everything_written(book) -> str:
    """Every cell of every table but the key's own, and the whole history, as text."""
    with sqlite3.connect(f"file:{book.path}?mode=ro", uri=True) as db:
        names = [row[0] for row in db.execute("select name from sqlite_master where type='table'")]
        cells = [
            str(cell)
            for name in names
            if "key" not in name
            for row in db.execute(f'select * from "{name}"')
            for cell in row
        ]
    return "\n".join(cells)


def test_the_whole_way(book):
    trial = OneTrial(book, "t")
    book.apply(draw_lots(trial, lot_number=628, when=book.now()))
    assert [d.within for d in trial.of(Draw)] == ["pair"]
    book.apply(seal_plan(trial, book.now()))
    with pytest.raises(Sealed):
        draw_lots(trial, lot_number=1, when=book.now(), reason="again")
    sitting = book.get(Sitting, "s1")
    served = Served(book.all(Piece, cook_id="c1"), book.all(Taster))
    made = seal_sitting(book, sitting, served, book.now(), lot_number=987_654_321_012)
    book.seal_key("s1", made.key_bytes, made.step)
    key = read_key(made.key_bytes)
    assert len(book.all(Seat, sitting_id="s1")) == 3

    written = everything_written(book)
    assert "987654321012" not in written and key.nonce not in written
    shut = [line for line in written.splitlines() if any(s_id in line for s_id in key.piece_of)]
    assert shut
    assert not any(f'"{piece.id}"' in line for line in shut for piece in served.pieces)

    assert book.curtain_keys("t") == (made.key_bytes,)
    step_from = lambda key_bytes: open_sitting(  # noqa: E731
        book, book.get(Sitting, "s1"), key_bytes, book.now(), early_reason="rain"
    )
    assert book.open_key("s1", step_from) == made.key_bytes
    opened = book.get(Sitting, "s1")
    assert (opened.key_state, opened.lot_number) == ("open", 987_654_321_012)
    samples = book.all(Sample, sitting_id="s1")
    assert {s.id: s.piece_id for s in samples} == key.piece_of
    assert drawn_again(key, samples)

"""Trials laid out as far as a journey needs them before its first key."""

from __future__ import annotations

from tests.journeys.at_the_desk import begun
from trialbench.model.records import Cook, Piece, Sitting, Taster
from trialbench.notebook import acts, views
from trialbench.notebook.acts import checkpoints, plan, question, sitting, stages, tasters
from trialbench.notebook.notebook import Notebook
from trialbench.planning.draw import draw_lots
from trialbench.planning.key import read_key
from trialbench.planning.sitting import Served, seal_sitting

LOT, KEY_LOT = 271_828, 314_159


def asked(book: Notebook) -> str:
    """A question about juiciness (1 to 9); the id of its trial."""
    trial_id = begun(book, "pork shoulder", "held dry", "held in its juices")
    book.apply(question.set_came_out(book, trial_id, "juicier"))
    book.apply(question.set_matters(book, trial_id, "1"))
    return trial_id


def staged(book: Notebook, trial_id: str, *kinds: str) -> None:
    """Stages that both methods share, and the weighings that follow them."""
    for kind in kinds:
        book.apply(stages.add_stage(book, trial_id, kind))
    book.apply(checkpoints.lay_out_checkpoints(book, trial_id))


def planned(book: Notebook, trial_id: str, **figures: str | bool) -> None:
    """Figures of the plan, as they would be typed."""
    for field, typed in figures.items():
        book.apply(plan.set_plan(book, trial_id, field, typed))


def drawn(book: Notebook, trial_id: str) -> None:
    """Lots drawn."""
    records = views.OneTrial(book, trial_id)
    book.apply(draw_lots(records, lot_number=LOT, when=book.now(), early="before shopping"))


def ready_to_cook(book: Notebook, *kinds: str, **figures: str | bool) -> str:
    """Asked, staged, planned and drawn."""
    trial_id = asked(book)
    staged(book, trial_id, *(kinds or ("roast", "rest")))
    planned(book, trial_id, **{"planned_cooks": "2", "pieces_each": "1", **figures})
    drawn(book, trial_id)
    return trial_id


def seated(book: Notebook, cook: Cook, count: int = 2) -> Sitting:
    """A sitting with so many tasters, its key not made."""
    step = sitting.make_sitting(book, cook.id)
    book.apply(step)
    made = acts.new_record(step, Sitting)
    if not views.seats(book, made.id):
        book.apply(tasters.seat_new_tasters(book, made.id, count))
    return made


def sealed(book: Notebook, cook: Cook, count: int = 2, passphrase: str | None = None) -> Sitting:
    """A sitting with codes under a sealed key."""
    made = seated(book, cook, count)
    sat = tuple(book.get(Taster, seat.taster_id) for seat in views.seats(book, made.id))
    shut = seal_sitting(
        book, made, Served(views.pieces(book, cook.id), sat), book.now(), lot_number=KEY_LOT,
        earlier_keys=book.curtain_keys(cook.trial_id),
    )  # fmt: skip
    book.seal_key(made.id, shut.key_bytes, shut.step, passphrase)
    return book.get(Sitting, made.id)


def letters_under_the_key(book: Notebook, trial_id: str) -> dict[str, str]:
    """Sample id to the letter of its method, for every sitting behind a curtain: what nobody at
    the table knows."""
    found: dict[str, str] = {}
    for key_bytes in book.curtain_keys(trial_id):
        for sample_id, piece_id in read_key(key_bytes).piece_of.items():
            method = views.method_of_piece(book, book.get(Piece, piece_id))
            assert method is not None
            found[sample_id] = method.letter
    return found

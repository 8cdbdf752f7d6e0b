"""Questions about the cook days: pieces, pairs, loads, weights, losses."""

from __future__ import annotations

from dataclasses import dataclass

from trialbench.model.records import (
    Checkpoint,
    Cook,
    Load,
    Measurement,
    Outcome,
    Pair,
    Piece,
    Replan,
    Stage,
    Trial,
)
from trialbench.notebook.belonging import beyond_plan
from trialbench.notebook.records_read import Reads
from trialbench.notebook.views.on_paper import checkpoints


def cooks(book: Reads, trial_id: str) -> tuple[Cook, ...]:
    """The cook days by number."""
    return book.all(Cook, trial_id=trial_id)


def added_cooks(book: Reads, trial_id: str) -> tuple[Cook, ...]:
    """The cook days beyond the plan; `after_opening` says which came after a key was open."""
    return tuple(cook for cook in cooks(book, trial_id) if beyond_plan(book, cook))


def pairs(book: Reads, cook_id: str) -> tuple[Pair, ...]:
    """The pairs of a cook day by number."""
    return book.all(Pair, cook_id=cook_id)


def loads(book: Reads, cook_id: str) -> tuple[Load, ...]:
    """The loads of a cook day by name."""
    return book.all(Load, cook_id=cook_id)


def takes_part(piece: Piece) -> bool:
    """Whether a piece is drawn, cooked and tasted: no spare, and not rejected."""
    return not piece.spare and not piece.rejected_reason


def pieces(book: Reads, cook_id: str) -> tuple[Piece, ...]:
    """The pieces of a cook day that take part, by position."""
    return tuple(filter(takes_part, book.all(Piece, cook_id=cook_id)))


def dropped(book: Reads, cook_id: str) -> frozenset[str]:
    """The ids of pieces that ran late and were dropped from a cook day: they are not served."""
    gone = {r.piece_id or r.method_id for r in book.all(Replan, cook_id=cook_id, choice="drop")}
    return frozenset(p.id for p in pieces(book, cook_id) if p.id in gone or p.method_id in gone)


def every_piece(book: Reads, cook_id: str) -> tuple[Piece, ...]:
    """The pieces of a cook day by position, spares and rejected ones among them."""
    return book.all(Piece, cook_id=cook_id)


def all_pieces(book: Reads, trial_id: str) -> tuple[Piece, ...]:
    """Every piece of a trial that takes part, by cook day and position."""
    return tuple(piece for cook in cooks(book, trial_id) for piece in pieces(book, cook.id))


def pieces_of_load(book: Reads, load_id: str) -> tuple[Piece, ...]:
    """The pieces that share a load."""
    return book.all(Piece, load_id=load_id)


def partners(book: Reads, piece: Piece) -> tuple[Piece, ...]:
    """The other pieces of a piece's pair."""
    if piece.pair_id is None:
        return ()
    return tuple(p for p in book.all(Piece, pair_id=piece.pair_id) if p.id != piece.id)


def measurement(book: Reads, piece_id: str, checkpoint_id: str) -> Measurement | None:
    """What was measured on a piece at a checkpoint, or the record that says why it is missing."""
    found = book.all(Measurement, piece_id=piece_id, checkpoint_id=checkpoint_id)
    return next(iter(found), None)


def measurements(book: Reads, piece_id: str) -> dict[str, Measurement]:
    """Checkpoint id to measurement."""
    return {m.checkpoint_id: m for m in book.all(Measurement, piece_id=piece_id)}


def mass_g(book: Reads, piece_id: str, checkpoint_id: str | None) -> float | None:
    """The weight of a piece at a checkpoint, None when it is missing."""
    found = measurement(book, piece_id, checkpoint_id) if checkpoint_id else None
    return None if found is None else found.mass_g


@dataclass(frozen=True, slots=True)
class Loss:
    """What a piece lost from one checkpoint to another; `base` is the first one's name.

    `loss_percent` and `yield_percent` are of the weight at the base; a gain is a negative loss.
    """

    base: str
    until: str
    from_g: float
    to_g: float

    @property
    def loss_g(self) -> float:
        """Grams lost."""
        return self.from_g - self.to_g

    @property
    def loss_percent(self) -> float:
        """Loss in percent of the base."""
        return 100 * self.loss_g / self.from_g

    @property
    def yield_percent(self) -> float:
        """What is left, in percent of the base."""
        return 100 * self.to_g / self.from_g


def is_weighed_at(book: Reads, piece: Piece, checkpoint: Checkpoint) -> bool:
    """Whether a piece comes to a weighing at all: not after another method's own stage."""
    stage = book.find(Stage, checkpoint.stage_id)
    return stage is None or stage.method_id in (None, piece.method_id)


def loss(book: Reads, piece_id: str, from_id: str | None, to_id: str | None) -> Loss | None:
    """The loss of a piece between two checkpoints; None when a weight is missing or nothing."""
    first, last = mass_g(book, piece_id, from_id), mass_g(book, piece_id, to_id)
    if first is None or last is None or first <= 0:
        return None
    base, until = book.get(Checkpoint, from_id or ""), book.get(Checkpoint, to_id or "")
    return Loss(base.name, until.name, first, last)


def loss_so_far(book: Reads, piece: Piece, base_id: str | None = None) -> Loss | None:
    """From the base (the first checkpoint with a weight) to the last checkpoint with one."""
    trial_id = book.get(Cook, piece.cook_id).trial_id
    weighed = [
        c.id for c in checkpoints(book, trial_id) if mass_g(book, piece.id, c.id) is not None
    ]
    if not weighed:
        return None
    base_id = base_id or weighed[0]
    if base_id == weighed[-1] or base_id not in weighed:
        return None
    return loss(book, piece.id, base_id, weighed[-1])


def outcome_on_piece(book: Reads, outcome: Outcome, piece_id: str) -> float | None:
    """A measured outcome of one piece: loss or yield in percent of its base, mass in g."""
    if outcome.source == "mass":
        return mass_g(book, piece_id, outcome.to_checkpoint_id)
    found = loss(book, piece_id, outcome.from_checkpoint_id, outcome.to_checkpoint_id)
    if found is None:
        return None
    return found.yield_percent if outcome.source == "yield" else found.loss_percent


def cook_is_weighed(book: Reads, cook: Cook) -> bool:
    """Whether every piece was weighed at the last checkpoint, or it is said why not."""
    of_cook, named = pieces(book, cook.id), checkpoints(book, cook.trial_id)
    if not of_cook or not named:
        return False
    return all(measurement(book, piece.id, named[-1].id) for piece in of_cook)


def cook_is_begun(book: Reads, cook: Cook) -> bool:
    """Whether anything was measured on this cook day."""
    return any(book.all(Measurement, piece_id=p.id) for p in pieces(book, cook.id))


def planned_or_laid_out(book: Reads, trial_id: str) -> int:
    """How many cook days there are to be: as planned, or as laid out where nothing is planned."""
    planned = book.get(Trial, trial_id).planned_cooks
    return planned if planned is not None else len(cooks(book, trial_id))

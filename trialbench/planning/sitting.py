"""Making a sitting, sealing its key and opening it: the two acts that cannot be taken back."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from trialbench.model.errors import Refused, Sealed
from trialbench.model.message import Message, msg, msg_n
from trialbench.model.records import Piece, Sample, Seat, Sitting, Taster, new_id
from trialbench.model.steps import Change, Step, added
from trialbench.notebook.clock import Moment
from trialbench.notebook.records_read import Reads
from trialbench.notebook.views import OneTrial, cards_in
from trialbench.planning.after_seal import end_of_change
from trialbench.planning.codes import temperatures_of
from trialbench.planning.key import (
    Key,
    Portion,
    Serving,
    WrongKey,
    fingerprint,
    new_key,
    portions_of,
    read_key,
)
from trialbench.planning.lots import fresh_key_lot_number
from trialbench.planning.orders import Evenness, evenness
from trialbench.planning.some_orders import some_evenness


@dataclass(frozen=True, slots=True)
class Served:
    """Who tastes what: pieces with their methods, tasters in the order of seats.

    Every taster gets every piece `servings` times, after a warm-up sample that is never analysed;
    only `most` samples in all where that is said. With `rounds` everybody gets the same sample at
    the same time, each round under codes of its own.
    """

    pieces: tuple[Piece, ...]
    tasters: tuple[Taster, ...]
    servings: int = 1
    warm_up: bool = True
    most: int | None = None
    rounds: bool = False


@dataclass(frozen=True, slots=True)
class SealedSitting:
    """The step that writes the samples, and the key's bytes, which go to the key store alone.

    `evenness` counts the orders by place and succession; it names no piece.
    """

    step: Step
    key_bytes: bytes
    evenness: Evenness


def seal_sitting(
    book: Reads,
    sitting: Sitting,
    served: Served,
    when: Moment,
    *,
    lot_number: int | None = None,
    earlier_keys: Sequence[bytes] = (),
) -> SealedSitting:
    """Codes and orders for every taster and piece, under a key that is sealed at once.

    `earlier_keys` are keys of earlier sittings that are still shut (Notebook.curtain_keys): with
    them, and with sittings already opened, the orders of this sitting make up for what was uneven
    before. The lot number is fresh unless given. The step is for Notebook.seal_key. Raises Sealed
    when the sitting has a key, Refused when there is nothing to serve or too few codes.
    """
    _check_servable(sitting, served)
    serving = _serving(book, sitting, served, earlier_keys)
    lot = fresh_key_lot_number() if lot_number is None else lot_number
    portions = portions_of(serving, lot)
    samples = [
        Sample(
            new_id(), sitting.id, p.taster_id, p.position, p.code,
            round_number=max(p.position, 1) if served.rounds else 1,
        )
        for p in portions
    ]  # fmt: skip
    mapping = [(s.id, p.piece_id) for s, p in zip(samples, portions, strict=True)]
    key_bytes = new_key(sitting.id, mapping, serving, lot).as_bytes()
    shut = replace(
        sitting,
        key_state="sealed",
        key_fingerprint=fingerprint(key_bytes),
        sealed_utc=when.utc,
        offset_min=when.offset_min,
    )
    seats = _missing_seats(book, sitting, served.tasters)
    label = msg("Key of sitting {number} sealed", number=sitting.number)
    changes = (Change(sitting, shut), *added(*seats, *samples))
    step = Step(label, changes, barrier=True)
    return SealedSitting(step, key_bytes, _evenness(serving, portions))


def _serving(
    book: Reads, sitting: Sitting, served: Served, earlier_keys: Sequence[bytes]
) -> Serving:
    ordered = sorted(served.pieces, key=lambda p: (p.position, p.id))
    return Serving(
        piece_ids=tuple(p.id for p in ordered),
        method_ids=tuple(p.method_id or "" for p in ordered),
        taster_ids=tuple(t.id for t in served.tasters),
        servings=served.servings,
        warm_up=served.warm_up,
        avoid=tuple(sorted(temperatures_of(OneTrial(book, sitting.trial_id)))),
        earlier=served_before(book, sitting, earlier_keys),
        most=served.most or 0,
        rounds=served.rounds,
    )


def _evenness(serving: Serving, portions: Sequence[Portion]) -> Evenness:
    number = {piece_id: n for n, piece_id in enumerate(serving.piece_ids)}
    labels = [number[p.piece_id] for p in portions if p.position > 0]
    size, each = len(number), serving.each_time
    orders = [tuple(labels[start : start + each]) for start in range(0, len(labels), each)]
    if serving.rounds:
        return replace(evenness(orders[: serving.servings], size), rounds=True)
    if each < size:
        return some_evenness(orders, size, serving.method_ids)
    return evenness(orders, size)


def _check_servable(sitting: Sitting, served: Served) -> None:
    if sitting.key_state != "none":
        raise Sealed(msg("Sitting {number} has its key already.", number=sitting.number))
    if not served.tasters:
        raise _refused(msg("Nobody tastes at this sitting."), msg("Write who tastes."))
    if not served.pieces:
        raise _refused(msg("There is nothing to taste."), msg("Choose the pieces served."))
    if served.most is not None and served.most < 2 * served.servings:
        what = msg("{count} samples for a taster leave nothing to compare.", count=served.most)
        raise _refused(what, msg("Let every taster have two samples or more."))
    bare = next((p for p in served.pieces if p.method_id is None), None)
    if bare is not None:
        what = msg("{piece} has no method yet.", piece=bare.label)
        raise _refused(what, msg("Draw lots on the Plan page first."))


def _refused(what: Message, way_out: Message) -> Refused:
    allowed = msg("one taster or more, and pieces that were cooked")
    return Refused(what, field="sitting.key_state", allowed=allowed, way_out=way_out)


def _missing_seats(book: Reads, sitting: Sitting, tasters: Sequence[Taster]) -> tuple[Seat, ...]:
    seated = {s.taster_id for s in book.all(Seat, sitting_id=sitting.id)}
    return tuple(
        Seat(new_id(), sitting.id, taster.id, place)
        for place, taster in enumerate(tasters, start=1)
        if taster.id not in seated
    )


def served_before(
    book: Reads, sitting: Sitting, earlier_keys: Sequence[bytes] = ()
) -> tuple[tuple[str, ...], ...]:
    """The methods in each order served at the trial's other sittings, as far as keys are known."""
    sealed: dict[str, str] = {}
    for key_bytes in earlier_keys:
        sealed.update(read_key(key_bytes).piece_of)
    served: list[tuple[str, ...]] = []
    for other in book.all(Sitting, trial_id=sitting.trial_id):
        orders: dict[str, list[str]] = {}
        for sample in book.all(Sample, sitting_id=other.id):
            piece = book.find(Piece, sample.piece_id or sealed.get(sample.id))
            if other.id != sitting.id and sample.position > 0 and piece is not None:
                orders.setdefault(sample.taster_id, []).append(piece.method_id or "")
        served += map(tuple, orders.values())
    return tuple(sorted(served))


def open_sitting(
    book: Reads, sitting: Sitting, key_bytes: bytes, when: Moment, *, early_reason: str = ""
) -> Step:
    """The step that opens a key: every sample gets its piece, the sitting its lot number.

    For Notebook.open_key. A plan open for change is shut with it: what is changed later is changed
    with a key open. Opening while score cards are still out needs a reason. Raises Sealed
    when the key is not shut, WrongKey when these bytes are not what was sealed, Refused when the
    reason is missing.
    """
    if sitting.key_state != "sealed":
        raise Sealed(msg("Sitting {number} has no sealed key.", number=sitting.number))
    key = read_key(key_bytes, sitting.key_fingerprint)
    samples = book.all(Sample, sitting_id=sitting.id)
    if {s.id for s in samples} != set(key.piece_of):
        raise WrongKey(msg("This key names other samples than this sitting has. Not opened."))
    out = cards_in(book, sitting.id).open
    if out and not early_reason.strip():
        raise _too_early(out)
    opened = replace(
        sitting,
        key_state="open",
        opened_utc=when.utc,
        opened_early_reason=early_reason.strip() if out else "",
        lot_number=key.lot_number,
    )
    named = [Change(s, replace(s, piece_id=key.piece_of[s.id])) for s in samples]
    label = msg("Key of sitting {number} opened", number=sitting.number)
    ended = end_of_change(OneTrial(book, sitting.trial_id), when)
    return Step(label, (Change(sitting, opened), *named, *ended), barrier=True)


def _too_early(out: int) -> Refused:
    return Refused(
        msg_n(
            "{count} score card is still out. Not opened.",
            "{count} score cards are still out. Not opened.",
            out,
        ),
        field="sitting.opened_early_reason",
        allowed=msg("opening when all score cards are in, or earlier with a reason"),
        way_out=msg("Wait for the cards, or write why it is opened now."),
    )


def drawn_again(key: Key, samples: Sequence[Sample]) -> bool:
    """Whether codes, orders and pieces come out the same from the opened key's own lot number."""
    again = {
        (p.taster_id, p.position, p.code, p.piece_id)
        for p in portions_of(key.serving, key.lot_number)
    }
    piece_of = key.piece_of
    return again == {(s.taster_id, s.position, s.code, piece_of.get(s.id)) for s in samples}

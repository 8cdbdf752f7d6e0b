"""The key: which piece lies under which code.

A sealed sitting holds samples with a taster, a position and a code and nothing else; the piece is
in the key alone. The key holds its own fresh lot number and 32 random bytes, so that its SHA-256
fingerprint can be stored in the open and guessed from nothing. After opening, everything in it can
be drawn again from its lot number.
"""

from __future__ import annotations

import json
import secrets
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from hashlib import sha256
from typing import Any

from trialbench.model.errors import TrialbenchError
from trialbench.model.message import msg
from trialbench.planning.codes import draw_codes
from trialbench.planning.lots import Lots
from trialbench.planning.orders import Order, deal_orders
from trialbench.planning.some_orders import deal_some, samples_each

FORM = 2
"""The form of a key's text; raised when its fields change. Form 1 had no `most` and `rounds`."""


@dataclass(frozen=True, slots=True)
class Serving:
    """What codes and orders are drawn for.

    `piece_ids` and `method_ids` stand side by side in the plan's order; `taster_ids` are in the
    order of seats; `servings` is how often each taster gets each piece; `avoid` are numbers that
    cannot be codes; `earlier` holds, for each order served before, its methods. `most` is how many
    samples a taster gets at most (0: all), `rounds` whether everybody gets the same one at a time.
    """

    piece_ids: tuple[str, ...]
    method_ids: tuple[str, ...]
    taster_ids: tuple[str, ...]
    servings: int = 1
    warm_up: bool = True
    avoid: tuple[int, ...] = ()
    earlier: tuple[tuple[str, ...], ...] = ()
    most: int = 0
    rounds: bool = False

    @property
    def each_time(self) -> int:
        """Samples that a taster gets at one serving of all; every one where `most` is 0."""
        if not self.most or self.rounds:
            return len(self.piece_ids)
        return samples_each(self.method_ids, max(self.most // self.servings, 2))


@dataclass(frozen=True, slots=True)
class Portion:
    """One portion: for whom, at which place (0 is the warm-up), under which code, of what."""

    taster_id: str
    position: int
    code: str
    piece_id: str


def portions_of(serving: Serving, lot_number: int) -> tuple[Portion, ...]:
    """Codes and orders by lot: the same serving and lot number give the same portions.

    By taster and position. With several servings each comes in a round that holds every piece
    once. Warm-up pieces are shared out over the tasters by lot; in rounds all get the same. Raises
    Refused when there are not enough codes.
    """
    orders, warm_ups = _orders(serving, lot_number), _warm_ups(serving, lot_number)
    places: list[tuple[str, int, str]] = []
    for seat, taster_id in enumerate(serving.taster_ids):
        labels = [label for order in orders[seat] for label in order]
        served = [serving.piece_ids[label] for label in labels]
        places += [(taster_id, 0, warm_ups[seat])] if serving.warm_up else []
        places += [(taster_id, place, piece) for place, piece in enumerate(served, start=1)]
    codes = draw_codes(len(places), Lots(lot_number, "codes"), serving.avoid)
    return tuple(
        Portion(taster_id, position, code, piece_id)
        for (taster_id, position, piece_id), code in zip(places, codes, strict=True)
    )


def _orders(serving: Serving, lot_number: int) -> list[list[Order]]:
    """For each taster the orders, one for each serving."""
    lots, size = Lots(lot_number, "orders"), len(serving.piece_ids)
    tasters, times = len(serving.taster_ids), serving.servings
    if serving.rounds:
        one = deal_orders(
            size, times, lots, groups=serving.method_ids,
            earlier=tuple(dict.fromkeys(serving.earlier)),
        )  # fmt: skip
        return [one] * tasters
    if serving.each_time < size:
        found = deal_some(serving.method_ids, serving.each_time, tasters * times, lots)
    else:
        found = deal_orders(
            size, tasters * times, lots, groups=serving.method_ids, earlier=serving.earlier
        )
    return [found[seat * times : (seat + 1) * times] for seat in range(tasters)]


def _warm_ups(serving: Serving, lot_number: int) -> list[str]:
    lots = Lots(lot_number, "warm-up")
    if serving.rounds:
        return lots.taken(serving.piece_ids, 1) * len(serving.taster_ids)
    dealt: list[str] = []
    while len(dealt) < len(serving.taster_ids):
        dealt += lots.shuffled(serving.piece_ids)
    return dealt


@dataclass(frozen=True, slots=True)
class Key:
    """What is sealed: (sample id, piece id) by sample id, and all that they were drawn from."""

    sitting_id: str
    lot_number: int
    nonce: str
    samples: tuple[tuple[str, str], ...]
    serving: Serving

    @property
    def piece_of(self) -> dict[str, str]:
        """Sample id to piece id."""
        return dict(self.samples)

    def as_bytes(self) -> bytes:
        """The canonical text: JSON with sorted names, no spaces, UTF-8."""
        value = {"form": FORM, **asdict(self)}
        text = json.dumps(value, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
        return text.encode()


class WrongKey(TrialbenchError):
    """These bytes are not the key that was sealed with this sitting."""


def new_key(sitting_id: str, samples: Sequence[tuple[str, str]], serving: Serving, lot: int) -> Key:
    """A key over these (sample id, piece id), with fresh random bytes."""
    return Key(sitting_id, lot, secrets.token_hex(32), tuple(sorted(samples)), serving)


def fingerprint(key_bytes: bytes) -> str:
    """SHA-256 of the canonical key, in hexadecimal."""
    return sha256(key_bytes).hexdigest()


def read_key(key_bytes: bytes, expected: str | None = None) -> Key:
    """The key from its bytes; `expected` is the fingerprint stored at sealing.

    Raises WrongKey when the fingerprint differs or the text is no key.
    """
    if expected is not None and fingerprint(key_bytes) != expected:
        raise WrongKey(
            msg("This key is not the one that was sealed: its fingerprint differs. Not opened.")
        )
    try:
        value = json.loads(key_bytes)
        samples = tuple((sample_id, piece_id) for sample_id, piece_id in value["samples"])
        serving = _read_serving(value["serving"])
        return Key(value["sitting_id"], value["lot_number"], value["nonce"], samples, serving)
    except (ValueError, KeyError, TypeError) as cause:
        raise WrongKey(msg("This is no key of a sitting. Not opened.")) from cause


def _read_serving(given: Mapping[str, Any]) -> Serving:
    return Serving(
        piece_ids=tuple(given["piece_ids"]),
        method_ids=tuple(given["method_ids"]),
        taster_ids=tuple(given["taster_ids"]),
        servings=int(given["servings"]),
        warm_up=bool(given["warm_up"]),
        avoid=tuple(given["avoid"]),
        earlier=tuple(tuple(order) for order in given["earlier"]),
        most=int(given.get("most", 0)),
        rounds=bool(given.get("rounds", False)),
    )

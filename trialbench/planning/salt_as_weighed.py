"""Salt as it was weighed onto the pieces, beside what the methods say.

Every rate is grams of salt for each kilogram of trimmed weight: salt itself, and the salt share of
a rub. Brine is left out: how much of it goes into the food is not known.

**What is no difference.** Two rates are taken for the same while they differ by no more than their
own rounding (half the last place of the salt and of the trimmed weight, as they were typed, for
both) and 2 % of the higher one, which stays on the board and the hands (common practice, no
source). So 12.0 and 12.1 g/kg are the same, also for a piece of 3 kg, and 12 and 15 are not.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from statistics import fmean

from trialbench.model.numbers import shortest
from trialbench.model.quantities import typed_step_g
from trialbench.model.records import Measurement, Method, Piece
from trialbench.notebook import views
from trialbench.notebook.records_read import Reads

LEFT_ON_THE_BOARD = 0.02


@dataclass(frozen=True, slots=True)
class Salted:
    """One piece: salt in g/kg of trimmed weight as weighed, what its rounding leaves open on each
    side, and what its method says (None where no method says it).
    """

    piece: Piece
    g_per_kg: float
    rounding_g_per_kg: float
    planned_g_per_kg: float | None

    @property
    def off_plan(self) -> bool:
        """Whether it is farther from its method than rounding and the board explain."""
        planned = self.planned_g_per_kg
        if planned is None:
            return False
        return abs(self.g_per_kg - planned) > allowance(
            self.rounding_g_per_kg, max(planned, self.g_per_kg)
        )


@dataclass(frozen=True, slots=True)
class SaltApart:
    """Methods whose pieces were not salted alike, beyond what the methods say: mean g/kg by method
    letter. `low` and `high` are the methods farthest apart.
    """

    rates: tuple[tuple[Method, float], ...]
    low: Method
    high: Method


def allowance(rounding_g_per_kg: float, rate_g_per_kg: float) -> float:
    """How far apart two rates may lie and be the same, in g/kg."""
    return rounding_g_per_kg + LEFT_ON_THE_BOARD * rate_g_per_kg + 1e-9


def shown_rate(g_per_kg: float) -> str:
    """A rate for a sentence: tenths at most."""
    return shortest(g_per_kg, 1)


def salted_pieces(book: Reads, trial_id: str) -> tuple[Salted, ...]:
    """Every piece whose trimmed weight and salt were weighed, by cook day and position."""
    found = (salted_piece(book, piece) for piece in views.all_pieces(book, trial_id))
    return tuple(each for each in found if each is not None)


def salted_piece(book: Reads, piece: Piece) -> Salted | None:
    """The salt of one piece, None while something of it is not weighed."""
    trial_id = _trial_id(book, piece)
    trimmed = _trimmed(book, trial_id, piece)
    if trimmed is None or not trimmed.mass_g or piece.method_id is None:
        return None
    salt_g = step_g = 0.0
    planned: float | None = 0.0
    weighed = 0
    for thing in views.to_weigh(book, trial_id):
        share, rate = views.salt_share(book, thing, piece), views.rate_g_per_kg(book, thing, piece)
        amount = views.amount(book, thing, piece.id)
        if not share or (rate is None and amount is None):
            continue
        if amount is None or amount.mass_g is None:
            return None
        weighed += 1
        salt_g += share * amount.mass_g
        step_g += share * typed_step_g(amount.typed, amount.mass_g)
        planned = None if planned is None or rate is None else planned + share * rate
    if not weighed:
        return None
    mass = trimmed.mass_g
    g_per_kg = 1000 * salt_g / mass
    rounding = 1000 * step_g / 2 / mass
    rounding += g_per_kg * typed_step_g(trimmed.typed, mass) / 2 / mass
    return Salted(piece, g_per_kg, rounding, planned)


def salt_apart(book: Reads, trial_id: str) -> SaltApart | None:
    """Methods that were not salted alike: means over their pieces, each against its own method.

    A difference that the methods themselves have is a line of the methods and not told twice.
    """
    pieces = salted_pieces(book, trial_id)
    means = [m for m in _means(views.methods(book, trial_id), pieces) if m is not None]
    if len(means) < 2:
        return None
    means.sort(key=lambda mean: mean.against)
    low, high = means[0], means[-1]
    rounding = low.rounding + high.rounding
    if high.against - low.against <= allowance(rounding, max(m.rate for m in means)):
        return None
    in_order = sorted(means, key=lambda mean: mean.method.letter)
    return SaltApart(tuple((m.method, m.rate) for m in in_order), low.method, high.method)


@dataclass(frozen=True, slots=True)
class _Mean:
    method: Method
    rate: float
    against: float
    rounding: float


def _means(there: Sequence[Method], pieces: Sequence[Salted]) -> Iterable[_Mean | None]:
    planned = all(p.planned_g_per_kg is not None for p in pieces)
    for method in there:
        own = [p for p in pieces if p.piece.method_id == method.id]
        if not own:
            yield None
            continue
        rate = fmean(p.g_per_kg for p in own)
        base = fmean(p.planned_g_per_kg or 0.0 for p in own) if planned else 0.0
        yield _Mean(method, rate, rate - base, fmean(p.rounding_g_per_kg for p in own))


def _trial_id(book: Reads, piece: Piece) -> str:
    found = views.trial_id_of(book, piece)
    assert found is not None
    return found


def _trimmed(book: Reads, trial_id: str, piece: Piece) -> Measurement | None:
    checkpoint = views.trimmed_checkpoint(book, trial_id)
    return views.measurement(book, piece.id, checkpoint.id) if checkpoint else None

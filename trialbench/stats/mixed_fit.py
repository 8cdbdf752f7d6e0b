"""Which random terms the data can tell apart, and the fit of those that stay."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from trialbench.model.message import Message, msg
from trialbench.stats.blas_threads import one_thread
from trialbench.stats.mixed_design import Design, cross_products
from trialbench.stats.mixed_reml import (
    VANISHED,
    Array,
    CrossProducts,
    Point,
    information,
    maximise,
    point,
)

_ALIKE = 1e-9
_NO_SCATTER = 1e-22
_NO_RESIDUAL = msg(
    "Nothing is left for the residual: differences that it alone would judge have no interval."
)


@dataclass(frozen=True, slots=True)
class Core:
    """A fit: which terms stayed (`terms`, places in the design), and the point reached.

    `at` is None where there is nothing to fit: no rows to spare, or no scatter at all.
    """

    data: CrossProducts
    terms: tuple[int, ...]
    at: Point | None
    left_out: dict[str, Message]
    notes: tuple[Message, ...]

    @property
    def s2(self) -> float:
        """Residual variance."""
        return math.nan if self.at is None else self.at.ypy / self.data.df


def fit_core(design: Design) -> Core:
    """Fit by restricted maximum likelihood; never raises for small or odd data."""
    with one_thread():
        return _fit(design)


def _fit(design: Design) -> Core:
    whole = cross_products(design)
    left_out = _one_level(design)
    kept = [k for k, group in enumerate(design.groupings) if group.name not in left_out]
    if whole.df < 1:
        note = msg("There are no more scores than fixed effects: nothing is left for the scatter.")
        return Core(whole.only(kept), tuple(kept), None, left_out, (note,))
    if whole.yy <= _NO_SCATTER * float(design.y @ design.y):
        note = msg("The fixed part explains every score: no scatter, so no interval and no p.")
        return Core(whole.only(kept), tuple(kept), None, left_out, (note,))
    kept = _told_apart(design, whole, kept, left_out)
    data = whole.only(kept)
    at, notes = _best(data)
    return Core(data, tuple(kept), at, left_out, notes)


def _one_level(design: Design) -> dict[str, Message]:
    found = {}
    for group in design.groupings:
        if group.levels == 1:
            found[group.name] = msg("There is only one {term}.", term=group.name)
        elif group.levels == len(design.y):
            found[group.name] = msg(
                "Each {term} has a single row: it cannot be told from the residual.",
                term=group.name,
            )
    return found


def _told_apart(
    design: Design, whole: CrossProducts, kept: list[int], left_out: dict[str, Message]
) -> list[int]:
    """Terms whose variance the data can tell from the residual and from earlier terms."""
    data = whole.only(kept)
    start = point(data, np.ones(len(kept)))
    if start is None or not kept:
        return kept
    gram = information(data, start)
    order = [len(kept), *range(len(kept))]
    gram = gram[np.ix_(order, order)]
    stays: list[int] = []
    basis: list[int] = [0]
    for place in range(1, len(order)):
        if _rest(gram, basis, place) > _ALIKE * max(gram[place, place], 1e-12 * len(design.y)):
            basis.append(place)
            stays.append(kept[place - 1])
        else:
            name = design.groupings[kept[place - 1]].name
            left_out[name] = _alike(name, gram[place, place] <= _ALIKE)
    return stays


def _alike(name: str, only_fixed: bool) -> Message:
    if only_fixed:
        return msg(
            "{term} changes only along with the fixed part: its scatter is in no interval.",
            term=name,
        )
    return msg("{term} cannot be told from the other terms or the residual.", term=name)


def _rest(gram: Array, basis: list[int], place: int) -> float:
    """What is left of a Gram matrix' entry once the basis is taken off."""
    own = gram[np.ix_(basis, basis)]
    cross = gram[basis, place]
    return float(gram[place, place] - cross @ np.linalg.lstsq(own, cross, rcond=None)[0])


def _best(data: CrossProducts) -> tuple[Point | None, tuple[Message, ...]]:
    """The highest point found: variances that end at zero are also tried from small and large."""
    terms = len(data.sizes)
    found = maximise(data, np.ones(terms))
    if found is None:
        return None, (msg("The scores leave no scatter that a model could be fitted to."),)
    at_zero = found.ratios <= 0.0
    if at_zero.any():
        for start in (np.where(at_zero, 0.1, 0.0), np.full(terms, 10.0)):
            other = maximise(data, start)
            if other is not None and other.deviance < found.deviance - 1e-9:
                found = other
    if terms and float(found.ratios.max()) >= VANISHED:
        return found, (_NO_RESIDUAL,)
    return found, ()

"""Any contrast of methods or settings with one value per cook: the generalised difference.

Each taster's contrast is reckoned in each cook where that taster scored every cell it weighs; the
mean over those tasters is the cook's value, and a t over cooks judges it (c - 1 df), as policy 1,
section 6.3, does for two methods.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from scipy import special

from trialbench.model.message import Message, msg, msg_n
from trialbench.stats import frames
from trialbench.stats.likeness import OthersInterval
from trialbench.stats.mixed_reml import Array
from trialbench.stats.not_applicable import NotApplicable
from trialbench.stats.numbers import mean
from trialbench.stats.over import OverCooks, over_unit_scores
from trialbench.stats.pairs import check_alpha, check_matters, equivalence_p
from trialbench.stats.settings import size_or_none
from trialbench.stats.student import upper_tail
from trialbench.stats.taster_rows import NOBODY, CookTable, UnitScore, unit_scores

Cell = tuple[str, ...]
_WEIGHED, _AGAINST = "+", "-"


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """How contrasts are read: the scale's step, d, the level. Checked when made."""

    step: float | None = None
    matters: float | None = None
    alpha: float = 0.05

    def __post_init__(self) -> None:
        object.__setattr__(self, "alpha", check_alpha(self.alpha))
        object.__setattr__(self, "matters", check_matters(self.matters))
        object.__setattr__(self, "step", size_or_none(self.step, "step"))


@dataclass(frozen=True, slots=True, kw_only=True)
class CookContrast:
    """A weighted sum of cell means over cooks, in the units of the values times the weights.

    `inner_low`, `inner_high` at level 1 - 2 alpha. With `matters`: `equivalence_p` (larger of two
    one-sided p against -matters and matters) and `at_least_as_good_p` (true value above -matters).
    `others`: for others like these tasters, None under three. `holm_p` is set where several are
    read as a family. None has its reason in `notes`.
    """

    name: Message
    weights: tuple[tuple[Cell, float], ...]
    estimate: float | None
    se: float | None
    df: int | None
    t: float | None
    p: float | None
    low: float | None
    high: float | None
    inner_low: float | None
    inner_high: float | None
    equivalence_p: float | None
    at_least_as_good_p: float | None
    holm_p: float | None = None
    others: OthersInterval | None
    cook_values: tuple[tuple[str, float], ...]
    null_hypothesis: Message
    notes: tuple[Message, ...]


@dataclass(frozen=True, slots=True)
class CellScores:
    """Averaged scores by cook, cell, unit and taster; `missing` values were left out."""

    scores: tuple[UnitScore, ...]
    cells: tuple[Cell, ...]
    missing: int

    def contrast(
        self, name: Message, weights: Mapping[Cell, float], question: Question
    ) -> CookContrast:
        """The contrast with these weights (cells that are not named weigh nothing)."""
        found = _over(self, weights, question)
        inner = found.interval(2.0 * question.alpha)
        return CookContrast(
            name=name,
            weights=tuple(weights.items()),
            estimate=found.estimate,
            se=found.se,
            df=found.df,
            t=found.t,
            p=found.p,
            low=found.low,
            high=found.high,
            inner_low=inner[0] if inner else None,
            inner_high=inner[1] if inner else None,
            **_against(found, question),
            others=found.others,
            cook_values=tuple((day.cook, day.difference) for day in found.cook_differences),
            null_hypothesis=msg("Over many cooks the mean of this is 0: {name}.", name=name),
            notes=found.notes,
        )

    def table(self, cells: Sequence[Cell]) -> Array:
        """Height of each of `cells` in each cook that carries all of them: (cooks, cells)."""
        own = [self.values({cell: 1.0}) for cell in cells]
        cooks = sorted(set.intersection(*(set(each) for each in own)))
        return np.array([[each[cook] for each in own] for cook in cooks]).reshape(-1, len(own))

    def values(self, weights: Mapping[Cell, float]) -> dict[str, float]:
        """The contrast's value in each cook that has one."""
        rows = _weighed(self.scores, weights)
        table = CookTable(_WEIGHED, _AGAINST, tuple(rows))
        return {day.cook: day.difference for day in table.cook_differences}


def read_cells(
    frame: frames.Frame,
    value: str,
    factors: Sequence[str],
    cook: str,
    unit: str | None = None,
    taster: str | None = None,
    *,
    numeric: Sequence[int] = (),
) -> CellScores:
    """One row per score; `factors` together name the cell. Rows alike in all are averaged.

    Factors at the places `numeric` are read as numbers. Raises `BadNumbers` for a missing column,
    text among numbers, a value without a name.
    """
    values = frames.numbers(frame, value)
    nobody = [NOBODY] * len(values)
    roles: list[tuple[str, object, list[str]]] = [
        (str(name), name, (frames.settings if place in numeric else frames.labels)(frame, name))
        for place, name in enumerate(factors)
    ]
    roles.append((str(cook), cook, frames.labels(frame, cook)))
    for name in (unit, taster):
        roles.append((str(name), name, nobody if name is None else frames.labels(frame, name)))
    codes: dict[Cell, str] = {}
    rows = []
    for number, (*cell, cook_day, piece, who) in frames.scored(values, roles):
        code = codes.setdefault(tuple(cell), str(len(codes)))
        rows.append((cook_day, code, piece, who, number))
    cells = {code: cell for cell, code in codes.items()}
    scores = tuple(replace(each, method=_joined(cells[each.method])) for each in unit_scores(rows))
    return CellScores(scores, tuple(sorted(codes)), len(values) - len(rows))


def _joined(cell: Cell) -> str:
    return "\x1f".join(cell)


def _over(cells: CellScores, weights: Mapping[Cell, float], question: Question) -> OverCooks:
    table = CookTable(_WEIGHED, _AGAINST, tuple(_weighed(cells.scores, weights)))
    # Rounding: a cell mean of n tasters has variance step^2 / (12 n); two methods have twice that.
    squares = math.fsum(weight**2 for weight in weights.values())
    step = question.step * math.sqrt(squares / 2.0) if question.step else None
    found = over_unit_scores(table, step, question.alpha)
    lost = {each.cook for each in cells.scores} - {day.cook for day in table.cook_differences}
    notes = tuple(note for note in found.notes if note not in table.dropped())
    if lost:
        notes = (_lost(sorted(lost)), *notes)
    if cells.missing:
        many = msg_n("{count} value is missing.", "{count} values are missing.", cells.missing)
        notes = (many, *notes)
    return replace(found, notes=notes)


def _lost(cooks: Sequence[str]) -> Message:
    return msg_n(
        "{count} cook lacks a cell of this and drops out: {cooks}.",
        "{count} cooks lack a cell of this and drop out: {cooks}.",
        len(cooks),
        cooks=", ".join(cooks),
    )


def _weighed(scores: Sequence[UnitScore], weights: Mapping[Cell, float]) -> list[UnitScore]:
    """Weighted sums of what speaks for and against, for each cook and taster with every cell."""
    wanted = {_joined(cell): weight for cell, weight in weights.items() if weight != 0.0}
    own: dict[tuple[str, str], dict[str, list[float]]] = defaultdict(lambda: defaultdict(list))
    for each in scores:
        if each.method in wanted:
            own[each.cook, each.taster][each.method].append(each.score)
    rows = []
    for (cook, taster), found in sorted(own.items()):
        if len(found) == len(wanted):
            means = {cell: mean(numbers) for cell, numbers in found.items()}
            for side, sign in ((_WEIGHED, 1.0), (_AGAINST, -1.0)):
                total = math.fsum(
                    sign * weight * means[cell]
                    for cell, weight in wanted.items()
                    if sign * weight > 0.0
                )
                rows.append(UnitScore(cook, side, "", taster, total))
    return rows


def _against(found: OverCooks, question: Question) -> dict[str, float | None]:
    names = ("equivalence_p", "at_least_as_good_p")
    if question.matters is None or not found.se or found.estimate is None or found.df is None:
        return dict.fromkeys(names)
    shifted = (found.estimate + question.matters) / found.se
    both = equivalence_p(found.estimate, found.se, found.df, question.matters)
    return dict(zip(names, (both, upper_tail(shifted, found.df)), strict=True))


@dataclass(frozen=True, slots=True)
class JointOverCooks:
    """Several contrasts judged together (Hotelling): F, df1, df2, p. Unpacks as those four."""

    F: float
    df1: int
    df2: int
    p: float
    null_hypothesis: Message

    def __iter__(self) -> object:
        return iter((self.F, self.df1, self.df2, self.p))


def joint_over_cooks(
    name: Message, values: Sequence[Mapping[str, float]]
) -> JointOverCooks | NotApplicable:
    """Are all contrasts 0 over many cooks? One value per cook of each (Hotelling 1931).

    Uses the cooks that have all of them; needs more cooks than contrasts. Source: Annals of
    Mathematical Statistics 2, 360.
    """
    cooks = sorted(set.intersection(*(set(own) for own in values))) if values else []
    table = np.array([[own[cook] for own in values] for cook in cooks]).reshape(
        len(cooks), len(values)
    )
    q, c = len(values), len(cooks)
    if c <= q:
        return NotApplicable(
            msg(
                "{cooks} cooks carry all of it; a joint test needs {needed}.", cooks=c, needed=q + 1
            )
        )
    spread = np.cov(table, rowvar=False).reshape(q, q)
    if np.linalg.matrix_rank(spread) < q:
        return NotApplicable(msg("Some of it is the same in every cook: no joint test."))
    middle = table.mean(axis=0)
    f = float(c * middle @ np.linalg.solve(spread, middle)) * (c - q) / (q * (c - 1))
    null = msg("Over many cooks all of this is 0: {name}.", name=name)
    return JointOverCooks(f, q, c - q, float(special.fdtrc(q, c - q, f)), null)

"""Three or more methods over cooks: each pair by itself, the claims read together."""

from __future__ import annotations

import itertools
from dataclasses import dataclass

from trialbench.model.message import Message, msg, msg_n
from trialbench.stats import frames
from trialbench.stats.cook_contrasts import CellScores, Question, read_cells
from trialbench.stats.families import holm
from trialbench.stats.not_applicable import NotApplicable
from trialbench.stats.numbers import BadNumbers, one_text
from trialbench.stats.over import OverCooks, over_unit_scores
from trialbench.stats.pairs import equivalence_p
from trialbench.stats.student import upper_tail
from trialbench.stats.taster_rows import CookTable


@dataclass(frozen=True, slots=True)
class PairOfMethods:
    """a - b of one pair. `low`, `high` hold for all pairs at once; `alone` is the pair by itself.

    `inner_low`, `inner_high`: at level 1 - 2 alpha for all pairs at once (equality).
    `equivalence_p` and `at_least_as_good_p` (a not lower by `matters`) are for this pair alone.
    """

    a: str
    b: str
    alone: OverCooks
    holm_p: float | None
    low: float | None
    high: float | None
    inner_low: float | None
    inner_high: float | None
    equivalence_p: float | None
    at_least_as_good_p: float | None


@dataclass(frozen=True, slots=True)
class SeveralMethods:
    """All pairs (or each against the `usual` one) of three or more methods."""

    methods: tuple[str, ...]
    pairs: tuple[PairOfMethods, ...]
    usual: str | None
    alpha: float
    matters: float | None
    null_hypothesis: Message
    notes: tuple[Message, ...]


def compare_methods(
    frame: frames.Frame,
    value: str,
    method: str,
    cook: str,
    unit: str | None = None,
    taster: str | None = None,
    *,
    step: float | None = None,
    matters: float | None = None,
    alpha: float = 0.05,
    usual: str | None = None,
) -> SeveralMethods | NotApplicable:
    """Each pair with its own cook differences as `over_cooks`; p by Holm, intervals by Bonferroni.

    Policy 1, section 6.7. A cook counts for the pairs it carries, a taster for the pairs that he
    or she scored, so that incomplete blocks need nothing special. No spread is pooled between
    pairs. `NotApplicable` with fewer than two methods. Raises `BadNumbers` (a ValueError).
    """
    question = Question(step=step, matters=matters, alpha=alpha)
    cells = read_cells(frame, value, [method], cook, unit, taster)
    methods = tuple(cell[0] for cell in cells.cells)
    there = ", ".join(methods) or "no method has a score"
    if usual is not None and one_text(usual, "usual", there) not in methods:
        raise BadNumbers(f"There is no method {usual!r}.", where="usual", allowed=there)
    chosen = [pair for pair in itertools.combinations(methods, 2) if usual is None or usual in pair]
    if not chosen:
        return NotApplicable(msg("Fewer than two methods have scores."))
    alone = [_alone(cells, a, b, question) for a, b in chosen]
    adjusted = holm([each.p for each in alone])
    claims = sum(each.p is not None for each in alone)
    return SeveralMethods(
        methods,
        tuple(_pair(each, p, claims, question) for each, p in zip(alone, adjusted, strict=True)),
        usual,
        question.alpha,
        question.matters,
        msg("Over many cooks no two methods differ."),
        _notes(cells, alone),
    )


def _alone(cells: CellScores, a: str, b: str, question: Question) -> OverCooks:
    own = tuple(each for each in cells.scores if each.method in (a, b))
    return over_unit_scores(CookTable(a, b, own), question.step, question.alpha)


def _pair(found: OverCooks, holm_p: float | None, claims: int, question: Question) -> PairOfMethods:
    share = question.alpha / max(1, claims)
    low, high = found.interval(share) or (None, None)
    inner_low, inner_high = found.interval(2.0 * share) or (None, None)
    equal = good = None
    if question.matters and found.se and found.df and found.estimate is not None:
        equal = equivalence_p(found.estimate, found.se, found.df, question.matters)
        good = upper_tail((found.estimate + question.matters) / found.se, found.df)
    return PairOfMethods(
        found.a, found.b, found, holm_p, low, high, inner_low, inner_high, equal, good
    )


def _notes(cells: CellScores, alone: list[OverCooks]) -> tuple[Message, ...]:
    notes = []
    if cells.missing:
        notes.append(
            msg_n("{count} value is missing.", "{count} values are missing.", cells.missing)
        )
    notes += [
        msg("{a} and {b} share fewer than two cooks: no interval.", a=each.a, b=each.b)
        for each in alone
        if each.counts.cooks < 2
    ]
    return tuple(notes)

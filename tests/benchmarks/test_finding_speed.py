"""A whole finding against a plain numpy loop over the same formulas, in one run.

Six cook days, two pieces a day (one of each method), eight tasters, five attributes: the deciding
outcome and four others, each with its interval, the interval for others like these tasters, its p
and the redraw test. The loop does that and no more; the finding also reads the table, counts what
is missing, judges, plans and words.
"""

from __future__ import annotations

import random
from statistics import median
from time import perf_counter

import pytest

from tests.stats.loops import over_cooks_loop, redraw_loop
from trialbench.findings.judging import judge_family
from trialbench.findings.question import AnalysisQuestion, Columns

COOKS, TASTERS, ATTRIBUTES = 6, 8, 5
MOST_TIMES = 3.0
"""Our own limit: a finding may cost at most three plain loops."""


def _scores(lot: int, pieces: int) -> dict:
    rng = random.Random(lot)
    return {
        (f"k{k}", m, f"p{u}", f"t{t}"): float(round(rng.gauss(5 + 0.4 * (m == "A"), 1.2)))
        for k in range(COOKS) for m in "AB" for u in range(pieces) for t in range(TASTERS)
    }  # fmt: skip


def _loop(trials: list[dict]) -> None:
    for scores in trials:
        over_cooks_loop(scores, 1.0)
        means: dict[tuple, list[float]] = {}
        for (cook, method, unit, _), score in scores.items():
            means.setdefault((cook, method, unit), []).append(score)
        redraw_loop({key: sum(own) / len(own) for key, own in means.items()})


def _table(scores: dict, number: int) -> tuple[dict, AnalysisQuestion]:
    names = ("cook", "method", "piece", "taster")
    columns = {name: [key[i] for key in scores] for i, name in enumerate(names)}
    question = AnalysisQuestion(
        columns=Columns("value", "method", cook="cook", piece="piece", taster="taster"),
        outcome=f"attribute {number}",
        matters=1.0,
        step=1.0,
    )
    return columns | {"value": list(scores.values())}, question


def _seconds(work, *given: object) -> float:
    start = perf_counter()
    work(*given)
    return perf_counter() - start


@pytest.mark.parametrize(("pieces", "called"), [(1, "one pair a day"), (2, "two of each a day")])
def test_a_finding_against_a_plain_loop(repeats, figure, pieces, called):
    trials = [_scores(lot, pieces) for lot in range(ATTRIBUTES)]
    tables = [_table(scores, n) for n, scores in enumerate(trials)]
    judge_family(tables[0], tables[1:])
    _loop(trials)
    ours = [_seconds(judge_family, tables[0], tables[1:]) for _ in range(repeats)]
    loop = [_seconds(_loop, trials) for _ in range(repeats)]
    ratio = median(ours) / median(loop)
    figure(f"finding against a plain numpy loop, {called}", ratio, "times", limit=MOST_TIMES)
    figure(f"finding, {called}", 1000 * median(ours), "ms")


def test_exact_sign_flips_of_45_pairs(repeats, figure):
    from trialbench.stats import paired

    rng = random.Random(45)
    numbers = [rng.gauss(0.3, 1) for _ in range(45)]
    paired(numbers[:8], [0.0] * 8)
    spent = [_seconds(paired, numbers, [0.0] * 45) for _ in range(repeats)]
    figure("45 pairs off any grid, all exact tests", median(spent), "s", limit=4.0)

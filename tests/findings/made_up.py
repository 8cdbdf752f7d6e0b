"""Findings made up for sentences: every case, scope, direction and kind, with plain numbers."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from trialbench.findings.finding import (
    Better,
    Case,
    Comparison,
    Counts,
    Finding,
    Procedure,
    Redraw,
    Scope,
    Who,
)
from trialbench.findings.phrases import Names

JUICY = Names(
    methods=(("A", "held dry"), ("B", "held in its own juices")),
    outcome="juiciness",
    more="juicier",
    less="less juicy",
    form="adjective",
    measure="points",
)
LOSS = Names(
    methods=(("A", "slow oven"), ("B", "hot oven")),
    outcome="loss",
    more="loses more",
    less="loses less",
    form="verb",
    measure="% of raw",
)
PLAIN = Names(outcome="liking", decimals=2)

_INTERVALS: dict[Case, tuple[float, float, float]] = {
    "better_enough": (-1.6, -2.3, -0.9),
    "better_size_open": (-1.2, -2.23, -0.2),
    "better_too_little": (-0.3, -0.5, -0.1),
    "no_difference_that_matters": (-0.1, -0.6, 0.4),
    "not_settled": (-0.6, -1.84, 0.64),
    "at_least_as_good": (-0.1, -0.9, 0.7),
    "not_shown": (0.6, -0.3, 1.5),
    "same_recipe": (-0.1, -0.6, 0.4),
}
WINNERS = ("better_enough", "better_size_open", "better_too_little")


def finding(case: Case, scope: Scope = "method", better: Better = "higher") -> Finding:
    """A finding of this case; the estimate a - b is below 0, so that B has the higher number."""
    estimate, low, high = _INTERVALS.get(case, (-1.0, -2.0, 0.1))
    cooks = 4 if scope == "method" else 1
    procedures: dict[Scope, Procedure] = {
        "method": "over_cooks",
        "batch": "tasters_of_these_pieces",
        "taster": "servings_of_one_taster",
    }
    who: dict[Scope, Who] = {"method": "these", "batch": "others_like_them", "taster": "one"}
    plain = Comparison(
        "A", "B", estimate=estimate, se=0.32, df=3, t=estimate / 0.32, p=0.03, low=low, high=high,
        inner_low=low * 0.8, inner_high=high * 0.8, half_width=(high - low) / 2, sd=0.64,
    )  # fmt: skip
    easier = "B" if case in ("at_least_as_good", "not_shown") else None
    winner = None if case not in WINNERS else "A" if better == "lower" else "B"
    return Finding(
        outcome="liking",
        scope=scope,
        tasters=who[scope],
        unit="piece",
        case=case,
        comparison=plain,
        counts=Counts(cooks=cooks, units=4 * cooks if scope == "method" else 2, pieces=16,
                      tasters=1 if scope == "taster" else 8, scores=128),
        favours=winner,
        matters=0.8,
        better=better,
        easier=easier,
        kind="at-least-as-good" if easier else "better",
        procedure=procedures[scope],
        redraw=Redraw(0.029, 2 / 70, 70, hits=2, cooks_needed=5) if scope == "method" else None,
        cooks_to_settle=8 if scope == "method" else None,
        cooks_to_pin_down=13 if scope == "method" else None,
        cooks_in=cooks,
    )  # fmt: skip


def every() -> Iterator[tuple[str, Finding, Names]]:
    """Each case in each scope, direction and form of words, and what is special besides."""
    for case in _INTERVALS:
        for scope in ("method", "batch", "taster"):
            yield f"{case}, {scope}, juicier", finding(case, scope), JUICY
        for better in ("higher", "lower", "neither"):
            yield f"{case}, method, {better}", finding(case, "method", better), PLAIN
        yield f"{case}, method, loss, less is better", finding(case, "method", "lower"), LOSS
        yield f"{case}, batch, loss, less is better", finding(case, "batch", "lower"), LOSS
    yield from _other_designs()
    yield from _besides()
    yield from _silent()


def _other_designs() -> Iterator[tuple[str, Finding, Names]]:
    enough = finding("better_enough")
    weighed = replace(enough, tasters=None, counts=replace(enough.counts, tasters=0))
    yield "two cooks", replace(enough, counts=replace(enough.counts, cooks=2)), JUICY
    yield "and probably others", replace(enough, tasters="others_like_them"), JUICY
    yield "one taster", replace(enough, tasters="one"), JUICY
    yield "weighed", weighed, LOSS
    yield "food first", enough, replace(JUICY, food="pork shoulder")
    several = replace(
        finding("better_enough", "batch"),
        procedure="pairs_of_one_cook",
        tasters="these",
        counts=Counts(1, 8, 8, 8, 64),
    )
    yield "several units in one cook", several, JUICY
    one_day = replace(
        finding("better_enough", "batch", "lower"),
        procedure="units_of_one_cook",
        tasters=None,
        counts=Counts(1, 8, 8, 0, 8),
    )
    yield "weighed in one cook", one_day, LOSS
    loads = replace(finding("better_enough", "batch"), unit="load", counts=Counts(1, 2, 8, 8, 64))
    yield "one load of each in one cook", loads, JUICY


def _besides() -> Iterator[tuple[str, Finding, Names]]:
    as_good, open_, shown = (
        finding(case) for case in ("at_least_as_good", "not_settled", "not_shown")
    )
    ahead = replace(as_good.comparison, estimate=0.3)
    against = Redraw(0.06, 2 / 252, 252, hits=15, may_speak=True, overruled=True)
    sampled = Redraw(0.2, 1e-5, 100_000, 7, enumerated=False, hits=19_999, may_speak=True)
    made = {
        "at least as good and better": replace(as_good, favours="B"),
        "at least as good, the other a little better": replace(
            as_good, favours="A", comparison=ahead
        ),
        "not shown, the other better": replace(shown, favours="A"),
        "more than 40": replace(open_, cooks_to_settle=None, more_than_40=True),
        "fewer than there were": replace(open_, cooks_to_settle=3),
        "no d": replace(open_, matters=None, cooks_to_settle=None),
        "redraw speaks against": replace(
            open_, redraw=against, comparison=finding("better_size_open").comparison
        ),
        "not settled, two cooks": replace(open_, counts=replace(open_.counts, cooks=2)),
        "redraw sampled": replace(open_, redraw=sampled),
        "redraw silent": replace(open_, redraw=Redraw(1.0, 1.0, 1, hits=1)),
    }
    for name, each in made.items():
        yield name, each, JUICY


def _silent() -> Iterator[tuple[str, Finding, Names]]:
    waiting = replace(finding("no_claim"), planned_cooks=5, cooks_in=3, redraw=None)
    one_each = replace(finding("no_claim", "batch"), procedure="none")
    made = {
        "3 of 5 cooks": waiting,
        "cooks added": replace(waiting, cooks_in=6),
        "one piece each": one_each,
        "one bite each": replace(finding("no_claim", "taster"), procedure="none"),
        "one load each": replace(one_each, unit="load", counts=Counts(1, 2, 8, 2, 16)),
        "too few pieces": replace(one_each, counts=Counts(1, 3, 3, 8, 24)),
        "nothing to compare": replace(one_each, comparison=Comparison("A", "B")),
    }
    for name, each in made.items():
        yield name, each, JUICY

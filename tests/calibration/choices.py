"""How often the claims about choices, looks and pools are false: their cells and rates.

`python -m tests.calibration.choice_table [FILE.md]` draws them all and writes the table.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np
from scipy import special, stats

from trialbench.stats import choice, looking
from trialbench.stats.bounded_mean import share_mean_at_most
from trialbench.stats.choice_forms import FORMS
from trialbench.stats.pooling import pooled_once
from trialbench.stats.student import quantile

ALPHA = 0.05
LOWER_LIMIT = 0.001


@dataclass(frozen=True)
class Claim:
    """One claim in one setting: how often it was false, out of `trials` (None: reckoned exactly).

    `nominal`: the highest rate allowed; None where the rate is only reported, with the reason.
    """

    claim: str
    setting: str
    rate: float
    trials: int | None
    nominal: float | None
    reason: str = ""

    @property
    def over(self) -> bool:
        """Whether the rate is shown to exceed what is nominal (99.9 % lower limit)."""
        if self.nominal is None or self.rate <= self.nominal:
            return False
        if self.trials is None:
            return self.rate > self.nominal + 1e-12
        hits = round(self.rate * self.trials)
        return stats.beta.ppf(LOWER_LIMIT, hits, self.trials - hits + 1) > self.nominal


# Choices of one day: exact, by going through all counts.


def one_day(sizes: tuple[int, ...] = (6, 12, 24, 48)) -> Iterator[Claim]:
    """False "can tell" and "alike", and how often the likelihood limits of d' miss."""
    for form, of in itertools.product(FORMS, sizes):
        kind = FORMS[form]
        judged = [choice.judge(x, of, form, alike_below=0.3) for x in range(of + 1)]
        p = np.array([each.p for each in judged])
        alike = np.array([each.alike_p for each in judged])
        guessing = stats.binom.pmf(np.arange(of + 1), of, kind.guess)
        third = stats.binom.pmf(np.arange(of + 1), of, kind.right_if(0.3))
        name = f"{form}, {of} tasters"
        yield Claim("can tell, nobody can", name, float(guessing[p <= ALPHA].sum()), None, ALPHA)
        yield Claim("alike, 30 % can tell", name, float(third[alike <= ALPHA].sum()), None, ALPHA)
        worst = max(_missed(judged, of, form, d) for d in np.arange(0.25, 4.01, 0.25))
        yield Claim(
            "d' outside its likelihood limits, worst d'", name, worst, None, None,
            "a likelihood interval is not exact for counts",
        )  # fmt: skip


def _missed(judged: list[choice.ChoiceResult], of: int, form: str, d_prime: float) -> float:
    chances = stats.binom.pmf(np.arange(of + 1), of, FORMS[form].share_right(d_prime))
    low = np.array([each.d_prime_low or 0.0 for each in judged])
    high = np.array([math.inf if e.d_prime_high is None else e.d_prime_high for e in judged])
    return float(chances[(low > d_prime) | (high < d_prime)].sum())


# Choices over cook days.


def _days(lot: np.random.Generator, trials: int, cell: dict) -> tuple[np.ndarray, float]:
    """Net shares by day (trials, cooks) and their true mean."""
    shape = (trials, cell["cooks"])
    size, middle = cell["day"], cell["middle"]
    shift = middle * math.sqrt(1 + size**2)
    day = size * lot.normal(size=shape)
    # Tasters with lasting tastes of their own, in pairs that cancel.
    own = cell["taster"] * np.tile([1.0, -1.0], cell["tasters"] // 2)
    chance = special.ndtr(shift + day[..., None] + own)
    true = special.ndtr((shift + own) / math.sqrt(1 + size**2)).mean()
    return 2 * (lot.random(chance.shape) < chance).mean(axis=2) - 1, float(2 * true - 1)


def flips_p(days: np.ndarray) -> np.ndarray:
    """Exact sign-flip p of many trials at once (trials, cooks)."""
    signs = np.array(list(itertools.product((-1, 1), repeat=days.shape[1])))
    sums, seen = np.abs(days @ signs.T), np.abs(days.sum(axis=1))
    return (sums >= seen[:, None] - 1e-9).mean(axis=1)


def outside_limits(days: np.ndarray, true: float, alpha: float = ALPHA) -> np.ndarray:
    """Whether the true mean lies outside the limits that assume nothing (trials)."""
    shape = np.sort(days, axis=1)
    kinds, place = np.unique(shape.round(12), axis=0, return_inverse=True)
    found = np.array([
        min(share_mean_at_most([-1.0, *own], true), share_mean_at_most([-1.0, *(-own)], -true))
        for own in kinds
    ])  # fmt: skip
    return (found <= alpha / 2)[place.ravel()]


def day_cells(
    cooks=(2, 3, 4, 5, 6, 7, 8, 10), tasters=(4, 6, 12), sizes=(0.0, 0.3, 0.7, 1.5, 20.0),
    own=(0.0, 0.7), middles=(0.0, 0.5, 1.0),
) -> Iterator[dict]:  # fmt: skip
    """Cook days, tasters, scatter of days (20: every day falls one way), lasting tastes, gap."""
    for c, t, size, o, middle in itertools.product(cooks, tasters, sizes, own, middles):
        yield {"cooks": c, "tasters": t, "day": size, "taster": o, "middle": middle}


def over_days(lot_number: int, trials: int, cells: Iterator[dict] | None = None) -> Iterator[Claim]:
    """False winners by sign-flips and by t over shares; misses of the limits at any true share."""
    worst: dict[tuple[str, int], Claim] = {}
    for place, cell in enumerate(cells or day_cells()):
        lot = np.random.default_rng([lot_number, place])
        days, true = _days(lot, trials, cell)
        name = ", ".join(f"{key} {value:g}" for key, value in cell.items())
        found = {"size: true share outside the limits": outside_limits(days, true).mean()}
        if cell["middle"] == 0.0:
            found["winner over days, methods alike"] = (flips_p(days) <= ALPHA).mean()
            spread = days.std(axis=1, ddof=1) / math.sqrt(cell["cooks"])
            reach = quantile(ALPHA / 2, cell["cooks"] - 1) * spread
            found["(t over shares, for comparison)"] = (
                np.abs(days.mean(axis=1)) > reach + 1e-9
            ).mean()
        for claim, rate in found.items():
            free = claim.startswith("(")
            told = Claim(claim, name, float(rate), trials, None if free else ALPHA,
                         "why it is not used" if free else "")  # fmt: skip
            key = claim, cell["cooks"]
            if key not in worst or told.rate > worst[key].rate:
                worst[key] = told
    yield from worst.values()


# Looking after every cook.


def ever_wrong(lot_number: int, trials: int, planned=(3, 4, 5, 6, 8), looks=20) -> Iterator[Claim]:
    """Whether the interval that holds at every look ever misses, and the t interval at each."""
    for kind, plan in itertools.product(("normal", "rounded to whole points", "skewed"), planned):
        lot = np.random.default_rng([lot_number, plan])
        days = _differences(lot, (trials, looks), kind)
        g = looking.effect_variance(plan)
        ever, naive = np.zeros(trials, dtype=bool), np.zeros(trials, dtype=bool)
        floor = 1 / 6 / 6 if kind.startswith("rounded") else 0.0
        for n in range(2, looks + 1):
            se = np.sqrt(np.maximum(days[:, :n].var(axis=1, ddof=1), floor) / n)
            away = np.abs(days[:, :n].mean(axis=1))
            reach = looking.multiplier(n, g, ALPHA)
            if reach is not None:
                ever |= away > reach * se
            naive |= away > quantile(ALPHA / 2, n - 1) * se
        name = f"{kind}, {plan} planned, {looks} looks"
        skewed = kind == "skewed"
        reason = "differences are skewed" if skewed else ""
        yield Claim("ever outside the interval for looking", name, float(ever.mean()), trials,
                    None if skewed else ALPHA, reason)  # fmt: skip
        yield Claim("(ever outside the t interval)", name, float(naive.mean()), trials, None,
                    "why it is not used")  # fmt: skip


def _differences(lot: np.random.Generator, shape: tuple[int, int], kind: str) -> np.ndarray:
    if kind == "skewed":
        return lot.exponential(size=shape) - 1
    if kind == "normal":
        return lot.normal(size=shape)
    # Means of six tasters' differences of whole points.
    scores = lot.normal(0, 0.8, (*shape, 6, 2)) + lot.normal(0, 0.3, (*shape, 1, 1))
    return np.subtract(*np.moveaxis(np.round(scores), -1, 0)).mean(axis=-1)


# Pooling.


def pooled_days(lot_number: int, trials: int) -> Iterator[Claim]:
    """One stage: misses for these trials and for others like them."""
    layouts = {"2 x 4": [4, 4], "3 x 3": [3] * 3, "5 x 4": [4] * 5, "2, 4, 8": [2, 4, 8]}
    for (name, sizes), between in itertools.product(layouts.items(), (0.0, 0.5, 2.0)):
        lot = np.random.default_rng([lot_number, len(sizes), int(10 * between)])
        own = between * lot.normal(size=(trials, len(sizes)))
        means, within = own.copy(), np.zeros(trials)
        for place, n in enumerate(sizes):
            days = own[:, [place]] + lot.normal(size=(trials, n))
            means[:, place] = days.mean(axis=1)
            within += days.var(axis=1, ddof=1) * (n - 1)
        estimate, wide, others = pooled_at_once(means, within, np.array(sizes))
        true = own @ np.array(sizes) / sum(sizes)
        setting = f"{name} cook days, between {between:g}"
        unequal = len(set(sizes)) > 1 and between > 0
        yield Claim("one stage, these trials", setting,
                    float((np.abs(estimate - true) > wide).mean()), trials, ALPHA)  # fmt: skip
        reason = "trials of unequal length weigh unequally" if unequal else ""
        yield Claim("one stage, others like them", setting,
                    float((np.abs(estimate) > others).mean()), trials,
                    None if unequal else ALPHA, reason)  # fmt: skip


def pooled_at_once(
    means: np.ndarray, within: np.ndarray, sizes: np.ndarray
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """`pool_differences` of many draws: estimate, half-widths for these trials and for others."""
    n, k = int(sizes.sum()), len(sizes)
    weights = sizes / n
    estimate = means @ weights
    wide = quantile(ALPHA / 2, n - k) * np.sqrt(within / (n - k) / n)
    away = ((weights * (means - estimate[:, None])) ** 2).sum(axis=1)
    trials = quantile(ALPHA / 2, k - 1) * np.sqrt(away / (1 - (weights**2).sum()))
    return estimate, wide, np.maximum(wide, trials)


def pooled_effects(lot_number: int, trials: int) -> Iterator[Claim]:
    """Effects with errors: misses of the held small-sample interval, of the normal one beside."""
    for k, between in itertools.product((2, 3, 5, 8), (0.0, 0.5, 2.0)):
        lot = np.random.default_rng([lot_number, k, int(10 * between)])
        wrong = np.zeros(2)
        for _ in range(trials):
            ses = lot.uniform(0.5, 1.5, k)
            effects = between * lot.normal(size=k) + ses * lot.normal(size=k)
            for which, small in enumerate((True, False)):
                found = pooled_once(effects, ses**2, "restricted-likelihood", small, ALPHA)
                wrong[which] += not found.low <= 0 <= found.high
        setting = f"{k} trials, between {between:g}"
        # Weights are estimated: a little above nominal is the method's known price.
        yield Claim("pooled effect, small sample", setting, wrong[0] / trials, trials,
                    ALPHA + 0.02)  # fmt: skip
        yield Claim("(pooled effect, normal)", setting, wrong[1] / trials, trials, None,
                    "why it is not the default")  # fmt: skip


# Replicated answers.


def replicated(lot_number: int, trials: int) -> Iterator[Claim]:
    """Tasters who answered several times: false "tasters differ", misses of the share's limits."""
    for tasters, of, spread in ((8, 6, 0.0), (8, 6, 0.4), (16, 4, 0.0), (16, 4, 0.4)):
        lot = np.random.default_rng([lot_number, tasters, int(10 * spread)])
        wrong = np.zeros(2)
        for _ in range(trials):
            share = 0.4
            chance = np.full(tasters, share)
            if spread:
                size = (1 - spread) / spread
                chance = lot.beta(share * size, (1 - share) * size, tasters)
            right = lot.binomial(of, 1 / 3 + 2 / 3 * chance)
            found = choice.replicated(right.tolist(), of)
            wrong += [found.alike_p <= ALPHA, not found.share_low <= share <= found.share_high]
        setting = f"{tasters} tasters, {of} answers, spread {spread:g}"
        if spread == 0:
            yield Claim("tasters differ, all alike", setting, wrong[0] / trials, trials, ALPHA)
        yield Claim("share outside its likelihood limits", setting, wrong[1] / trials, trials, None,
                    "a likelihood interval is not exact for few tasters")  # fmt: skip


FAMILIES: dict[str, Callable[[int, int], Iterator[Claim]]] = {
    "Choices over cook days": over_days,
    "Looking after every cook": ever_wrong,
    "All cook days of trials that asked the same": pooled_days,
    "Pooled effects": pooled_effects,
    "Replicated choices": replicated,
}

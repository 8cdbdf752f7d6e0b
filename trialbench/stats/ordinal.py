"""Ordered answers (a 9-point liking, a 1-5 intensity) by a cumulative logit or probit model.

>>> from trialbench.stats import ordinal
>>> fit = ordinal.fit(wine, "rating ~ temp + contact", random="judge")
>>> fit.coefficient("temp[T.warm]").estimate
3.06...
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from scipy import special

from trialbench.model.message import Message, msg
from trialbench.stats import frames
from trialbench.stats.blas_threads import one_thread
from trialbench.stats.not_applicable import NotApplicable
from trialbench.stats.numbers import one_of
from trialbench.stats.ordinal_design import OrdinalDesign, read_ordinal
from trialbench.stats.ordinal_likelihood import (
    Answers,
    Floats,
    gradient,
    hessian,
    log_likelihood,
)
from trialbench.stats.pairs import check_alpha

LINKS = ("logit", "probit")
NULL_HYPOTHESIS = msg("The true coefficient is 0: this term moves no answer up or down.")
_FLAT = 1e-9
_SMALL = -3.5
"""Log of a spread of tasters below which a falling likelihood falls on to 0."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Coefficient:
    """A term on the latent scale (above 0: higher answers), with normal interval and p."""

    term: str
    estimate: float
    se: float
    z: float
    p: float
    low: float
    high: float
    null_hypothesis: Message = NULL_HYPOTHESIS


@dataclass(frozen=True, slots=True, kw_only=True)
class OrdinalFit:
    """A cumulative model: P(answer <= j) = F(threshold_j - x beta - taster).

    `thresholds` named "1|2" with their standard errors, `coefficients` on the latent scale.
    `taster_sd` (None without a random taster; 0 where the likelihood is highest there) with
    likelihood-ratio p against 0, halved for the bound. `highest_slope`: largest derivative left.
    """

    link: str
    categories: tuple[str, ...]
    answers: int
    tasters: int | None
    coefficients: tuple[Coefficient, ...]
    thresholds: tuple[Coefficient, ...]
    taster_sd: float | None
    taster_sd_se: float | None
    taster_p: float | None
    log_likelihood: float
    aic: float
    highest_slope: float
    alpha: float
    null_hypothesis: Message
    notes: tuple[Message, ...]

    def coefficient(self, term: str) -> Coefficient:
        """The coefficient of this term. Raises `BadNumbers` naming those there are."""
        one_of(term, "term", tuple(each.term for each in self.coefficients) or ("none",))
        return next(each for each in self.coefficients if each.term == term)


def fit(
    frame: frames.Frame,
    fixed: str,
    random: str | None = None,
    link: str = "logit",
    *,
    alpha: float = 0.05,
) -> OrdinalFit | NotApplicable:
    """Fit ordered answers by maximum likelihood.

    `frame`: one row an answer; `fixed`: a formula "answer ~ method"; `random`: the column of
    tasters, each with a normal shift of their own (adaptive quadrature, 31 points). Categories are
    those that occur, 100 at most, in order of their numbers. McCullagh 1980, J. Royal Statistical
    Society B 42, 109. Rows with a missing value are left out. Raises `BadNumbers` for unknown
    columns and links; `NotApplicable` for one category only, and where an estimate would be
    infinite.
    """
    alpha, link = check_alpha(alpha), one_of(link, "link", LINKS)
    read = read_ordinal(frame, fixed, random)
    if isinstance(read, NotApplicable):
        return read
    with one_thread(), np.errstate(over="ignore", under="ignore"):
        return _fit(read, link, alpha)


def _fit(read: OrdinalDesign, link: str, alpha: float) -> OrdinalFit | NotApplicable:
    flat = Answers(read.category, read.scaled, len(read.categories), link)
    found = _climb(flat, _start(flat))
    if found is None or _runs_away(flat, found):
        return NotApplicable(msg("A method or term sorts the answers fully: no finite estimate."))
    if read.taster is None:
        return _result(read, flat, found, None, alpha)
    deep = Answers(read.category, read.scaled, len(read.categories), link, read.taster)
    without = log_likelihood(flat, found)
    best = _with_taster(deep, found)
    if best is None or log_likelihood(deep, best) <= without + 1e-9:
        return _result(read, flat, found, (0.0, 1.0), alpha)
    if _runs_away(deep, best):
        return NotApplicable(msg("A method or term sorts the answers fully: no finite estimate."))
    ratio = 2 * (log_likelihood(deep, best) - without)
    return _result(
        read, deep, best, (math.exp(best[-1]), float(special.chdtrc(1, ratio)) / 2), alpha
    )


def _start(answers: Answers) -> Floats:
    shares = np.cumsum(np.bincount(answers.category, minlength=answers.categories))[:-1]
    level = (shares + 0.25) / (len(answers.category) + 0.5)
    edge = special.logit(level) if answers.link == "logit" else special.ndtri(level)
    return np.concatenate((edge, np.zeros(answers.design.shape[1])))


def _with_taster(deep: Answers, found: Floats) -> Floats | None:
    """The top above that without tasters, from a middling, then a small spread of them."""
    least = np.append(found, _SMALL - 1)
    without = log_likelihood(deep, np.append(found, -20.0))
    rises = gradient(deep, least)[-1] > 0
    for sd in (0.7, 0.2, 0.05) if rises else (0.7,):
        stretched = found * math.sqrt(1 + sd * sd * (0.35 if deep.link == "logit" else 1.0))
        top = _climb(deep, np.append(stretched, math.log(sd)))
        if top is not None and log_likelihood(deep, top) > without + 1e-9:
            return top
    return None


def _climb(answers: Answers, at: Floats) -> Floats | None:
    """Newton's steps, halved until they rise; None where no top is found."""
    here = log_likelihood(answers, at)
    for _ in range(200):
        slope = gradient(answers, at)
        curve = -hessian(answers, at, slope)
        step = _uphill(slope, curve)
        size = 1.0
        while size > 1e-10:
            moved = at + size * step
            there = log_likelihood(answers, moved)
            if there >= here - 1e-12 * abs(here):
                break
            size /= 2
        else:
            return at if np.abs(slope).max() < 1e-5 else None
        gain, at, here = there - here, moved, there
        if answers.taster is not None and at[-1] < _SMALL and slope[-1] < 0:
            return None
        if np.abs(size * step).max() < _FLAT and gain < 1e-10:
            return at
        if np.abs(at).max() > 60:
            return at
    return None


def _uphill(slope: Floats, curve: Floats) -> Floats:
    """Newton's step, with curvature made positive where it is not."""
    values, vectors = np.linalg.eigh(curve)
    bent = np.maximum(np.abs(values), 1e-8 * max(1.0, float(np.abs(values).max())))
    step: Floats = np.asarray(vectors @ ((vectors.T @ slope) / bent))
    longest = float(np.abs(step).max())
    return step if longest <= 3 else step * (3 / longest)


def _runs_away(answers: Answers, at: Floats) -> bool:
    """Estimates so far out, on a likelihood so flat, that they would go on for ever."""
    values = np.linalg.eigvalsh(-hessian(answers, at))
    return bool((np.abs(at).max() > 15 and values[0] < 1e-4) or values[0] <= 1e-9)


def _result(
    read: OrdinalDesign, answers: Answers, at: Floats, taster: tuple[float, float] | None,
    alpha: float,
) -> OrdinalFit:  # fmt: skip
    back = read.back(len(at))
    spread = (back @ np.linalg.inv(-hessian(answers, at)) @ back.T).diagonal()
    errors = np.sqrt(np.maximum(spread, 0.0))
    own = back @ at
    m, p = answers.thresholds, len(read.terms)
    names = [f"{one}|{two}" for one, two in zip(read.categories, read.categories[1:], strict=False)]
    z = -float(special.ndtri(alpha / 2))
    rows = [_row(n, float(e), float(s), z) for n, e, s in zip([*names, *read.terms], own, errors,
                                                              strict=False)]  # fmt: skip
    top = log_likelihood(answers, at)
    inside = answers.taster is not None
    sd = taster[0] if taster else None
    return OrdinalFit(
        link=answers.link, categories=read.categories, answers=len(read.category),
        tasters=read.tasters, coefficients=tuple(rows[m:]), thresholds=tuple(rows[:m]),
        taster_sd=sd, taster_sd_se=float(errors[-1]) * sd if inside and sd else None,
        taster_p=taster[1] if taster else None, log_likelihood=top,
        aic=2 * (m + p + (taster is not None)) - 2 * top,
        highest_slope=float(np.abs(gradient(answers, at)).max()), alpha=alpha,
        null_hypothesis=NULL_HYPOTHESIS, notes=(*read.notes, *_notes(taster)),
    )  # fmt: skip


def _row(term: str, estimate: float, se: float, z: float) -> Coefficient:
    ratio = estimate / se
    return Coefficient(
        term=term, estimate=estimate, se=se, z=ratio, p=float(2 * special.ndtr(-abs(ratio))),
        low=estimate - z * se, high=estimate + z * se,
    )  # fmt: skip


def _notes(taster: tuple[float, float] | None) -> tuple[Message, ...]:
    notes = [msg("One row an answer speaks of these pieces. Over cook days use one number a day.")]
    if taster is not None and taster[0] == 0.0:
        notes.append(msg("Tasters differ no more than their answers scatter: their spread is 0."))
    return tuple(notes)

"""Three and four methods, a factorial and the mixed model: rates of what is not one difference.

The mixed model is a second opinion (policy 6.4): its rates are published, not bounded.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
import pandas as pd
from scipy import special

from tests.calibration.rates import ALPHA, CHUNK, Rates
from trialbench.stats.blas_threads import one_thread
from trialbench.stats.mixed_contrasts import marginal_means
from trialbench.stats.mixed_design import Design, read_design
from trialbench.stats.mixed_fit import fit_core
from trialbench.stats.mixed_small_sample import small_sample
from trialbench.stats.simultaneous import tukey_p


@dataclass(frozen=True)
class Family:
    """Several claims read together: `methods` that differ in how they vary from cook to cook."""

    kind: str
    cooks: int
    sds: tuple[float, ...]
    shift: float = 0.0

    @property
    def columns(self) -> dict[str, object]:
        spread = " ".join(f"{sd:g}" for sd in self.sds)
        return {"family": self.kind, "cooks": self.cooks, "methods": len(self.sds), "sd": spread,
                "one method off by": self.shift}  # fmt: skip


def families(cooks=(2, 3, 4, 5, 6, 8)) -> Iterator[Family]:
    spreads = [(1.0,) * 3, (1.0,) * 4, (0.3, 1.0, 3.0), (0.3, 0.3, 0.3, 3.0)]
    for c, sds, shift in itertools.product(cooks, spreads, (0.0, 5.0)):
        yield Family("each pair, Holm", c, sds, shift)
    for c, sds in itertools.product(cooks, [(1.0,) * 4, (0.3, 0.3, 1.0, 3.0)]):
        yield Family("two by two", c, sds)


def family_rates(family: Family, lot_number: int, trials: int) -> Rates:
    """False winners of a family (any true null rejected) and of each kind of contrast."""
    lot = np.random.default_rng(lot_number)
    measure = _pairs if family.kind.startswith("each pair") else _factorial
    starts = range(0, trials, CHUNK)
    return Rates.summed(measure(family, lot, min(CHUNK, trials - start)) for start in starts)


def _drawn(family: Family, lot: np.random.Generator, trials: int) -> np.ndarray:
    values = lot.standard_normal((trials, family.cooks, len(family.sds))) * family.sds
    return values + 2.0 * lot.standard_normal((trials, family.cooks, 1))


def _p(contrasts: np.ndarray) -> np.ndarray:
    """Two-sided p of t over cooks: (trials, cooks, claims) to (trials, claims)."""
    c = contrasts.shape[1]
    t = contrasts.mean(axis=1) / (contrasts.std(axis=1, ddof=1) / np.sqrt(c))
    return 2.0 * special.stdtr(c - 1, -np.abs(t))


def _pairs(family: Family, lot: np.random.Generator, trials: int) -> dict[str, np.ndarray]:
    values = _drawn(family, lot, trials)
    values[:, :, 0] += family.shift
    pairs = list(itertools.combinations(range(len(family.sds)), 2))
    p = _p(np.stack([values[:, :, i] - values[:, :, j] for i, j in pairs], axis=2))
    null = np.array([not family.shift or i != 0 for i, _ in pairs])
    return {"false winner": (_holm(p) <= ALPHA)[:, null].any(axis=1)}


def _holm(p: np.ndarray) -> np.ndarray:
    order = np.argsort(p, axis=1)
    m = p.shape[1]
    stepped = np.maximum.accumulate(np.take_along_axis(p, order, 1) * (m - np.arange(m)), axis=1)
    adjusted = np.empty_like(p)
    np.put_along_axis(adjusted, order, stepped, axis=1)
    return adjusted


def _factorial(family: Family, lot: np.random.Generator, trials: int) -> dict[str, np.ndarray]:
    a, b, c, d = np.moveaxis(_drawn(family, lot, trials), 2, 0)
    main = _p(np.stack([(a + b - c - d) / 2, (a + c - b - d) / 2], axis=2))
    crossed = _p((a - b - c + d)[:, :, None])
    simple = _p(np.stack([a - b, c - d, a - c, b - d], axis=2))
    return {
        "false winner": main[:, 0] <= ALPHA,
        "false winner, main effects by Holm": (_holm(main) <= ALPHA).any(axis=1),
        "false winner, interaction": crossed[:, 0] <= ALPHA,
        "false winner, simple effects by Holm": (_holm(simple) <= ALPHA).any(axis=1),
    }


@dataclass(frozen=True)
class ModelCell:
    """One row per cook, taster and method; standard deviations as the direct rules' cells."""

    cooks: int
    tasters: int
    methods: int
    random: tuple[str, ...]
    cook_method: float
    taster_method: float

    @property
    def columns(self) -> dict[str, object]:
        return {"cooks": self.cooks, "tasters": self.tasters, "methods": self.methods,
                "random": ", ".join(self.random), "cook_method": self.cook_method,
                "taster_method": self.taster_method}  # fmt: skip


WHOLE = ("taster", "cook", "cook:method", "taster:method")
WITHOUT = ("taster", "cook")


def model_cells() -> Iterator[ModelCell]:
    for c in (2, 3, 5, 8):
        for random in (WHOLE, WITHOUT):
            yield ModelCell(c, 6, 2, random, 0.5, 0.3)
    for c in (3, 5):
        yield ModelCell(c, 6, 2, WHOLE, 0.0, 0.0)
        yield ModelCell(c, 6, 3, WHOLE, 0.5, 0.3)


def model_rates(cell: ModelCell, lot_number: int, trials: int) -> Rates:
    """False winners by Kenward-Roger and Satterthwaite (all pairs by Tukey-Kramer from three)."""
    lot = np.random.default_rng(lot_number)
    frame = pd.DataFrame(
        list(itertools.product(range(cell.cooks), range(cell.tasters), "ABCD"[: cell.methods])),
        columns=["cook", "taster", "method"],
    ).assign(score=lot.standard_normal(cell.cooks * cell.tasters * cell.methods))
    design = read_design(frame, "score ~ method", cell.random)
    _, rows = marginal_means(design, "method")
    pairs = [rows[i] - rows[j] for i, j in itertools.combinations(range(cell.methods), 2)]
    hits: dict[str, list[bool]] = {"Kenward-Roger": [], "Satterthwaite": []}
    with one_thread():
        for _ in range(trials):
            drawn = replace(design, y=_scores(cell, frame, lot))
            for name, found in _claims(drawn, pairs, cell.methods).items():
                hits[name].append(found)
    return Rates.summed([{f"false winner, {name}": np.array(own) for name, own in hits.items()}])


def _scores(cell: ModelCell, frame: pd.DataFrame, lot: np.random.Generator) -> np.ndarray:
    day = 0.4 * lot.standard_normal(cell.cooks)
    who = 0.6 * lot.standard_normal(cell.tasters)
    turns = cell.cook_method * lot.standard_normal((cell.cooks, cell.methods))
    tastes = cell.taster_method * lot.standard_normal((cell.tasters, cell.methods))
    k, t = frame["cook"].to_numpy(), frame["taster"].to_numpy()
    m = frame["method"].map({name: i for i, name in enumerate("ABCD")}).to_numpy()
    return day[k] + who[t] + turns[k, m] + tastes[t, m] + lot.standard_normal(len(frame))


def _claims(design: Design, pairs: Sequence[np.ndarray], methods: int) -> dict[str, bool]:
    core = fit_core(design)
    inverse = np.linalg.inv(design.fixed.triangle)
    beta = design.fixed.orthonormal.T @ design.y + core.at.beta
    found = {}
    for name in ("Kenward-Roger", "Satterthwaite"):
        sample = small_sample(core.data, core.at, name.lower())
        lowest = 1.0
        for row in pairs:
            own = row @ inverse
            t = own @ beta / np.sqrt(own @ sample.covariance @ own * core.s2)
            lowest = min(lowest, tukey_p(float(t), methods, sample.one_df(own)))
        found[name] = lowest <= ALPHA
    return found

"""Exact tests against scipy's permutation tests and, where R is, against R, in one run."""

from __future__ import annotations

import json
import shutil
import subprocess
import warnings
from statistics import median
from time import perf_counter

import numpy as np
import pytest

from tests.stats.reference_models import HERE
from trialbench.stats import boxes, ranks
from trialbench.stats.block_sums import weighted_sum
from trialbench.stats.sign_flip import flip_p
from trialbench.stats.signed_ranks import signed_rank_p

RESAMPLES = 9_999
"""scipy's own default where going through all orders is out of its reach."""


def _tables() -> dict[str, np.ndarray]:
    lot = np.random.default_rng(11)
    return {
        "friedman": lot.integers(1, 10, (12, 4)).astype(float),
        "page": lot.permuted(np.tile(np.arange(1.0, 6), (12, 1)), axis=1),
        "cochran": lot.integers(0, 2, (12, 4)).astype(float),
        "pairs": np.round(lot.normal(0.4, 1, 16), 1),
    }


def _milliseconds(work, repeats: int) -> float:
    work()
    times = []
    for _ in range(repeats):
        start = perf_counter()
        work()
        times.append(perf_counter() - start)
    return median(times) * 1e3


def _within(table: np.ndarray, statistic):
    """scipy: numbers put in any order within each row."""
    from scipy.stats import permutation_test

    def work():
        return permutation_test(
            tuple(table.T), statistic, permutation_type="samples", n_resamples=RESAMPLES,
            alternative="greater", vectorized=True, rng=np.random.default_rng(1),
        )  # fmt: skip

    return work


def _rank_spread(*columns, axis=-1):
    stacked = np.stack(columns, axis=-1)
    from scipy.stats import rankdata

    return (rankdata(stacked, axis=-1).sum(axis=-2) ** 2).sum(axis=-1)


def _spread(*columns, axis=-1):
    return (np.stack(columns, axis=-1).sum(axis=-2) ** 2).sum(axis=-1)


def _scipy_page(table):
    from scipy.stats import _page_trend_test, page_trend_test

    def work():
        # It keeps every distribution it has reckoned; without that this would time a look-up.
        vars(_page_trend_test._pagel_state).clear()
        return page_trend_test(table, method="exact")

    return work


def _scipy_signed_rank(values):
    from scipy.stats import wilcoxon

    def work():
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            return wilcoxon(values, method="exact")

    return work


def _scipy_flips(values):
    from scipy.stats import permutation_test

    return lambda: permutation_test(
        (values,), lambda x, axis: x.sum(axis=axis), permutation_type="samples",
        n_resamples=2**16 + 1, vectorized=True,
    )  # fmt: skip


def _works():
    tables = _tables()
    pairs = tables["pairs"]
    steps = [round(10 * value) for value in pairs]
    return {
        "Friedman, 12 tasters, 4 methods": (
            lambda: ranks.friedman(tables["friedman"]), _within(tables["friedman"], _rank_spread),
        ),
        "Page, 12 tasters, 5 methods": (
            lambda: (weighted_sum.cache_clear(), ranks.page(tables["page"])),
            _scipy_page(tables["page"]),
        ),
        "Cochran's Q, 12 tasters, 4 methods": (
            lambda: boxes.cochran_q(tables["cochran"]), _within(tables["cochran"], _spread),
        ),
        "signed ranks, 16 pairs": (
            lambda: signed_rank_p(list(pairs)), _scipy_signed_rank(pairs),
        ),
        "sign-flips, 16 pairs": (lambda: flip_p(list(pairs), steps), _scipy_flips(pairs)),
    }  # fmt: skip


LIMITS = {
    "Friedman, 12 tasters, 4 methods": 0.2, "Page, 12 tasters, 5 methods": 1.0,
    "Cochran's Q, 12 tasters, 4 methods": 0.2, "signed ranks, 16 pairs": 1.0,
    "sign-flips, 16 pairs": 0.05,
}  # fmt: skip


@pytest.mark.parametrize("name", LIMITS)
def test_exact_tests_against_scipy(repeats, figure, name):
    ours, theirs = _works()[name]
    own = _milliseconds(ours, repeats)
    figure(f"{name}: exact", own, "ms")
    if repeats > 1:
        figure(f"{name}: against scipy", own / _milliseconds(theirs, 3), "times",
               limit=LIMITS[name])  # fmt: skip


def test_exact_tests_against_r(repeats, figure):
    """coin's exact signed ranks and base R's Friedman by sampled orders (9,999), as R has them."""
    values = _tables()
    steps = [round(10 * value) for value in values["pairs"]]
    own = {
        "signed_rank": _milliseconds(lambda: signed_rank_p(list(values["pairs"])), repeats),
        "sign_flip": _milliseconds(lambda: flip_p(list(values["pairs"]), steps), repeats),
        "friedman": _milliseconds(lambda: ranks.friedman(values["friedman"]), repeats),
        "page": _milliseconds(lambda: ranks.page(values["page"]), repeats),
        "cochran": _milliseconds(lambda: boxes.cochran_q(values["cochran"]), repeats),
    }
    if repeats == 1:
        return
    if shutil.which("Rscript") is None:
        pytest.skip("R is not installed")
    given = json.dumps({key: table.tolist() for key, table in values.items()})
    run = subprocess.run(
        ["Rscript", "r/time_exact.R"], cwd=HERE, input=given, capture_output=True, text=True,
        check=False,
    )  # fmt: skip
    if run.returncode:
        pytest.skip(f"R lacks a package: {run.stderr.strip().splitlines()[-1]}")
    peer = json.loads(run.stdout)
    for name, milliseconds in own.items():
        figure(f"{name.replace('_', ' ')}: against R", milliseconds / peer[name], "times", limit=1)


def test_ordered_answers_against_r(repeats, figure):
    """Bitterness of wine with a random judge: our 31 adaptive nodes against clmm's 31."""
    import pandas as pd

    from trialbench.stats import ordinal

    wine = pd.read_csv(HERE / "data" / "wine.csv")
    own = _milliseconds(lambda: ordinal.fit(wine, "rating ~ temp + contact", "judge"), repeats)
    figure("ordered answers with taster, wine", own, "ms")
    if repeats == 1:
        return
    if shutil.which("Rscript") is None:
        pytest.skip("R is not installed")
    run = subprocess.run(
        ["Rscript", "r/time_ordinal.R"], cwd=HERE, capture_output=True, text=True, check=False
    )
    if run.returncode:
        pytest.skip(f"R lacks a package: {run.stderr.strip().splitlines()[-1]}")
    ratio = own / json.loads(run.stdout)["clmm_ms"]
    figure("ordered answers with taster, wine: against R", ratio, "times", limit=4)

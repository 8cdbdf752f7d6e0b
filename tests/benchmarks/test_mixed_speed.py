"""Fit and Kenward-Roger against R in the same run (where R and its packages are), and planning."""

from __future__ import annotations

import json
import shutil
import subprocess
from statistics import median
from time import perf_counter

import numpy as np
import pytest

from tests.stats.reference_models import HERE, data, stored_models
from trialbench.stats.design_precision import power_picture
from trialbench.stats.mixed import fit_mixed

FRIES = ["subject", "week", "subject:treatment", "subject:week", "week:treatment"]


def _milliseconds(work, repeats: int) -> float:
    work()
    times = []
    for _ in range(repeats):
        start = perf_counter()
        work()
        times.append(perf_counter() - start)
    return median(times) * 1e3


def _peer(script: str) -> dict[str, float]:
    """R's times in milliseconds; the test is skipped where R or lmerTest is not installed."""
    if shutil.which("Rscript") is None:
        pytest.skip("R is not installed")
    command = ["Rscript", f"r/{script}"]
    run = subprocess.run(command, cwd=HERE, capture_output=True, text=True, check=False)
    if run.returncode:
        pytest.skip(f"R lacks a package: {run.stderr.strip().splitlines()[-1]}")
    return json.loads(run.stdout)


def _crossed():
    known = stored_models()["sim_crossed"]
    return fit_mixed(known.frame, known.fixed, known.random).terms("kenward-roger")


def _fries():
    frame = data("fries", dtype={"treatment": str})
    return fit_mixed(frame, "painty ~ treatment", FRIES).terms("kenward-roger")


@pytest.mark.parametrize(
    ("name", "work", "script", "limit"),
    [("sim_crossed", _crossed, "time_lmer.R", 0.2), ("fries", _fries, "time_fries.R", 0.05)],
)
def test_fit_and_kenward_roger_against_r(repeats, figure, name, work, script, limit):
    own = _milliseconds(work, repeats)
    figure(f"{name}: fit and Kenward-Roger", own, "ms")
    if repeats > 1:
        peer = _peer(script)
        ratio = own / (peer["fit_ms"] + peer["kenward_roger_ms"])
        figure(f"{name}: fit and Kenward-Roger against R", ratio, "times", limit=limit)


def test_the_power_picture_of_two_to_twelve_cook_days(repeats, figure):
    differences = np.linspace(0, 3, 61)
    own = _milliseconds(lambda: power_picture(0.9, differences, range(2, 13)), repeats)
    figure("power picture, 2-12 cook days, 61 differences", own, "ms", limit=100)

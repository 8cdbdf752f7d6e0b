"""Tables of three methods or more, made up by lot, and the plans they belong to."""

from __future__ import annotations

import random
from collections.abc import Mapping
from dataclasses import replace

from trialbench.findings.contrasts import FactorLevel, MethodPlan, PlanFactor
from trialbench.findings.question import AnalysisQuestion, Columns

COLUMNS = Columns(value="value", method="method", cook="cook", piece="piece", taster="taster")
ASKED = AnalysisQuestion(columns=COLUMNS, outcome="tenderness", matters=1.0, step=1.0)
MEASURED = replace(ASKED, columns=replace(COLUMNS, taster=None), outcome="loss", step=None)

MEDIUM = PlanFactor(
    "medium", "medium", False, (FactorLevel(text="stock"), FactorLevel(text="sealed bag in water"))
)
HEAT = PlanFactor("heat", "set_temp_c", True, (FactorLevel(77.0), FactorLevel(88.0)))
CROSSED = MethodPlan(
    "crossed",
    ("A", "B", "C", "D"),
    (MEDIUM, HEAT),
    (("A", (0, 0)), ("B", (0, 1)), ("C", (1, 0)), ("D", (1, 1))),
)
SETTINGS = {"A": 60.0, "B": 65.0, "C": 70.0, "D": 76.0, "E": 84.0}
ORDERED = MethodPlan(
    "ordered",
    tuple(SETTINGS),
    (PlanFactor("heat", "set_temp_c", True, tuple(FactorLevel(x) for x in SETTINGS.values())),),
    tuple((letter, (n,)) for n, letter in enumerate(SETTINGS)),
)


def pairs(letters: str = "ABC", usual: str | None = None) -> MethodPlan:
    """A plan of methods that are nothing but different."""
    return MethodPlan("pairs", tuple(letters), usual=usual)


def table(
    means: Mapping[str, float],
    lot: int = 1,
    *,
    cooks: int = 5,
    units: int = 1,
    tasters: int = 6,
    scatter: float = 1.0,
    whole: bool = True,
) -> dict[str, list[object]]:
    """Scores by cook, method, piece and taster; `scatter` times the usual one; 0 tasters: weighed.

    `whole`: rounded to whole points.
    """
    rng = random.Random(lot)
    who = [rng.gauss(0, 0.7) for _ in range(max(tasters, 1))]
    rows: dict[str, list[object]] = {name: [] for name in ("value", "method", "cook", "piece",
                                                           "taster")}  # fmt: skip
    for cook in range(1, cooks + 1):
        day = rng.gauss(0, 0.5)
        for letter, mean in means.items():
            for unit in range(units):
                pot = rng.gauss(0, 0.45 * scatter)
                for taster, own in enumerate(who):
                    value = mean + day + pot + own + rng.gauss(0, scatter)
                    rows["value"].append(float(round(value)) if whole else value)
                    rows["method"].append(letter)
                    rows["cook"].append(str(cook))
                    rows["piece"].append(f"{letter}{unit}")
                    rows["taster"].append(f"T{taster}")
    return rows

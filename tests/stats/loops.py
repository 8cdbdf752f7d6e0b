"""The formulas of section 6.3 and 6.5 once more, as plain numpy loops: a check and a peer in speed.

Written from the policy's text and without the engine; scores is a dictionary
(cook, method, unit, taster) -> score with methods "A" and "B", every score once.
"""

from __future__ import annotations

import itertools

import numpy as np
from scipy import special


def _t(level: float, df: int) -> float:
    return -special.stdtrit(df, level / 2)


def cook_table(scores: dict) -> dict[str, dict[str, float]]:
    """Taster's difference A - B per cook: mean over units of each method, where both are."""
    cells: dict[tuple, list[float]] = {}
    for (cook, method, _, taster), score in scores.items():
        cells.setdefault((cook, taster, method), []).append(score)
    table: dict[str, dict[str, float]] = {}
    for cook, taster, method in sorted(cells):
        if method == "A" and (cook, taster, "B") in cells:
            gap = np.mean(cells[cook, taster, "A"]) - np.mean(cells[cook, taster, "B"])
            table.setdefault(cook, {})[taster] = float(gap)
    return table


def _residual(table: dict[str, dict[str, float]], tasters: list[str]) -> tuple[float, int]:
    """Residual sd and df of the additive cook + taster table."""
    rows, seen = [], []
    for i, row in enumerate(table.values()):
        for t, gap in row.items():
            line = np.zeros(len(table) + len(tasters))
            line[i] = line[len(table) + tasters.index(t)] = 1
            rows.append(line)
            seen.append(gap)
    design, y = np.array(rows), np.array(seen)
    fit, _, rank, _ = np.linalg.lstsq(design, y, rcond=None)
    df = len(y) - rank
    return (np.sqrt(((y - design @ fit) ** 2).sum() / df) if df else 0.0), df


def over_cooks_loop(scores: dict, step: float | None, level: float = 0.05) -> dict[str, float]:
    """Estimate, half-widths and p of both intervals; three tasters and two cooks at least."""
    table = cook_table(scores)
    c = len(table)
    days = np.array([np.mean(list(row.values())) for row in table.values()])
    sizes = np.array([len(row) for row in table.values()])
    tasters = sorted({taster for row in table.values() for taster in row})
    own = {t: [row[t] for row in table.values() if t in row] for t in tasters}
    floor_c = np.mean(step**2 / (6 * sizes)) if step else 0.0
    floor_t = np.mean([step**2 / (6 * len(own[t])) for t in tasters]) if step else 0.0
    sd_c = np.sqrt(max(days.var(ddof=1), floor_c))
    sd_t = np.sqrt(max(np.var([np.mean(own[t]) for t in tasters], ddof=1), floor_t))
    weights = [
        sum(1 / (c * n) for row, n in zip(table.values(), sizes, strict=True) if t in row)
        for t in tasters
    ]
    sd_e, df_e = _residual(table, tasters)

    def halves(at: float) -> tuple[float, float, float]:
        h_c = _t(at, c - 1) * sd_c / np.sqrt(c)
        h_t = _t(at, len(tasters) - 1) * sd_t * np.sqrt(np.sum(np.square(weights)))
        h_e = _t(at, df_e) * sd_e * np.sqrt(np.sum(1 / (c**2 * sizes))) if df_e else 0.0
        return h_c, h_t, h_e

    def joined(at: float) -> float:
        h_c, h_t, h_e = halves(at)
        return float(np.sqrt(max(h_c**2, h_t**2, h_c**2 + h_t**2 - h_e**2)))

    estimate = float(days.mean())
    h_c, h_t, h_e = halves(level)
    low, high = 0.0, 1.0
    for _ in range(50):
        middle = (low + high) / 2
        low, high = (middle, high) if joined(middle) >= abs(estimate) else (low, middle)
    return {
        "estimate": estimate, "h_C": h_c, "h_T": h_t, "h_E": h_e, "df_E": df_e,
        "half": joined(level), "p": 2 * special.stdtr(c - 1, -abs(estimate) / sd_c * np.sqrt(c)),
        "p_others": low, "sd": sd_c,
    }  # fmt: skip


def redraw_loop(means: dict) -> tuple[float, int]:
    """p and number of draws within cooks; means is (cook, method, unit) -> mean."""
    cooks = sorted({cook for cook, _, _ in means})
    choices, seen = [], 0.0
    for cook in cooks:
        units = [(m, value) for (k, m, _), value in sorted(means.items()) if k == cook]
        values = np.array([value for _, value in units])
        first = [i for i, (m, _) in enumerate(units) if m == "A"]
        gaps = []
        for chosen in itertools.combinations(range(len(units)), len(first)):
            mask = np.zeros(len(units), bool)
            mask[list(chosen)] = True
            gaps.append(values[mask].mean() - values[~mask].mean())
            if list(chosen) == first:
                seen += gaps[-1]
        choices.append(gaps)
    hits = total = 0
    for gaps in itertools.product(*choices):
        total += 1
        hits += abs(sum(gaps)) >= abs(seen) - 1e-9
    return hits / total, total

"""The published table: one line per family, cooks and tasters, its mean and its worst cell."""

from __future__ import annotations

import csv
import datetime as dt
from collections import defaultdict
from collections.abc import Iterable, Sequence
from pathlib import Path

from tests.calibration.judged import Judged
from tests.calibration.rates import LOWER_LIMIT, NOMINAL, Rates
from trialbench.findings.finding import POLICY

CLAIMS = ("false winner", "false winner, others", "false equality", "false enough",
          "false at least as good", "any false headline")  # fmt: skip
HEAD = """# How often the rules are wrong

Policy number {policy}, drawn on {date} with lot number {lot}; {trials} trials in each of {cells}
cells of the direct rules (five times as many where a rate came out above its limit), {fits} in each
cell of the mixed model. Made by `python -m tests.calibration`.

Standard deviations are in units of a single score's: cook by method, unit and taster by method at
0, {sizes}; scales are 1 to 9 by whole points, the mean in the middle (rounded) or at 8 (bounded).
A claim speaks for the tasters who were there (what is true of them); "others" is the one for others
like them. A winner is claimed where the interval excludes 0 and the redraw test, where it may
speak, does not object. Equality, "by enough" and "at least as good" are drawn at the true
difference where they are just false. "Power at 1": a winner at a true difference of one such unit.
Figures are mean / worst over the cells of a line. A claim may be false in at most 5 % of trials,
"by enough" in 2.5 %; the run fails where a cell's {level} lower limit lies above that, and at a
known exception where it lies above the multiple that is allowed there. {verdict}
"""


def mean_and_worst(found: Sequence[Rates], name: str) -> str:
    shares = [each.share(name) for each in found if name in each.counts]
    return f"{sum(shares) / len(shares):.3f} / {max(shares):.3f}" if shares else ""


def _line(cells: Iterable[object]) -> str:
    return "| " + " | ".join(str(cell) for cell in cells) + " |"


def direct_lines(found: Iterable[Judged]) -> list[str]:
    groups: dict[tuple, list[Rates]] = defaultdict(list)
    for each in found:
        key = tuple(each.columns[name] for name in ("family", "cooks", "tasters"))
        groups[key].append(each.rates)
    power = ("power at 1", "equality shown")
    head = ["family", "cook days", "tasters", "cells", *CLAIMS, *power]
    lines = [_line(head), _line("---" for _ in head)]
    for key, rates in sorted(groups.items()):
        shown = [mean_and_worst(rates, name) for name in CLAIMS]
        gained = [mean_and_worst(rates, name).split(" /")[0] for name in power]
        lines.append(_line([*key[:2], key[2] or "-", len(rates), *shown, *gained]))
    return lines


def plain_lines(rows: Sequence[tuple[dict[str, object], Rates]]) -> list[str]:
    """Every cell on a line of its own."""
    names = list(dict.fromkeys(name for _, rates in rows for name in rates.counts))
    head = [*rows[0][0], *names]
    lines = [_line(head), _line("---" for _ in head)]
    for columns, rates in rows:
        shown = [f"{rates.share(name):.3f}" if name in rates.counts else "" for name in names]
        lines.append(_line([*columns.values(), *shown]))
    return lines


def verdict_lines(found: Sequence[Judged]) -> list[str]:
    lines = []
    for each in found:
        if each.over:
            worst = ", ".join(f"{name} {each.rates.share(name):.3f}" for name in each.over)
            place = ", ".join(f"{name} {value}" for name, value in each.columns.items())
            lines.append(
                f"- {place}: {worst}" + (f". Known: {each.exempt.reason}." if each.exempt else "")
            )
    return lines


def written(
    direct: Sequence[Judged],
    families: Sequence[Judged],
    model: Sequence[tuple[dict[str, object], Rates]],
    *,
    lot_number: int,
    trials: int,
    fits: int,
    sizes: str,
) -> str:
    failed = [each for each in (*direct, *families) if each.failed]
    verdict = f"{len(failed)} cells fail." if failed else "No cell fails."
    head = HEAD.format(policy=POLICY, date=dt.date.today().isoformat(), lot=lot_number,
                       trials=f"{trials:,}", cells=len(direct) + len(families), fits=f"{fits:,}",
                       sizes=sizes, level=f"{1 - LOWER_LIMIT:.1%}", verdict=verdict)  # fmt: skip
    exceptions = verdict_lines([*direct, *families]) or ["None."]
    several = [(each.columns, each.rates) for each in families]
    parts = [
        head,
        "## Above the nominal rate\n\n" + "\n".join(exceptions) + "\n",
        "## Two methods\n\n" + "\n".join(direct_lines(direct)) + "\n",
        "## Three and four methods, and factors of two levels\n\n"
        + "\n".join(plain_lines([row for row in several if "pair" in str(row[0]["family"])]))
        + "\n\n"
        + "\n".join(plain_lines([row for row in several if "pair" not in str(row[0]["family"])]))
        + "\n",
        "## The mixed model, a second opinion\n\nFalse winners; three methods by Tukey-Kramer. Not"
        " bounded: the direct rules decide.\n\n" + "\n".join(plain_lines(model)) + "\n",
    ]
    return "\n".join(parts)


def write_cells(path: Path, found: Iterable[Judged]) -> None:
    """Every cell with every rate, as CSV."""
    names = [*NOMINAL, "power at 1", "equality shown"]
    rows = [{**each.columns, **{name: f"{each.rates.share(name):.5f}" for name in names
                                if name in each.rates.counts}} for each in found]  # fmt: skip
    columns = list(dict.fromkeys(name for row in rows for name in row))
    with path.open("w", newline="") as file:
        writer = csv.DictWriter(file, columns)
        writer.writeheader()
        writer.writerows(rows)

"""Digits of agreement with the thermal references, per file: `python -m tests.thermal.digits`."""

from __future__ import annotations

import csv
from collections import defaultdict
from decimal import Decimal

from tests.reference.digits import Agreement
from tests.thermal.conduction_cases import one_term_cells
from tests.thermal.reference_cases import HERE, is_reckoned, reckoned, rows

FILES = (
    "conduction", "lethality", "mass", "rules", "instruments", "psychrometrics", "properties",
)  # fmt: skip


def cases() -> list[dict]:
    """Every row that is reckoned, with the name of its file."""
    every = [{**case, "file": name} for name in FILES for case in rows(f"{name}.json")]
    return [case for case in every if is_reckoned(case)]


def agreement(case: dict) -> Agreement:
    """Ours beside the right answer of a row."""
    return Agreement(case["file"], case["id"], case["file"], reckoned(case), case["computed"])


def one_term_agreements() -> list[Agreement]:
    """Every cell of the one-term table."""
    with (HERE / "eigen_one_term.csv").open(encoding="utf-8", newline="") as lines:
        return [
            Agreement("one-term table", f"Bi {row['Bi']}, {name}", "eigen_one_term", ours, theirs)
            for row in csv.DictReader(lines)
            for name, ours, theirs in one_term_cells(row)
        ]


def last_place(value: float) -> float:
    """One unit in the last place that is written, 1 for whole numbers."""
    exponent = Decimal(repr(value)).as_tuple().exponent
    return float(Decimal(1).scaleb(int(exponent))) if isinstance(exponent, int) else 1.0


def main() -> None:
    """Print how many rows agree to their last written place, and the fewest digits."""
    by_file: dict[str, list[Agreement]] = defaultdict(list)
    for each in (*map(agreement, cases()), *one_term_agreements()):
        by_file[each.quantity].append(each)
    print(f"{'file':16} {'numbers':>7} {'to the last place':>18} {'digits':>7}  fewest in")
    for name, found in by_file.items():
        exact = sum(abs(e.ours - e.theirs) <= 0.51 * last_place(e.theirs) for e in found)
        worst = min(found, key=lambda each: each.digits)
        print(f"{name:16} {len(found):7} {exact:18} {worst.digits:7.1f}  {worst.case}")


if __name__ == "__main__":
    main()

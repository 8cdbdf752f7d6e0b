"""Digits of agreement with the references, per quantity: `python -m tests.reference.digits`."""

from __future__ import annotations

import csv
import json
import math
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

HERE = Path(__file__).resolve().parent
MOST = 16.0
"""Doubles agree to about sixteen digits; equal numbers count as that."""


@dataclass(frozen=True, slots=True)
class Agreement:
    """One number of ours beside that of the reference."""

    source: str
    case: str
    quantity: str
    ours: float
    theirs: float

    @property
    def digits(self) -> float:
        """Decimal digits that agree, relative to the reference."""
        if self.ours == self.theirs:
            return MOST
        away = abs(self.ours - self.theirs) / max(abs(self.theirs), 1e-300)
        return min(MOST, -math.log10(away)) if away > 0 else MOST


def expected(name: str) -> dict:
    """A file of expected values."""
    return json.loads((HERE / "expected" / name).read_text(encoding="utf-8"))


def table(name: str) -> dict[str, list[object]]:
    """A data file as columns: figures as numbers, all else as text."""
    with (HERE / "data" / name).open(encoding="utf-8", newline="") as lines:
        rows = list(csv.DictReader(lines))
    return {key: [_cell(row[key]) for row in rows] for key in rows[0]}


def _cell(text: str) -> object:
    try:
        return float(text)
    except ValueError:
        return text


def paired_cases() -> Iterator[Agreement]:
    """Every field of `paired` that R gives."""
    from trialbench.stats import paired

    for case in expected("paired.json")["cases"]:
        t, ranks = case["paired_t"]["two_sided"], case["hodges_lehmann"]
        low90, high90 = case["paired_t"]["ci90"]
        walsh = ranks["ci95_walsh_order_statistics"]
        exact = case["wilcoxon"]["exact_zeros_dropped_coin"]["two_sided"]["p"]
        theirs = {
            "estimate": t["estimate"], "se": t["se"], "df": t["df"], "t": t["t"], "p": t["p"],
            "low": t["ci_low"], "high": t["ci_high"], "inner_low": low90, "inner_high": high90,
            "dz": case["effect_size"]["dz"], "hedges_g": case["effect_size"]["g_z"],
            "signed_rank_p": exact, "sign_p": case["sign_test"]["p_two_sided"],
            "sign_flip_p": case["signflip_exact_mean"]["p_two_sided"],
            "hodges_lehmann": ranks["median_of_walsh_averages_all"],
            "hodges_lehmann_low": walsh[0], "hodges_lehmann_high": walsh[1],
        }  # fmt: skip
        result = paired(case["x"], case["y"])
        for name, value in theirs.items():
            yield Agreement("R", case["id"], name, getattr(result, name), value)
        for bound in case["tost"]:
            p = paired(case["x"], case["y"], matters=bound["margin"]).equivalence_p
            yield Agreement("R", case["id"], "equivalence_p", p or 0.0, bound["p_tost"])


def over_cooks_cases() -> Iterator[Agreement]:
    """Section 6.3 against an independent implementation."""
    from trialbench.stats import over_cooks

    for case in expected("over_cooks.json")["cases"]:
        columns, wanted = case["columns"], case["expected"]
        frame = table(case["data_file"])
        unit = columns["unit"] if columns["unit"] in frame else None
        result = over_cooks(
            frame, columns["value"], columns["method"], columns["cook"], unit,
            columns["taster"], step=case["step"],
        )  # fmt: skip
        for name in ("estimate", "se", "df", "t", "p", "low", "high"):
            yield Agreement("6.3", case["id"], name, getattr(result, name), wanted[name])
        others = result.others
        for name in ("low", "high", "p"):
            ours = getattr(others, name)
            yield Agreement("6.3", case["id"], f"others.{name}", ours, wanted["others"][name])
        for day in result.cook_differences:
            yield Agreement("6.3", case["id"], "D", day.difference, wanted["D"][day.cook])
        yield Agreement("6.3", case["id"], "h_T", others.tasters.half_width(0.05), wanted["h_T"])
        yield Agreement("6.3", case["id"], "h_E", others.overlap.half_width(0.05), wanted["h_E"])
        yield Agreement("6.3", case["id"], "df_E", others.overlap_df, wanted["df_E"])


def power_cases() -> Iterator[Agreement]:
    """Noncentral t against R's power.t.test (strict) and pwr."""
    from trialbench.stats import power

    file = expected("power.json")
    for case in file["paired_t_power"]:
        ours = power.power(case["n_pairs"], case["dz"], 1.0, case["alpha"])
        name = f"n {case['n_pairs']}, dz {case['dz']}"
        yield Agreement("R", name, "power", ours, case["two_sided_strict"])
        # "At least as good" where both are the same is the one-sided test at a shift of d.
        ours = power.power_at_least_as_good(case["n_pairs"], case["dz"], 1.0, case["alpha"])
        yield Agreement("R", name, "one-sided power", ours, case["one_sided"])
    for case in file["sample_size"]:
        dz, alpha, fewest = case["dz"], case["alpha"], case["n_integer"]
        for n, theirs in ((fewest, case["power_at_n"]), (fewest - 1, case["power_at_n_minus_1"])):
            yield Agreement("R", f"dz {dz}", "power", power.power(n, dz, 1.0, alpha), theirs)
        ours = power.fewest_cooks(dz, 1.0, alpha, case["target"])
        if fewest <= power.MOST_COOKS:
            yield Agreement("R", f"dz {dz}", "fewest cooks", ours, fewest)
        else:
            yield Agreement("R", f"dz {dz}", "fewest cooks", ours is None, True)
    for case in file["smallest_detectable"]:
        ours = power.smallest_difference(case["n_pairs"], 1.0, case["alpha"], case["power"])
        yield Agreement("R", f"n {case['n_pairs']}", "smallest_difference", ours,
                        case["smallest_dz"])  # fmt: skip
    for case in file["ci_half_width"]:
        ours = power.half_width(case["n_pairs"], 1.0)
        yield Agreement("R", f"n {case['n_pairs']}", "half_width", ours,
                        case["half_width_95_in_sd"])  # fmt: skip


def holm_cases() -> Iterator[Agreement]:
    """Holm against p.adjust."""
    from trialbench.stats import holm

    case = expected("worked_examples.json")["holm"]
    for ours, theirs in zip(holm(case["p"]), case["adjusted"], strict=True):
        yield Agreement("R", "seven p", "holm", ours, theirs)


def everything() -> list[Agreement]:
    """All agreements."""
    return [*paired_cases(), *over_cooks_cases(), *power_cases(), *holm_cases()]


def main() -> None:
    """Print the fewest digits of agreement per source and quantity."""
    from tests.reference.digits_choices import all_choices

    fewest: dict[tuple[str, str], list[Agreement]] = defaultdict(list)
    for each in (*everything(), *all_choices()):
        fewest[each.source, each.quantity].append(each)
    print(f"{'against':8} {'quantity':50} {'numbers':>7} {'digits':>7}  fewest in")
    for (source, quantity), found in fewest.items():
        worst = min(found, key=lambda each: each.digits)
        print(f"{source:8} {quantity:50} {len(found):7} {worst.digits:7.1f}  {worst.case}")


if __name__ == "__main__":
    main()

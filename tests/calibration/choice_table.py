"""`python -m tests.calibration.choice_table [FILE.md]`: draw every claim and write the table.

Some ten minutes on one core; `--only NAME` draws one family and prints it.
"""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from time import perf_counter

from tests.calibration.choices import FAMILIES, Claim, one_day
from trialbench.stats.blas_threads import one_thread

LOT_NUMBER = 20261126
TRIALS = {
    "Choices over cook days": 10_000, "Looking after every cook": 40_000,
    "All cook days of trials that asked the same": 100_000, "Pooled effects": 3_000,
    "Replicated choices": 1_000,
}  # fmt: skip
DEFAULT = Path(__file__).resolve().parents[2] / "resources" / "calibration" / "choices_1.md"
EXACT = "Choices of one day (exact, all counts gone through)"


def main(arguments: list[str] | None = None) -> int:
    parser = argparse.ArgumentParser(prog="python -m tests.calibration.choice_table")
    parser.add_argument("file", nargs="?", type=Path, default=DEFAULT)
    parser.add_argument("--only")
    given = parser.parse_args(arguments)
    with one_thread():
        found = {EXACT: list(one_day())} if not given.only else {}
        for name, family in FAMILIES.items():
            if given.only in (None, name):
                start = perf_counter()
                found[name] = list(family(LOT_NUMBER, TRIALS[name]))
                print(f"{name}: {perf_counter() - start:.0f} s", flush=True)
    text = written(found)
    if given.only:
        print(text)
    else:
        given.file.parent.mkdir(parents=True, exist_ok=True)
        given.file.write_text(text, encoding="utf-8")
    over = [claim for claims in found.values() for claim in claims if claim.over]
    for claim in over:
        print("over:", claim)
    return 1 if over else 0


def written(found: dict[str, list[Claim]]) -> str:
    lines = [
        "# How often claims about choices, looks and pools are false",
        "",
        f"Drawn with lot number {LOT_NUMBER} at alpha 0.05 by `tests/calibration/choices.py`. Each",
        "line is the worst setting of its claim, or every one where they are few. A claim in",
        "brackets is not made by the program; it stands there to show why. Most allowed is empty",
        "where a rate is reported and not promised, with the reason.",
    ]  # fmt: skip
    for name, claims in found.items():
        lines += ["", f"## {name}", ""]
        if name in TRIALS:
            lines += [f"{TRIALS[name]:,} draws a setting.", ""]
        lines += ["| claim | setting | false | most allowed | reason |", "|---|---|---|---|---|"]
        shown = _worst(claims) if name == EXACT else claims
        for claim in sorted(shown, key=lambda each: each.claim):
            most = "" if claim.nominal is None else f"{claim.nominal:g}"
            lines.append(
                f"| {claim.claim} | {claim.setting} | {claim.rate:.4f} | {most} | {claim.reason} |"
            )
    return "\n".join(lines) + "\n"


def _worst(claims: list[Claim]) -> list[Claim]:
    """The worst setting of each claim and form."""
    worst: dict[tuple[str, str], Claim] = {}
    for claim in claims:
        key = claim.claim, claim.setting.split(",")[0]
        if key not in worst or claim.rate > worst[key].rate:
            worst[key] = claim
    return list(worst.values())


if __name__ == "__main__":
    sys.exit(main())

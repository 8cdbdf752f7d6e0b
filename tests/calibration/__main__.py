"""`python -m tests.calibration [FILE.md]`: draw every cell, write the table, fail where it fails.

Takes some ten minutes on one core. `--trials` and `--fits` make it shorter, `--cells FILE.csv` also
writes every cell, `--lot` draws other trials.
"""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from time import perf_counter

from tests.calibration import cells, designs
from tests.calibration.judged import judged
from tests.calibration.rates import rates
from tests.calibration.table import write_cells, written
from trialbench.stats.blas_threads import one_thread

LOT_NUMBER = 20261125
TRIALS, FITS = 40_000, 2_000
DEFAULT = Path(__file__).resolve().parents[2] / "resources" / "calibration" / "policy_1.md"


def main(arguments: list[str] | None = None) -> int:
    parser = argparse.ArgumentParser(prog="python -m tests.calibration")
    parser.add_argument("file", nargs="?", type=Path, default=DEFAULT)
    parser.add_argument("--lot", type=int, default=LOT_NUMBER)
    parser.add_argument("--trials", type=int, default=TRIALS)
    parser.add_argument("--fits", type=int, default=FITS)
    parser.add_argument("--cells", type=Path)
    given = parser.parse_args(arguments)
    start = perf_counter()
    with one_thread():
        direct = list(judged(cells.direct(), rates, given.lot, given.trials))
        families = list(judged(designs.families(), designs.family_rates, given.lot, given.trials))
        print(f"direct rules: {perf_counter() - start:.0f} s", flush=True)
        model = [
            (cell.columns, designs.model_rates(cell, given.lot + place, given.fits))
            for place, cell in enumerate(designs.model_cells())
        ]
    sizes = f"{cells.SMALL:g} and {cells.LARGE:g}"
    text = written(direct, families, model, lot_number=given.lot, trials=given.trials,
                   fits=given.fits, sizes=sizes)  # fmt: skip
    given.file.parent.mkdir(parents=True, exist_ok=True)
    given.file.write_text(text, encoding="utf-8")
    if given.cells:
        write_cells(given.cells, direct)
    failed = [each for each in (*direct, *families) if each.failed]
    for each in failed:
        print("over:", each.columns, {name: each.rates.share(name) for name in each.over})
    print(f"{given.file}: {perf_counter() - start:.0f} s, {len(failed)} cells fail")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())

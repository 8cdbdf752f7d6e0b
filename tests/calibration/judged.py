"""Cells with their rates, judged: what exceeds its nominal rate twice, with other lots, fails."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass

from tests.calibration.cells import Cell, Exempt
from tests.calibration.designs import Family
from tests.calibration.rates import Rates

AGAIN = 5
"""A cell over its rate is drawn again this many times as long: of thousands, some are by chance."""
_APART = 1_000_003


@dataclass(frozen=True)
class Judged:
    """One cell's rates; `over`: claims that exceed what is nominal in both runs."""

    columns: dict[str, object]
    rates: Rates
    over: tuple[str, ...]
    exempt: Exempt | None

    @property
    def failed(self) -> bool:
        """Above its nominal rate, or as a known exception above what that may reach."""
        if self.exempt is None:
            return bool(self.over)
        return bool(self.rates.exceeding(self.exempt.factor))


def judged(
    cells: Iterable[Cell | Family], measure: Callable[..., Rates], lot_number: int, trials: int
) -> Iterator[Judged]:
    for place, cell in enumerate(cells):
        own = lot_number + place
        found = measure(cell, own, trials)
        over = set(found.exceeding())
        if over:
            found = measure(cell, own + _APART, AGAIN * trials)
            over &= set(found.exceeding())
        yield Judged(cell.columns, found, tuple(sorted(over)), getattr(cell, "exempt", None))

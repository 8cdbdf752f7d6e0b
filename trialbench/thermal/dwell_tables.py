"""Published tables of time at a temperature inside: USDA-FSIS Appendix A, Food Code, UK lists."""

from __future__ import annotations

from functools import cache

from trialbench.model.message import Message, msg
from trialbench.thermal.bad_figures import BadFigures
from trialbench.thermal.safety_rules import DwellRow, DwellTable, Limit, rows_of

MOST_FAT_PCT = 12
"""The last column of the poultry tables; it also serves more fat and unknown fat (page 39)."""

_APPENDIX_A = "USDA-FSIS, Appendix A, December 2021 (FSIS-GD-2021-14)"
_COLUMNS = {
    "fsis_meat_6.5": ("appendix_a_meat.csv", "log_6.5_s"),
    "fsis_meat_7": ("appendix_a_meat.csv", "log_7_s"),
    "fsis_meat_5": ("appendix_a_meat.csv", "log_5_s"),
    "fsis_chicken_7": ("appendix_a_chicken.csv", "fat"),
    "fsis_turkey_7": ("appendix_a_turkey.csv", "fat"),
    "food_code_roasts": ("whole_roasts.csv", "time_s"),
    "uk_general": ("uk_equivalents.csv", "general_s"),
    "uk_burgers": ("uk_equivalents.csv", "burgers_s"),
}
TABLES = tuple(_COLUMNS)
"""Names of the tables that `dwell_table` knows."""


def dwell_table(name: str, *, fat_pct: float | None = None) -> DwellTable:
    """One table with its citation.

    fsis_meat_6.5, fsis_meat_7, fsis_meat_5 (log10 reductions of Salmonella), fsis_chicken_7 and
    fsis_turkey_7 (by fat: the next column up counts; without `fat_pct`, or above 12 %, the last),
    food_code_roasts, uk_general, uk_burgers. Raises BadFigures for another name or fat below 0.
    """
    if name not in _COLUMNS:
        raise BadFigures(f"No table is called {name!r}.", where="table", allowed=", ".join(TABLES))
    return _read(name, _fat_column(fat_pct))


def _fat_column(fat_pct: float | None) -> int:
    if fat_pct is None:
        return MOST_FAT_PCT
    if not fat_pct >= 0:
        raise BadFigures(f"Fat is {fat_pct:g} %.", where="fat_pct", allowed="0 % and more")
    return min(max(int(-(-fat_pct // 1)), 1), MOST_FAT_PCT)


@cache
def _read(name: str, fat: int) -> DwellTable:
    file, column = _COLUMNS[name]
    if column == "fat":
        column = f"fat_{fat}_s"
    rows = tuple(DwellRow(_limit(row), float(row[column])) for row in rows_of(file) if row[column])
    return DwellTable(name, rows, _cited(name, fat))


def _limit(row: dict[str, str]) -> Limit:
    return Limit(float(row["temp_f"]), "F") if "temp_f" in row else Limit(float(row["temp_c"]), "C")


def _cited(name: str, fat: int) -> Message:
    cited = {
        "fsis_meat_6.5": msg("{edition}, Table 2, page 35, 6.5-log10.", edition=_APPENDIX_A),
        "fsis_meat_7": msg("{edition}, Table 2, page 35, 7-log10.", edition=_APPENDIX_A),
        "fsis_meat_5": msg(
            "{edition}, Table 6, page 59, 5-log10, which needs more support except for "
            "shelf-stable products and patties.",
            edition=_APPENDIX_A,
        ),
        "fsis_chicken_7": msg(
            "{edition}, Table 3 (chicken), page 37, column {fat} % fat, 7-log10.",
            edition=_APPENDIX_A, fat=fat,
        ),
        "fsis_turkey_7": msg(
            "{edition}, Table 4 (turkey), page 38, column {fat} % fat, 7-log10.",
            edition=_APPENDIX_A, fat=fat,
        ),
        "food_code_roasts": msg(
            "US FDA Food Code, 3-401.11(B), as printed in Maine, 10-144 ch. 200."
        ),
        "uk_general": msg(
            "United Kingdom: 70 °C for 2 min and what counts as equal, as printed on training "
            "pages that quote the Food Standards Agency."
        ),
        "uk_burgers": msg(
            "United Kingdom: Advisory Committee on the Microbiological Safety of Food, burgers, "
            "March 2007, summary (z 6 °C)."
        ),
    }  # fmt: skip
    return cited[name]

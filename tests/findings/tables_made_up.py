"""Small tables for the judge, made up: rows as dictionaries, columns named as in Columns."""

from __future__ import annotations

import random
from dataclasses import fields

from trialbench.findings.question import AnalysisQuestion, Columns

NAMES = tuple(field.name for field in fields(Columns))


def asked(*columns: str, **more) -> AnalysisQuestion:
    """A question of a table that has `value`, `method` and these columns besides."""
    named = {name: name for name in columns}
    return AnalysisQuestion(columns=Columns(value="value", method="method", **named), **more)


def columns_of(rows: list[dict]) -> dict[str, list]:
    """Rows as a mapping of columns."""
    return {name: [row.get(name) for row in rows] for name in rows[0]}


def days(*gaps: float, tasters: int = 4, level: float = 5.0) -> list[dict]:
    """One unit of each method a cook; every taster sees the gap A - B of the day exactly."""
    return [
        {"cook": f"k{k}", "taster": f"t{t}", "method": m, "value": level + gap * (m == "A") + t}
        for k, gap in enumerate(gaps)
        for t in range(tasters)
        for m in "AB"
    ]


def one_day(
    a: list[float], b: list[float], name: str = "piece", taster: str | None = None
) -> list[dict]:
    """One cook: numbers of A and of B, each with its own piece, taster, pair or serving."""
    return [
        {"method": m, name: f"{i}", "value": value} | ({"taster": taster} if taster else {})
        for m, numbers in (("A", a), ("B", b))
        for i, value in enumerate(numbers)
    ]


def scattered(lot: int) -> tuple[list[dict], AnalysisQuestion]:
    """A table of any shape the judge may meet, with a question that fits it; by lot number."""
    rng = random.Random(lot)
    cooks, units, tasters = rng.randint(1, 5), rng.randint(1, 3), rng.randint(0, 5)
    servings, gone = rng.choice([1, 1, 2]), rng.choice([0.0, 0.1, 0.5])
    flat = rng.random() < 0.1
    rows = []
    for k in range(cooks):
        for m in "AB":
            for u in range(units):
                for t in range(max(tasters, 1)):
                    for s in range(servings):
                        value = 5 if flat else round(rng.gauss(5 + (m == "A"), 1.5))
                        rows.append({
                            "cook": f"k{k}", "method": m, "piece": f"p{u}", "pair": f"r{u}",
                            "load": f"l{u // 2}" if lot % 2 else "", "taster": f"t{t}",
                            "serving": f"s{s}",
                            "value": None if rng.random() < gone else float(value),
                        })  # fmt: skip
    named = ["piece", "serving"]
    named += ["cook"] if cooks > 1 or rng.random() < 0.5 else []
    named += ["taster"] if tasters else []
    named += ["pair"] if rng.random() < 0.5 else []
    named += ["load"] if rng.random() < 0.5 else []
    as_good = rng.random() < 0.3
    question = asked(
        *named,
        kind="at-least-as-good" if as_good else "better",
        easier="B" if as_good else None,
        better=rng.choice(["higher", "lower"] if as_good else ["higher", "lower", "neither"]),
        matters=1.0 if as_good or rng.random() < 0.7 else None,
        step=rng.choice([None, 1.0]),
        planned_cooks=rng.choice([None, None, None, 3]),
        same_recipe=rng.random() < 0.1,
    )
    if "cook" not in named:
        rows = [row for row in rows if row["cook"] == "k0"]
    return rows, question

"""One cook day: which of its formulas applies, and what is missing where none does (6.2)."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, replace

from trialbench.findings.blocks import pair_differences, pairs_of_units
from trialbench.findings.design import Reckoned
from trialbench.findings.finding import Comparison, Others, Procedure
from trialbench.findings.question import AnalysisQuestion
from trialbench.findings.rows import Rows
from trialbench.model.message import Message, msg, msg_n
from trialbench.stats.likeness import Spread
from trialbench.stats.numbers import mean
from trialbench.stats.one_cook import OneCook, of_differences, of_groups
from trialbench.stats.student import two_sided_p
from trialbench.stats.taster_rows import CookTable


@dataclass(frozen=True, slots=True)
class _Day:
    """One cook: unit means of both methods, pair differences, tasters' differences."""

    rows: Rows
    table: CookTable
    a: tuple[float, ...]
    b: tuple[float, ...]
    pairs: tuple[float, ...]
    pairs_drawn: int
    unpaired: int
    tasters: tuple[float, ...]

    @property
    def single(self) -> bool:
        """One unit of each method, tasted."""
        return len(self.a) == len(self.b) == 1 and not self.rows.measured


def one_cook_reckoned(rows: Rows, question: AnalysisQuestion) -> Reckoned:
    """The formulas of one cook, in the order of section 6.2; `rows` are those of that cook."""
    day = _of_those_who_count(_day(rows, question), question)
    procedure, found = _formula(day, question.step)
    comparison = _comparison(day, found, procedure, question.alpha)
    return Reckoned(
        scope="taster" if day.single and len(day.tasters) == 1 else "batch",
        procedure=procedure,
        comparison=comparison,
        rows=day.rows,
        table=day.table,
        no_spread=found.no_spread,
        lacks=None if found.df else _what_lacks(day),
        notes=(*day.table.dropped(), *_unpaired(day, procedure), *_no_scatter(found)),
    )


def nothing_reckoned(rows: Rows, table: CookTable) -> Reckoned:
    """No cook carries both methods, or several do and no taster scored both in any."""
    return Reckoned(
        scope="batch",
        procedure="none",
        comparison=Comparison(rows.a, rows.b),
        rows=rows,
        table=table,
        lacks=msg("No cook in which both methods were scored by one taster: nothing to compare.")
        if rows.cooks_with_both()
        else msg("No cook carries both methods: nothing to compare."),
    )


def _day(rows: Rows, question: AnalysisQuestion) -> _Day:
    table = CookTable(rows.a, rows.b, tuple(rows.unit_scores()))
    units: dict[tuple[str, str], list[float]] = defaultdict(list)
    for each in table.scores:
        units[each.method, each.unit].append(each.score)
    a, b = (
        tuple(mean(scores) for (method, _), scores in units.items() if method == m)
        for m in (rows.a, rows.b)
    )
    drawn = pairs_of_units(rows, question)
    pairs = pair_differences(rows, table, question)
    return _Day(
        rows,
        table,
        a,
        b,
        pairs=tuple(pairs.values()),
        pairs_drawn=len(set(drawn.values()) - {""}),
        unpaired=sum((cook, pair) not in pairs for (cook, *_), pair in drawn.items()),
        tasters=tuple(row.difference for row in table.rows),
    )


def _of_those_who_count(day: _Day, question: AnalysisQuestion) -> _Day:
    """Of one unit of each method: the scores of the tasters who scored both, if there are any."""
    if not day.single or not day.tasters:
        return day
    both = {row.taster for row in day.table.rows}
    kept = tuple(row for row in day.rows.rows if row.taster in both)
    return day if len(kept) == len(day.rows.rows) else _day(replace(day.rows, rows=kept), question)


def _formula(day: _Day, step: float | None) -> tuple[Procedure, OneCook]:
    reach = day.table.value_range
    if len(day.pairs) >= 2:
        return "pairs_of_one_cook", of_differences(day.pairs, reach, step)
    # Lots drawn inside pairs: what is left of one pair is no reason to take its pieces for free.
    if len(day.a) >= 2 and len(day.b) >= 2 and day.pairs_drawn < 2:
        return "units_of_one_cook", of_groups(day.a, day.b, reach, step)
    if day.single and len(day.tasters) >= 3:
        return "tasters_of_these_pieces", of_differences(day.tasters, reach, step)
    if day.single and len(day.tasters) == 1:
        found = of_groups(*_servings(day.rows), reach, step)
        if found.df:
            return "servings_of_one_taster", found
    estimate = mean(day.tasters) if day.tasters else mean(day.a) - mean(day.b)
    return "none", OneCook(estimate, 0, None, None, False)


def _servings(rows: Rows) -> tuple[list[float], list[float]]:
    """The servings of each method: one number for each piece and named serving."""
    cells: dict[tuple[str, str, str], list[float]] = defaultdict(list)
    for number, row in enumerate(rows.rows):
        cells[row.method, row.piece, row.serving or f"\0{number}"].append(row.value)
    a, b = (
        [mean(values) for (method, *_), values in cells.items() if method == m]
        for m in (rows.a, rows.b)
    )
    return a, b


def _what_lacks(day: _Day) -> Message:
    if day.pairs_drawn >= 2:
        return msg(
            "One cook day with fewer than two pairs whose two sides one taster scored: a second"
            " pair is missing, or a second cook day."
        )
    if len(day.a) != len(day.b):
        method = day.rows.a if len(day.a) < len(day.b) else day.rows.b
        return msg(
            "One cook day with a single unit of {method}: a second unit of {method} is missing,"
            " or a second cook day.",
            method=method,
        )
    if day.rows.measured or not day.single:
        return msg(
            "One cook day with one unit of each method: a second unit of each is missing, or a"
            " second cook day."
        )
    if len(day.tasters) == 1:
        return msg(
            "One taster and one serving of each piece: a second blind serving of each is missing."
        )
    return msg(
        "One cook day, one unit of each method and {tasters} tasters who scored both: a second"
        " unit of each, a second cook day or three tasters are missing.",
        tasters=len(day.tasters),
    )


def _unpaired(day: _Day, procedure: Procedure) -> tuple[Message, ...]:
    if procedure != "pairs_of_one_cook" or not day.unpaired:
        return ()
    return (msg_n(
        "{count} unit is in no pair with both sides scored: not counted.",
        "{count} units are in no pair with both sides scored: not counted.",
        day.unpaired,
    ),)  # fmt: skip


def _no_scatter(found: OneCook) -> tuple[Message, ...]:
    if not found.no_spread:
        return ()
    if found.spread is None:
        return (msg("All of them give the same difference: no scatter, so no interval."),)
    return (msg("All of them give the same difference: the scale's step alone sets the interval."),)


def _comparison(day: _Day, found: OneCook, procedure: Procedure, alpha: float) -> Comparison:
    plain = Comparison(
        day.rows.a,
        day.rows.b,
        estimate=found.estimate,
        sd=found.sd,
        mean_a=mean(day.a),
        mean_b=mean(day.b),
    )
    return with_interval(plain, found, alpha, tasters=procedure == "tasters_of_these_pieces")


def with_interval(
    plain: Comparison, found: OneCook, alpha: float, *, tasters: bool = False
) -> Comparison:
    """The comparison with the interval of one cook; `tasters`: it is that for others like them."""
    if found.spread is None:
        return replace(plain, se=0.0, df=found.df) if found.no_spread else plain
    spread, estimate = found.spread, found.estimate
    wide, narrow = spread.half_width(alpha), spread.half_width(2 * alpha)
    plain = replace(
        plain,
        se=spread.scale,
        df=spread.df,
        t=estimate / spread.scale,
        p=two_sided_p(estimate / spread.scale, spread.df),
        low=estimate - wide,
        high=estimate + wide,
        inner_low=estimate - narrow,
        inner_high=estimate + narrow,
        half_width=wide,
    )
    # Where tasters are the error, this interval is the one for others like them.
    return replace(plain, others=_as_others(plain, spread)) if tasters else plain


def _as_others(plain: Comparison, spread: Spread) -> Others:
    assert plain.estimate is not None
    wide, narrow = plain.half_width or 0.0, plain.estimate - (plain.inner_low or 0.0)
    return Others(
        low=plain.estimate - wide,
        high=plain.estimate + wide,
        p=spread.level_at(abs(plain.estimate)),
        inner_low=plain.estimate - narrow,
        inner_high=plain.estimate + narrow,
    )

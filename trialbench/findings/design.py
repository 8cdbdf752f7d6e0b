"""What a table's design allows: its scope, and the procedure that gives the error (section 6.2)."""

from __future__ import annotations

from dataclasses import dataclass, field

from trialbench.findings.finding import Comparison, Others, Procedure, Scope
from trialbench.findings.question import AnalysisQuestion
from trialbench.findings.rows import Rows
from trialbench.model.message import Message
from trialbench.stats.likeness import OthersInterval
from trialbench.stats.numbers import mean
from trialbench.stats.over import OverCooks
from trialbench.stats.taster_rows import CookTable


@dataclass(frozen=True, slots=True, kw_only=True)
class Reckoned:
    """A comparison with the design it rests on.

    `rows` and `table` are those that belong to the answer (one cook of them in batch and taster
    scope). `lacks` says what is missing where no df is left.
    """

    scope: Scope
    procedure: Procedure
    comparison: Comparison
    rows: Rows
    table: CookTable
    no_spread: bool = False
    lacks: Message | None = None
    notes: tuple[Message, ...] = field(default=())


def over_cooks_reckoned(
    rows: Rows, table: CookTable, over: OverCooks, question: AnalysisQuestion
) -> Reckoned:
    """Two cooks or more carry both methods: one number per cook."""
    inner = over.interval(2 * question.alpha) or (None, None)
    comparison = Comparison(
        a=rows.a,
        b=rows.b,
        estimate=over.estimate,
        se=over.se,
        df=over.df,
        t=over.t,
        p=over.p,
        low=over.low,
        high=over.high,
        inner_low=inner[0],
        inner_high=inner[1],
        half_width=over.spread.half_width(question.alpha) if over.spread else None,
        sd=over.sd,
        mean_a=mean(day.mean_a for day in over.cook_differences),
        mean_b=mean(day.mean_b for day in over.cook_differences),
        others=others_of(over.others, question.alpha),
    )
    return Reckoned(
        scope="method",
        procedure="over_cooks",
        comparison=comparison,
        rows=rows,
        table=table,
        no_spread=over.no_spread,
        notes=over.notes,
    )


def others_of(second: OthersInterval | None, alpha: float) -> Others | None:
    """The interval for others like these tasters, at level 1 - alpha and at 1 - 2 alpha."""
    if second is None:
        return None
    low, high = second.interval(alpha)
    inner_low, inner_high = second.interval(2 * alpha)
    return Others(
        low=low,
        high=high,
        p=second.p,
        inner_low=inner_low,
        inner_high=inner_high,
        cooks=second.cooks.half_width(alpha),
        tasters=second.tasters.half_width(alpha),
        overlap=second.overlap.half_width(alpha) if second.overlap else 0.0,
        overlap_df=second.overlap_df,
    )

"""A finding's numbers turned so that the leading method comes first: "B over A"."""

from __future__ import annotations

from dataclasses import dataclass

from trialbench.findings.finding import Comparison, Finding
from trialbench.model.message import Message, msg, msg_n, say


@dataclass(frozen=True)
class Row:
    """One thing that counts: a cook day, or a pair or taster where there is one cook day.

    `inside` are the differences of its pairs, shown only where there are several.
    """

    label: str
    value: float
    inside: tuple[float, ...] = ()


@dataclass(frozen=True)
class Directed:
    """Differences first less second. `counted` says what the rows are, with their number."""

    first: str
    second: str
    rows: tuple[Row, ...]
    counted: Message
    all_label: str
    estimate: float | None = None
    low: float | None = None
    high: float | None = None
    inner_low: float | None = None
    inner_high: float | None = None
    waiting: bool = False

    def numbers(self) -> list[float]:
        """Every number that the picture must hold."""
        ends = [self.estimate, self.low, self.high, self.inner_low, self.inner_high]
        rows = [value for row in self.rows for value in (row.value, *row.inside)]
        return rows + [end for end in ends if end is not None]


def leading_of(finding: Finding) -> str:
    """The method named first: the favoured one, else the easier, else the one that came out better.

    Where no way is better, the higher one.
    """
    plain = finding.comparison
    if finding.favours is not None:
        return finding.favours
    if finding.easier is not None:
        return finding.easier
    if plain.estimate is None or plain.estimate == 0:
        return plain.b
    higher = plain.a if plain.estimate > 0 else plain.b
    if finding.better == "lower":
        return plain.b if higher == plain.a else plain.a
    return higher


def second_of(comparison: Comparison, first: str) -> str:
    """The other one of two methods."""
    return comparison.b if first == comparison.a else comparison.a


def turned(comparison: Comparison, first: str) -> tuple[float | None, ...]:
    """Estimate, outer and inner limits as first less second."""
    plain = comparison
    if first == plain.a:
        return plain.estimate, plain.low, plain.high, plain.inner_low, plain.inner_high
    ends = (plain.estimate, plain.high, plain.low, plain.inner_high, plain.inner_low)
    return tuple(None if end is None else -end for end in ends)


def directed(finding: Finding, leading: str | None = None) -> Directed:
    """The finding's numbers as its picture shows them."""
    plain = finding.comparison
    first = leading if leading in (plain.a, plain.b) else leading_of(finding)
    turn = 1.0 if first == plain.a else -1.0
    rows, counted, label = _rows(finding, turn)
    estimate, low, high, inner_low, inner_high = turned(plain, str(first))
    return Directed(
        first=str(first),
        second=second_of(plain, str(first)),
        rows=rows,
        counted=counted,
        all_label=label,
        estimate=estimate,
        low=low,
        high=high,
        inner_low=inner_low,
        inner_high=inner_high,
        waiting=finding.case == "no_claim",
    )


def _rows(finding: Finding, turn: float) -> tuple[tuple[Row, ...], Message, str]:
    if finding.procedure == "tasters_of_these_pieces":
        tasters = tuple(Row(t.taster, turn * t.difference) for t in finding.taster_differences)
        counted = msg_n("{count} taster", "{count} tasters", len(tasters))
        return tasters, counted, _two_lines(counted)
    days = finding.cook_differences
    if finding.procedure == "pairs_of_one_cook" and len(days) == 1:
        pairs = tuple(
            Row(say(msg("pair {pair}", pair=p.pair)), turn * p.difference)
            for p in days[0].pairs
            if p.difference is not None
        )
        counted = msg_n("{count} pair", "{count} pairs", len(pairs))
        return pairs, counted, _two_lines(counted)
    rows = tuple(
        Row(
            say(msg("day {cook}", cook=day.cook)),
            turn * day.difference,
            tuple(turn * p.difference for p in day.pairs if p.difference is not None)
            if len(day.pairs) > 1
            else (),
        )
        for day in days
    )
    counted = msg_n("{count} cook day", "{count} cook days", len(rows))
    return rows, counted, _two_lines(counted)


def _two_lines(counted: Message) -> str:
    """ "4 cook days" over two lines."""
    number, _, rest = say(counted).partition(" ")
    head, _, tail = rest.partition(" ")
    return f"{number} {head}\n{tail}" if tail else f"{number} {head}"

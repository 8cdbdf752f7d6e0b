"""The command `trialbench`: opens a notebook, or answers on the command line.

    trialbench [NOTEBOOK]
    trialbench analyse TABLE.csv --value COLUMN --method COLUMN ...

Exit code 0 with an answer, 2 for input that cannot be read, with one message on stderr.
"""

from __future__ import annotations

import argparse
import json
import math
import sys
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, NoReturn

from trialbench import __version__
from trialbench.model.errors import BadInput, TrialbenchError

if TYPE_CHECKING:
    from trialbench.findings.finding import Finding
    from trialbench.findings.question import AnalysisQuestion, Columns

BAD_INPUT = 2


@dataclass(frozen=True, slots=True)
class Command:
    """A verb of the command line: its one line of help, its options, and what it does."""

    help: str
    options: Callable[[argparse.ArgumentParser], None]
    run: Callable[[argparse.Namespace], int]


class _Parser(argparse.ArgumentParser):
    """A parser whose complaints are `BadInput`, so that every message goes out the same way."""

    def error(self, message: str) -> NoReturn:
        raise BadInput(
            f"{message[:1].upper()}{message[1:]}.",
            where="command line",
            allowed=f"{self.prog} --help lists the options",
        )


def main(argv: Sequence[str] | None = None) -> int:
    """Run the command line `argv` (that of the process by default) and return the exit code."""
    words = list(sys.argv[1:] if argv is None else argv)
    try:
        if words and words[0] in COMMANDS:
            return _run_command(words[0], words[1:])
        return _open_window(words)
    except TrialbenchError as trouble:
        print(_complaint(trouble, as_json="--json" in words), file=sys.stderr)
        return BAD_INPUT


def _run_command(name: str, words: Sequence[str]) -> int:
    command = COMMANDS[name]
    parser = _Parser(prog=f"trialbench {name}", description=command.help, allow_abbrev=False)
    command.options(parser)
    return command.run(parser.parse_args(words))


def _open_window(words: Sequence[str]) -> int:
    verbs = "\n".join(f"  trialbench {name}: {each.help}" for name, each in COMMANDS.items())
    parser = _Parser(
        prog="trialbench",
        description="A notebook for side-by-side cooking trials.",
        epilog=f"Also:\n{verbs}",
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument(
        "notebook", nargs="?", type=Path, help="the notebook file; without it, your usual one"
    )
    parser.add_argument("--version", action="version", version=f"trialbench {__version__}")
    path = parser.parse_args(words).notebook
    from trialbench.ui.start import run

    return run(path)


def _complaint(trouble: TrialbenchError, *, as_json: bool) -> str:
    where, allowed = getattr(trouble, "where", ""), getattr(trouble, "allowed", "")
    if as_json:
        return json.dumps(
            {"error": str(trouble), "where": str(where), "allowed": str(allowed)},
            ensure_ascii=False,
        )
    return f"trialbench: {trouble} Allowed: {allowed}." if allowed else f"trialbench: {trouble}"


# --- analyse ---------------------------------------------------------------------------------


def _analyse_options(parser: argparse.ArgumentParser) -> None:
    add = parser.add_argument
    add("file", type=Path, metavar="FILE.csv", help="one row for each score, names in line one")
    add("--value", required=True, metavar="COL", help="column of scores or measurements")
    add("--method", required=True, metavar="COL", help="column of methods")
    add("--block", metavar="COL", help="column of cooks; without it, all is one cook")
    add("--pair", metavar="COL", help="column of matched pairs inside a cook")
    add("--piece", metavar="COL", help="column of pieces; names count within cook and method")
    add("--load", metavar="COL", help="column of loads (pieces of one method treated together)")
    add("--taster", metavar="COL", help="column of tasters; without it, values are measurements")
    add(
        "--serving",
        metavar="COL",
        help="column that tells repeated servings apart; without --taster, they are one taster's",
    )
    add("--compare", metavar="A,B", help="the two methods, where the table has more")
    add("--every-pair", action="store_true", help="each pair of three methods or more")
    add("--usual", metavar="LABEL", help="each other method against this one")
    add("--factors", metavar="COL,COL", help="columns whose levels the methods cross")
    add("--settings", metavar="COL", help="column with the number that each method is set to")
    add("--better", choices=("higher", "lower", "neither"), default="higher")
    add("--kind", choices=("better", "at-least-as-good"), default="better")
    add("--easier", metavar="LABEL", help="the method that is less work (at-least-as-good)")
    add("--same-recipe", action="store_true", help="both labels are one recipe")
    add("--matters", type=_number, metavar="D", help="smallest difference that matters, above 0")
    add("--step", type=_number, metavar="STEP", help="step of the scale")
    add("--planned-cooks", type=_count, metavar="N", help="number of cooks fixed beforehand")
    add("--alpha", type=_number, default=0.05, metavar="A", help="0.05 unless said")
    add("--json", action="store_true", help="the answer as JSON")


def _number(text: str) -> float:
    try:
        return float(text)
    except ValueError:
        raise argparse.ArgumentTypeError(f"{text!r} is not a number") from None


def _count(text: str) -> int:
    try:
        return int(text)
    except ValueError:
        raise argparse.ArgumentTypeError(f"{text!r} is not a whole number") from None


def _analyse(options: argparse.Namespace) -> int:
    from trialbench.exchange.table_file import read_table
    from trialbench.findings.judging import judge

    columns = _columns(options)
    factors = _factors(options)
    named = [name for name in (*columns.names(), *factors, options.settings) if name is not None]
    table = read_table(options.file, columns.value, [n for n in named if n != columns.value])
    if options.every_pair or options.usual or factors or options.settings:
        return _analyse_several(options, columns, table)
    finding = judge(table, _question(options, columns, table))
    print(_as_json(finding) if options.json else _as_text(finding))
    return 0


def _factors(options: argparse.Namespace) -> list[str]:
    return [name.strip() for name in (options.factors or "").split(",") if name.strip()]


def _analyse_several(
    options: argparse.Namespace, columns: Columns, table: dict[str, list[object]]
) -> int:
    from trialbench.findings.judging_several import judge_several
    from trialbench.findings.of_table import lines_of, plan_of_table
    from trialbench.findings.wording import Names
    from trialbench.findings.wording_several import whole_headline

    plan = plan_of_table(
        table,
        columns.method,
        usual=options.usual,
        factors=_factors(options),
        settings=options.settings,
    )
    found = judge_several((table, _question(options, columns, table)), plan)
    widest = max((c.finding.comparison.half_width or 0.0 for c in found.claims), default=0.0)
    names = Names(outcome=found.outcome, decimals=_decimals(widest))
    if options.json:
        headline = str(whole_headline(found, names))
        print(json.dumps(found.to_json(headline), ensure_ascii=False, indent=1, allow_nan=False))
    else:
        print("\n".join(lines_of(found, names, names.decimals)))
    return 0


def _columns(options: argparse.Namespace) -> Columns:
    from trialbench.findings.question import Columns

    return Columns(
        value=options.value,
        method=options.method,
        cook=options.block,
        pair=options.pair,
        piece=options.piece,
        load=options.load,
        taster=options.taster,
        serving=options.serving,
    )


def _question(
    options: argparse.Namespace, columns: Columns, table: dict[str, list[object]]
) -> AnalysisQuestion:
    from trialbench.findings.question import AnalysisQuestion

    there = {str(label) for label in table[columns.method]}
    return AnalysisQuestion(
        columns=columns,
        kind=options.kind,
        better=options.better,
        matters=options.matters,
        step=options.step,
        easier=options.easier,
        same_recipe=options.same_recipe,
        planned_cooks=options.planned_cooks,
        compare=_compared(options.compare, there),
        alpha=options.alpha,
    )


def _compared(text: str | None, there: set[str]) -> tuple[str, str] | None:
    """Both labels of "A,B"; where labels hold commas, the cut that gives two known ones."""
    if text is None:
        return None
    parts = text.split(",")
    cuts = [
        (",".join(parts[:n]).strip(), ",".join(parts[n:]).strip()) for n in range(1, len(parts))
    ]
    if not cuts:
        raise BadInput(
            f"{text!r} names one method.", where="--compare", allowed="two labels, as in A,B"
        )
    known = [cut for cut in cuts if set(cut) <= there]
    return (known or cuts)[0]


def _as_json(finding: Finding) -> str:
    from trialbench.findings.wording import Names, whole_headline

    headline = str(whole_headline(finding, Names(outcome=finding.outcome)))
    return json.dumps(finding.to_json(headline), ensure_ascii=False, indent=1, allow_nan=False)


def _as_text(finding: Finding) -> str:
    from trialbench.findings import wording
    from trialbench.model.numbers import shortest

    plain = finding.comparison
    decimals = _decimals(plain.half_width or abs(plain.estimate or 0.0))
    names = wording.Names(outcome=finding.outcome, decimals=decimals)
    lines = [str(wording.whole_headline(finding, names))]
    if plain.estimate is not None:
        size = f"{plain.a} less {plain.b}: {shortest(plain.estimate, max(4, decimals + 1))}"
        if plain.low is not None and plain.high is not None:
            level = shortest(100 * (1 - finding.alpha), 1)
            low, high = (shortest(limit, max(4, decimals + 1)) for limit in (plain.low, plain.high))
            size += f"  ({level} % interval {low} to {high})"
        lines.append(size)
    for said in (wording.ruled_out(finding, names), wording.cost(finding, names)):
        lines += [str(said)] if said is not None else []
    lines += [f"- {note}" for note in finding.notes]
    return "\n".join(lines)


def _decimals(size: float) -> int:
    """Decimals that show two figures of a half-width: 2 as a rule, more or none by its size."""
    if size <= 0.0 or 0.1 <= size < 100.0:
        return 2
    return max(0, 1 - math.floor(math.log10(size)))


# --- report ----------------------------------------------------------------------------------


def _report_options(parser: argparse.ArgumentParser) -> None:
    add = parser.add_argument
    add("source", type=Path, metavar="NOTEBOOK_OR_PACKAGE", help="a notebook, or a package")
    add("trial", nargs="?", metavar="TRIAL", help="its number; needed where there are several")
    add(
        "-o", "--out", type=Path, required=True, metavar="OUT",
        help="out.md, .html, .pdf, .csv, or .json for what was sealed",
    )  # fmt: skip


def _report(options: argparse.Namespace) -> int:
    from trialbench.exchange.opened import is_package, open_package
    from trialbench.report.command import report

    print(
        report(
            options.source,
            options.trial,
            options.out,
            is_package=is_package(options.source) or options.source.is_dir(),
            open_package=open_package,
        )
    )
    return 0


COMMANDS: dict[str, Command] = {
    "analyse": Command("what a table of scores supports, and no more", _analyse_options, _analyse),
    "report": Command("the recipe note of a trial on paper or as text", _report_options, _report),
}
"""The verbs of the command line by name."""

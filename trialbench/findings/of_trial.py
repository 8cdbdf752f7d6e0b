"""From the records of a trial to its TrialFinding: runs in the worker, on a snapshot."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import Literal

from trialbench.findings.asked_otherwise import as_asked_before
from trialbench.findings.cautions import cautions_of, subject_name
from trialbench.findings.contrasts import method_plan
from trialbench.findings.days_in_order import family_in_order, in_order, several_in_order
from trialbench.findings.finding import Better
from trialbench.findings.names import names_of
from trialbench.findings.question import AnalysisQuestion, Columns
from trialbench.findings.redraws import allowed_redraws, drawn_within_pairs
from trialbench.findings.several_finding import SeveralFinding
from trialbench.findings.snapshot import TrialRecords, records_of
from trialbench.findings.tables import (
    COLUMNS,
    Table,
    left_out_after,
    left_out_before,
    opened_samples,
    tables_of,
)
from trialbench.findings.trial_finding import (
    MissingNumbers,
    OtherAnswer,
    OtherSeveralAnswer,
    TrialFinding,
)
from trialbench.model.errors import BadInput
from trialbench.model.message import Message, msg
from trialbench.model.records import Cook, LeftOut, Method, Sitting
from trialbench.notebook import views
from trialbench.notebook.records_read import Reads

_BETTER: dict[str, Better] = {
    "more": "higher",
    "less": "lower",
    "target": "lower",
    "neither": "neither",
}


def reckon(book: Reads, trial_id: str) -> TrialFinding:
    """What the trial supports now. `book` is a notebook, or a snapshot of its records.

    Never raises for data that are missing or cannot be reckoned yet: `why_nothing` says so then.
    Raises NoSuchTrial.
    """
    return reckon_trial(records_of(book, trial_id))


def reckon_trial(records: TrialRecords) -> TrialFinding:
    """The same for the records of one trial, for the question that was asked beforehand."""
    return as_asked_before(records, _as_it_stands)


def _as_it_stands(records: TrialRecords) -> TrialFinding:
    tables = {table.outcome.id: table for table in tables_of(records)}
    deciding = tables.get(records.trial.decides_id or "")
    plain = TrialFinding(
        trial_id=records.trial.id,
        family=None,
        names=tuple((t.outcome.name, names_of(records, t.outcome)) for t in tables.values()),
        missing=tuple(_missing(tables.values())),
        cautions=cautions_of(records, tuple(tables.values())),
        cook_dates=tuple((str(cook.number), cook.date) for cook in records.of(Cook)),
        planned_cooks=records.trial.planned_cooks if _sealed(records) else None,
        cooks_opened=_cooks_opened(records),
    )
    why = _why_nothing(records, deciding)
    if why is not None or deciding is None:
        return replace(plain, why_nothing=why)
    others = [table for table in tables.values() if table is not deciding]
    return _judged(records, plain, deciding, others)


def _judged(
    records: TrialRecords, plain: TrialFinding, deciding: Table, others: Sequence[Table]
) -> TrialFinding:
    if len(records.of(Method)) > 2:
        return _several(records, plain, deciding, others)
    return _two(records, plain, deciding, others)


def _several(
    records: TrialRecords, plain: TrialFinding, deciding: Table, others: Sequence[Table]
) -> TrialFinding:
    from trialbench.findings.judging_several import judge_several

    before = [one.subject_id for one in left_out_before(records)]
    first, *rest = (table.without(before) for table in (deciding, *others))
    spoken, silent = _with_both_methods(rest)

    def judged(table: Table, besides: Sequence[Table] = ()) -> SeveralFinding:
        asked = [_asked(records, each, plain.planned_cooks) for each in (table, *besides)]
        plan = method_plan(records, sorted({row.method for row in table.rows}))
        return several_in_order(judge_several(asked[0], plan, asked[1:]))

    try:
        found = judged(first, spoken)
    except BadInput as error:
        return replace(plain, why_nothing=msg("{why}", why=str(error)))
    answers = []
    for way, table, subjects in _other_ways(records, deciding, before):
        try:
            answers.append(OtherSeveralAnswer(way, subjects, judged(table)))
        except BadInput:
            continue
    bare = [m.letter for m in records.of(Method) if m.letter not in found.plan.letters]
    if bare:
        note = msg("No numbers yet of {letters}.", letters=", ".join(sorted(bare)))
        found = found.with_notes((note, *found.notes))
    return replace(
        plain,
        several=found,
        other_several=tuple(answers),
        not_reckoned=tuple((t.outcome.name, "no numbers of two methods") for t in silent),
    )


def _two(
    records: TrialRecords, plain: TrialFinding, deciding: Table, others: Sequence[Table]
) -> TrialFinding:
    from trialbench.findings.judging import judge, judge_family

    before = [one.subject_id for one in left_out_before(records)]
    counted = [table.without(before) for table in (deciding, *others)]
    spoken, silent = _with_both_methods(counted[1:])
    first = _asked(records, counted[0], plain.planned_cooks)
    try:
        family = judge_family(first, [_asked(records, t, plain.planned_cooks) for t in spoken])
    except BadInput as error:
        return replace(plain, why_nothing=msg("{why}", why=str(error)))
    answers = []
    for way, table, subjects in _other_ways(records, deciding, before):
        try:
            finding = judge(*_asked(records, table, plain.planned_cooks))
        except BadInput:
            continue
        answers.append(OtherAnswer(way, subjects, in_order(finding)))
    return replace(
        plain,
        family=family_in_order(family),
        other_answers=tuple(answers),
        not_reckoned=tuple((t.outcome.name, "no numbers of both methods") for t in silent),
    )


def _with_both_methods(tables: Iterable[Table]) -> tuple[list[Table], list[Table]]:
    spoken: list[Table] = []
    silent: list[Table] = []
    for table in tables:
        both = len({row.method for row in table.rows}) >= 2
        (spoken if both else silent).append(table)
    return spoken, silent


def _other_ways(
    records: TrialRecords, deciding: Table, before: Sequence[str]
) -> Iterable[tuple[Literal["without", "with"], Table, tuple[tuple[str, str], ...]]]:
    after = left_out_after(records)
    if after:
        gone = [*before, *(one.subject_id for one in after)]
        yield "without", deciding.without(gone), _subjects(records, after)
    if before:
        yield "with", deciding, _subjects(records, left_out_before(records))


def _subjects(records: TrialRecords, set_aside: Iterable[LeftOut]) -> tuple[tuple[str, str], ...]:
    return tuple((subject_name(records, one), one.reason) for one in set_aside)


def _asked(
    records: TrialRecords, table: Table, planned_cooks: int | None
) -> tuple[dict[str, list[object]], AnalysisQuestion]:
    trial, outcome = records.trial, table.outcome
    decides = outcome.id == trial.decides_id
    at_least = decides and trial.question == "at_least_as_good"
    easier = records.find(Method, trial.easier_id)
    question = AnalysisQuestion(
        columns=_columns(table),
        outcome=outcome.name,
        kind="at-least-as-good" if at_least else "better",
        better=_BETTER.get(outcome.better, "neither"),
        matters=trial.matters if decides else None,
        step=views.range_of(outcome).step if table.tasted else None,
        easier=easier.letter if at_least and easier else None,
        same_recipe=trial.question == "same_recipe",
        planned_cooks=planned_cooks,
        alpha=trial.alpha,
        assignments=allowed_redraws(records),
        draw_within_pairs=drawn_within_pairs(records),
        lot_number=_lot_number(records),
    )
    return {name: [getattr(row, name) for row in table.rows] for name in COLUMNS}, question


def _columns(table: Table) -> Columns:
    return Columns(
        value="value",
        method="method",
        cook="cook",
        piece="piece",
        pair="pair" if any(row.pair for row in table.rows) else None,
        load="load" if any(row.load for row in table.rows) else None,
        taster="taster" if table.tasted else None,
        serving="repeat" if table.tasted else None,
    )


def _lot_number(records: TrialRecords) -> int:
    draw = views.latest_draw(records, records.trial.id)
    return draw.lot_number if draw else 1


def _why_nothing(records: TrialRecords, deciding: Table | None) -> Message | None:
    methods = len(records.of(Method))
    if methods < 2:
        return msg("A finding needs two methods; this trial has {methods}.", methods=methods)
    if deciding is None:
        return msg("Nothing decides yet: name the outcome that decides on the Question page.")
    if records.trial.question == "at_least_as_good":
        if records.trial.matters is None:
            return msg("Say how much worse would matter: d is not written on the Question page.")
        if methods == 2 and records.find(Method, records.trial.easier_id) is None:
            return msg("Say which method is the easier one on the Question page.")
    if deciding.tasted and not opened_samples(records):
        return msg("No key is open yet. Until then there is nothing to see here.")
    if len({row.method for row in deciding.rows}) < 2:
        name = deciding.outcome.name
        return msg("{outcome}: there are no numbers of both methods yet.", outcome=name)
    return None


def _missing(tables: Iterable[Table]) -> Iterable[MissingNumbers]:
    for table in tables:
        for gone in table.missing:
            yield MissingNumbers(table.outcome.name, gone.method, gone.reason, gone.count)


def _sealed(records: TrialRecords) -> bool:
    return views.seal(records, records.trial.id) is not None


def _cooks_opened(records: TrialRecords) -> int:
    return len({sitting.cook_id for sitting in records.of(Sitting) if sitting.key_state == "open"})

"""What stands beside a finding and never changes it: how the data came about.

`SOURCES` is the whole list. What came about in some other way (salt as weighed, a re-plan, a change
after the seal) gets a small module with one function `(records, tables) -> Iterable[Message]`, and
one line there; the Findings page, "How it was reckoned" and every report then show it.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence

from trialbench.findings.redraws import places_not_held
from trialbench.findings.replanned import replanned
from trialbench.findings.salted import salted_off_plan
from trialbench.findings.snapshot import TrialRecords
from trialbench.findings.tables import Table, left_out_after, left_out_before
from trialbench.model.message import Message, msg, msg_n
from trialbench.model.records import LeftOut, Method, Piece, Score, Sitting, Taster
from trialbench.notebook import views
from trialbench.planning.sealed_and_done import differs_from_seal

Source = Callable[[TrialRecords, Sequence[Table]], Iterable[Message]]


def cautions_of(records: TrialRecords, tables: Sequence[Table]) -> tuple[Message, ...]:
    """Every caution about how the data came about, in the order of `SOURCES`; none twice."""
    said = (message for source in SOURCES for message in source(records, tables))
    return tuple(dict.fromkeys(said))


def _about_the_seal(records: TrialRecords, tables: Sequence[Table]) -> Iterator[Message]:
    seal = views.seal(records, records.trial.id)
    opened = [s.opened_utc for s in records.of(Sitting) if s.key_state == "open"]
    if seal is None:
        if opened or records.of(Score):
            yield msg("The plan was not sealed: what decides was not fixed beforehand.")
    elif any(utc < seal.made_utc for utc in opened):
        yield msg("A key was open before the plan was sealed.")


def _changed_since_the_seal(records: TrialRecords, tables: Sequence[Table]) -> Iterable[Message]:
    return differs_from_seal(records)


def _about_keys(records: TrialRecords, tables: Sequence[Table]) -> Iterator[Message]:
    for sitting in records.of(Sitting):
        if sitting.opened_early_reason:
            yield msg(
                "The key of sitting {number} was opened before all score cards were in: {why}.",
                number=sitting.number,
                why=sitting.opened_early_reason.rstrip("."),
            )
    changed = sum(score.changed_after_opening for score in records.of(Score))
    if changed:
        yield msg_n(
            "{count} score was written or changed with the key open.",
            "{count} scores were written or changed with the key open.",
            changed,
        )


def _left_out(records: TrialRecords, tables: Sequence[Table]) -> Iterator[Message]:
    for one in left_out_after(records):
        yield msg(
            "{what} was set aside with the key open: {why}. The headline keeps it; both answers "
            "are shown.",
            what=subject_name(records, one),
            why=one.reason.rstrip("."),
        )
    for one in left_out_before(records):
        yield msg(
            "{what} was set aside before any key was open: {why}. The headline goes without it; "
            "both answers are shown.",
            what=subject_name(records, one),
            why=one.reason.rstrip("."),
        )


def subject_name(records: TrialRecords, one: LeftOut) -> str:
    """The label of the piece, or the alias of the taster, that was set aside."""
    piece, taster = records.find(Piece, one.subject_id), records.find(Taster, one.subject_id)
    return piece.label if piece else taster.alias if taster else one.subject_id


def _missing_by_method(records: TrialRecords, tables: Sequence[Table]) -> Iterator[Message]:
    for table in tables:
        yield from _missing_of(records, table)


def _missing_of(records: TrialRecords, table: Table) -> Iterator[Message]:
    gone = Counter({method.letter: 0 for method in records.of(Method)})
    for missing in table.missing:
        gone[missing.method] += missing.count
    if len(set(gone.values())) > 1:
        counts = ", ".join(f"{letter} {count}" for letter, count in sorted(gone.items()))
        if len(gone) > 2:
            yield msg(
                "{outcome}: not as much is missing in each method ({counts}). If that has to do "
                "with the method, the finding leans.",
                outcome=table.outcome.name,
                counts=counts,
            )
            return
        yield msg(
            "{outcome}: more is missing in one method than in the other ({counts}). If that has "
            "to do with the method, the finding leans.",
            outcome=table.outcome.name,
            counts=counts,
        )


def _places_not_held(records: TrialRecords, tables: Sequence[Table]) -> Iterator[Message]:
    if places_not_held(records):
        yield msg(
            "The redraw test goes over all draws within blocks: those with even places are too "
            "many to list."
        )


SOURCES: tuple[Source, ...] = (
    _about_the_seal,
    _changed_since_the_seal,
    _about_keys,
    _left_out,
    _missing_by_method,
    salted_off_plan,
    replanned,
    _places_not_held,
)
"""Where cautions come from, dearest first: one line adds a source."""

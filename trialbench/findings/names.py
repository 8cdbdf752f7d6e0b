"""From records to what outcomes and methods are called in sentences."""

from __future__ import annotations

from dataclasses import replace

from trialbench.findings.phrases import Form, Names
from trialbench.findings.snapshot import TrialRecords
from trialbench.findings.tables import aims_at
from trialbench.model.message import msg
from trialbench.model.numbers import shortest
from trialbench.model.records import Checkpoint, Method, Outcome


def names_of(records: TrialRecords, outcome: Outcome) -> Names:
    """How an outcome and the methods are called in sentences; a percentage names its base."""
    methods = tuple((m.letter, m.name) for m in records.of(Method))
    plain = Names(
        methods=methods,
        outcome=outcome.name,
        measure=measure_of(records, outcome),
        decimals=0 if outcome.source == "mass" else 1,
    )
    target = aims_at(outcome)
    if target is not None:
        return _distance(plain, shortest(target))
    form = _form(outcome)
    if form == "plain":
        return plain
    return replace(plain, more=outcome.more_word, less=outcome.less_word, form=form)


def _distance(plain: Names, target: str) -> Names:
    """What is judged is how far the numbers are from a target, so the lower one came closer."""
    return replace(
        plain,
        more=msg("farther from {target} in {outcome}", target=target, outcome=plain.outcome),
        less=msg("closer to {target} in {outcome}", target=target, outcome=plain.outcome),
        form="adjective",
    )


def _form(outcome: Outcome) -> Form:
    """How the words stand in a sentence: "juicier" after "is", "loses less" by itself."""
    if not outcome.more_word or not outcome.less_word:
        return "plain"
    if outcome.source == "attribute":
        return "adjective"
    return "verb" if outcome.more_word.split()[0].endswith("s") else "plain"


def measure_of(records: TrialRecords, outcome: Outcome) -> str:
    """What the numbers count: "points", "g", "% of trimmed"."""
    base = records.find(Checkpoint, outcome.from_checkpoint_id)
    if outcome.source in ("loss", "yield") and base is not None:
        return f"% of {base.name}"
    return outcome.unit

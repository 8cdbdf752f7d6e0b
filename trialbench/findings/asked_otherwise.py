"""A question changed once the answer could be seen: the headline keeps the earlier question.

What is asked otherwise since is reckoned too, and said beside it (policy 6.9, 6.11).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from trialbench.findings import wording_several
from trialbench.findings.snapshot import TrialRecords, trial_records
from trialbench.findings.trial_finding import TrialFinding
from trialbench.findings.wording import whole_headline
from trialbench.model.message import Message, msg
from trialbench.model.records import KINDS, Record
from trialbench.planning.asked import AskedBefore, asked_before
from trialbench.planning.plan_changed import together

Reckon = Callable[[TrialRecords], TrialFinding]


def as_asked_before(records: TrialRecords, reckon: Reckon) -> TrialFinding:
    """The finding for the question as it stood before the answer could be seen.

    Where nothing was asked otherwise since, that is simply what `reckon` gives.
    """
    before = asked_before(records)
    if before is None:
        return reckon(records)
    found, other = reckon(with_question(records, before)), reckon(records)
    said = msg(
        "What is asked was changed with a key open ({what}). The headline keeps what was asked "
        "before.",
        what=together(before.changes),
    )
    return replace(found, cautions=(said, *_asked_now(other), *other.cautions))


def with_question(records: TrialRecords, before: AskedBefore) -> TrialRecords:
    """The same records with the question as it was asked."""
    asked = {each.id: each for each in (before.trial, *before.outcomes)}
    kept: list[Record] = [
        asked.get(one.id, one) for kind in KINDS for one in records.records.all(kind)
    ]
    return trial_records(kept, records.trial.id)


def _asked_now(other: TrialFinding) -> tuple[Message, ...]:
    """The headline of the question as it is asked now."""
    if other.deciding is not None:
        finding = other.deciding
        headline = whole_headline(finding, other.names_of(finding.outcome))
    elif other.several is not None:
        several = other.several
        headline = wording_several.whole_headline(several, other.names_of(several.outcome))
    else:
        return ()
    return (msg("Asked as it is now, it would read: {headline}", headline=headline),)

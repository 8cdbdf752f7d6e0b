"""Changing a sealed plan: opened for change with a reason, ended, and told with old and new.

Every opening holds the plan as it was before and after, so that what was changed under which
reason can be told from the records alone. Opening and ending cannot be taken back.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from trialbench.model.errors import Refused, Sealed
from trialbench.model.message import Message, msg
from trialbench.model.records import AfterSeal, Measurement, Outcome, Sitting, new_id
from trialbench.model.steps import Change, Step, added
from trialbench.notebook.clock import Moment
from trialbench.planning.of_trial import OfTrial
from trialbench.planning.plan_changed import PlanChange, plan_changes
from trialbench.planning.seal import seal_of
from trialbench.planning.seal_text import plan_written, read_text

MOST_REASON = 500


def openings_of(records: OfTrial) -> tuple[AfterSeal, ...]:
    """Every opening for change, by number."""
    return tuple(sorted(records.of(AfterSeal), key=lambda each: each.number))


def open_for_change(records: OfTrial, reason: str, when: Moment) -> Step:
    """The barrier step after which the sealed plan may be changed, with the reason that stays.

    Raises Refused without a reason, Sealed (in words) when nothing is sealed or it is open already.
    """
    there, why = openings_of(records), " ".join(reason.split())
    if seal_of(records) is None:
        raise Sealed(msg("The plan is not sealed. It can be changed as it is."))
    if there and not there[-1].ended_utc:
        raise Sealed(msg("The plan is open for change already."))
    if not why or len(why) > MOST_REASON:
        raise Refused(
            msg("A change after the seal needs a reason. Nothing was opened."),
            field="after_seal.reason",
            typed=reason,
            allowed=msg("a reason in up to {most} letters", most=MOST_REASON),
            way_out=msg("Write why. It will be printed with the finding."),
        )
    new = AfterSeal(
        id=new_id(), trial_id=records.trial.id, number=len(there) + 1, reason=why,
        begun_utc=when.utc, offset_min=when.offset_min, key_open=answer_seen(records),
        written=plan_written(records),
    )  # fmt: skip
    return Step(msg("Open for change after the seal: {why}", why=why), added(new), barrier=True)


def end_of_change(records: OfTrial, when: Moment) -> tuple[Change, ...]:
    """The changes that end what is open for change; none while nothing is."""
    last = next((each for each in openings_of(records) if not each.ended_utc), None)
    if last is None:
        return ()
    ended = replace(
        last, written_after=plan_written(records), ended_utc=when.utc,
        key_open=last.key_open or answer_seen(records),
    )  # fmt: skip
    return (Change(last, ended),)


def end_change(records: OfTrial, when: Moment) -> Step:
    """The barrier step after which the plan stays again. Raises Sealed when it is not open."""
    changes = end_of_change(records, when)
    if not changes:
        raise Sealed(msg("The plan is not open for change."))
    return Step(msg("Changes after the seal ended"), changes, barrier=True)


def answer_seen(records: OfTrial) -> bool:
    """Whether what decides could be seen: a key is open, or what decides is weighed and was."""
    if any(sitting.key_state == "open" for sitting in records.of(Sitting)):
        return True
    deciding = next((o for o in records.of(Outcome) if o.id == records.trial.decides_id), None)
    weighed = any(m.mass_g is not None for m in records.of(Measurement))
    return deciding is not None and deciding.source != "attribute" and weighed


@dataclass(frozen=True, slots=True)
class Told:
    """What was changed under one opening; `opening` None: what differs without one."""

    opening: AfterSeal | None
    changes: tuple[PlanChange, ...]


def told_changes(records: OfTrial) -> tuple[Told, ...]:
    """From the seal to now, what was changed under which reason, in order."""
    seal = seal_of(records)
    if seal is None:
        return ()
    now = plan_written(records)
    found, at = [], seal.written
    for opening in openings_of(records):
        after = opening.written_after or now
        found.append(Told(None, _between(at, opening.written)))
        found.append(Told(opening, _between(opening.written, after)))
        at = after
    found.append(Told(None, _between(at, now)))
    return tuple(each for each in found if each.changes)


def _between(before: str, after: str) -> tuple[PlanChange, ...]:
    return plan_changes(read_text(before), read_text(after)) if before != after else ()


def when_said(opening: AfterSeal) -> Message:
    """Before or after anybody could see how it came out."""
    return msg("with a key open") if opening.key_open else msg("before any key was open")

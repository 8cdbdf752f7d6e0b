"""The notes of a finding: what was left out, what is missing, what the reader must know."""

from __future__ import annotations

from collections.abc import Iterator

from trialbench.findings.design import Reckoned
from trialbench.findings.explaining import redraw_sentence
from trialbench.findings.finding import Finding
from trialbench.model.message import Message, msg, msg_n


def remarks(finding: Finding, reckoned: Reckoned) -> tuple[Message, ...]:
    """All notes, dearest first."""
    rows = reckoned.rows
    notes = list(_looks(finding))
    if reckoned.lacks is not None:
        notes.append(reckoned.lacks)
    redraw = redraw_sentence(finding)
    if redraw is not None and finding.case != "same_recipe":
        notes.append(redraw)
    if finding.scope == "method" and finding.counts.cooks == 2 and not finding.waiting:
        notes.append(msg("It rests on two cook days."))
    servings = finding.procedure == "servings_of_one_taster"
    notes += of_rows(rows.missing, 0 if servings else rows.repeats)
    return (*notes, *reckoned.notes)


def of_rows(missing: int, repeats: int) -> Iterator[Message]:
    """What is said of values that are missing, and of rows that repeat another."""
    if missing:
        yield msg_n(
            "{count} value is missing. It is not counted as zero.",
            "{count} values are missing. They are not counted as zero.",
            missing,
        )
    if repeats:
        yield msg_n(
            "{count} row repeats another in all names: averaged with it.",
            "{count} rows repeat others in all names: averaged with them.",
            repeats,
        )


def _looks(finding: Finding) -> tuple[Message, ...]:
    planned, there = finding.planned_cooks, finding.cooks_in
    if planned is None or planned == there:
        return ()
    if there < planned:
        return (
            msg_n(
                "{there} of {count} cook day in.",
                "{there} of {count} cook days in.",
                planned,
                there=there,
            ),
        )
    return (
        msg_n(
            "{there} cook days are in, {count} was planned: nothing is claimed from added ones.",
            "{there} cook days are in, {count} were planned: nothing is claimed from added ones.",
            planned,
            there=there,
        ),
    )

"""Margin notes of Findings on what the numbers go without: missing ones, and what was set aside."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from trialbench.findings.trial_finding import OtherAnswer, OtherSeveralAnswer, TrialFinding
from trialbench.model.margin import MarginNote
from trialbench.model.message import msg, msg_n


def missing_notes(found: TrialFinding, decides: str) -> Iterator[MarginNote]:
    """How many numbers are missing in the outcome `decides`, or that some are in others."""
    gone = sum(m.count for m in found.missing if m.outcome == decides)
    if not found.missing:
        return
    if gone:
        label = msg_n("What decides: {count} number missing",
                      "What decides: {count} numbers missing", gone)  # fmt: skip
    else:
        label = msg("Other outcomes: numbers missing")
    says = msg("They are not counted as zero, and never filled in.")
    yield MarginNote("missing", "missing", label, (says,), dear=40 if gone else 12)


def set_aside_notes(
    answers: Sequence[OtherAnswer | OtherSeveralAnswer],
) -> Iterator[MarginNote]:
    """A note for each other answer: what it goes without, or with, and why the headline differs."""
    for number, answer in enumerate(answers):
        what = ", ".join(name for name, _ in answer.subjects)
        if answer.way == "without":
            label = msg("Without {what}: both answers", what=what)
            says = msg("Set aside with a key open, so the headline keeps it.")
        else:
            label = msg("With {what}: both answers", what=what)
            says = msg("Set aside before any key was open, so the headline goes without it.")
        yield MarginNote(f"set_aside:{number}", "passage", label, (says,), dear=55)

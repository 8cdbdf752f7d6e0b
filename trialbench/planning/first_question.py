"""The margin of a question that is not begun: why one thing, why say how much beforehand."""

from __future__ import annotations

import re

from trialbench.model.margin import Margin, MarginNote
from trialbench.model.message import msg
from trialbench.model.records import Trial

_TWO_THINGS = re.compile(r"\b(and|plus|also)\b|[&+]", re.IGNORECASE)

_ONE_THING = msg(
    "If two things change, the trial cannot say which one did it. The second gets its own trial."
)


def margin_of_first_question(*, with_finished: bool) -> Margin:
    """Notes beside "idea", "matters" and, where finished trials are listed, "finished"."""
    notes = [
        MarginNote("idea", "missing", msg("My idea: one thing only"), (_ONE_THING,), dear=50),
        MarginNote(
            "matters",
            "shows",
            msg("By how much: say it before you cook"),
            (
                msg(
                    "Would you rewrite the recipe for half a point in ten? It settles how many"
                    " cook days you need."
                ),
            ),
            dear=55,
        ),
    ]
    if with_finished:
        says = msg("They show what comes out at the end: open one, change a figure, take it back.")
        label = msg("Finished trials: all invented")
        notes.append(MarginNote("finished", "passage", label, (says,), dear=5))
    return Margin(msg("Answers stand here, beside the line they are about."), tuple(notes))


def two_things_note(trial: Trial) -> MarginNote | None:
    """Beside "idea": an idea that reads as if it changed two things at once."""
    of_ways = trial.question in ("better", "at_least_as_good")
    if not of_ways or not _TWO_THINGS.search(trial.idea):
        return None
    return MarginNote("idea", "differs", msg("My idea: two things?"), (_ONE_THING,), dear=58)

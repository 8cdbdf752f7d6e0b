"""What the spine says of notebook and trial, and what the foot says of the last step."""

from __future__ import annotations

from typing import Any

from trialbench.model.message import Message, msg, msg_n, say
from trialbench.model.records import Trial
from trialbench.notebook.clock import local_time
from trialbench.notebook.views import cover, title, trials
from trialbench.ui.spine import PageState, SpineText


def spine_words(notebook: Any, trial_id: str) -> SpineText:
    """The label of the notebook, and the trial that is open."""
    count = len(trials(notebook))
    trial = notebook.find(Trial, trial_id)
    first = cover(notebook)
    many = msg_n("{count} trial", "{count} trials", count)
    says = msg("{trials} since {year}", trials=many, year=first.begun_utc[:4])
    contents = PageState("contents", msg("Contents"), many, "sewn" if count else "none")
    if trial is None:
        return SpineText(first.name, says, contents=contents)
    numbered = msg("Trial {number}", number=trial.number)
    return SpineText(first.name, says, numbered, say(title(trial)), contents=contents)


def foot_words(notebook: Any) -> Message:
    """What was written last and when, on the kitchen's clock."""
    last = notebook.last_written
    if notebook.read_only:
        return msg("This window only reads.")
    if last is None or len(notebook.history(limit=2)) < 2:
        return msg("Nothing to save: every line is kept as you write it")
    when = local_time(last.made_utc, last.offset_min)
    today = local_time(notebook.now().utc, notebook.now().offset_min).date()
    time = f"{when:%H:%M}"
    if when.date() != today:
        time = say(msg("{date}, {time}", date=f"{when:%Y-%m-%d}", time=time))
    return msg("Last written: {what}, {time}", what=last.label, time=time)

"""Where a trial stands, in a few words, for as long as it has no finding."""

from __future__ import annotations

from trialbench.model.message import Message, msg, msg_n
from trialbench.model.records import Trial
from trialbench.notebook.records_read import Reads
from trialbench.notebook.views import kitchen, on_paper, shapes, table


def has_finding(book: Reads, trial_id: str) -> bool:
    """Whether every planned cook day is in: tasted with its key open, or weighed to the end.

    Days that count are those planned (or laid out); a trial without attributes needs no tasting.
    """
    done, wanted = days_in(book, trial_id)
    return bool(wanted) and done >= wanted


def days_in(book: Reads, trial_id: str) -> tuple[int, int]:
    """How many cook days are in, of how many."""
    wanted = kitchen.planned_or_laid_out(book, trial_id)
    if on_paper.attributes(book, trial_id):
        return table.keys_open(book, trial_id), wanted
    days = kitchen.cooks(book, trial_id)
    return sum(kitchen.cook_is_weighed(book, day) for day in days), wanted


def where_it_stands(book: Reads, trial_id: str) -> Message | None:
    """Where the trial is now; None when the finding is the answer."""
    if has_finding(book, trial_id):
        return None
    for look in (_tasting, _cooking, _planning, _methods):
        said = look(book, trial_id)
        if said is not None:
            return said
    return _question(book, book.get(Trial, trial_id))


def _tasting(book: Reads, trial_id: str) -> Message | None:
    sealed = [s for s in table.sittings(book, trial_id) if s.key_state == "sealed"]
    if not sealed:
        return None
    cards = table.cards_in(book, sealed[-1].id)
    return msg(
        "Tasting: {done} of {all} score cards in; key sealed", done=cards.filled, all=cards.all
    )


def _cooking(book: Reads, trial_id: str) -> Message | None:
    days = kitchen.cooks(book, trial_id)
    begun = [day for day in days if kitchen.cook_is_begun(book, day)]
    whole = max(kitchen.planned_or_laid_out(book, trial_id), len(days))
    opened = table.keys_open(book, trial_id)
    on_fire = [day for day in begun if not kitchen.cook_is_weighed(book, day)]
    if on_fire:
        return msg("Cooking: day {day} of {all}", day=on_fire[-1].number, all=whole)
    if len(begun) > opened and on_paper.attributes(book, trial_id):
        return msg("Cooked: day {day} of {all}; to be tasted", day=begun[-1].number, all=whole)
    if begun or opened:
        done = max(len(begun), opened)
        return msg("{done} of {all} cook days in", done=done, all=whole)
    return None


def _planning(book: Reads, trial_id: str) -> Message | None:
    planned = kitchen.planned_or_laid_out(book, trial_id)
    if not planned:
        return None
    days = msg_n("{count} cook day", "{count} cook days", planned)
    if on_paper.seal(book, trial_id) is not None:
        return msg("Plan sealed: {days} to come", days=days)
    return msg("Being planned: {days}", days=days)


def _methods(book: Reads, trial_id: str) -> Message | None:
    stages = on_paper.stages(book, trial_id)
    if not stages:
        return None
    count = msg_n("{count} stage", "{count} stages", len(stages))
    return msg("Methods being written: {count} so far", count=count)


def _question(book: Reads, trial: Trial) -> Message:
    asked = shapes.is_asked(book, trial)
    return msg("Asked; the methods come next") if asked else msg("Question being written")

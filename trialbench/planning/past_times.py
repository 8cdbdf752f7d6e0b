"""How long a stage took in this kitchen's own past cooks, by when its pieces were weighed."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta

from trialbench.model.kitchen_clock import instant_of
from trialbench.model.message import Message, msg, msg_n
from trialbench.model.quantities import show_duration
from trialbench.model.records import Checkpoint, Cook, Piece, Stage, Trial
from trialbench.notebook import views
from trialbench.notebook.records_read import Reads

ALIKE_SET_K, ALIKE_CORE_K = 5.0, 3.0
"""Stages of one kind count as alike within so many kelvin."""

LEAST, MOST = timedelta(minutes=10), timedelta(days=7)
"""Weights written closer together were written afterwards, not at the stove."""

MOST_PIECES = 12
_ROUND_S = 300


def past_times(book: Reads, trial: Trial, stage: Stage) -> tuple[timedelta, ...]:
    """The times that pieces of the same food took in a stage like this one, newest first."""
    food = trial.food.casefold().strip()
    found = [
        each
        for other in views.trials(book)
        if other.food.casefold().strip() == food
        for cook in views.cooks(book, other.id)
        for each in _of_cook(book, cook, stage)
    ]
    return tuple(lasted for _, lasted in sorted(found, reverse=True)[:MOST_PIECES])


def hint(book: Reads, trial: Trial, stage: Stage) -> Message | None:
    """ "Your last 6 pieces took 8 h 40 min to 9 h 20 min, from weight to weight." """
    times = [_rounded(each) for each in past_times(book, trial, stage)]
    if not times:
        return None
    if min(times) == max(times):
        return msg_n("Your last piece took {time}, from weight to weight.",
                     "Your last {count} pieces took {time}, from weight to weight.",
                     len(times), time=show_duration(times[0]))  # fmt: skip
    return msg("Your last {count} pieces took {least} to {most}, from weight to weight.",
               count=len(times), least=show_duration(min(times)),
               most=show_duration(max(times)))  # fmt: skip


def _rounded(lasted: timedelta) -> float:
    return _ROUND_S * round(lasted.total_seconds() / _ROUND_S)


def _of_cook(book: Reads, cook: Cook, stage: Stage) -> Iterator[tuple[str, timedelta]]:
    points = views.checkpoints(book, cook.trial_id)
    for piece in views.pieces(book, cook.id):
        if piece.method_id is None:
            continue
        own = views.method_stages(book, piece.method_id)
        for place, each in enumerate(own):
            if _alike(each, stage):
                before = own[place - 1].id if place else None
                yield from _between(book, piece, points, (before, each.id))


def _alike(one: Stage, other: Stage) -> bool:
    if one.stage_kind != other.stage_kind:
        return False
    pairs = ((one.set_temp_c, other.set_temp_c, ALIKE_SET_K),
             (one.end_core_c, other.end_core_c, ALIKE_CORE_K))  # fmt: skip
    return all(a is b if a is None or b is None else abs(a - b) <= most for a, b, most in pairs)


def _between(
    book: Reads, piece: Piece, points: tuple[Checkpoint, ...], ids: tuple[str | None, str]
) -> Iterator[tuple[str, timedelta]]:
    weighed = views.measurements(book, piece.id)
    last = next((p for p in points if p.stage_id == ids[1] and p.id in weighed), None)
    if last is None:
        return
    earlier = [p for p in points if p.position < last.position and p.id in weighed]
    first = earlier[-1] if earlier else None
    if first is None or (first.stage_id is not None and first.stage_id != ids[0]):
        return
    began, ended = weighed[first.id].made_utc, weighed[last.id].made_utc
    lasted = instant_of(ended) - instant_of(began)
    if LEAST <= lasted <= MOST:
        yield ended, lasted

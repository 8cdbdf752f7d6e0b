"""Acts on tasters: who scores in this notebook, by alias."""

from __future__ import annotations

import itertools
from collections.abc import Iterator

from trialbench.model.errors import Refused
from trialbench.model.message import msg
from trialbench.model.records import LeftOut, Sample, Seat, Sitting, Taster, Trial, new_id
from trialbench.model.steps import Step, added, removed
from trialbench.notebook import views
from trialbench.notebook.acts.writing import line, made, rewrite
from trialbench.notebook.records_read import Reads
from trialbench.notebook.views.table import tasters_at_home

MOST_AT_ONCE = 40


def add_taster(book: Reads, alias: str = "", avoids: str = "", *, invented: bool = False) -> Step:
    """Somebody who tastes; without an alias "Taster n". Raises Refused for an alias in use.

    Aliases of an example's tasters are free, but at an invented trial (`invented`).
    """
    position = _next_position(book)
    free = next(_free_names(book, invented=invented))
    name = _free(book, alias or free, invented=invented)
    taster = Taster(new_id(), name, position, line(avoids, "taster.avoids", most=300))
    return made(book, msg("{alias} tastes", alias=name), added(taster))


def add_tasters(book: Reads, count: int, *, invented: bool = False) -> Step:
    """As many tasters more, each named by the next free "Taster n"."""
    first, names = _next_position(book), _free_names(book, invented=invented)
    new = [Taster(new_id(), next(names), first + n) for n in range(count)]
    return made(book, msg("{count} more tasters", count=count), added(*new))


def _next_position(book: Reads) -> int:
    return max((t.position for t in views.tasters(book)), default=0) + 1


def _free_names(book: Reads, *, invented: bool) -> Iterator[str]:
    """ "Taster 1", "Taster 2" and so on, but those that are taken."""
    taken = {t.alias.casefold() for t in tasters_at_home(book, invented=invented)}
    return (name for n in itertools.count(1) if (name := f"Taster {n}").casefold() not in taken)


def name_taster(book: Reads, taster_id: str, alias: str) -> Step:
    """Write a taster's alias."""
    taster = book.get(Taster, taster_id)
    at_home = any(t.id == taster_id for t in tasters_at_home(book))
    name = _free(book, alias, taster_id, invented=not at_home)
    return rewrite(book, taster, msg("{before} is now {alias}", before=taster.alias, alias=name),
                   alias=name)  # fmt: skip


def set_avoids(book: Reads, taster_id: str, typed: str) -> Step:
    """Write what a taster does not eat."""
    taster = book.get(Taster, taster_id)
    text = line(typed, "taster.avoids", most=300)
    return rewrite(book, taster, msg("{alias}: what is avoided", alias=taster.alias),
                   avoids=text)  # fmt: skip


def remove_taster(book: Reads, taster_id: str) -> Step:
    """Take a taster off the list. Raises Refused when they sat: then redaction takes the name."""
    taster = book.get(Taster, taster_id)
    sat = bool(book.all(Seat, taster_id=taster_id) or book.all(LeftOut, subject_id=taster_id))
    if sat or book.all(Sample, taster_id=taster_id):
        raise Refused(
            msg("{alias} has sat at a tasting and stays on the list.", alias=taster.alias),
            field="taster.id",
            allowed=msg("taking away somebody who never sat"),
            way_out=msg("Their name can be taken out for good; the scores stay."),
        )
    return made(book, msg("{alias} no longer tastes", alias=taster.alias), removed(taster))


def _free(book: Reads, typed: str, but: str = "", *, invented: bool) -> str:
    name = line(typed, "taster.alias", most=60, needed=True)
    others = [t for t in tasters_at_home(book, invented=invented) if t.id != but]
    if any(t.alias.casefold() == name.casefold() for t in others):
        raise Refused(
            msg("There is a taster {alias} already. Not written.", alias=name),
            field="taster.alias",
            typed=typed,
            allowed=msg("an alias of their own"),
            way_out=msg("Add an initial, or choose another alias."),
        )
    return name


def seat_new_taster(book: Reads, sitting_id: str, alias: str) -> Step:
    """Somebody new, who sits at this sitting at once."""
    step = add_taster(book, alias, invented=_invented(book, sitting_id))
    return _seated(book, sitting_id, step)


def seat_new_tasters(book: Reads, sitting_id: str, count: int) -> Step:
    """So many more tasters, who sit at this sitting at once. Raises Refused above 40."""
    if not 1 <= count <= MOST_AT_ONCE:
        raise Refused(
            msg("{count} tasters at once are too many. Not written.", count=count),
            field="taster.alias",
            typed=str(count),
            allowed=msg("1 to {most}", most=MOST_AT_ONCE),
            way_out=msg("Write a smaller number, or a name."),
        )
    step = add_tasters(book, count, invented=_invented(book, sitting_id))
    return _seated(book, sitting_id, step)


def _invented(book: Reads, sitting_id: str) -> bool:
    return book.get(Trial, book.get(Sitting, sitting_id).trial_id).invented


def _seated(book: Reads, sitting_id: str, step: Step) -> Step:
    place = len(views.seats(book, sitting_id))
    new = [change.record for change in step.changes]
    seats = [Seat(new_id(), sitting_id, taster.id, place + n) for n, taster in enumerate(new, 1)]
    return made(book, step.label, (*step.changes, *added(*seats)))

"""Acts on tasters: who scores in this notebook, by alias."""

from __future__ import annotations

from trialbench.model.errors import Refused
from trialbench.model.message import msg
from trialbench.model.records import LeftOut, Sample, Seat, Taster, new_id
from trialbench.model.steps import Step, added, removed
from trialbench.notebook import views
from trialbench.notebook.acts.writing import line, made, rewrite
from trialbench.notebook.records_read import Reads


def add_taster(book: Reads, alias: str = "", avoids: str = "") -> Step:
    """Somebody who tastes; without an alias "Taster n". Raises Refused for an alias in use."""
    position = max((t.position for t in views.tasters(book)), default=0) + 1
    name = _free(book, alias or f"Taster {position}")
    taster = Taster(new_id(), name, position, line(avoids, "taster.avoids", most=300))
    return made(book, msg("{alias} tastes", alias=name), added(taster))


def add_tasters(book: Reads, count: int) -> Step:
    """As many tasters more, named "Taster n"."""
    first = max((t.position for t in views.tasters(book)), default=0) + 1
    taken = {t.alias for t in views.tasters(book)}
    new = [Taster(new_id(), f"Taster {n}", n) for n in range(first, first + count)]
    return made(book, msg("{count} more tasters", count=count),
                added(*(t for t in new if t.alias not in taken)))  # fmt: skip


def name_taster(book: Reads, taster_id: str, alias: str) -> Step:
    """Write a taster's alias."""
    taster = book.get(Taster, taster_id)
    name = _free(book, alias, taster_id)
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


def _free(book: Reads, typed: str, but: str = "") -> str:
    name = line(typed, "taster.alias", most=60, needed=True)
    if any(t.alias.casefold() == name.casefold() for t in views.tasters(book) if t.id != but):
        raise Refused(
            msg("There is a taster {alias} already. Not written.", alias=name),
            field="taster.alias",
            typed=typed,
            allowed=msg("an alias of their own"),
            way_out=msg("Add an initial, or choose another alias."),
        )
    return name

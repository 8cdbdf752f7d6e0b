"""Acts on sittings: who sits, what is served and how; codes and keys are planning's."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from trialbench.model.errors import Refused
from trialbench.model.message import Message, msg
from trialbench.model.numbers import parse_number
from trialbench.model.quantities import parse_temp_c
from trialbench.model.records import Cook, Seat, Sitting, Taster, Trial, new_id
from trialbench.model.steps import Step, added, removed
from trialbench.notebook import views
from trialbench.notebook.acts.plan import day_typed
from trialbench.notebook.acts.writing import (
    line,
    made,
    numbered,
    one_of,
    out_of_range,
    reason,
    rewrite,
)
from trialbench.notebook.book import Book
from trialbench.notebook.records_read import Reads
from trialbench.notebook.views.table import tasters_at_home


def make_sitting(book: Reads, cook_id: str, taster_ids: Sequence[str] | None = None) -> Step:
    """A sitting for what a cook day gave.

    Without `taster_ids` those of the trial's last sitting sit, else everybody in the notebook but
    the invented tasters of the examples.
    """
    cook = book.get(Cook, cook_id)
    before = views.sittings(book, cook.trial_id)
    if taster_ids is None:
        seated = [s.taster_id for s in views.seats(book, before[-1].id)] if before else []
        taster_ids = seated or _everybody(book, cook.trial_id)
    number = max((s.number for s in before), default=0) + 1
    sitting = Sitting(new_id(), cook.trial_id, cook_id, number, cook.date)
    seats = [Seat(new_id(), sitting.id, t, n) for n, t in enumerate(taster_ids, start=1)]
    label = msg("Sitting {number}, from cook day {cook}", number=number, cook=cook.number)
    return made(book, label, added(sitting, *seats))


def _everybody(book: Reads, trial_id: str) -> list[str]:
    invented = book.get(Trial, trial_id).invented
    return [taster.id for taster in tasters_at_home(book, invented=invented)]


def remove_sitting(book: Reads, sitting_id: str) -> Step:
    """Take a sitting away before its key is sealed."""
    sitting = book.get(Sitting, sitting_id)
    gone = [*views.seats(book, sitting_id), sitting]
    return made(book, msg("Sitting {number} taken away", number=sitting.number), removed(*gone))


def seat_taster(book: Reads, sitting_id: str, taster_id: str) -> Step:
    """Give somebody a seat, before the key is sealed."""
    there = views.seats(book, sitting_id)
    taster, number = book.get(Taster, taster_id), book.get(Sitting, sitting_id).number
    _check_alias(book, sitting_id, taster)
    new = [] if any(s.taster_id == taster_id for s in there) else [
        Seat(new_id(), sitting_id, taster_id, len(there) + 1)
    ]  # fmt: skip
    return made(book, msg("{alias} sits at sitting {n}", alias=taster.alias, n=number), added(*new))


def _check_alias(book: Reads, sitting_id: str, taster: Taster) -> None:
    """Two people of one alias at one trial would be taken for one. Raises Refused."""
    trial_id = book.get(Sitting, sitting_id).trial_id
    seated = {seat.taster_id for s in views.sittings(book, trial_id)
              for seat in views.seats(book, s.id)} - {taster.id}  # fmt: skip
    if any(book.get(Taster, t).alias.casefold() == taster.alias.casefold() for t in seated):
        raise Refused(
            msg("Another {alias} sits at this trial. Not written.", alias=taster.alias),
            field="seat.taster_id",
            allowed=msg("an alias of their own"),
            way_out=msg("Give one of them another alias first."),
        )


def unseat_taster(book: Reads, seat_id: str) -> Step:
    """Take a seat away, before the key is sealed."""
    seat = book.get(Seat, seat_id)
    rest = [s for s in views.seats(book, seat.sitting_id) if s.id != seat_id]
    label = msg("{alias} does not sit", alias=book.get(Taster, seat.taster_id).alias)
    return made(book, label, (*removed(seat), *numbered(rest)))


def leave(book: Reads, seat_id: str, why: str) -> Step:
    """Write why somebody left: the cards still out stay empty, and are not counted as zero."""
    seat = book.get(Seat, seat_id)
    alias = book.get(Taster, seat.taster_id).alias
    text = reason(why, "seat.left_reason", msg("Why did {alias} leave?", alias=alias))
    label = msg("{alias} left: {why}", alias=alias, why=text)
    return rewrite(book, seat, label, left_reason=text)


def come_back(book: Reads, seat_id: str) -> Step:
    """Somebody who left sits again."""
    seat = book.get(Seat, seat_id)
    alias = book.get(Taster, seat.taster_id).alias
    return rewrite(book, seat, msg("{alias} sits again", alias=alias), left_reason="")


def _number(low: float, high: float, field: str) -> Callable[[Reads, str], float | None]:
    def read(book: Reads, typed: str) -> float | None:
        if not typed.strip():
            return None
        value = parse_number(typed, field=f"sitting.{field}")
        if not low <= value <= high:
            raise out_of_range(typed, f"sitting.{field}", low, high)
        return value

    return read


def _served_temp(book: Reads, typed: str) -> float | None:
    if not typed.strip():
        return None
    unit = views.cover(book).temperature_unit
    value = parse_temp_c(typed, unit, field="sitting.served_temp_c")
    if not -30 <= value <= 100:
        raise out_of_range(typed, "sitting.served_temp_c", -30, 100)
    return value


def _date(book: Book, typed: str) -> str:
    return day_typed(book, line(typed, "sitting.date", most=40), "sitting.date")


_FIELDS: dict[str, tuple[Callable[[Book, str], Any], Message]] = {
    "date": (_date, msg("day")),
    "served_temp_c": (_served_temp, msg("served at")),
    "slice_mm": (_number(0.1, 200, "slice_mm"), msg("slices of, mm")),
    "knife_to_mouth_min": (
        _number(0, 240, "knife_to_mouth_min"),
        msg("from the knife to the mouth, min"),
    ),
    "allergens": (
        lambda book, typed: line(typed, "sitting.allergens", most=500),
        msg("allergens served"),
    ),
}


def set_sitting(book: Book, sitting_id: str, field: str, typed: str) -> Step:
    """Write date, served_temp_c, slice_mm, knife_to_mouth_min or allergens. Raises Refused."""
    one_of(field, "sitting", _FIELDS)
    sitting = book.get(Sitting, sitting_id)
    read, what = _FIELDS[field]
    value = read(book, typed)
    label = msg("Sitting {number}, {what}: {text}", number=sitting.number, what=what,
                text=typed.strip() or "–")  # fmt: skip
    return rewrite(book, sitting, label, **{field: value})

"""Questions about the shape of a trial: what is varied, at which settings, held against what."""

from __future__ import annotations

from itertools import product

from trialbench.model.message import Message, msg
from trialbench.model.quantities import show_duration, show_temp
from trialbench.model.records import Factor, Level, Method, Outcome, Setting, Trial
from trialbench.notebook.records_read import Reads
from trialbench.notebook.views.on_paper import NUMBER_FIELDS, cover

MOST_METHODS = 6
"""More methods than this no kitchen cooks side by side on one day."""

MOST_FACTORS = 2

_TEMPERATURES = ("set_temp_c", "end_core_c")
_UNITS = {"salt_g_per_kg": "g/kg", "slice_mm": "mm", "knife_to_mouth_min": "min"}


def factors(book: Reads, trial_id: str) -> tuple[Factor, ...]:
    """What is varied on purpose, in order."""
    return tuple(sorted(book.all(Factor, trial_id=trial_id), key=lambda f: f.position))


def levels(book: Reads, factor_id: str) -> tuple[Level, ...]:
    """The settings of a factor in order."""
    return tuple(sorted(book.all(Level, factor_id=factor_id), key=lambda level: level.position))


def levels_of_method(book: Reads, method_id: str) -> tuple[Level, ...]:
    """At which setting a method has each factor, in the order of the factors."""
    found = [book.get(Level, s.level_id) for s in book.all(Setting, method_id=method_id)]
    return tuple(sorted(found, key=lambda level: book.get(Factor, level.factor_id).position))


def combinations(
    sets: tuple[tuple[Level, ...], ...],
) -> tuple[tuple[Level, ...], ...]:
    """Every combination of one level a factor, the first factor slowest; () for no levels."""
    written = [each for each in sets if each]
    return tuple(product(*written)) if written else ()


def settings(book: Reads, trial_id: str) -> tuple[tuple[Level, ...], ...]:
    """Every setting that the trial compares: a combination of levels each."""
    return combinations(tuple(levels(book, f.id) for f in factors(book, trial_id)))


def level_words(book: Reads, factor: Factor, level: Level) -> str:
    """A level as it is written on the page, temperatures in the unit of the screen."""
    if level.number is None or not factor.field:
        return level.text
    if factor.field in _TEMPERATURES:
        return show_temp(level.number, cover(book).temperature_unit)
    return number_words(factor.field, level.number) if factor.field in NUMBER_FIELDS else level.text


def number_words(field: str, number: float) -> str:
    """A number of a stage field with its unit; temperatures in °C."""
    if field in _TEMPERATURES:
        return show_temp(number)
    if field == "duration_s":
        return show_duration(number)
    return f"{number:g} {_UNITS.get(field, '')}".rstrip()


def factor_of_line(book: Reads, stage_id: str, field: str) -> Factor | None:
    """What is varied in a line of the methods, if anything."""
    found = book.all(Factor, stage_id=stage_id, field=field)
    return next(iter(found), None)


def varied(book: Reads, trial_id: str) -> str:
    """The names of what is varied: "medium and temperature"."""
    return " and ".join(filter(None, (f.name for f in factors(book, trial_id))))


def control(book: Reads, trial: Trial) -> Method | None:
    """The method that the others are held against, where they are."""
    if trial.compares != "with_usual":
        return None
    return book.find(Method, trial.usual_id)


def is_asked(book: Reads, trial: Trial) -> bool:
    """Whether the question says what is compared, what decides, and how much would matter."""
    if not (trial.usual and trial.decides_id):
        return False
    if trial.question == "same_recipe":
        return True
    decides = book.find(Outcome, trial.decides_id)
    if trial.matters is None or decides is None:
        return False
    if decides.better == "target" and decides.target is None:
        return False
    if trial.question == "which_setting":
        return len(settings(book, trial.id)) >= 2
    return bool(trial.idea)


SHAPES: dict[str, Message] = {
    "two": msg("two methods"),
    "several": msg("several methods"),
    "levels": msg("one thing at several settings"),
    "ordered": msg("one thing in steps"),
    "crossed": msg("two things crossed"),
}
"""The shapes of a trial, in words."""

"""The plan of a trial on one page or two: question, methods side by side, cook days, the seal."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from trialbench.findings.snapshot import TrialRecords
from trialbench.model.dates import said_day
from trialbench.model.kitchen_clock import KitchenClock, instant_of
from trialbench.model.message import Message, msg, msg_n, say
from trialbench.model.numbers import shortest
from trialbench.model.records import Cook, Method, Outcome, Stage
from trialbench.model.scales import SCALES
from trialbench.model.words import ADDITION_ROLES
from trialbench.notebook import views
from trialbench.notebook.acts.addition_words import shown_addition
from trialbench.planning.number_words import counted
from trialbench.planning.seal import WHAT_IT_SHOWS, seal_of
from trialbench.planning.spread import unit_words
from trialbench.planning.stage_line import LINE, line_text
from trialbench.planning.stage_words import listed, stage_name
from trialbench.report.claims import riders
from trialbench.report.papers.words import (
    Values,
    all_said,
    day_name,
    framed,
    methods_shown,
    said,
)
from trialbench.report.words import Text, said_moment

_ASKED: dict[str, Message] = {
    "better": msg("Is my idea better?"),
    "at_least_as_good": msg("Is the easier way at least as good?"),
    "which_setting": msg("Which setting is best?"),
    "same_recipe": msg("How far apart does one recipe come out twice?"),
}
_TIMES = (msg("once"), msg("twice"), msg("three times"), msg("four times"), msg("five times"),
          msg("six times"))  # fmt: skip
_WANTED: dict[str, Message] = {
    "more": msg("more is wanted"),
    "less": msg("less is wanted"),
    "target": msg("closest to a target is wanted"),
}
_NONE = "\u2013"


def plan_values(records: TrialRecords, size: str) -> tuple[Values, dict[str, str]]:
    """The values of the template and its pictures."""
    trial = records.trial
    written = views.methods(records, trial.id)
    methods, pictures = methods_shown(written)
    days = (msg("cook day"), msg("date, served at"), msg("goes in first"), msg("pieces"))
    values = framed(views.question_line(trial), size) | {
        "under": all_said(_under(records)),
        "facts": [all_said(fact) for fact in _facts(records)],
        "methods": methods,
        "methods_head": say(msg("The methods, stage by stage")),
        "stages": list(_stages(records, written)),
        "no_stages": say(msg("No stage is written yet. The Methods page holds them.")),
        "riders": all_said(riders(records)) if len(written) == 2 else [],
        "riders_head": say(msg("Differs, not asked for")),
        "days_head": say(msg("Cook days")),
        "days_heads": all_said(days),
        "days": [_day(records, cook) for cook in views.cooks(records, trial.id)],
        "no_days": say(msg("No cook day is laid out yet. The Plan page lays them out.")),
        "seal": all_said(_seal(records)),
    }
    return values, pictures


def _under(records: TrialRecords) -> Iterator[Text]:
    trial = records.trial
    yield msg("Trial {number}. {title}.", number=trial.number, title=views.title(trial))
    if trial.invented:
        yield msg("Invented: this trial was never cooked.")


# --- what is asked --------------------------------------------------------------------------------


def _facts(records: TrialRecords) -> Iterator[tuple[Text, Text]]:
    trial = records.trial
    yield msg("Asked"), _ASKED.get(trial.question, _ASKED["better"])
    decides = views.deciding(records, trial.id)
    yield msg("Decides"), _outcome(decides) if decides else msg("nothing yet")
    yield msg("Matters"), _matters(records, decides)
    others = views.other_outcomes(records, trial.id)
    if others:
        yield msg("Looked at too"), listed([outcome.name for outcome in others])
    usual = records.find(Method, trial.usual_id)
    if usual is not None and trial.compares == "with_usual":
        yield msg("Compared"), msg("each with {usual}", usual=f"{usual.letter} {usual.name}")
    yield msg("Plan"), _figures(records)
    if trial.reference:
        yield msg("Reference sample"), trial.reference


def _outcome(outcome: Outcome) -> Text:
    scale = SCALES.get(outcome.scale)
    words: list[Text] = [outcome.name]
    if scale is not None:
        words.append(scale.label)
    if outcome.better == "target" and outcome.target is not None:
        words.append(msg("closest to {target} is wanted", target=shortest(outcome.target)))
    elif outcome.better in _WANTED:
        words.append(_WANTED[outcome.better])
    return listed(words)


def _matters(records: TrialRecords, decides: Outcome | None) -> Text:
    size = records.trial.matters
    if size is None or decides is None:
        return msg("not said")
    return msg("{size} or more", size=counted(shortest(size), unit_words(decides)))


def _figures(records: TrialRecords) -> Text:
    trial = records.trial
    cooks = views.planned_or_laid_out(records, trial.id)
    two = len(views.methods(records, trial.id)) <= 2
    words: list[Text] = [msg_n("{count} cook day", "{count} cook days", cooks)]
    each = trial.pieces_each
    if not trial.paired:
        words.append(msg_n("{count} piece of each method a day",
                           "{count} pieces of each method a day", each))  # fmt: skip
    elif two:
        words.append(msg_n("{count} matched pair a day", "{count} matched pairs a day", each))
    else:
        words.append(msg_n("{count} matched set a day", "{count} matched sets a day", each))
    together = msg("those of one method together in one vessel")
    words.append(together if trial.loads == "shared" else msg("each by itself"))
    if trial.planned_tasters:
        words.append(msg_n("{count} taster", "{count} tasters", trial.planned_tasters))
        times = _TIMES[min(trial.servings, len(_TIMES)) - 1]
        words.append(msg("every sample tasted {times}", times=times))
    return listed(words)


# --- the methods ----------------------------------------------------------------------------------


def _stages(records: TrialRecords, methods: Sequence[Method]) -> Iterator[Values]:
    """Written once where it is the same, side by side where it differs."""
    for number, stage in enumerate(views.stages(records, records.trial.id), start=1):
        shared, cells = _stage(records, stage, methods)
        yield {
            "number": str(number),
            "name": said(stage_name(stage)),
            "shared": shared or (None if cells else _NONE),
            "cells": cells,
        }


def _stage(
    records: TrialRecords, stage: Stage, methods: Sequence[Method]
) -> tuple[str, list[str | None] | None]:
    unit = views.cover(records).temperature_unit
    parted = set(views.parted_fields(records, stage.id))
    slots = views.slots(records, stage.id)
    if stage.method_id is not None:
        own = _joined(line_text(stage, unit), _added(records, stage, stage.method_id, None))
        return "", [own or say(stage_name(stage)) if m.id == stage.method_id else None
                    for m in methods]  # fmt: skip
    alike = line_text(_cleared(stage, parted), unit)
    first = methods[0].id if methods else ""
    shared = _joined(alike, _added(records, stage, first, False))
    if not parted and not any(slot.parted for slot in slots):
        return shared, None
    cells: list[str | None] = []
    for method in methods:
        mine = views.resolved_stage(records, stage, method.id)
        kept = _cleared(mine, {place.field for place in LINE} - parted)
        text = _joined(line_text(kept, unit), _added(records, stage, method.id, True))
        cells.append(text or say(msg("nothing")))
    return shared, cells


def _cleared(stage: Stage, fields: set[str]) -> Stage:
    empty = {
        field: "" if isinstance(getattr(stage, field), str) else None
        for field in fields
        if hasattr(stage, field)
    }
    return replace(stage, **empty)  # type: ignore[arg-type]


def _added(records: TrialRecords, stage: Stage, method_id: str, parted: bool | None) -> list[str]:
    """ "rub: paprika, 20 g/kg"; of the parted lines, the others, or (None) of all."""
    found = []
    for slot in views.slots(records, stage.id):
        addition = slot.of(method_id) if parted in (None, slot.parted) else None
        if addition is not None:
            role = ADDITION_ROLES.get(addition.role, addition.role)
            what = shown_addition(addition)
            found.append(say(msg("{role} {what}", role=role, what=what)))
    return found


def _joined(line: str, added: Sequence[str]) -> str:
    return said("; ".join(text for text in (line, *added) if text))


# --- cook days and seal ---------------------------------------------------------------------------


def _day(records: TrialRecords, cook: Cook) -> Values:
    first = records.find(Method, cook.starts_id)
    pieces = []
    for piece in views.pieces(records, cook.id):
        method = views.method_of_piece(records, piece)
        pieces.append({"label": said(piece.label), "letter": method.letter if method else None})
    return {
        "name": say(day_name(cook)),
        "date": said(_when(records, cook)),
        "first": first.letter if first else None,
        "pieces": pieces,
    }


def _when(records: TrialRecords, cook: Cook) -> Text:
    if not cook.serve_utc:
        return said_day(cook.date, with_year=True) if cook.date else msg("no date yet")
    clock = KitchenClock(views.cover(records).zone, cook.offset_min)
    shown = clock.shown(instant_of(cook.serve_utc))
    day = said_day(shown.date().isoformat(), with_year=True)
    return msg("{day}, {time}", day=day, time=f"{shown:%H:%M}")


def _seal(records: TrialRecords) -> tuple[Text, Text]:
    seal = seal_of(records)
    if seal is None:
        return msg("Not sealed yet"), msg("Until it is sealed it can be changed freely.")
    made = said_moment(seal.made_utc, seal.offset_min)
    head = msg("Sealed {made}", made=made)
    return head, msg("Fingerprint {print}. {shows}", print=seal.fingerprint, shows=WHAT_IT_SHOWS)

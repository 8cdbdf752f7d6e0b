"""Labels and score cards: made from codes, aliases and questions, and from nothing else.

`Table` is all that their templates can be given. It holds no piece, no method, no food, no title.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from trialbench.findings.snapshot import TrialRecords
from trialbench.model.message import Message, msg, say
from trialbench.model.numbers import shortest
from trialbench.model.records import Outcome, Sitting, Taster
from trialbench.model.scales import SCALES
from trialbench.notebook import views
from trialbench.report.papers.words import Values, framed, said
from trialbench.report.words import Text

COPIES = 2
"""Labels of one code: one for the plate, one for what it is carried in."""

_MOST_MARKS = 11
NO_CODES = msg("This sitting has no codes yet. Make codes and seal the key on the Tasting page.")
NO_QUESTIONS = msg("Nothing is scored in this trial. The Question page says what is looked at.")


@dataclass(frozen=True, slots=True)
class Portion:
    """A code at a taster's place; `position` 0 is the warm-up sample."""

    taster: str
    position: int
    last: int
    code: str


@dataclass(frozen=True, slots=True)
class Table:
    """One sitting as those who sit at it may know it; portions by seat, in serving order."""

    number: int
    portions: tuple[Portion, ...]
    asked: tuple[Outcome, ...]


def table_of(records: TrialRecords, sitting: Sitting) -> Table:
    """What the table may know of a sitting."""
    portions = []
    for seat in views.seats(records, sitting.id):
        alias = records.get(Taster, seat.taster_id).alias
        mine = views.samples(records, sitting.id, seat.taster_id, warm_up=True)
        last = max((sample.position for sample in mine), default=0)
        portions += [Portion(alias, s.position, last, s.code) for s in mine]
    asked = tuple(o for o in views.attributes(records, sitting.trial_id) if not o.sighted)
    return Table(sitting.number, tuple(portions), asked)


def labels_values(table: Table, size: str) -> Values:
    """The labels of a taster stand by code, which is drawn by lot: their order tells nothing."""
    portions = sorted(table.portions, key=lambda p: (_seat(table, p.taster), p.code))
    title = msg("Codes, sitting {number}", number=table.number)
    return framed(title, size) | {
        "how": say(msg("Two of each code. Cut along the broken lines.")),
        "labels": [
            {"code": p.code, "taster": said(p.taster)} for p in portions for _ in range(COPIES)
        ],
        "nothing": say(NO_CODES),
    }


def _seat(table: Table, alias: str) -> int:
    return [portion.taster for portion in table.portions].index(alias)


def cards_values(table: Table, size: str) -> Values:
    """A card a sample, in the order in which they are served."""
    title = msg("Score cards, sitting {number}", number=table.number)
    how = msg("One stroke of the pen across each line. Bread and water before the next plate.")
    cards = [
        {"code": p.code, "taster": said(p.taster), "plate": say(_plate(p))}
        for p in table.portions
        if table.asked
    ]
    return framed(title, size) | {
        "how": say(how),
        "noticed": say(msg("Anything you noticed")),
        "questions": [_question(outcome) for outcome in table.asked],
        "cards": cards,
        "nothing": say(NO_CODES if table.asked else NO_QUESTIONS),
    }


def _plate(portion: Portion) -> Message:
    if portion.position == 0:
        return msg("warm-up plate")
    return msg("plate {place} of {last}", place=portion.position, last=portion.last)


def _question(outcome: Outcome) -> Values:
    ask = outcome.asked_as or outcome.name[:1].upper() + outcome.name[1:]
    asked: Values = {"ask": said(ask), "define": said(outcome.definition)}
    words = [word for word in outcome.options.splitlines() if word.strip()]
    if words:
        return asked | {"kind": "boxes", "words": [said(word) for word in words]}
    marks, numbered = _marks(outcome)
    if not marks:
        return asked | {"kind": "write"}
    anchors = [said(word) for word in _anchors(outcome)]
    return asked | {"kind": "scale", "marks": marks, "numbered": numbered, "anchors": anchors}


def _marks(outcome: Outcome) -> tuple[list[str], bool]:
    """The marks of the line: a tick a category; both ends alone where it is read by ruler."""
    limits = views.range_of(outcome)
    if limits.low is None or limits.high is None:
        return [], False
    step = limits.step or 0.0
    count = round((limits.high - limits.low) / step) + 1 if step else 0
    if 2 <= count <= _MOST_MARKS:
        return [shortest(limits.low + n * step) for n in range(count)], True
    return [shortest(limits.low), shortest(limits.high)], False


def _anchors(outcome: Outcome) -> Iterator[Text]:
    scale = SCALES.get(outcome.scale)
    yield outcome.low_anchor or (scale.low_anchor if scale else "")
    yield (scale.middle_anchor or "") if scale else ""
    yield outcome.high_anchor or (scale.high_anchor if scale else "")

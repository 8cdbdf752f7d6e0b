"""Every written line of a trial as text, so that a word can be found in any of them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from trialbench.model.message import Message, msg, say
from trialbench.model.records import LeftOut, Method, Piece, Score, Taster, Trial
from trialbench.model.words import ADDITION_ROLES
from trialbench.notebook import views
from trialbench.notebook.acts.addition_words import shown_addition
from trialbench.notebook.records_read import Reads
from trialbench.planning.stage_line import line_text
from trialbench.planning.stage_words import stage_name


@dataclass(frozen=True, slots=True)
class WrittenLine:
    """One line: the page it stands on, its label ("Cook day 2"), and its text."""

    page: str
    label: Message | str
    text: str

    def holds(self, words: str) -> bool:
        """Whether the text holds these words, in any case."""
        return words.casefold() in self.text.casefold()


def written_lines(book: Reads, trial_id: str) -> tuple[WrittenLine, ...]:
    """The lines of a trial in the order of its pages, empty ones left out."""
    trial = book.get(Trial, trial_id)
    found = [
        *_question(book, trial),
        *_methods(book, trial_id),
        *_cooking(book, trial_id),
        *_tasting(book, trial_id),
        *_closing(book, trial_id),
    ]
    return tuple(dict.fromkeys(line for line in found if line.text.strip()))


def lines_with(lines: Iterable[WrittenLine], words: str) -> tuple[WrittenLine, ...]:
    """The lines that hold the words; none for no words."""
    wanted = " ".join(words.split())
    return tuple(line for line in lines if line.holds(wanted)) if wanted else ()


def _question(book: Reads, trial: Trial) -> Iterator[WrittenLine]:
    for label, text in (
        (msg("Food"), trial.food),
        (msg("Chapter"), trial.chapter),
        (msg("My way"), trial.usual),
        (msg("My idea"), trial.idea),
        (msg("It came out"), trial.came_out),
        (msg("Reference sample"), trial.reference),
        (msg("Remark"), trial.remark),
    ):
        yield WrittenLine("question", label, text)
    for outcome in views.outcomes(book, trial.id):
        asked = ", ".join(filter(None, (outcome.name, outcome.asked_as)))
        yield WrittenLine("question", msg("Looked at"), asked)
    for method in views.methods(book, trial.id):
        label = msg("Method {letter}", letter=method.letter)
        parts = (_named(method, trial), method.origin_note, method.departs)
        about = ", ".join(filter(None, parts))
        yield WrittenLine("question", label, about)


def _named(method: Method, trial: Trial) -> str:
    return "" if method.name in (trial.usual, trial.idea) else method.name


def _methods(book: Reads, trial_id: str) -> Iterator[WrittenLine]:
    unit = views.cover(book).temperature_unit
    for stage in views.stages(book, trial_id):
        texts = {
            line_text(views.resolved_stage(book, stage, method.id), unit)
            for method in views.methods(book, trial_id)
            if stage.method_id in (None, method.id)
        }
        for slot in views.slots(book, stage.id):
            role = str(ADDITION_ROLES.get(slot.role, slot.role))
            texts |= {f"{role} {shown_addition(record)}" for record in slot.records}
        for text in sorted(texts):
            yield WrittenLine("methods", stage_name(stage), text)


def _cooking(book: Reads, trial_id: str) -> Iterator[WrittenLine]:
    for draw in views.draws(book, trial_id):
        yield WrittenLine("plan", msg("Draw {number}", number=draw.number), draw.reason)
    for cook in views.cooks(book, trial_id):
        label = msg("Cook day {number}", number=cook.number)
        yield WrittenLine("cook", label, cook.remark)
        for pair in views.pairs(book, cook.id):
            yield WrittenLine("plan", label, pair.source)
        for piece in views.pieces(book, cook.id):
            about = ", ".join(filter(None, (piece.source, piece.place)))
            yield WrittenLine("plan", label, f"{piece.label}: {about}" if about else "")
            for weighed in views.measurements(book, piece.id).values():
                yield WrittenLine("cook", label, weighed.missing_reason)
        for load in views.loads(book, cook.id):
            yield WrittenLine("cook", label, " ".join(filter(None, (load.name, load.vessel))))


def _tasting(book: Reads, trial_id: str) -> Iterator[WrittenLine]:
    for sitting in views.sittings(book, trial_id):
        label = msg("Sitting {number}", number=sitting.number)
        yield WrittenLine("tasting", label, sitting.allergens)
        yield WrittenLine("tasting", label, sitting.opened_early_reason)
        for seat in views.seats(book, sitting.id):
            yield WrittenLine("tasting", label, seat.left_reason)
        for sample in views.samples(book, sitting.id, warm_up=True):
            yield from _score_remarks(book.all(Score, sample_id=sample.id), label)


def _score_remarks(scores: Iterable[Score], label: Message) -> Iterator[WrittenLine]:
    for score in scores:
        if score.missing_reason:
            yield WrittenLine("tasting", label, score.missing_reason)


def _closing(book: Reads, trial_id: str) -> Iterator[WrittenLine]:
    for left in views.left_out(book, trial_id):
        yield WrittenLine("findings", msg("Left out"), f"{_subject(book, left)}: {left.reason}")
    chosen = views.decision(book, trial_id)
    if chosen is not None:
        yield WrittenLine("recipe_note", msg("Decision"), chosen.reason)
    for note in views.handed_on(book, trial_id):
        yield WrittenLine("recipe_note", msg("Recipe note"), note.headline)


def _subject(book: Reads, left: LeftOut) -> str:
    piece, taster = book.find(Piece, left.subject_id), book.find(Taster, left.subject_id)
    if piece is not None:
        return piece.label
    return taster.alias if taster is not None else say(msg("someone"))

"""The margin of the Methods page: what differs, what nobody asked for, what is not written."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

from trialbench.model.margin import Margin, MarginNote, NoteVerb
from trialbench.model.message import Message, msg, msg_n
from trialbench.model.quantities import show_duration
from trialbench.model.records import Method, Stage, Trial
from trialbench.notebook.records_read import Reads
from trialbench.notebook.views import cover, method_stages, methods, stages
from trialbench.planning.difference_words import (
    ask_it,
    could_be_why,
    how_much,
    keep_as_rider,
    make_equal,
    name_it,
    title,
)
from trialbench.planning.differences import MethodDifference, differences_of
from trialbench.planning.number_words import in_words
from trialbench.planning.safety import caution_notes
from trialbench.planning.stage_words import listed, stage_name

NEXT_STAGE = "next stage"

_NO_END_NEEDED = ("prepare", "trim", "slice", "wrap")
_ENDS_BY_LOOK = ("sear", "fry")


def margin_of_methods(book: Reads, trial_id: str) -> Margin:
    """Notes beside "stage:<id>", "stage:<id>:<field>" and "next stage"."""
    found = differences_of(book, trial_id)
    notes = (
        *caution_notes(book, trial_id),
        *_difference_notes(book, trial_id, found),
        *_missing_ends(book, trial_id),
        *_at_the_table(book, trial_id, found),
    )
    return Margin(standing_sentence(book, trial_id, found), tuple(notes))


def standing_sentence(book: Reads, trial_id: str, found: Sequence[MethodDifference]) -> Message:
    """What the page comes to: "Three lines differ. One is the question; two came with it." """
    same = book.get(Trial, trial_id).question == "same_recipe"
    if not stages(book, trial_id):
        return msg("Write what happens, from the raw piece to the table.")
    if not found:
        letters = listed([m.letter for m in methods(book, trial_id)])
        if same:
            return msg("{letters} are one recipe, as they should be.", letters=letters)
        return msg("Nothing differs yet: {letters} are one recipe.", letters=letters)
    count = len(found)
    differ = msg_n(
        "{words} line differs.", "{words} lines differ.", count, words=in_words(count, first=True)
    )
    if same:
        return msg("{differ} One recipe cooked twice has none.", differ=differ)
    if not any(d.asked for d in found):
        return msg("{differ} Which one is the question?", differ=differ)
    rest = count - 1
    if rest == 0:
        return msg("One line differs, and it is the question.")
    came = msg_n("{words} came with it.", "{words} came with it.", rest, words=in_words(rest))
    return msg("{differ} One is the question; {came}", differ=differ, came=came)


def _difference_notes(
    book: Reads, trial_id: str, found: Sequence[MethodDifference]
) -> Iterator[MarginNote]:
    trial, unit = book.get(Trial, trial_id), cover(book).temperature_unit
    often = Counter(d.stage.id for d in found)
    for each in found:
        yield _note(each, trial, unit, title(each, alone=often[each.stage.id] == 1))


def _note(found: MethodDifference, trial: Trial, unit: str, name: Message) -> MarginNote:
    equal = make_equal(found, unit)
    equals = (equal,) if equal else ()
    if trial.question == "same_recipe":
        label = msg("{line}: differs, and should not", line=name)
        return MarginNote(found.line, "differs", label, (how_much(found, unit),), equals, dear=60)
    if found.role == "question":
        label = msg("{line}: the question", line=name)
        return MarginNote(found.line, "passage", label, (how_much(found, unit),), dear=20)
    if found.role == "rider":
        label = msg("{line}: a rider", line=name)
        says = (how_much(found, unit), msg("The finding names it."))
        return MarginNote(found.line, "differs", label, says, equals, dear=30)
    if found.suggested == "question":
        label = msg("{line}: the question?", line=name)
        named = msg("Your idea names it. Say so, or say which line it is.")
        return MarginNote(found.line, "passage", label, (named,), (ask_it(found),), dear=55)
    return _not_asked(found, trial, unit, name)


def _not_asked(found: MethodDifference, trial: Trial, unit: str, name: Message) -> MarginNote:
    says = (how_much(found, unit), could_be_why(found, trial))
    equal = make_equal(found, unit)
    first = (equal,) if equal else ()
    if found.suggested == "rider":
        label = msg("{line}: comes with the question", line=name)
        return MarginNote(found.line, "differs", label, says, (name_it(found), *first), dear=50)
    label = msg("{line}: differs, not asked for", line=name)
    return MarginNote(
        found.line, "differs", label, says, (*first, keep_as_rider(found))[:2], dear=70
    )


def _missing_ends(book: Reads, trial_id: str) -> Iterator[MarginNote]:
    for number, stage in enumerate(stages(book, trial_id), start=1):
        for lacks, own in _own_ends(book, stage):
            yield _end_note(number, stage, own, lacks)
            break


def _own_ends(book: Reads, stage: Stage) -> Iterator[tuple[str, Stage]]:
    """("end" | "sign", the stage as a method has it) where one does not know when to stop."""
    for method in methods(book, stage.trial_id):
        for own in method_stages(book, method.id):
            if own.id != stage.id or own.stage_kind in _NO_END_NEEDED:
                continue
            looks = bool(own.end_feel) or own.end_core_c is not None
            if not looks and own.duration_s is None:
                yield "end", own
            elif not looks and own.stage_kind in _ENDS_BY_LOOK:
                yield "sign", own


def _end_note(number: int, stage: Stage, own: Stage, lacks: str) -> MarginNote:
    line = f"stage:{stage.id}:end_feel"
    name = stage_name(stage)
    if lacks == "sign":
        label = msg("{number} {stage}: no sign that it is done", number=number, stage=name)
        says = msg("On two cook days you would stop at two colours.")
        verb = NoteVerb(msg("Write what the crust looks like"), "go_to", (line,))
    else:
        label = msg("{number} {stage}: no end is written", number=number, stage=name)
        says = msg("Nothing says when it is over. On two cook days you would stop at two moments.")
        verb = NoteVerb(msg("Write how you see that it is done"), "go_to", (line,))
    return MarginNote(line, "missing", label, (says,), (verb,), dear=40)


def _at_the_table(
    book: Reads, trial_id: str, found: Sequence[MethodDifference]
) -> Iterator[MarginNote]:
    if any(d.field == "duration_s" or not d.field for d in found):
        yield from _unequal_times(book, trial_id)
    there = [s for s in stages(book, trial_id) if s.stage_kind not in _NO_END_NEEDED]
    if there and any(d.stage.id == there[-1].id for d in found):
        label = msg("At the table: equally warm")
        says = (
            msg("The last stage is not the same. A warmer bite can win by its warmth alone."),
            msg("Bring both to one temperature before they are sliced."),
        )
        source = msg("Samples at one temperature, the usual one for eating: ISO 4120:2021, 5.")
        yield MarginNote(NEXT_STAGE, "passage", label, says, source=source, dear=45)


def _unequal_times(book: Reads, trial_id: str) -> Iterator[MarginNote]:
    totals: list[tuple[float, Method]] = []
    for method in methods(book, trial_id):
        timed = [s for s in method_stages(book, method.id) if s.stage_kind not in _NO_END_NEEDED]
        times = [s.duration_s for s in timed if s.duration_s is not None]
        if len(times) < len(timed):
            return
        totals.append((sum(times), method))
    if len(totals) < 2:
        return
    totals.sort(key=lambda item: item[0])
    (short, quick), (long, slow) = totals[0], totals[-1]
    if long - short < 1:
        return
    gap = show_duration(long - short)
    label = msg("In all: {gap} longer in {letter}", gap=gap, letter=slow.letter)
    says = msg(
        "To come to the table together, {letter} starts {gap} later, or waits as long.",
        letter=quick.letter,
        gap=gap,
    )
    yield MarginNote(NEXT_STAGE, "passage", label, (says,), dear=35)

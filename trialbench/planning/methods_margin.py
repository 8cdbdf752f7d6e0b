"""The margin of the Methods page: what differs, what nobody asked for, what is not written."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

from trialbench.model.margin import Margin, MarginNote, NoteVerb
from trialbench.model.message import Message, msg, msg_n
from trialbench.model.records import Stage, Trial
from trialbench.notebook.records_read import Reads
from trialbench.notebook.views import cover, method_stages, methods, stages
from trialbench.planning.at_table import NEXT_STAGE, NO_END_NEEDED, notes_at_the_table
from trialbench.planning.difference_ways import ask_it, keep_as_rider, make_equal, name_it
from trialbench.planning.difference_words import could_be_why, how_much, title
from trialbench.planning.differences import MethodDifference, differences_of
from trialbench.planning.differences_of_pieces import PieceDifference, differences_of_pieces
from trialbench.planning.number_words import in_words
from trialbench.planning.safety import caution_notes
from trialbench.planning.salt_in_all import notes_on_salt
from trialbench.planning.stage_words import and_listed, stage_name
from trialbench.planning.varied_margin import notes_on_varied

_ENDS_BY_LOOK = ("sear", "fry")


def margin_of_methods(book: Reads, trial_id: str) -> Margin:
    """Notes beside "stage:<id>", "stage:<id>:<field>" and "next stage"."""
    found = differences_of(book, trial_id)
    notes = (
        *caution_notes(book, trial_id),
        *_difference_notes(book, trial_id, found),
        *_missing_ends(book, trial_id),
        *notes_on_salt(book, trial_id),
        *notes_at_the_table(book, trial_id, found),
        *notes_on_varied(book, trial_id),
        *_piece_notes(book, trial_id),
    )
    return Margin(standing_sentence(book, trial_id, found), tuple(notes))


def standing_sentence(book: Reads, trial_id: str, found: Sequence[MethodDifference]) -> Message:
    """What the page comes to: "Three lines differ. One is the question; two came with it." """
    same = book.get(Trial, trial_id).question == "same_recipe"
    if not stages(book, trial_id):
        return msg("Write what happens, from the raw piece to the table.")
    if not found:
        letters = and_listed([m.letter for m in methods(book, trial_id)])
        if same:
            return msg("{letters} are one recipe, as they should be.", letters=letters)
        return msg("Nothing differs yet: {letters} are one recipe.", letters=letters)
    differ = msg_n(
        "{words} line differs.",
        "{words} lines differ.",
        len(found),
        words=in_words(len(found), first=True),
    )
    if same:
        return msg("{differ} One recipe cooked twice has none.", differ=differ)
    return _asked_of(found, differ)


def _asked_of(found: Sequence[MethodDifference], differ: Message) -> Message:
    """Which of the lines are the question, as far as that is said."""
    said = sum(1 for d in found if d.role == "question")
    asked = sum(1 for d in found if d.asked)
    rest = len(found) - asked
    came = msg_n("{words} came with it.", "{words} came with it.", rest, words=in_words(rest))
    if not asked:
        return msg("{differ} Which one is the question?", differ=differ)
    if not said:
        if not rest:
            return msg_n("One line differs. Is it the question?",
                         "{words} lines differ. Are they what you ask?", asked,
                         words=in_words(asked, first=True))  # fmt: skip
        return msg("{differ} One of them reads like the question.", differ=differ)
    if asked == 1:
        if not rest:
            return msg("One line differs, and it is the question.")
        return msg("{differ} One is the question; {came}", differ=differ, came=came)
    if not rest:
        return msg("{words} lines differ, and they are the questions.",
                   words=in_words(asked, first=True))  # fmt: skip
    came = msg_n("{words} came with them.", "{words} came with them.", rest, words=in_words(rest))
    return msg("{differ} {words} are the questions; {came}", differ=differ,
               words=in_words(asked, first=True), came=came)  # fmt: skip


def _difference_notes(
    book: Reads, trial_id: str, found: Sequence[MethodDifference]
) -> Iterator[MarginNote]:
    trial, unit = book.get(Trial, trial_id), cover(book).temperature_unit
    often = Counter(d.stage.id for d in found)
    for each in found:
        yield _note(each, trial, unit, title(each, alone=often[each.stage.id] == 1))


def _note(found: MethodDifference, trial: Trial, unit: str, name: Message) -> MarginNote:
    equal = make_equal(found, trial, unit)
    equals = (equal,) if equal else ()
    if trial.question == "same_recipe":
        label = msg("{line}: differs, and should not", line=name)
        return MarginNote(found.line, "differs", label, (how_much(found, unit),), equals, dear=60)
    if found.role == "question":
        label = msg("{line}: the question", line=name)
        return MarginNote(found.line, "passage", label, (how_much(found, unit),), dear=20)
    if found.role == "rider":
        label = msg("{line}: a rider", line=name)
        told = (how_much(found, unit), could_be_why(found, trial), msg("The finding names it."))
        return MarginNote(found.line, "differs", label, told, equals, dear=30)
    if found.suggested == "question":
        label = msg("{line}: the question?", line=name)
        named = msg("Your words name it. Say so, or say which line it is.")
        says = (how_much(found, unit), named)
        return MarginNote(found.line, "passage", label, says, (ask_it(found),), dear=55)
    return _not_asked(found, trial, unit, name)


def _not_asked(found: MethodDifference, trial: Trial, unit: str, name: Message) -> MarginNote:
    says = (how_much(found, unit), could_be_why(found, trial))
    equal = make_equal(found, trial, unit)
    first = (equal,) if equal else ()
    if found.suggested == "rider":
        label = msg("{line}: comes with the question", line=name)
        return MarginNote(found.line, "differs", label, says, (name_it(found), *first), dear=50)
    label = msg("{line}: differs, not asked for", line=name)
    return MarginNote(
        found.line, "differs", label, says, (*first, keep_as_rider(found))[:2], dear=70
    )


def _piece_notes(book: Reads, trial_id: str) -> Iterator[MarginNote]:
    """How the pieces themselves were treated; nothing of it can be a question."""
    same = book.get(Trial, trial_id).question == "same_recipe"
    for found in differences_of_pieces(book, trial_id):
        verbs = (found.verb,) if found.verb else ()
        says = (found.sentence, found.why, msg("The finding names it."))
        line = _line_of(book, trial_id, found)
        yield MarginNote(line, "differs", found.label, says[: 1 if same else 3], verbs, dear=65)


def _line_of(book: Reads, trial_id: str, found: PieceDifference) -> str:
    """Salt stands beside the salting, the rest under the last stage."""
    salting = [s for s in stages(book, trial_id) if s.stage_kind == "salt"]
    return f"stage:{salting[0].id}" if found.about == "salt" and salting else NEXT_STAGE


def _missing_ends(book: Reads, trial_id: str) -> Iterator[MarginNote]:
    for number, stage in enumerate(stages(book, trial_id), start=1):
        for lacks, own in _own_ends(book, stage):
            yield _end_note(number, stage, own, lacks)
            break


def _own_ends(book: Reads, stage: Stage) -> Iterator[tuple[str, Stage]]:
    """("end" | "sign", the stage as a method has it) where one does not know when to stop."""
    for method in methods(book, stage.trial_id):
        for own in method_stages(book, method.id):
            if own.id != stage.id or own.stage_kind in NO_END_NEEDED:
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

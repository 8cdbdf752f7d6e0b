"""What must be equal when the methods come to the table: time, warmth held, warmth at the bite."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from trialbench.model.margin import MarginNote, NoteVerb
from trialbench.model.message import Message, msg
from trialbench.model.quantities import show_duration, show_temp
from trialbench.model.records import Method, Stage
from trialbench.model.words import STAGE_KINDS
from trialbench.notebook.records_read import Reads
from trialbench.notebook.views import cover, method_stages, methods, stages
from trialbench.planning.differences import MethodDifference
from trialbench.planning.stage_words import and_listed, listed

NEXT_STAGE = "next stage"
NO_END_NEEDED = ("prepare", "trim", "slice", "wrap", "serve")
_EQUALLY_WARM = msg("Samples at one temperature, the usual one for eating: ISO 4120:2021, 5.")


def notes_at_the_table(
    book: Reads, trial_id: str, found: Sequence[MethodDifference]
) -> Iterator[MarginNote]:
    """Notes beside "next stage" and the stage that serves."""
    if any(d.field == "duration_s" or not d.field for d in found):
        yield from _unequal_times(book, trial_id)
    yield from _held_apart(book, trial_id, found)
    serving = [s for s in stages(book, trial_id) if s.stage_kind == "serve"]
    yield from _serving(book, serving)
    there = [s for s in stages(book, trial_id) if s.stage_kind not in NO_END_NEEDED]
    if there and not serving and any(d.stage.id == there[-1].id for d in found):
        label = msg("At the table: equally warm")
        says = (
            msg("The last stage is not the same. A warmer bite can win by its warmth alone."),
            msg("Bring both to one temperature before they are sliced."),
        )
        yield MarginNote(NEXT_STAGE, "passage", label, says, source=_EQUALLY_WARM, dear=45)


def _serving(book: Reads, serving: Sequence[Stage]) -> Iterator[MarginNote]:
    for stage in serving:
        own = [s for m in methods(book, stage.trial_id) for s in method_stages(book, m.id)
               if s.id == stage.id]  # fmt: skip
        if all(s.set_temp_c is not None for s in own):
            continue
        line = f"stage:{stage.id}:set_temp_c"
        label = msg("{number} Serve: how warm is not written", number=stage.position)
        says = msg("A warmer bite can win by its warmth alone.")
        verb = NoteVerb(msg("Write how warm it is at the bite"), "go_to", (line,))
        yield MarginNote(line, "missing", label, (says,), (verb,), source=_EQUALLY_WARM, dear=38)


def _held_apart(
    book: Reads, trial_id: str, found: Sequence[MethodDifference]
) -> Iterator[MarginNote]:
    """Time and warmth held in all, where no single line shows that they are not equal."""
    told = any(_keeps_warm(d.stage) and d.field in ("duration_s", "set_temp_c") for d in found)
    held = [(m, [s for s in method_stages(book, m.id) if _keeps_warm(s)])
            for m in methods(book, trial_id)]  # fmt: skip
    if told or any(not warm for _, warm in held):
        return
    unit = cover(book).temperature_unit
    said: dict[Message | str, list[str]] = {}
    for method, warm in held:
        said.setdefault(_held_words(warm, unit), []).append(method.letter)
    if len(said) < 2:
        return
    label = msg("Held in all: not alike")
    values = listed([msg("{held} in {letters}", held=words, letters=and_listed(letters))
                     for words, letters in said.items()])  # fmt: skip
    says = (msg("{values}.", values=values), msg("What is held longer or warmer loses more."))
    yield MarginNote(NEXT_STAGE, "differs", label, says, dear=52)


def _keeps_warm(stage: Stage) -> bool:
    word = STAGE_KINDS.get(stage.stage_kind)
    return word is not None and word.warm


def _held_words(warm: Sequence[Stage], unit: str) -> Message | str:
    time = sum(stage.duration_s or 0 for stage in warm)
    temps = dict.fromkeys(show_temp(s.set_temp_c, unit) for s in warm if s.set_temp_c is not None)
    if not temps:
        return show_duration(time)
    return msg("{time} at {temperatures}", time=show_duration(time),
               temperatures=and_listed(list(temps)))  # fmt: skip


def _unequal_times(book: Reads, trial_id: str) -> Iterator[MarginNote]:
    totals: list[tuple[float, Method]] = []
    for method in methods(book, trial_id):
        timed = [s for s in method_stages(book, method.id) if s.stage_kind not in NO_END_NEEDED]
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

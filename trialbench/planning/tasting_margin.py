"""The margin of the Tasting page: the key, who left, how it is served, and who cannot eat what."""

from __future__ import annotations

import re
from collections.abc import Iterator

from trialbench.model.margin import Margin, MarginNote, NoteVerb
from trialbench.model.message import Message, msg, msg_n
from trialbench.model.records import Sample, Score, Sitting, Taster, Trial
from trialbench.notebook import views
from trialbench.notebook.records_read import Reads
from trialbench.planning.number_words import in_words
from trialbench.planning.orders import Evenness, evenness, williams_rows
from trialbench.planning.some_orders import some_evenness, whole_rows

USUAL_SAMPLES = 6
FEWEST_FOR_OTHERS = 3


def margin_of_tasting(book: Reads, sitting_id: str) -> Margin:
    """Notes beside "key", "taster:<id>", "orders", "served", "allergens", "tasters", "samples"."""
    sitting = book.get(Sitting, sitting_id)
    notes = (
        *_allergen_notes(book, sitting),
        *_key_notes(book, sitting),
        *_who_left(book, sitting),
        *_order_notes(book, sitting),
        *_serving_notes(sitting),
        *_panel_notes(book, sitting),
        *_marked_notes(book, sitting),
    )
    return Margin(_standing(book, sitting), tuple(notes))


def seam_sentence(cards: views.Cards) -> Message:
    """When the key can be opened."""
    if cards.all == 0:
        return msg("No score cards yet.")
    if cards.open == 0:
        return msg("The score cards are in. The key can be opened.")
    out = msg_n("{count} is still out.", "{count} are still out.", cards.open)
    every = cards.all - cards.left
    return msg(
        "The key can be opened when all {every} score cards are in. {out}", every=every, out=out
    )


def _standing(book: Reads, sitting: Sitting) -> Message:
    if sitting.key_state == "open":
        return msg("The key is open. What is written now is marked.")
    if sitting.key_state == "sealed":
        return msg("Nobody at the table knows which is which.")
    if not views.seats(book, sitting.id):
        return msg("Who tastes, and what is served?")
    return msg("Codes, orders and a sealed key come next.")


def _key_notes(book: Reads, sitting: Sitting) -> Iterator[MarginNote]:
    if sitting.key_state == "sealed":
        label = msg("The key: nobody knows")
        says = (
            msg("No method, no mean and no total stands on this page before the key is open."),
            msg("Not for you either."),
        )
        yield MarginNote("key", "passage", label, says, dear=50)
        yield from _still_to_come(book, sitting)
    elif sitting.opened_early_reason:
        label = msg("The key: opened early")
        why = msg("You wrote: {reason}.", reason=sitting.opened_early_reason.rstrip("."))
        yield MarginNote("key", "passage", label, (why,), dear=45)


def _still_to_come(book: Reads, sitting: Sitting) -> Iterator[MarginNote]:
    planned = views.planned_or_laid_out(book, sitting.trial_id)
    served = {s.cook_id for s in views.sittings(book, sitting.trial_id) if s.key_state != "none"}
    left = planned - len(served)
    if left > 0:
        label = msg_n("{count} cook day to come", "{count} cook days to come", left)
        says = msg("Keep the key shut until the last one. The finding waits for all of them.")
        yield MarginNote("key", "passage", label, (says,), dear=25)


def _who_left(book: Reads, sitting: Sitting) -> Iterator[MarginNote]:
    for seat in views.seats(book, sitting.id):
        if not seat.left_reason:
            continue
        cards = views.cards_in(book, sitting.id, seat.taster_id)
        if not cards.left:
            continue
        alias, line = book.get(Taster, seat.taster_id).alias, f"taster:{seat.taster_id}"
        label = msg_n(
            "{alias}: {words} card stays empty",
            "{alias}: {words} cards stay empty",
            cards.left,
            alias=alias,
            words=in_words(cards.left),
        )
        says = (
            msg("You wrote: {reason}.", reason=seat.left_reason.rstrip(".")),
            msg("Not filled in, not counted as zero."),
        )
        verb = NoteVerb(msg("{alias} came back", alias=alias), "come_back", (seat.id,))
        verbs = (verb,) if sitting.key_state == "sealed" else ()
        yield MarginNote(line, "missing", label, says, verbs, dear=60)


def _order_notes(book: Reads, sitting: Sitting) -> Iterator[MarginNote]:
    found = orders_of(book, sitting)
    if found is None:
        return
    label = msg("Orders: {how}", how=found.label)
    says = found.sentences
    if not found.even and sitting.key_state != "open":
        says = says[-1:]  # the counts themselves are known once the key is open
    yield MarginNote("orders", "shows", label, says, dear=10 if found.even else 28)


def orders_of(book: Reads, sitting: Sitting) -> Evenness | None:
    """How even a sitting's orders are: counted once the key is open.

    Before, only their number is looked at, which says nothing of any piece: what is left over from
    whole designs is taken as a gap of one. None without samples, or with one sample each.
    """
    by_taster: dict[str, list[Sample]] = {}
    for sample in views.samples(book, sitting.id):
        by_taster.setdefault(sample.taster_id, []).append(sample)
    trial = book.get(Trial, sitting.trial_id)
    servings = max(trial.servings, 1)
    size = max(map(len, by_taster.values()), default=0) // servings
    if size < 2:
        return None
    if _in_rounds(by_taster):
        return Evenness(1, 1, servings, servings, rounds=True)
    pieces = {p.id: p.method_id or "" for p in views.pieces(book, sitting.cook_id)}
    if sitting.key_state == "open":
        return _counted(by_taster, size, pieces)
    rows, every = len(by_taster) * servings, max(len(pieces), size)
    if size < every:
        whole = whole_rows(tuple(pieces.values()), size)
        gap = min(rows % whole, 1)
        even_at = -(-rows // whole) * whole
        return Evenness(gap, gap, rows, even_at, times_gap=gap, together_gap=gap, each=size)
    design = len(williams_rows(size))
    gap = min(rows % design, 1)
    return Evenness(gap, gap, rows, -(-rows // design) * design)


def _in_rounds(by_taster: dict[str, list[Sample]]) -> bool:
    """Whether everybody was served the same sample at the same time."""
    return any(s.round_number > 1 for samples in by_taster.values() for s in samples)


def _counted(by_taster: dict[str, list[Sample]], size: int, methods: dict[str, str]) -> Evenness:
    number = {piece_id: n for n, piece_id in enumerate(methods)}
    orders: list[tuple[int, ...]] = []
    for samples in by_taster.values():
        served = sorted(samples, key=lambda s: s.position)
        labels = [number.setdefault(s.piece_id or "", len(number)) for s in served]
        orders += [tuple(labels[start : start + size]) for start in range(0, len(labels), size)]
    groups = [methods.get(piece_id, "") for piece_id in number]
    if size < len(number):
        return some_evenness(orders, len(number), groups)
    return evenness(orders, size)


def _allergen_notes(book: Reads, sitting: Sitting) -> Iterator[MarginNote]:
    if not sitting.allergens.strip():
        label = msg("Allergens: nothing written")
        says = msg("List those of everything served, the bread too. Write “none” if so.")
        verb = NoteVerb(msg("Write the allergens"), "go_to", ("allergens",))
        yield MarginNote("allergens", "watch", label, (says,), (verb,), dear=95)
        return
    served = _words(sitting.allergens)
    for seat in views.seats(book, sitting.id):
        taster = book.get(Taster, seat.taster_id)
        if _words(taster.avoids) & served:
            label = msg("{alias}: watch", alias=taster.alias)
            says = msg(
                "{alias} avoids {avoids}. Served: {allergens}.",
                alias=taster.alias,
                avoids=taster.avoids,
                allergens=sitting.allergens,
            )
            yield MarginNote(f"taster:{taster.id}", "watch", label, (says,), dear=98)


_NO_ALLERGENS = {"none", "no", "nothing", "and", "or", "the", "in", "with", "of"}


def _words(text: str) -> set[str]:
    found = {word.rstrip("s") for word in re.findall(r"\w+", text.casefold())}
    return found - {word.rstrip("s") for word in _NO_ALLERGENS}


def _serving_notes(sitting: Sitting) -> Iterator[MarginNote]:
    if sitting.key_state == "none":
        return
    lacks: list[Message] = []
    if sitting.served_temp_c is None:
        lacks.append(msg("how warm at the bite"))
    if sitting.slice_mm is None:
        lacks.append(msg("how thick a slice"))
    if sitting.knife_to_mouth_min is None:
        lacks.append(msg("how long from the knife to the mouth"))
    if lacks:
        label = msg("As served: {lacks}", lacks=lacks[0])
        says = msg("All samples alike in amount, warmth and vessel, or the bite decides by itself.")
        source = msg("Equal amount, equal temperature, same vessel: ISO 4120:2021, 5.")
        verb = NoteVerb(msg("Write how it is served"), "go_to", ("served",))
        yield MarginNote("served", "missing", label, (says,), (verb,), source, dear=30)


def _panel_notes(book: Reads, sitting: Sitting) -> Iterator[MarginNote]:
    seats = views.seats(book, sitting.id)
    if 0 < len(seats) < FEWEST_FOR_OTHERS:
        label = msg_n("{count} taster", "{count} tasters", len(seats))
        says = msg("With fewer than three, nothing can be said of others like them.")
        yield MarginNote("tasters", "shows", label, (says,), dear=35)
    most = max((len(views.samples(book, sitting.id, s.taster_id)) for s in seats), default=0)
    if most > USUAL_SAMPLES:
        label = msg("{count} samples each: a long table", count=most)
        says = msg("Mouths tire: about six a sitting are usual. Bread, water, and 30 s between.")
        source = msg("About six samples a sitting: common practice for cooked meat.")
        yield MarginNote("samples", "shows", label, (says,), source=source, dear=22)


def _marked_notes(book: Reads, sitting: Sitting) -> Iterator[MarginNote]:
    if sitting.key_state != "open":
        return
    marked = sum(
        score.changed_after_opening
        for sample in views.samples(book, sitting.id)
        for score in book.all(Score, sample_id=sample.id)
    )
    if marked:
        label = msg_n(
            "{count} score changed after opening", "{count} scores changed after opening", marked
        )
        says = msg("They stay marked for good, here and in the report.")
        yield MarginNote("key", "passage", label, (says,), dear=48)

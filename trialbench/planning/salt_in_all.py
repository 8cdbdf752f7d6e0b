"""How much salt a method writes in all: salt itself, and the salt share of what goes on."""

from __future__ import annotations

from collections.abc import Iterator

from trialbench.model.margin import MarginNote
from trialbench.model.message import Message, msg
from trialbench.model.numbers import shortest
from trialbench.model.records import Method
from trialbench.notebook import views
from trialbench.notebook.records_read import Reads
from trialbench.planning.stage_words import and_listed, listed

_BY_SHARE = ("rub", "other")


def salt_written(book: Reads, method: Method) -> tuple[float, float]:
    """Grams of salt for each kilogram of trimmed weight: (as salt, in what else goes on).

    Brine is left out: how much of it goes into the food is not known.
    """
    own = views.method_stages(book, method.id)
    plain = sum(stage.salt_g_per_kg or 0.0 for stage in own)
    shares = [
        addition.g_per_kg * addition.salt_percent / 100
        for stage in own
        for addition in views.additions_of(book, stage, method.id)
        if addition.role in _BY_SHARE and addition.g_per_kg and addition.salt_percent
    ]
    return plain, sum(shares)


def notes_on_salt(book: Reads, trial_id: str) -> Iterator[MarginNote]:
    """Beside the stage whose rub brings salt of its own: what it comes to in all."""
    bringing = [
        stage
        for stage in views.stages(book, trial_id)
        for slot in views.slots(book, stage.id)
        if slot.role in _BY_SHARE and any(r.salt_percent and r.g_per_kg for r in slot.records)
    ]
    if not bringing:
        return
    said: dict[Message, list[str]] = {}
    for method in views.methods(book, trial_id):
        plain, shared = salt_written(book, method)
        words = msg(
            "{all} g for each kilogram, {shared} g of it in what goes on",
            all=shortest(plain + shared, 1),
            shared=shortest(shared, 1),
        )
        said.setdefault(words, []).append(method.letter)
    if len(said) == 1:
        sentence = msg("{salt}.", salt=next(iter(said)))
    else:
        parts = [msg("{salt}, in {letters}", salt=words, letters=and_listed(letters))
                 for words, letters in said.items()]  # fmt: skip
        sentence = msg("{salt}.", salt=listed(parts))
    label = msg("Salt in all")
    yield MarginNote(f"stage:{bringing[0].id}", "passage", label, (sentence,), dear=15)

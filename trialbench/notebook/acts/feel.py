"""Acts on the kitchen's feel card: five words for how done something feels, each with a meaning."""

from __future__ import annotations

from trialbench.model.message import Message, msg, say
from trialbench.model.records import Feel, new_id
from trialbench.model.steps import Step, added
from trialbench.notebook import views
from trialbench.notebook.acts.writing import line, made, one_of, rewrite
from trialbench.notebook.records_read import Reads

WORDS = 5

BEGINNING: tuple[tuple[Message, Message], ...] = (
    (msg("firm"), msg("springs back; a skewer has to be pushed")),
    (msg("giving"), msg("gives under the finger; a skewer meets resistance half-way")),
    (msg("tender"), msg("a skewer slides in with little resistance")),
    (msg("loose"), msg("a skewer slides in by itself; the piece bends when lifted")),
    (msg("falling apart"), msg("comes apart under its own weight")),
)
"""What a card begins with: everyday words, from memory; a kitchen writes its own over them."""

_FIELDS = {"word": 40, "meaning": 200}


def begin_card(book: Reads) -> Step:
    """Write the five words down, where there is no card yet."""
    there = {feel.position for feel in views.feel_card(book)}
    new = [
        Feel(new_id(), position, say(word), say(meaning))
        for position, (word, meaning) in enumerate(BEGINNING, start=1)
        if position not in there
    ]
    return made(book, msg("Feel card begun"), added(*new))


def set_feel(book: Reads, feel_id: str, field: str, typed: str) -> Step:
    """Write a word of the card, or what it means. Stages keep the words they have.

    Raises Refused for a word that is empty.
    """
    one_of(field, "feel", _FIELDS)
    feel = book.get(Feel, feel_id)
    text = line(typed, f"feel.{field}", most=_FIELDS[field], needed=field == "word")
    label = msg("Feel card, word {number}: {text}", number=feel.position, text=text or "\u2013")
    return rewrite(book, feel, label, **{field: text})


def word_typed(book: Reads, typed: str) -> str:
    """What was typed, or the word of the card where only its number was: "3" is its third word."""
    number = typed.strip()
    card = {str(feel.position): feel.word for feel in views.feel_card(book)}
    return card.get(number, typed)

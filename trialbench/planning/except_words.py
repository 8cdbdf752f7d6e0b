""" "B is the same as A, except: rest for 20 min, hold in its own juices." """

from __future__ import annotations

from collections.abc import Iterator

from trialbench.model.message import Message, msg
from trialbench.model.records import Method, Trial
from trialbench.notebook.records_read import Reads
from trialbench.notebook.views import cover, methods
from trialbench.planning.difference_words import line_word
from trialbench.planning.differences import MethodDifference, differences_of, usual_method
from trialbench.planning.stage_words import stage_name, value_words


def departures(
    book: Reads, trial_id: str
) -> tuple[tuple[Method, tuple[tuple[str, Message], ...]], ...]:
    """Every method but the usual one, with what it has otherwise, as (line, words)."""
    there = methods(book, trial_id)
    usual = usual_method(book.get(Trial, trial_id), there)
    found, unit = differences_of(book, trial_id), cover(book).temperature_unit
    return tuple(
        (method, tuple(_of(found, method, usual, unit))) for method in there if method is not usual
    )


def _of(
    found: tuple[MethodDifference, ...], method: Method, usual: Method, unit: str
) -> Iterator[tuple[str, Message]]:
    said = ""
    for each in found:
        mine, other = each.value_of(method), each.value_of(usual)
        stage = stage_name(each.stage)
        if mine == other:
            continue
        again, said = said == each.stage.id, each.stage.id
        if not each.field:
            words = msg("with {stage}", stage=stage) if mine else msg("without {stage}",
                                                                      stage=stage)  # fmt: skip
        elif mine is None:
            words = msg("{stage} without {what}", stage=stage, what=line_word(each))
        else:
            value = value_words(each.field, mine, unit)
            word = line_word(each)
            if again:
                words = msg("{word} {value}", word=word, value=value)
            else:
                words = msg("{stage} {word} {value}", stage=stage, word=word, value=value)
        yield each.line, words

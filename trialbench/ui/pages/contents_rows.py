"""What stands on the contents page, worked out without painting: chapters, lines, what is found."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from trialbench.model.message import Message, msg, say
from trialbench.model.records import Trial
from trialbench.notebook.views import question_line, trials, where_it_stands

if TYPE_CHECKING:
    from trialbench.planning.written_lines import WrittenLine

ORDERS: tuple[tuple[str, Message], ...] = (
    ("food", msg("food, then number")),
    ("number", msg("number")),
    ("written", msg("what was written last")),
)
Answer = Callable[[str], Message | None]


@dataclass(frozen=True, slots=True)
class Entry:
    """One trial on the page. `found` are the lines that hold what is looked for."""

    trial_id: str
    number: int
    chapter: str
    question: str
    answer: str
    found: tuple[WrittenLine, ...] = ()


class Lines:
    """The written lines of every trial, read once for each state of the notebook."""

    def __init__(self) -> None:
        self._at: object = None
        self._known: dict[str, tuple[WrittenLine, ...]] = {}

    def found(self, book: Any, trial_id: str, words: str) -> tuple[WrittenLine, ...]:
        """The lines of a trial that hold the words."""
        if not words:
            return ()
        from trialbench.planning.written_lines import lines_with, written_lines

        if book.last_written != self._at:
            self._at, self._known = book.last_written, {}
        if trial_id not in self._known:
            self._known[trial_id] = written_lines(book, trial_id)
        return lines_with(self._known[trial_id], words)


def entries(
    book: Any, answer: Answer, order: str, words: str = "", lines: Lines | None = None
) -> tuple[Entry, ...]:
    """The lines in the order chosen; with `words` only the trials that hold them somewhere."""
    wanted = " ".join(words.split())
    lines = lines or Lines()
    made = [
        Entry(
            trial.id,
            trial.number,
            say(chapter_of(trial)),
            say(question_line(trial)),
            "" if wanted else say(standing(book, trial, answer)),
            lines.found(book, trial.id, wanted),
        )
        for trial in _ordered(book, order)
    ]
    if not wanted:
        return tuple(made)
    return tuple(e for e in made if e.found or wanted.casefold() in e.question.casefold())


def chapter_of(trial: Trial) -> Message | str:
    """The chapter of the contents that a trial stands in: as written, else its food."""
    name = trial.chapter or trial.food
    return name[:1].upper() + name[1:] if name else msg("Not named yet")


def standing(book: Any, trial: Trial, answer: Answer) -> Message:
    """What came of a trial, else where it stands; an invented example says so."""
    said = where_it_stands(book, trial.id)
    if said is None:
        said = answer(trial.id) or msg("All cook days are in")
    return msg("{answer} (invented)", answer=said) if trial.invented else said


def _ordered(book: Any, order: str) -> Iterable[Trial]:
    found = trials(book)
    if order == "number":
        return found
    if order == "written":
        touched = book.trials_touched()
        return sorted(found, key=lambda t: (-touched.get(t.id, 0), t.number))
    return sorted(found, key=lambda t: (not (t.chapter or t.food), say(chapter_of(t)).casefold(),
                                        t.number))  # fmt: skip

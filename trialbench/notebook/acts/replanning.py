"""Acts when a piece runs late on a cook day: serve late, hold the other longer, drop it."""

from __future__ import annotations

from trialbench.model.errors import Refused
from trialbench.model.message import Message, msg
from trialbench.model.quantities import parse_duration_s, show_duration
from trialbench.model.records import Cook, Method, Piece, Replan, Stage, new_id
from trialbench.model.steps import Step, added, removed
from trialbench.notebook.acts.writing import line, made, one_of, rewrite
from trialbench.notebook.book import Book
from trialbench.notebook.records_read import Reads

CHOICES: dict[str, Message] = {
    "serve_late": msg("served late"),
    "hold_longer": msg("a longer hold for the other"),
    "drop": msg("dropped"),
}
MOST_S = 86_400.0


def read_late_s(typed: str) -> float:
    """How late, in seconds, up to a day. Raises Refused."""
    late_s = parse_duration_s(typed, field="replan.late_s")
    if not 0 < late_s <= MOST_S:
        raise Refused(
            msg("{typed} is no time to be late by. Not written.", typed=typed.strip()),
            field="replan.late_s",
            typed=typed,
            allowed=msg("more than nothing, up to a day: 25 min"),
            way_out=msg("Write it again, or leave it empty."),
        )
    return late_s


def replan(
    book: Book, cook_id: str, choice: str, late: str, where: tuple[str, str], reason: str = ""
) -> Step:
    """Write what was done. `where` is (method id or piece id, stage id): what was late, and in
    which stage; `late` a time with its unit.

    Raises Refused for a choice that is none, a time that cannot be read, a stage of another method.
    """
    one_of(choice, "replan.choice", CHOICES)
    cook, stage = book.get(Cook, cook_id), book.get(Stage, where[1])
    piece = book.find(Piece, where[0])
    method_id = piece.method_id if piece is not None else book.get(Method, where[0]).id
    if method_id is None or stage.method_id not in (None, method_id):
        raise Refused(
            msg("This stage is not cooked here. Not written."),
            field="replan.stage_id",
            allowed=msg("a stage of the method that is late"),
            way_out=msg("Choose another stage."),
        )
    late_s, now = read_late_s(late), book.now()
    what = piece.label if piece is not None else book.get(Method, method_id).letter
    made_of = Replan(
        new_id(), cook.id, now.utc, now.offset_min, choice, late_s, method_id,
        piece.id if piece is not None else None, line(reason, "replan.reason"), stage.id,
    )  # fmt: skip
    label = msg("Cook day {number}: {what} {late} late, {choice}", number=cook.number, what=what,
                late=show_duration(late_s), choice=CHOICES[choice])  # fmt: skip
    return made(book, label, added(made_of))


def set_reason(book: Reads, replan_id: str, typed: str) -> Step:
    """Write why it was late."""
    there = book.get(Replan, replan_id)
    text = line(typed, "replan.reason")
    return rewrite(book, there, msg("Late because: {why}", why=text or "\u2013"), reason=text)


def take_back(book: Reads, replan_id: str) -> Step:
    """As if it had not been late: the re-plan is taken away."""
    there = book.get(Replan, replan_id)
    return made(book, msg("A re-plan taken away"), removed(there))

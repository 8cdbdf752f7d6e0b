"""Acts that set a piece or taster aside: always with a reason, and both answers are shown."""

from __future__ import annotations

from trialbench.model.errors import Refused
from trialbench.model.message import msg
from trialbench.model.records import LeftOut, Piece, Taster, new_id
from trialbench.model.steps import Step, added, removed
from trialbench.notebook import views
from trialbench.notebook.acts.writing import made, one_of, reason, rewrite
from trialbench.notebook.book import Book
from trialbench.notebook.records_read import Reads

SUBJECTS = ("piece", "taster")


def leave_out(book: Book, trial_id: str, subject: str, subject_id: str, why: str) -> Step:
    """Set a piece or taster aside. Raises Refused without a reason, or when it is aside already.

    Marked when a key is open: then the headline stays as it is with everything.
    """
    one_of(subject, "left_out.subject", SUBJECTS)
    name = _name(book, subject, subject_id)
    asked = msg(
        "Leaving out {name} needs a reason. Both answers will be shown, with it and without it.",
        name=name,
    )
    text = reason(why, "left_out.reason", asked)
    if views.left_out(book, trial_id, subject_id):
        raise Refused(
            msg("{name} is left out already.", name=name),
            field="left_out.subject_id",
            allowed=msg("a piece or taster that counts"),
            way_out=msg("Change the reason that is written."),
        )
    late = views.any_key_open(book, trial_id)
    record = LeftOut(new_id(), trial_id, subject, subject_id, text, book.now().utc, late)
    return made(book, msg("{name} left out: {why}", name=name, why=text), added(record))


def change_reason(book: Reads, left_out_id: str, why: str) -> Step:
    """Write the reason anew."""
    record = book.get(LeftOut, left_out_id)
    name = _name(book, record.subject, record.subject_id)
    text = reason(why, "left_out.reason", msg("Leaving out {name} needs a reason.", name=name))
    label = msg("{name} left out: {why}", name=name, why=text)
    return rewrite(book, record, label, reason=text)


def take_back_in(book: Reads, left_out_id: str) -> Step:
    """Count a piece or taster again."""
    record = book.get(LeftOut, left_out_id)
    name = _name(book, record.subject, record.subject_id)
    return made(book, msg("{name} counts again", name=name), removed(record))


def _name(book: Reads, subject: str, subject_id: str) -> str:
    if subject == "piece":
        return book.get(Piece, subject_id).label
    return book.get(Taster, subject_id).alias

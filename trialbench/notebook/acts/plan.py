"""Acts on the Plan page: its figures, and the cook days, pairs and pieces that follow from them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace
from typing import Any

from trialbench.model.days_typed import read_day
from trialbench.model.errors import Refused
from trialbench.model.message import Message, msg
from trialbench.model.records import (
    Cook,
    Lot,
    Pair,
    Piece,
    Record,
    Replan,
    Sitting,
    Trial,
    new_id,
)
from trialbench.model.steps import Change, Step, added, removed
from trialbench.notebook import views
from trialbench.notebook.acts.checkpoints import lay_out_checkpoints
from trialbench.notebook.acts.writing import line, made, one_of, rewrite, rewritten, whole
from trialbench.notebook.book import Book
from trialbench.notebook.clock import local_time
from trialbench.notebook.records_read import Reads

LIMITS: dict[str, tuple[int, int]] = {
    "planned_cooks": (1, 60),
    "pieces_each": (1, 12),
    "planned_tasters": (1, 40),
    "servings": (1, 6),
    "spares": (0, 12),
    "most_samples": (2, 40),
}
LOADS = ("alone", "shared")
SERVINGS = ("all", "rounds")
_YES = {"yes": True, "no": False, "true": True, "false": False}
_YES_NO = {True: msg("yes"), False: msg("no")}
_SAID: dict[str, Message] = {
    "planned_cooks": msg("cook days"),
    "pieces_each": msg("pieces of each method a day"),
    "planned_tasters": msg("tasters"),
    "servings": msg("times each sample is tasted"),
    "spares": msg("spare pieces a day"),
    "paired": msg("matched pairs"),
    "loads": msg("pieces of one method cook"),
    "serving": msg("served"),
    "most_samples": msg("samples for a taster at most"),
}


def set_plan(book: Reads, trial_id: str, field: str, typed: str | bool) -> Step:
    """Write a figure of the plan, and lay out cook days, pairs and pieces to match it.

    `field` is one of LIMITS, "paired" (yes | no), "loads" (alone | shared) or "serving" (all |
    rounds: one product a round). Cook days with
    weights stay as they are; lots of cook days that change are to be drawn again. Raises Refused
    for a figure outside its limits or fewer cook days than were weighed; Sealed.
    """
    one_of(field, "trial", _SAID)
    trial = book.get(Trial, trial_id)
    values: dict[str, Any] = {field: _read(field, typed)}
    planned = replace(trial, **values)
    value = getattr(planned, field)
    said = _YES_NO[value] if isinstance(value, bool) else str(value or "–")
    label = msg("{what}: {text}", what=_SAID[field], text=said)
    changes = [Change(trial, planned)]
    if planned.planned_cooks is not None:
        anew = field in ("paired", "pieces_each")
        changes += [*_laid_out(book, planned, anew=anew), *_weighings(book, trial_id)]
    return made(book, label, changes, burst=f"{trial_id}:{field}")


def _read(field: str, typed: str | bool) -> int | str | bool | None:
    if field == "paired":
        said = str(typed).strip().lower()
        return _YES[one_of(said, "trial.paired", _YES)]
    if field == "loads":
        return one_of(str(typed), "trial.loads", LOADS)
    if field == "serving":
        return one_of(str(typed), "trial.serving", SERVINGS)
    if field in ("planned_cooks", "planned_tasters", "most_samples") and not str(typed).strip():
        return None
    return whole(str(typed), f"trial.{field}", *LIMITS[field])


def _weighings(book: Reads, trial_id: str) -> tuple[Change, ...]:
    """Weighings that follow the stages, as long as nothing was weighed."""
    begun = any(views.cook_is_begun(book, cook) for cook in views.cooks(book, trial_id))
    if begun or not views.stages(book, trial_id):
        return ()
    return lay_out_checkpoints(book, trial_id).changes


def lay_out_cooks(book: Reads, trial_id: str) -> Step:
    """Cook days, pairs and pieces (P01, P02 ...) that match the figures of the plan.

    Changes nothing where they match already, and never a cook day with weights.
    """
    trial = book.get(Trial, trial_id)
    if trial.planned_cooks is None:
        raise Refused(
            msg("How many cook days? Nothing was laid out."),
            field="trial.planned_cooks",
            allowed=msg("{low} to {high} cook days", low=1, high=LIMITS["planned_cooks"][1]),
            way_out=msg("Write the number of cook days first."),
        )
    return made(book, msg("Cook days laid out"), _laid_out(book, trial))


@dataclass
class _Layout:
    """What is being laid out: pieces keep their id, source, place and pair where they can.

    `anew`: pairs are dealt out in the order of the pieces, whatever they were.
    """

    book: Reads
    trial: Trial
    method_count: int
    labels: Iterator[str]
    spare_labels: Iterator[str]
    anew: bool = False
    changes: list[Change] = field(default_factory=list)

    def cook(self, number: int, cook: Cook | None) -> None:
        """Lay out one cook day."""
        if cook is None:
            cook = Cook(new_id(), self.trial.id, number)
            self.changes += added(cook)
        there = views.pieces(self.book, cook.id)
        pairs = self._kept_pairs(cook, there)
        pair_ids = [p.pair_id for p in there] if pairs is not None else []
        if pairs is None:
            pairs = self._pairs(cook)
            pair_ids = [pair.id for pair in pairs for _ in range(self.method_count)]
        pair_ids = pair_ids or [None] * self._pieces_a_day
        wanted = [self._piece(cook, n, there, pair_id) for n, pair_id in enumerate(pair_ids)]
        same_shape = len(there) == len(wanted) and all(
            a.pair_id == b.pair_id for a, b in zip(there, wanted, strict=True)
        )
        for old, new in zip(there, wanted, strict=False):
            self.changes.append(Change(old, new if same_shape else replace(new, method_id=None)))
        self.changes += added(*wanted[len(there) :])
        self.drop(there[len(wanted) :])
        self._aside(cook, pairs)
        self._drop_pairs(cook, pairs)

    @property
    def _pieces_a_day(self) -> int:
        return self.method_count * self.trial.pieces_each

    def _kept_pairs(self, cook: Cook, there: tuple[Piece, ...]) -> tuple[Pair, ...] | None:
        """The pairs of a cook day as they are, where they still fit; None: to be dealt out."""
        pairs = views.pairs(self.book, cook.id)
        inside = Counter(piece.pair_id for piece in there)
        sizes = {pair.id: self.method_count for pair in pairs}
        fit = len(there) == self._pieces_a_day and inside == sizes
        return pairs if pairs and fit and not self.anew else None

    def _pairs(self, cook: Cook) -> tuple[Pair, ...]:
        there = views.pairs(self.book, cook.id)
        wanted = self.trial.pieces_each if self.trial.paired else 0
        new = tuple(Pair(new_id(), cook.id, n) for n in range(len(there) + 1, wanted + 1))
        self.changes += added(*new)
        return (*there, *new)[:wanted]

    def _drop_pairs(self, cook: Cook, kept: tuple[Pair, ...]) -> None:
        gone = [p for p in views.pairs(self.book, cook.id) if p not in kept]
        self.changes += removed(*gone)

    def _piece(self, cook: Cook, n: int, there: tuple[Piece, ...], pair_id: str | None) -> Piece:
        label = next(self.labels)
        if n < len(there):
            return replace(there[n], position=n + 1, label=label, pair_id=pair_id)
        return Piece(new_id(), cook.id, n + 1, label, pair_id)

    def _aside(self, cook: Cook, kept: tuple[Pair, ...]) -> None:
        """Spares as many as planned; rejected pieces stay, and leave a pair that goes."""
        aside = [p for p in views.every_piece(self.book, cook.id) if not views.takes_part(p)]
        spares = [p for p in aside if not p.rejected_reason]
        self.drop(tuple(spares[self.trial.spares :]))
        names = {pair.id for pair in kept}
        stay = [p for p in aside if p.rejected_reason] + spares[: self.trial.spares]
        first = self._pieces_a_day + 1
        for n, piece in enumerate(stay):
            pair_id = piece.pair_id if piece.pair_id in names else None
            after = replace(piece, position=first + n, pair_id=pair_id)
            if piece.spare:
                after = replace(after, label=next(self.spare_labels))
            self.changes.append(Change(piece, after))
        for n in range(len(spares), self.trial.spares):
            label = next(self.spare_labels)
            position = first + len(stay) + n - len(spares)
            self.changes += added(Piece(new_id(), cook.id, position, label, spare=True))

    def drop(self, pieces: tuple[Piece, ...]) -> None:
        """Take pieces away, with what draws gave them."""
        lots: list[Record] = [lot for p in pieces for lot in self.book.all(Lot, piece_id=p.id)]
        late = [each for p in pieces for each in self.book.all(Replan, piece_id=p.id)]
        self.changes += removed(*late, *lots, *pieces)

    def drop_cook(self, cook: Cook) -> None:
        """Take a whole cook day away."""
        self.drop(views.every_piece(self.book, cook.id))
        late = self.book.all(Replan, cook_id=cook.id, piece_id=None)
        gone = [*late, *views.loads(self.book, cook.id), *views.pairs(self.book, cook.id), cook]
        self.changes += removed(*gone)


def relaid(book: Reads, trial: Trial, method_count: int) -> list[Change]:
    """Cook days, pairs and pieces for another number of methods; none while none are planned.

    Raises Refused once a cook day was begun: what was weighed keeps its pieces.
    """
    if trial.planned_cooks is None:
        return []
    begun = next((c for c in views.cooks(book, trial.id) if is_begun(book, c)), None)
    if begun is not None:
        raise Refused(
            msg("Cook day {number} was begun. Its methods stay.", number=begun.number),
            field="method.id",
            allowed=msg("other methods before the first weight"),
            way_out=msg("Begin another trial for it."),
        )
    return _laid_out(book, trial, method_count)


def _laid_out(
    book: Reads, trial: Trial, method_count: int | None = None, *, anew: bool = False
) -> list[Change]:
    there = {cook.number: cook for cook in views.cooks(book, trial.id)}
    fixed = {n for n, cook in there.items() if is_begun(book, cook)}
    wanted = trial.planned_cooks or 0
    if fixed and max(fixed) > wanted:
        raise Refused(
            msg("Cook day {number} was begun. The plan cannot be shorter.", number=max(fixed)),
            field="trial.planned_cooks",
            typed=str(wanted),
            allowed=msg("{number} cook days or more", number=max(fixed)),
            way_out=msg("Leave out what cannot be used, with its reason."),
        )
    count = len(views.methods(book, trial.id)) if method_count is None else method_count
    taken = _taken(book, trial.id, fixed)
    layout = _Layout(book, trial, count, _labels(taken), _labels(taken, "S"), anew)
    for number in range(1, wanted + 1):
        if number not in fixed:
            layout.cook(number, there.get(number))
    for number in sorted(there):
        if number > wanted:
            layout.drop_cook(there[number])
    return layout.changes


def is_begun(book: Reads, cook: Cook) -> bool:
    """Whether a cook day holds weights or was tasted: it is no longer laid out anew."""
    return views.cook_is_begun(book, cook) or bool(book.all(Sitting, cook_id=cook.id))


def _taken(book: Reads, trial_id: str, fixed: set[int]) -> set[str]:
    """Labels that stay: those of cook days that are not laid out anew, and of rejected pieces."""
    return {
        piece.label
        for cook in views.cooks(book, trial_id)
        for piece in views.every_piece(book, cook.id)
        if cook.number in fixed or piece.rejected_reason
    }


def _labels(taken: set[str], letter: str = "P") -> Iterator[str]:
    number = 0
    while True:
        number += 1
        label = f"{letter}{number:02d}"
        if label not in taken:
            yield label


def add_cook(book: Reads, trial_id: str) -> Step:
    """One more cook day than was planned, with its pieces; they get their method by lots.

    Marked for good when a key is open already: the finding says so.
    """
    trial = book.get(Trial, trial_id)
    there = views.cooks(book, trial_id)
    number = max([trial.planned_cooks or 0, *(c.number for c in there)]) + 1
    taken = _taken(book, trial_id, {cook.number for cook in there})
    count = len(views.methods(book, trial_id))
    layout = _Layout(book, trial, count, _labels(taken), _labels(taken, "S"))
    late = views.any_key_open(book, trial_id)
    cook = Cook(new_id(), trial_id, number, after_opening=late)
    layout.cook(number, cook)
    label = msg("Cook day {number} added to the plan", number=number)
    return made(book, label, (*added(cook), *layout.changes))


_COOK_FIELDS: dict[str, tuple[int, Message]] = {
    "date": (40, msg("day")),
    "remark": (2000, msg("what happened")),
}


def set_cook(book: Book, cook_id: str, field: str, typed: str) -> Step:
    """Write the date of a cook day ("7 March", 2026-03-07) or a remark. Raises Refused."""
    one_of(field, "cook", _COOK_FIELDS)
    cook = book.get(Cook, cook_id)
    most, what = _COOK_FIELDS[field]
    text = line(typed, f"cook.{field}", most=most)
    if field == "date":
        text = day_typed(book, text, "cook.date")
    label = msg("Cook day {number}, {what}: {text}", number=cook.number, what=what, text=text)
    return rewrite(book, cook, label, **{field: text})


def day_typed(book: Book, text: str, field: str) -> str:
    """A day as it is kept (2026-03-07), "" for none.

    Raises Refused for what is no day, TwoReadings for 7/3/2026.
    """
    if not text:
        return ""
    now = book.now()
    today = local_time(now.utc, now.offset_min).date()
    return read_day(text, today, field=field).isoformat()


def set_source(book: Reads, pair_id: str, typed: str) -> Step:
    """Write the animal, lot or batch that a pair comes from."""
    pair = book.get(Pair, pair_id)
    text = line(typed, "pair.source", most=200)
    return rewrite(
        book, pair, msg("Pair {n} is from {text}", n=pair.number, text=text), source=text
    )


_PIECE_FIELDS: dict[str, Callable[[str], Any]] = {
    "label": lambda typed: line(typed, "piece.label", most=20, needed=True),
    "source": lambda typed: line(typed, "piece.source", most=200),
    "place": lambda typed: line(typed, "piece.place", most=80),
}


def set_piece(book: Reads, piece_id: str, field: str, typed: str) -> Step:
    """Write a piece's label (its own within the trial), source or place."""
    one_of(field, "piece", _PIECE_FIELDS)
    piece = book.get(Piece, piece_id)
    text = _PIECE_FIELDS[field](typed)
    trial_id = book.get(Cook, piece.cook_id).trial_id
    days = views.cooks(book, trial_id)
    others = {p.label for day in days for p in views.every_piece(book, day.id) if p.id != piece_id}
    if field == "label" and text in others:
        raise Refused(
            msg("There is a piece {label} already. Not written.", label=text),
            field="piece.label",
            typed=typed,
            allowed=msg("a label of its own"),
            way_out=msg("Choose another label."),
        )
    label = msg("{piece}: {text}", piece=piece.label, text=text or "–")
    return made(book, label, [rewritten(piece, **{field: text})], burst=f"{piece_id}:{field}")

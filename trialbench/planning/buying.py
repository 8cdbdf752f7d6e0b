"""What to buy: pieces and spares, raw weight, additions, fuel, and what is at stake in money.

Everything is reckoned from what is written; what is not written is asked for, never invented. The
raw weight of a piece is the mean of the pieces bought so far, else what its portions take:
tasters x servings x portion / yield. What is assumed on the way is said in `assumed`.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Literal

from trialbench.model.message import Message, msg, msg_n
from trialbench.model.records import Addition, Piece, Price, Stage, Trial
from trialbench.notebook.records_read import Reads
from trialbench.notebook.views import Slot, all_pieces, cooks, cover, methods, slots, stages
from trialbench.notebook.views.on_paper import resolved_stage

Item = Literal["food", "medium", "fuel", "rub", "cook_day", "taster", "other"]
Blank = Literal["portion_g", "yield_percent", "planned_tasters"]

_ITEM_OF_ROLE: dict[str, Item] = {
    "rub": "rub", "brine": "medium", "medium": "medium", "fuel": "fuel", "wood": "fuel",
    "other": "other",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class BuyLine:
    """One thing to buy. `day_g` is for one cook day, None where it counts in pieces or is unknown.

    `day` counts what it is priced by on one cook day (kg, pieces, days, tasters), `whole` over the
    trial; None where it is not known. `cost` is for the whole trial.
    """

    item: Item
    name: str
    said: Message | str
    per: str
    day: float | None
    whole: float | None
    price: Price | None = None

    @property
    def cost_day(self) -> float | None:
        """For one cook day."""
        return None if self.price is None or self.day is None else self.price.amount * self.day

    @property
    def cost(self) -> float | None:
        """For the whole trial."""
        return None if self.price is None or self.whole is None else self.price.amount * self.whole


@dataclass(frozen=True, slots=True)
class Buying:
    """The list. `piece_g` is the raw weight of one piece, None while it is not known.

    `at_stake` sums what has a price; `unpriced` are the lines that have none. `blanks` are what is
    missing for the raw weight.
    """

    pieces_a_day: int
    spares_a_day: int
    days: int
    piece_g: float | None
    lines: tuple[BuyLine, ...]
    currency: str
    blanks: tuple[Blank, ...]
    assumed: tuple[Message, ...]

    @property
    def at_stake(self) -> float | None:
        """What all priced lines cost together; None while nothing has a price."""
        known = [line.cost for line in self.lines if line.cost is not None]
        return sum(known) if known else None

    @property
    def at_stake_a_day(self) -> float | None:
        """The same for one cook day."""
        known = [line.cost_day for line in self.lines if line.cost_day is not None]
        return sum(known) if known else None

    @property
    def unpriced(self) -> tuple[BuyLine, ...]:
        """What is to be bought and has no price, or no weight to reckon it with."""
        goods = (line for line in self.lines if line.item not in ("cook_day", "taster"))
        return tuple(line for line in goods if line.cost is None)


def buying_of(book: Reads, trial_id: str) -> Buying:
    """The buying list of a trial as it is planned now."""
    return _Reckoning(book, book.get(Trial, trial_id)).buying()


class _Reckoning:
    def __init__(self, book: Reads, trial: Trial) -> None:
        self._book, self._trial = book, trial
        self._methods = methods(book, trial.id)
        self._days = trial.planned_cooks or len(cooks(book, trial.id))
        self._pieces = len(self._methods) * trial.pieces_each
        self._prices = book.all(Price, trial_id=trial.id)
        self._assumed: list[Message] = []
        self._blanks: list[Blank] = []

    def buying(self) -> Buying:
        piece_g = self._piece_g()
        lines = (self._food(piece_g), *self._additions(piece_g), *self._day_and_tasters())
        return Buying(
            pieces_a_day=self._pieces,
            spares_a_day=self._trial.spares,
            days=self._days,
            piece_g=piece_g,
            lines=lines,
            currency=cover(self._book).currency,
            blanks=tuple(self._blanks),
            assumed=tuple(self._assumed),
        )

    # --- the food ------------------------------------------------------------------------------

    def _piece_g(self) -> float | None:
        known = [g for p in all_pieces(self._book, self._trial.id) if (g := p.bought_g) is not None]
        if known:
            whole = self._pieces * self._days
            if len(known) < whole:
                self._assumed.append(
                    msg("The pieces still to buy weigh as much as those bought, on average.")
                )
            return sum(known) / len(known)
        return self._by_portions()

    def _by_portions(self) -> float | None:
        trial = self._trial
        fields: tuple[Blank, ...] = ("planned_tasters", "portion_g", "yield_percent")
        self._blanks += [field for field in fields if not getattr(trial, field)]
        if self._blanks:
            return None
        portions = (trial.planned_tasters or 0) * trial.servings
        assert trial.portion_g is not None and trial.yield_percent is not None
        self._assumed.append(
            msg_n(
                "Each piece gives {count} portion, one for every time a taster has it.",
                "Each piece gives {count} portions, one for every time a taster has it.",
                portions,
            )
        )
        return portions * trial.portion_g / (trial.yield_percent / 100)

    def _food(self, piece_g: float | None) -> BuyLine:
        trial = self._trial
        day, spares = self._pieces, trial.spares
        days = cooks(self._book, trial.id)
        there = [piece for c in days for piece in self._book.all(Piece, cook_id=c.id)]
        said: Message = msg_n("{count} piece a day", "{count} pieces a day", day)
        if spares:
            more = msg_n("{count} spare", "{count} spares", spares)
            said = msg("{pieces} and {spares}", pieces=said, spares=more)
        price = self._price("food", trial.food, "kg", "piece")
        per = price.per if price else "kg"
        if per == "piece":
            return BuyLine("food", trial.food, said, per, day + spares,
                           (day + spares) * self._days, price)  # fmt: skip
        if piece_g is None:
            return BuyLine("food", trial.food, said, per, None, None, price)
        day_kg = (day + spares) * piece_g / 1000
        weighed = [p.bought_g for p in there if p.bought_g is not None and not p.rejected_reason]
        rest = max((day + spares) * self._days - len(weighed), 0)
        whole = (sum(weighed) + rest * piece_g) / 1000
        return BuyLine("food", trial.food, said, per, day_kg, whole, price)

    # --- what goes on, in or under it ----------------------------------------------------------

    def _additions(self, piece_g: float | None) -> Iterator[BuyLine]:
        found: dict[tuple[Item, str], float | None] = {}
        for item, name, grams in self._day_amounts(piece_g):
            before = found.get((item, name), 0.0)
            known = grams is not None and before is not None
            found[item, name] = before + grams if known else None  # type: ignore[operator]
        for (item, name), grams in found.items():
            price = self._price(item, name, "kg", "l")
            day = None if grams is None else grams / 1000
            whole = None if day is None else day * self._days
            said: Message | str = ""
            if price is not None and price.per == "l":
                self._say_once(msg("A litre weighs a kilogram."))
            yield BuyLine(item, name, said, price.per if price else "kg", day, whole, price)

    def _day_amounts(self, piece_g: float | None) -> Iterator[tuple[Item, str, float | None]]:
        """(item, name, g on one cook day) of salt and of every addition."""
        each = self._trial.pieces_each
        for stage in stages(self._book, self._trial.id):
            mine = [m for m in self._methods if stage.method_id in (None, m.id)]
            rates = [resolved_stage(self._book, stage, m.id).salt_g_per_kg or 0.0 for m in mine]
            if any(rates):
                yield "rub", "salt", self._by_weight(sum(rates) * each, piece_g)
            yield from self._slot_amounts(stage, [m.id for m in mine], piece_g)

    def _slot_amounts(
        self, stage: Stage, method_ids: list[str], piece_g: float | None
    ) -> Iterator[tuple[Item, str, float | None]]:
        each, shared = self._trial.pieces_each, self._trial.loads == "shared"
        for slot in slots(self._book, stage.id):
            once = slot.role in ("fuel", "wood")
            if once and not slot.parted:
                self._say_once(msg("Fuel and wood that all methods share are burnt once a day."))
            for addition, count in _counted(slot, method_ids, once=once):
                pieces = count * (1 if once or shared else each)
                grams = None if addition.mass_g is None else addition.mass_g * pieces
                if grams is None and addition.g_per_kg is not None:
                    grams = self._by_weight(addition.g_per_kg * count * each, piece_g)
                elif addition.mass_g is not None and not once and not shared and each * count > 1:
                    self._say_once(msg("What is written for a vessel counts for each piece."))
                yield _ITEM_OF_ROLE[addition.role], addition.name or addition.role, grams

    def _by_weight(self, g_per_kg: float, piece_g: float | None) -> float | None:
        """Grams for one cook day, from g per kg summed over its pieces."""
        self._say_once(msg("Amounts per kg are reckoned on the weight as bought, trimming not "
                           "taken off."))  # fmt: skip
        return None if piece_g is None else g_per_kg * piece_g / 1000

    def _say_once(self, words: Message) -> None:
        if words not in self._assumed:
            self._assumed.append(words)

    # --- days and tasters ----------------------------------------------------------------------

    def _day_and_tasters(self) -> Iterator[BuyLine]:
        """A cook day and a taster, priced or not: what they cost is known to the kitchen alone."""
        day, taster = self._price("cook_day", "", "cook_day"), self._price("taster", "", "taster")
        yield BuyLine("cook_day", "", msg("a cook day"), "cook_day", 1, self._days, day)
        count = self._trial.planned_tasters or 0
        if count:
            said = msg_n("{count} taster", "{count} tasters", count)
            yield BuyLine("taster", "", said, "taster", count, count * self._days, taster)

    def _price(self, item: Item, name: str, *pers: str) -> Price | None:
        return next(iter(_named(self._prices, item, name, pers)), None)


def _named(
    prices: Iterable[Price], item: Item, name: str, pers: tuple[str, ...]
) -> Iterator[Price]:
    for price in prices:
        alike = price.name.casefold() in ("", name.casefold())
        if price.item == item and price.per in pers and (alike or item == "food"):
            yield price


def _counted(slot: Slot, method_ids: list[str], *, once: bool) -> Iterator[tuple[Addition, int]]:
    """Each addition of a slot with how many methods have it; shared fuel is there once."""
    if not slot.parted:
        yield slot.records[0], 1 if once else len(method_ids)
        return
    for method_id in method_ids:
        addition = slot.of(method_id)
        if addition is not None:
            yield addition, 1

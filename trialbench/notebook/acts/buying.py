"""Acts on the buying list: portion, yield, currency, and what a kilogram or a piece costs."""

from __future__ import annotations

import re
from dataclasses import replace

from trialbench.model.errors import Refused
from trialbench.model.message import msg
from trialbench.model.numbers import parse_number
from trialbench.model.quantities import parse_mass_g
from trialbench.model.records import Price, Trial, new_id
from trialbench.model.steps import Change, Step, added, removed
from trialbench.notebook.acts.writing import line, made, one_of, out_of_range, rewrite
from trialbench.notebook.records_read import Reads
from trialbench.notebook.views.on_paper import cover

ITEMS = ("food", "medium", "fuel", "rub", "cook_day", "taster", "other")
MOST_PORTION_G, MOST_YIELD, MOST_PRICE = 5_000.0, 300.0, 1_000_000.0
_PER = {
    "kg": "kg", "kilo": "kg", "kilogram": "kg", "piece": "piece", "each": "piece", "pc": "piece",
    "l": "l", "litre": "l", "liter": "l", "day": "cook_day", "cook day": "cook_day",
    "taster": "taster", "head": "taster",
}  # fmt: skip
_ALLOWED = {
    "food": ("kg", "piece"), "cook_day": ("cook_day",), "taster": ("taster",),
}  # fmt: skip
_PRICE = re.compile(r"(?P<amount>[\d.,\s]+?)\s*(?:(?:a|an|per|/)?\s*(?P<per>[^\d\W][\w ]*))?")


def set_portion(book: Reads, trial_id: str, typed: str) -> Step:
    """How much one taster is served of a piece at a time; nothing clears it. Raises Refused."""
    trial, text = book.get(Trial, trial_id), typed.strip()
    grams = None
    if text:
        grams = parse_mass_g(text, cover(book).mass_unit, field="trial.portion_g")
        if not 0 < grams <= MOST_PORTION_G:
            raise out_of_range(typed, "trial.portion_g", 1, MOST_PORTION_G)
    return rewrite(book, trial, msg("A portion: {text}", text=text or "–"), portion_g=grams)


def set_yield(book: Reads, trial_id: str, typed: str) -> Step:
    """What is served in percent of the raw weight; nothing clears it. Raises Refused."""
    trial, text = book.get(Trial, trial_id), typed.strip().removesuffix("%").strip()
    percent = None
    if text:
        percent = parse_number(text, field="trial.yield_percent")
        if not 0 < percent <= MOST_YIELD:
            raise out_of_range(typed, "trial.yield_percent", 1, MOST_YIELD)
    label = msg("Expected yield: {text}", text=f"{text} %" if text else "–")
    return rewrite(book, trial, label, yield_percent=percent)


def set_currency(book: Reads, typed: str) -> Step:
    """The currency of all prices in the notebook, as it is to be written."""
    text = line(typed, "cover.currency", most=12)
    label = msg("Prices in {text}", text=text or "–")
    return rewrite(book, cover(book), label, currency=text)


def set_price(book: Reads, trial_id: str, item: str, name: str, typed: str) -> Step:
    """What something costs: "12", "12 a kg", "9.50 each", "3/l"; nothing takes the price away.

    Without a unit food and what goes on it are by the kilogram. Raises Refused.
    """
    one_of(item, "price.item", ITEMS)
    there = [p for p in book.all(Price, trial_id=trial_id)
             if p.item == item and (item == "food" or p.name == name)]  # fmt: skip
    text = " ".join(typed.split())
    label = msg("Price of {name}: {text}", name=name or item, text=text or "–")
    if not text:
        return made(book, label, removed(*there))
    amount, per = _read_price(item, text, typed)
    if there:
        return made(book, label, [Change(there[0], replace(there[0], amount=amount, per=per)),
                                  *removed(*there[1:])])  # fmt: skip
    return made(book, label, added(Price(new_id(), trial_id, item, per, amount, name)))


def _read_price(item: str, text: str, typed: str) -> tuple[float, str]:
    found = _PRICE.fullmatch(text)
    allowed = _ALLOWED.get(item, ("kg", "l"))
    per = _PER.get((found["per"] or "").strip().casefold(), "") if found else ""
    if found is None or (found["per"] and per not in allowed):
        raise Refused(
            msg("{typed} cannot be read as a price here. Not written.", typed=text),
            field="price.amount",
            typed=typed,
            allowed=msg("a number, and what it is for: 12 a kg"),
            way_out=msg("Write it again, or leave it empty."),
        )
    amount = parse_number(found["amount"], field="price.amount")
    if not 0 <= amount <= MOST_PRICE:
        raise out_of_range(typed, "price.amount", 0, MOST_PRICE)
    return amount, per or allowed[0]

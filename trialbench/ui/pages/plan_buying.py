"""What to buy: opened by its name; weights, prices to write, and what is at stake."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from PySide6.QtWidgets import QWidget

from trialbench.model.message import Message, msg, say
from trialbench.model.numbers import figure, shortest
from trialbench.model.quantities import show_mass
from trialbench.model.records import Trial
from trialbench.model.steps import Step
from trialbench.notebook import views
from trialbench.notebook.acts import buying as acts
from trialbench.planning.buying import Buying, BuyLine, buying_of
from trialbench.planning.stage_words import and_listed
from trialbench.ui.cells import Cell, Column
from trialbench.ui.cells_table import CellsTable
from trialbench.ui.page import Desk
from trialbench.ui.pages.drafted_cells import DraftedCells
from trialbench.ui.pages.plan_section import FoldedSection
from trialbench.ui.pages.writing import Writing
from trialbench.ui.runs import Item, Run
from trialbench.ui.text import Line
from trialbench.ui.values import Value
from trialbench.ui.verbs_table import VerbEntry

_PRICE = 3
_PER = {
    "kg": msg("kg"), "piece": msg("piece"), "l": msg("l"), "cook_day": msg("day"),
    "taster": msg("taster"),
}  # fmt: skip
_PRICED: dict[str, Callable[[str], Message]] = {
    "kg": lambda amount: msg("{amount} a kg", amount=amount),
    "piece": lambda amount: msg("{amount} each", amount=amount),
    "l": lambda amount: msg("{amount} a litre", amount=amount),
    "cook_day": lambda amount: msg("{amount} a day", amount=amount),
    "taster": lambda amount: msg("{amount} a head", amount=amount),
}
_WAITS: dict[str, Message] = {
    "planned_tasters": msg("the number of tasters"),
    "portion_g": msg("a portion"),
    "yield_percent": msg("the yield"),
}


class BuyingModel(DraftedCells):
    """A row a thing to buy; its price is written in place."""

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self._lines: tuple[BuyLine, ...] = ()

    def show_list(self, found: Buying) -> None:
        """Show the list."""
        self._lines = found.lines
        priced = msg("price,\n{currency}", currency=found.currency) if found.currency else msg(
            "price"
        )  # fmt: skip
        columns = (
            Column(msg("what"), align="left"),
            Column(msg("a cook day"), 108),
            Column(msg("whole trial"), 108),
            Column(priced, 128, editable=True),
            Column(msg("cost"), 92),
        )
        keys = [f"{line.item}:{line.name}" for line in found.lines]
        self.show(columns, [self._row(line) for line in found.lines], keys)

    def _row(self, line: BuyLine) -> list[Cell]:
        price = ""
        if line.price is not None:
            amount = line.price.amount
            said = shortest(amount) if amount == round(amount) else figure(amount, 2)
            price = say(_PRICED[line.price.per](said))
        cost = "" if line.cost is None else figure(line.cost, 2)
        return [
            Cell(_name(line), "name", small=_beside(line), weight=600),
            _count(line, line.day),
            _count(line, line.whole),
            Cell(price),
            Cell(cost, "reckoned", editable=False) if cost else Cell("\u2013", "not_due",
                                                                    editable=False),
        ]  # fmt: skip

    def place(self, row: int, column: int) -> str:
        line = self._lines[row]
        return f"price:{self._desk.trial_id}:{line.item}:{line.name}"

    def step(self, row: int, column: int, text: str) -> Step:
        line, book = self._lines[row], self._desk.notebook
        return acts.set_price(book, self._desk.trial_id, line.item, line.name, text)

    def writable(self) -> Iterator[tuple[int, int]]:
        return ((row, _PRICE) for row in range(len(self._lines)))


def _name(line: BuyLine) -> str:
    return line.name or say(line.said)


def _beside(line: BuyLine) -> str:
    return say(line.said) if line.name else ""


def _count(line: BuyLine, amount: float | None) -> Cell:
    if amount is None:
        return Cell("\u2013", "not_due", editable=False)
    if line.per in ("kg", "l"):
        decimals = 2 if amount < 10 else 1
        text = f"{figure(amount, decimals)} {say(_PER[line.per])}"
        if amount < 0.1 and line.per == "kg":
            text = show_mass(1000 * amount, "g", with_unit=True)
        return Cell(text, "reckoned", editable=False)
    return Cell(shortest(amount), "reckoned", editable=False)


class BuyingSection(FoldedSection):
    """Pieces and spares, raw weight, what goes on them, fuel, prices, and the total at stake."""

    kinds = frozenset(
        {"trial", "method", "stage", "part", "addition", "cook", "piece", "price", "cover"}
    )
    name = msg("What to buy")

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self.portion = Value(
            msg("a portion"), hint=msg("how much, 30 g"), role="cell", missing=True
        )
        self.yields = Value(msg("yield in percent"), hint=msg("percent"), role="cell", missing=True)
        self.currency = Value(msg("currency"), hint=msg("which currency"), role="cell")
        self._portion = Writing(desk, self.portion, "", self._write_portion)
        self._yields = Writing(desk, self.yields, "", self._write_yield)
        self._currency = Writing(desk, self.currency, "", self._write_currency)
        self.sentence = Line("cell")
        self.sentence.lend(self.portion, self.yields, self.currency)
        self.model = BuyingModel(desk)
        self.table = CellsTable(self.model, msg("What to buy"), moves_on="down")
        self.total = Line("cell")
        self.assumed = Line("label", colour="pencil")
        for part in (self.sentence, self.table, self.total, self.assumed):
            self.body_column.addWidget(part)

    def anchors(self) -> dict[str, QWidget]:
        return {"buying": self.total if self.is_open() else self.heading}

    def verbs(self) -> tuple[VerbEntry, ...]:
        return (VerbEntry("buying", msg("Open or fold what to buy"), self.turn),)

    def says(self, trial: Trial) -> Message | str:
        if not views.cooks(self.desk.notebook, trial.id):
            return msg("once cook days are planned")
        if not self.is_open():
            return msg("pieces, raw weight, additions, what it costs")
        return ""

    def wants_open(self, trial: Trial) -> bool:
        drafts = self.desk.notebook.drafts
        return any(place.startswith(f"price:{trial.id}:") for place in drafts)

    def show_plan(self, trial: Trial, *, sealed: bool) -> None:
        self.setVisible(bool(views.cooks(self.desk.notebook, trial.id)))
        super().show_plan(trial, sealed=sealed)

    def show_body(self, trial: Trial, *, sealed: bool) -> None:
        book = self.desk.notebook
        found = buying_of(book, trial.id)
        unit = views.cover(book).mass_unit
        portion = (
            "" if trial.portion_g is None else show_mass(trial.portion_g, unit, with_unit=True)
        )
        self._portion.bind(f"trial:{trial.id}:portion", portion)
        yields = "" if trial.yield_percent is None else f"{shortest(trial.yield_percent)} %"
        self._yields.bind(f"trial:{trial.id}:yield", yields)
        self._currency.bind(f"trial:{trial.id}:currency", found.currency)
        self._show_sentence(found)
        self.model.show_list(found)
        self._show_total(found)
        self.model.bring_back(self.table)

    def _show_sentence(self, found: Buying) -> None:
        """Only what is not known, or was written here, is asked for."""
        book, trial_id = self.desk.notebook, self.desk.trial_id
        bought = any(p.bought_g is not None for p in views.all_pieces(book, trial_id))
        items: list[Item] = []
        if not bought:
            items += [Run(msg("A taster gets ")), self.portion, Run(msg(" of a piece at a time; ")),
                      self.yields, Run(msg(" of the raw weight is served. "))]  # fmt: skip
        items += [Run(msg("Prices in ")), self.currency, Run(".")]
        self.sentence.set_items(items)

    def _show_total(self, found: Buying) -> None:
        items: list[Item] = []
        if found.blanks:
            waits = and_listed([_WAITS[blank] for blank in found.blanks])
            items.append(Run(msg("The raw weight waits for {what}. ", what=waits), colour="pencil"))
        elif found.piece_g is not None:
            weight = show_mass(found.piece_g, views.cover(self.desk.notebook).mass_unit,
                               with_unit=True)  # fmt: skip
            items.append(Run(msg("A piece weighs about {weight} raw. ", weight=weight)))
        if found.at_stake is not None and found.at_stake_a_day is not None:
            said = msg("At stake: {whole} {currency} in all, {day} a cook day. ",
                       whole=figure(found.at_stake, 2), day=figure(found.at_stake_a_day, 2),
                       currency=found.currency)  # fmt: skip
            items.append(Run(said, weight=600))
            if found.unpriced:
                names = and_listed([_name(line) for line in found.unpriced])
                items.append(Run(msg("Not counted: {what}.", what=names), colour="pencil"))
        self.total.set_items(items)
        self.total.setVisible(bool(items))
        self.assumed.set_items([Run(msg("Assumed: "))] + [
            run for said in found.assumed for run in (Run(said), Run(" "))
        ])  # fmt: skip
        self.assumed.setVisible(bool(found.assumed))

    # --- writing -------------------------------------------------------------------------------

    def _write_portion(self, text: str) -> Step:
        return acts.set_portion(self.desk.notebook, self.desk.trial_id, text)

    def _write_yield(self, text: str) -> Step:
        return acts.set_yield(self.desk.notebook, self.desk.trial_id, text)

    def _write_currency(self, text: str) -> Step:
        return acts.set_currency(self.desk.notebook, text)

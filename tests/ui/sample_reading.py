"""Sample pages that are mostly read: findings and contents."""

from __future__ import annotations

from trialbench.model.margin import Margin
from trialbench.model.message import msg
from trialbench.ui.blanks import Blank
from trialbench.ui.choices import Choice
from trialbench.ui.contents_line import Chapter, ContentsLine
from trialbench.ui.figure_view import FigureTable, FigureView
from trialbench.ui.leaf import Leaf
from trialbench.ui.page import Page
from trialbench.ui.runs import Run
from trialbench.ui.table import ReadingColumn, ReadingTable
from trialbench.ui.text import Line


def _draw(look: str, width: float, height: float) -> object:
    from matplotlib.figure import Figure

    figure = Figure(figsize=(width, height), facecolor="none")
    axes = figure.subplots()
    axes.set_facecolor("none")
    axes.plot([3, 4, 5, 6, 7, 8], [2.1, 1.36, 1.1, 0.9, 0.8, 0.74])
    return figure


class FindingsSample(Page):
    key, title = "findings", msg("Findings")

    def build(self, leaf: Leaf) -> None:
        leaf.set_title(self.title, "What these 4 cook days support, and no more.")
        leaf.set_verb("reckoned", "How it was reckoned")
        leaf.set_verb("note", "Write the recipe note", due=True)
        leaf.add(Line("headline", "Pork shoulder held in a covered pan in its own juices is juicier"
                      " than held dry. How much juicier is not pinned down."))  # fmt: skip
        leaf.add(Line("cell", [Run("For the method, next time too", weight=600),
                 Run(", for these eight tasters and probably for others like them. Seen on"
                     " 4\u00a0cook days, two pairs of halves each.", colour="pencil")]),
                 space_px=6)  # fmt: skip
        self.figure = FigureView(self.desk.background, "sample", 240)
        table = FigureTable((ReadingColumn("cook days"), ReadingColumn("points", align="right")),
                            (("3", "2.1"), ("4", "1.36")))  # fmt: skip
        self.figure.show_figure(_draw, msg("Tall stitch: a cook day. Thread: 95 in 100 such"
                                           " threads hold the true size."), table)  # fmt: skip
        leaf.add(self.figure, space_px=10)
        self.table = ReadingTable(
            [ReadingColumn("outcome", share=1.5), ReadingColumn("what it supports"),
             ReadingColumn("B over A", 110, align="right"),
             ReadingColumn("95 % interval", 130, align="right")],
            [[[Run("Juiciness", weight=600), Run(" decides", colour="pencil")],
              Run("juicier; how much is open", weight=600), Run("+1.2", weight=600),
              "+0.2 to +2.2"],
             ["Loss to the end of the hold", Run("also loses less", weight=600), "−2.4",
              "−3.7 to −1.1"],
             ["Tenderness", Run("not told apart", weight=600), "+0.6", "−0.4 to +1.6"]],
        )  # fmt: skip
        leaf.add(self.table, space_px=10)

    def refresh(self, kinds: frozenset[str]) -> None:
        pass


class ContentsSample(Page):
    key, title = "contents", msg("Contents")

    def build(self, leaf: Leaf) -> None:
        leaf.set_title(self.title, "Every question this notebook holds, and what came of it.")
        leaf.set_verb("bring", "Bring in a trial")
        leaf.set_verb("begin", "Begin a trial")
        order = Choice("Order", (("food", "food"), ("number", "number")), "food",
                       role="contents_line")  # fmt: skip
        find = Blank("Find", "", "a word in any line", role="contents_line", least_px=150)
        leaf.add(Line("contents_line", ["In order of ", order, ", then number.  Find ", find],
                      colour="pencil"))  # fmt: skip
        for chapter, lines in (
            ("Pork", (("Does pork shoulder held in its juices stay juicier?", "14",
                       "Cooking now: day 2 of 4, in the hold"),
                      ("Are ribs in paper better liked than bare ones?", "17",
                       "Not settled; bark and tenderness pull against each other"))),
            ("Poultry", (("Is turkey breast juicier from a slow oven?", "11",
                          "Juicier, and by enough; crisp skin is the price"),)),
        ):  # fmt: skip
            leaf.add(Chapter(chapter))
            for question, number, answer in lines:
                leaf.add(ContentsLine(question, number, answer, mark="juic"))
        for question, answer in (("Smoked thighs, one recipe twice", "what no difference looks"
                                  " like"),):  # fmt: skip
            leaf.add(ContentsLine(question, answer, right_italic=True), space_px=20)

    def refresh(self, kinds: frozenset[str]) -> None:
        pass

    def margin(self) -> Margin:
        return Margin(msg("One trial wants you today: 14, at 11:40."))

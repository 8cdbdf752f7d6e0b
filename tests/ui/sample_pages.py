"""Sample pages of the invented trial."""

from __future__ import annotations

from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from trialbench.model.errors import Refused
from trialbench.model.margin import Margin, MarginNote, NoteVerb
from trialbench.model.message import msg
from trialbench.ui.blanks import Blank
from trialbench.ui.cells import Cell, CellsModel, Column
from trialbench.ui.cells_table import CellsTable
from trialbench.ui.choices import Choice
from trialbench.ui.cord import Cord, CordShape, CordStage
from trialbench.ui.envelope import Envelope
from trialbench.ui.leaf import Leaf
from trialbench.ui.page import Page
from trialbench.ui.rows import Row
from trialbench.ui.runs import Run
from trialbench.ui.signs import MethodSign
from trialbench.ui.text import Line, Rule
from trialbench.ui.values import MethodField, Value


class MethodsSample(Page):
    key, title = "methods", msg("Methods")

    def build(self, leaf: Leaf) -> None:
        leaf.set_title(self.title, "Written once where A and B go together, twice where they part.")
        leaf.set_verb("part", msg("Part a line"))
        self._build_cord(leaf)
        self._build_lines(leaf)

    def _build_cord(self, leaf: Leaf) -> None:
        stages = (
            CordStage(0.0, "Salt", (("24 h", "pencil"),)),
            CordStage(0.15, "Roast", (("to 92 °C core, about 9 h", "pencil"),)),
            CordStage(0.42, "Rest", (("45", "method_a"), (" or ", "pencil"),
                                     ("20 min", "method_b"))),
            CordStage(0.56, "Hold", (("65 °C, 8 h", "pencil"),)),
            CordStage(0.89, "Sear", (("12 min", "pencil"),)),
        )  # fmt: skip
        under = ("salt on Thursday at 17:00", "here they part", "to the table, Saturday 12:00")
        shape = CordShape("AB", (0.41, 0.89), stages, under)
        leaf.add(Cord(shape, "A and B together to the rest, apart to the sear"))
        heads = QHBoxLayout()
        heads.addStretch(2)
        heads.addWidget(MethodSign("A", "Dry cabinet"))
        heads.addStretch(2)
        heads.addWidget(MethodSign("B", "Own juices"))
        heads.addStretch(2)
        leaf.add(heads, space_px=8)
        leaf.add(Rule(), space_px=6)

    def _build_lines(self, leaf: Leaf) -> None:
        v = Value
        self.temperature = v("Roast, temperature", "120 °C")
        rows: list[tuple[str, list, list]] = [
            ("Salt", [v("how", "dry salt"), ", ", v("salt", "15 g"),
                      " for each kilogram as trimmed, wrapped, fridge ", v("t", "4 °C"), ", ",
                      v("time", "24 h")], []),
            ("Roast", [v("m", "dry oven"), " at ", self.temperature, ", ", v("c", "uncovered"),
                       ", until core ", v("core", "92 °C"), " (about ", v("time", "9 h"), ")"], []),
            ("Rest", [v("m", "room air"), ", ", v("t", "21 °C"), ", ", v("c", "loosely covered")],
             [("for", "45 min", "20 min")]),
            ("Hold", ["in the ", v("m", "cabinet"), " at ", v("t", "65 °C"), ", ", v("d", "8 h"),
                      ", each piece ", v("l", "in its own pan")],
             [("in", "air", "its own juices"), ("covered", "no", "lid on")]),
            ("Sear", [v("m", "dry oven"), " at ", v("t", "230 °C"), ", ", v("c", "uncovered"), ", ",
                      v("d", "12 min"), ", until ",
                      v("sign", "", "say how you see that it is done", missing=True)], []),
        ]  # fmt: skip
        for number, (name, items, apart) in enumerate(rows, 1):
            self._add_stage(leaf, number, name, items, apart)

    def _add_stage(self, leaf: Leaf, number: int, name: str, items: list, apart: list) -> None:
        line = Line("body", items)
        number_line = Line("label", str(number), colour="pencil")
        leaf.add(Row([(number_line, 18), (Line("stage_name", name), 80), (line, 0)]), space_px=12)
        leaf.anchor(name, line)
        for place, (what, a, b) in enumerate(apart):
            label = Line("cell", what, colour="pencil")
            fields = [
                MethodField(letter, Value(f"{what}, method {letter}", text, weight=600))
                for letter, text in (("A", a), ("B", b))
            ]
            row = QHBoxLayout()
            row.setSpacing(8)
            row.addSpacing(98)
            label.setFixedWidth(70)
            row.addWidget(label)
            for field in fields:
                row.addWidget(field)
            leaf.add(row, space_px=8 if not place else 6)
            leaf.anchor(f"{name} {what}", fields[0])
        leaf.add(Rule(), space_px=14)

    def refresh(self, kinds: frozenset[str]) -> None:
        pass

    def margin(self) -> Margin:
        return Margin(
            msg("Three lines differ. One is the question; two came with it."),
            (
                MarginNote("Rest for", "differs", msg("3 Rest: differs, not asked for"),
                           (msg("25 min longer in A. If one comes out juicier, the rest could be"
                                " why."),),
                           (NoteVerb(msg("Rest both for 45 min"), "same", ("rest",)),
                            NoteVerb(msg("Keep the difference, as a rider"), "rider")), dear=5),
                MarginNote("Hold in", "passage", msg("4 Hold, in: the question")),
                MarginNote("Hold covered", "differs", msg("4 Hold, covered: a rider"),
                           (msg("The lid comes with the juices; B cannot be held without it."),),
                           (NoteVerb(msg("Name the lid in the finding"), "name"),), dear=4),
                MarginNote("Sear", "missing", msg("5 Sear: no sign that it is done"),
                           (msg("On two cook days you would stop at two colours."),),
                           (NoteVerb(msg("Write what the crust looks like"), "write"),), dear=3),
            ),
        )  # fmt: skip

    def do(self, name: str, args: tuple[str, ...]) -> None:
        self.done = (name, args)


class Weights(CellsModel):
    def __init__(self) -> None:
        super().__init__()
        self.written: list[tuple[int, int, str]] = []
        self.drafts: list[tuple[int, int, str]] = []

    def commit(self, row: int, column: int, text: str) -> Refused | None:
        digits = text.replace(" ", "").replace("\u2009", "")
        if text and not digits.isdigit():
            return Refused(msg("{text} is not a weight. Not written.", text=text))
        if text and int(digits) > 9999:
            return Refused(msg("{text} g is more than P07 weighed raw, 2 405 g. Not written.",
                               text=text))  # fmt: skip
        self.written.append((row, column, text))
        rows = [list(each) for each in self._rows]
        rows[row][column] = Cell(text)
        self.show(self.columns(), rows, self._keys)
        return None

    def typed(self, row: int, column: int, text: str) -> None:
        self.drafts.append((row, column, text))


class CookSample(Page):
    key, title = "cook", msg("Cook day 2 of 4")

    def build(self, leaf: Leaf) -> None:
        leaf.set_title(self.title, "13 and 14 March. To the table at 12:00.")
        leaf.set_verb("happened", msg("Write what happened"), stove=True)
        leaf.set_verb("weigh", msg("Weigh the pieces"), stove=True)
        leaf.add(Line("next_act", "11:40  Weigh P05 to P08 after the hold, pan off."))
        self.model = Weights()
        columns = [
            Column("piece", 100, align="left"),
            Column("method", 80, align="left"),
            Column("raw", 0, editable=True), Column("salted", 0, editable=True),
            Column("roasted", 0, editable=True), Column("rested", 0, editable=True),
            Column("held\n11:40", 0, editable=True), Column("sliced\n12:00", 0, editable=True),
            Column("lost so far,\nof raw", 110),
        ]  # fmt: skip
        rows = []
        for piece, pair, letter, weights, lost in (
            ("P05", "pair 3", "B", ("2 287", "2 315", "1 561", "1 549"), "32.3 %"),
            ("P06", "pair 3", "A", ("2 312", "2 341", "1 566", "1 538"), "33.5 %"),
            ("P07", "pair 4", "B", ("2 405", "2 436", "1 655", ""), "31.2 %"),
            ("P08", "pair 4", "A", ("2 398", "2 428", "1 639", "1 612"), "32.8 %"),
        ):
            cells = [Cell(piece, "name", small=pair, weight=600), Cell("", "method", letter=letter)]
            cells += [Cell(w, "written" if w else "due") for w in weights]
            cells += [Cell("", "not_due"), Cell("", "not_due"), Cell(lost, "reckoned")]
            rows.append(cells)
        self.model.show(columns, rows, ["P05", "P06", "P07", "P08"])
        self.table = CellsTable(self.model, "Weights in g, without the pan", rows="stove")
        leaf.add(self.table, space_px=20)
        leaf.anchor("P07", self.table, lambda: self.table.row_rect(2))

    def refresh(self, kinds: frozenset[str]) -> None:
        pass

    def margin(self) -> Margin:
        return Margin(
            msg(""),
            (
                MarginNote("P07", "watch", msg("The cabinet, 05:05 to 05:40: watch"),
                           (msg("A door left open, or the heater? The other two pieces stood lower."
                                " What you write here goes with the finding."),),
                           source=msg("Hot holding at 57 °C (135 °F) or above: US FDA Food Code,"
                                      " 3-501.16.")),
            ),
        )  # fmt: skip


class QuestionSample(Page):
    key, title = "question", msg("Question")

    def build(self, leaf: Leaf) -> None:
        leaf.set_title(self.title, "Three lines. The rest of the notebook follows from them.")
        leaf.set_verb("methods", "Write the methods", due=True)
        self.food = Blank("What you cook", "pork shoulder", "what food", role="question")
        self.way = Blank("Your way", "", "as you do it now", role="question")
        self.idea = Blank("Your idea", "", "the one thing you would change", role="question")
        self.word = Blank("Came out", "juicier", "juicier, crisper, sooner", role="question")
        self.much = Blank("By how much", "0.8 points in 10", "how much", role="question")
        box = QVBoxLayout()
        box.setSpacing(0)
        self.lines = [
            Line("question", ["I cook ", self.food]),
            Line("question", ["My way: ", self.way]),
            Line("question", ["My idea: ", self.idea]),
            Line("question", ["I would change the recipe if it came out ", self.word, " by ",
                              self.much]),
        ]  # fmt: skip
        for line in self.lines:
            box.addWidget(line)
        leaf.add(box)
        leaf.add(Rule(), space_px=20)
        leaf.anchor("much", self.much)

    def refresh(self, kinds: frozenset[str]) -> None:
        pass

    def margin(self) -> Margin:
        return Margin(msg("Answers stand here, beside the line they are about."), (
            MarginNote("much", "shows", msg("By how much: say it before you cook"),
                       (msg("Would you rewrite the recipe for half a point in ten?"),)),
        ))  # fmt: skip


class PlanSample(Page):
    key, title = "plan", msg("Plan")

    def build(self, leaf: Leaf) -> None:
        leaf.set_title(self.title, "Change it freely until it is sealed. Then it stays.")
        leaf.set_verb("draw", msg("Draw lots again, and say why"))
        leaf.set_verb("seal", msg("Seal the plan"), due=True)
        self.line = Line("sentence", [
            Blank("cook days", "4"), " cook days, ", Blank("pairs", "2"),
            " pairs of halves in each, ", Blank("tasters", "8"), " tasters, every sample tasted ",
            Blank("times", "once"), " .",
        ])  # fmt: skip
        leaf.add(self.line)
        leaf.add(Line("section", ["Who gets which method", Run("   a pair is the left and right"
                 " half of one animal; the cut is between them", weight=400, role="cell",
                 colour="pencil")]), space_px=8)  # fmt: skip
        from trialbench.ui.pair_block import PairBlock, PairHalf

        for day in range(1, 5):
            row = QHBoxLayout()
            row.setSpacing(16)
            label = QWidget()
            label.setFixedWidth(88)
            box = QVBoxLayout(label)
            box.setContentsMargins(0, 0, 0, 0)
            box.setSpacing(0)
            box.addWidget(Line("cell", f"Day {day}"))
            box.addWidget(Line("label", f"Sat {7 * day} March", colour="pencil"))
            row.addWidget(label)
            a, b = PairHalf("A", "P01", "upper rack"), PairHalf("B", "P02", "lower rack")
            row.addWidget(PairBlock(a, b, "pair"))
            row.addWidget(PairBlock(b, a, "pair"))
            leaf.add(Rule(), space_px=8)
            leaf.add(row, space_px=7)
            leaf.anchor(f"day {day}", label)
        leaf.add(Rule(), space_px=8)

    def refresh(self, kinds: frozenset[str]) -> None:
        pass

    def margin(self) -> Margin:
        return Margin(msg("Can this trial give an answer? Yes, if the gap is large."), (
            MarginNote("day 4", "missing", msg("Day 4: no animal written"),
                       (msg("Both halves of a pair must come from one animal."),),
                       (NoteVerb(msg("Name the two animals"), "name"),)),
        ))  # fmt: skip


class TastingSample(Page):
    key, title = "tasting", msg("Tasting")

    def build(self, leaf: Leaf) -> None:
        leaf.set_title(self.title, "Sitting 2, Saturday 14 March, from cook day 2.")
        leaf.set_verb("print", "Print the score cards")
        leaf.set_verb("open", "Open the key", why="11 score cards are still out")
        self.envelope = Envelope()
        self.envelope.show_key(
            21, 32, sealed="Key sealed at 12:04 by the server",
            keep="keep it shut until the last cook day",
            opens="it can be opened when the seam is full",
        )  # fmt: skip
        leaf.add(self.envelope)
        outcomes = (("juiciness", "juiciness"), ("tenderness", "tenderness"), ("salt", "saltiness"))
        self.showing = Choice("Showing", outcomes, "juiciness", role="sentence")
        leaf.add(Line("sentence", ["Showing ", self.showing, ", which decides, on the line 0 to 10"
                      " as each taster wrote it"], colour="pencil"), space_px=8)  # fmt: skip
        leaf.anchor("key", self.envelope)
        self.model = Weights()
        columns = [Column("taster", 110, align="left")]
        columns += [
            Column(name, editable=True, role="score", one_key="123456789")
            for name in ("first", "second", "third", "fourth")
        ]
        rows = []
        for taster in range(1, 9):
            cells = [Cell(f"Taster {taster}", "name")]
            for n in range(4):
                code = str(217 + 97 * taster % 700 + 31 * n)
                if taster == 5 and n > 1:
                    reason = "left early, two not tasted"
                    cells.append(Cell("", "missing", reason=reason, span=2 if n == 2 else 1))
                elif n == 3:
                    cells.append(Cell("", "not_due", small=code))
                else:
                    cells.append(Cell(f"{3 + (taster * 7 + n * 3) % 5}", small=code))
            rows.append(cells)
        self.model.show(columns, rows)
        self.table = CellsTable(self.model, "Scores")
        leaf.add(self.table)

    def refresh(self, kinds: frozenset[str]) -> None:
        pass

    def margin(self) -> Margin:
        return Margin(msg("Nobody at the table knows which is which."), (
            MarginNote("key", "passage", msg("The key: nobody knows"),
                       (msg("No method, no mean and no total stands on this page before the key"
                            " is open. Not for you either."),)),
        ))  # fmt: skip

"""Methods: stages written once where all methods go together, twice where they part."""

from __future__ import annotations

from functools import partial
from itertools import pairwise
from typing import Any

from PySide6.QtCore import QEvent, QObject, QTimer, Slot
from PySide6.QtWidgets import QApplication, QVBoxLayout, QWidget

from trialbench.model.errors import TrialbenchError
from trialbench.model.margin import Margin
from trialbench.model.message import Message, msg
from trialbench.model.records import Stage, Trial
from trialbench.model.steps import Step
from trialbench.notebook import views
from trialbench.notebook.acts import additions, cover, places, shapes, stages
from trialbench.planning.methods_margin import margin_of_methods
from trialbench.planning.parting import cord_of
from trialbench.ui import theme
from trialbench.ui.cord import Cord, CordShape
from trialbench.ui.leaf import Leaf
from trialbench.ui.page import Desk, Page
from trialbench.ui.pages.except_lines import ExceptLines
from trialbench.ui.pages.feel_card import FeelCard
from trialbench.ui.pages.method_heads import MethodHeads
from trialbench.ui.pages.methods_cord import shape_of, spoken
from trialbench.ui.pages.next_stage import NextStage
from trialbench.ui.pages.stage_block import StageBlock
from trialbench.ui.text import Rule
from trialbench.ui.verbs_table import VerbEntry

_SEALED = msg("The plan is sealed. To change the methods, say why on the Plan page.")
_READS = frozenset(
    {"trial", "method", "stage", "part", "addition", "feel", "factor", "difference", "cover",
     "seal", "after_seal"}
)  # fmt: skip


class MethodsPage(Page):
    """The second page of a trial."""

    key = "methods"
    title = msg("Methods")

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self._blocks: dict[str, StageBlock] = {}
        self._at: tuple[str, str] = ("", "")
        self._sealed = False
        self._stops: list[QWidget] = []
        self._shape: CordShape | None = None

    # --- the page ------------------------------------------------------------------------------

    def build(self, leaf: Leaf) -> None:
        self._cord = Cord(CordShape("AB"), "")
        self._cord.installEventFilter(self)
        leaf.add(self._cord)
        self._heads = MethodHeads(self.desk)
        leaf.add(self._heads, space_px=4)
        self._except = ExceptLines(self.desk)
        self._except.parted.connect(self._part_for)
        leaf.add(self._except)
        leaf.add(Rule(), space_px=6)
        self._list = QVBoxLayout()
        self._list.setSpacing(0)
        leaf.add(self._list)
        self._next = NextStage(self.desk)
        self._next.added.connect(self._go_on_in)
        leaf.add(self._next)
        self._card = FeelCard(self.desk)
        self._card.put_away.connect(self._put_card_away)
        leaf.add(self._card)
        leaf.anchor("feel card", self._card)
        app = QApplication.instance()
        assert isinstance(app, QApplication)
        app.focusChanged.connect(self._follow)

    def refresh(self, kinds: frozenset[str]) -> None:
        if kinds and not kinds & _READS:
            return
        book = self.desk.notebook
        trial = book.find(Trial, self.desk.trial_id)
        if trial is None:
            self.desk.go("contents", "")
            return
        self._sealed = views.is_locked(book, trial.id) or book.read_only
        there = views.stages(book, trial.id)
        methods = views.methods(book, trial.id)
        missing = _missing(self._margin_now())
        self._place_blocks(there)
        for stage in there:
            block = self._blocks[stage.id]
            block.show_stage(stage, methods, len(there), missing.get(stage.id, frozenset()))
            block.set_read_only(self._sealed)
        self._heads.show_methods(methods, sealed=self._sealed)
        self._except.show_trial(trial.id, sealed=self._sealed)
        if not self._card.isHidden():
            self._card.show_card()
        self._next.show_next(trial.id, len(there) + 1)
        self._next.setVisible(not self._sealed)
        self._show_cord(trial.id)
        self._anchor(there)
        self._order_tabs()
        self._show_head()
        if not kinds and not there and not self._sealed:
            self._next.blank.setFocus()
            # This page is not on the screen yet, so that nobody follows the keyboard into it.
            self._next.set_open(True)

    def _place_blocks(self, there: tuple[Stage, ...]) -> None:
        wanted = [stage.id for stage in there]
        for gone in [key for key in self._blocks if key not in wanted]:
            block = self._blocks.pop(gone)
            self._list.removeWidget(block)
            block.hide()
            block.deleteLater()
        for place, key in enumerate(wanted):
            if key not in self._blocks:
                self._blocks[key] = StageBlock(self.desk, key)
                self._blocks[key].wanted.connect(self._wanted)
                self._blocks[key].card_wanted.connect(self._open_card)
            if self._list.indexOf(self._blocks[key]) != place:
                self._list.insertWidget(place, self._blocks[key])

    def _order_tabs(self) -> None:
        """Tab goes through the page as the eye does, whenever its parts were made."""
        stops = [*self._heads.stops(), *self._except.stops()]
        for index in range(self._list.count()):
            item = self._list.itemAt(index)
            block = item.widget() if item is not None else None
            stops += block.stops() if isinstance(block, StageBlock) else []
        stops += [self._next.blank, *self._card.stops()]
        assert self.leaf is not None
        # A line that is being laid has parts that do not stand in it yet.
        stops = [stop for stop in stops if stop.window() is self.leaf.window()]
        if stops != self._stops:
            self._stops = stops
            for before, after in pairwise(stops):
                QWidget.setTabOrder(before, after)

    def _show_cord(self, trial_id: str) -> None:
        cord = cord_of(self.desk.notebook, trial_id)
        self._cord.setVisible(bool(cord.stretches))
        shape = shape_of(cord, self._cord_room())
        if shape != self._shape:
            self._shape = shape
            self._cord.show_cord(shape, spoken(cord))

    def _cord_room(self) -> float:
        assert self.leaf is not None
        inset = 2 * round(theme.px(theme.size("page_inset")))
        return float(self.leaf.page.width() - inset)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """The cord has another width: its words are laid out for it."""
        if event.type() == QEvent.Type.Resize and watched is self._cord and self.desk.trial_id:
            self._show_cord(self.desk.trial_id)
        return super().eventFilter(watched, event)

    def _anchor(self, there: tuple[Stage, ...]) -> None:
        assert self.leaf is not None
        last = self._blocks[there[-1].id] if there else None
        self.leaf.anchor("next stage", last if self._sealed and last is not None else self._next)
        for stage in there:
            block = self._blocks[stage.id]
            self.leaf.anchor(f"stage:{stage.id}", block, partial(block.place_of, ""))
            added = [slot.field for slot in views.slots(self.desk.notebook, stage.id)]
            parted = views.parted_fields(self.desk.notebook, stage.id)
            for field in (*parted, *added, "end_feel", "set_temp_c"):
                self.leaf.anchor(f"stage:{stage.id}:{field}", block, partial(block.place_of, field))

    # --- where one is --------------------------------------------------------------------------

    @Slot(QWidget, QWidget)
    def _follow(self, old: QWidget | None, new: QWidget | None) -> None:
        """The stage one is in offers more; it stays open until one is in another line."""
        if new is None or self.leaf is None or not self.leaf.isVisible():
            return
        inside = next((b for b in self._blocks.values() if b.isAncestorOf(new)), None)
        in_next = self._next.isAncestorOf(new)
        if inside is None and not in_next:
            return
        for block in self._blocks.values():
            block.set_open(block is inside and not self._sealed)
            block.follow_feel(writing=block is inside and not self._sealed)
        self._order_tabs()
        self._next.set_open(in_next)
        if inside is not None and inside.focus_field():
            self._at = (inside.stage_id, inside.focus_field())
        elif inside is None:
            self._at = ("", "")
        self._show_head()

    def _show_head(self) -> None:
        assert self.leaf is not None
        says = msg("Written once where the methods go together, twice where they part.")
        self.leaf.set_title(self.title, _SEALED if self._is_sealed() else says)
        if self._sealed:
            self.leaf.head.drop_verbs()
            return
        block = self._blocks.get(self._at[0])
        parted = block is not None and block.is_parted(self._at[1])
        label = msg("Join the line") if parted else msg("Part a line")
        self.leaf.set_verb("part", label, why=self._why_not())

    def _is_sealed(self) -> bool:
        return views.is_locked(self.desk.notebook, self.desk.trial_id)

    def _why_not(self) -> Message | None:
        if self._sealed:
            return msg("the plan is sealed")
        if self._at[0] not in self._blocks:
            return msg("Go to the value that is to be parted, then part it.")
        return None

    @Slot(object)
    def _go_on_in(self, stage_id: str) -> None:
        """A stage was written: go on in it, once the line it came from has settled."""
        QTimer.singleShot(0, self, partial(self._enter, stage_id))

    def _enter(self, stage_id: str) -> None:
        if stage_id in self._blocks:
            self._blocks[stage_id].go_on()

    # --- what is done --------------------------------------------------------------------------

    @Slot(object)
    def _wanted(self, wanted: tuple[str, str, Any]) -> None:
        stage_id, name, argument = wanted
        book = self.desk.notebook
        acts = {
            "kind": lambda: stages.change_kind(book, stage_id, argument),
            "give": lambda: stages.give_stage(book, stage_id, argument or None),
            "role": lambda: additions.set_addition_role(book, stage_id, *argument),
            "part": lambda: stages.part_line(book, stage_id, argument),
            "join": lambda: stages.join_line(book, stage_id, *argument),
            "move": lambda: stages.move_stage(book, stage_id, argument),
            "remove": lambda: stages.remove_stage(book, stage_id),
        }
        if self._take(acts[name], stage_id) and name in ("part", "join"):
            field = argument if name == "part" else argument[0]
            if stage_id in self._blocks:
                self._blocks[stage_id].focus_on(field)

    @Slot(object)
    def _part_for(self, wanted: tuple[str, str, str]) -> None:
        """A method goes its own way in a line: part it and write what this one has."""
        stage_id, field, method_id = wanted
        book = self.desk.notebook
        if self._take(partial(stages.part_line, book, stage_id, field), stage_id):
            block = self._blocks.get(stage_id)
            if block is not None:
                block.focus_on(field, method_id)

    @Slot()
    def _open_card(self) -> None:
        self._card.open()
        self._order_tabs()
        assert self.leaf is not None
        self.leaf.settle()
        self.leaf.go_to_line("feel card")
        self._card.enter()

    @Slot()
    def _put_card_away(self) -> None:
        self._card.hide()
        self._next.blank.setFocus()
        self._order_tabs()

    def _take(self, make: Any, stage_id: str = "") -> bool:
        trouble: TrialbenchError | None
        try:
            step: Step = make()
        except TrialbenchError as refused:
            trouble = refused
        else:
            trouble = self.desk.take(step)
        block = self._blocks.get(stage_id)
        if block is not None:
            block.says.setVisible(trouble is not None)
            block.says.set_items(trouble.message if trouble is not None else "")
        return trouble is None

    def _part(self) -> None:
        stage_id, field = self._at
        block = self._blocks.get(stage_id)
        if block is None or self._sealed:
            return
        if block.is_parted(field):
            block.ask_which_stays(field)
        else:
            self._wanted((stage_id, "part", field))

    def _join(self) -> None:
        stage_id, field = self._at
        block = self._blocks.get(stage_id)
        if block is not None and block.is_parted(field) and not self._sealed:
            block.ask_which_stays(field)

    def do(self, name: str, args: tuple[str, ...]) -> None:
        book = self.desk.notebook
        if name == "part":
            self._part()
        elif name == "join_line":
            self._take(partial(stages.join_line, book, *args), args[0])
        elif name == "set_role":
            self._take(partial(stages.set_role, book, *args), args[0])
        elif name == "give_stage":
            self._take(partial(stages.give_stage, book, args[0], args[1] or None), args[0])
        elif name == "set_line":
            self._take(partial(shapes.set_line, book, *args), args[1])
        elif name == "swap_places":
            self._take(partial(places.swap_places, book, *args))
        elif name == "open_page":
            self.desk.go(args[0])
        elif name == "go_to" and self.leaf is not None:
            self._go_to(args[0])

    def _go_to(self, line: str) -> None:
        _, _, rest = line.partition(":")
        stage_id, _, field = rest.partition(":")
        block = self._blocks.get(stage_id)
        if block is not None:
            block.set_open(True)
        assert self.leaf is not None
        if block is None or not (field and block.focus_on(field)):
            self.leaf.go_to_line(line)

    def verbs(self) -> tuple[VerbEntry, ...]:
        return (
            VerbEntry("part_line", msg("Part a line"), self._part, "Ctrl+D", self._why_not),
            VerbEntry("join_line", msg("Join a parted line"), self._join, "Ctrl+J", self._why_not),
            VerbEntry(
                "feel_card", msg("Feel card: five words"), self._open_card, "", self._why_no_card
            ),
            VerbEntry("celsius", msg("Temperatures in °C"), partial(self._show_in, "C")),
            VerbEntry("fahrenheit", msg("Temperatures in °F"), partial(self._show_in, "F")),
        )

    def _why_no_card(self) -> Message | None:
        return msg("this notebook can only be read") if self.desk.notebook.read_only else None

    def _show_in(self, unit: str) -> None:
        self._take(partial(cover.show_in, self.desk.notebook, "temperature_unit", unit))

    # --- the margin ----------------------------------------------------------------------------

    def _margin_now(self) -> Margin:
        if self.desk.notebook.find(Trial, self.desk.trial_id) is None:
            return Margin(msg(""))
        return margin_of_methods(self.desk.notebook, self.desk.trial_id)

    def margin(self) -> Margin:
        margin = self._margin_now()
        if not self._sealed:
            return margin
        from dataclasses import replace

        return replace(margin, notes=tuple(replace(note, verbs=()) for note in margin.notes))


def _missing(margin: Margin) -> dict[str, frozenset[str]]:
    """Stage id to the fields that the margin misses there."""
    found: dict[str, set[str]] = {}
    for note in margin.notes:
        parts = note.line.split(":")
        if note.mark == "missing" and len(parts) == 3:
            found.setdefault(parts[1], set()).add(parts[2])
    return {stage_id: frozenset(fields) for stage_id, fields in found.items()}

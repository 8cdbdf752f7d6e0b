"""What can be done with a whole stage, in one quiet line that shows while one is there."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QWidget

from trialbench.model.message import Message, msg
from trialbench.model.records import Method, Stage
from trialbench.model.words import ADDITION_ROLES, STAGE_FIELDS, STAGE_KINDS
from trialbench.notebook.views import Slot
from trialbench.planning.stage_line import offered
from trialbench.ui.choices import Choice
from trialbench.ui.runs import Item
from trialbench.ui.text import Line
from trialbench.ui.verbs import TextVerb

_GAP = "     "


class StageTools(Line):
    """Kind, whose, parting, moving, taking away. `wanted(name, argument)` with the names "kind",
    "give", "part", "move" and "remove"."""

    wanted = Signal(object)

    def __init__(self) -> None:
        super().__init__("cell", "", colour="pencil")
        self._shape: object = ()
        self._kind = self._who = Choice("", ())

    def show_stage(
        self,
        stage: Stage,
        methods: Sequence[Method],
        parted: frozenset[str],
        count: int,
        slots: Sequence[Slot] = (),
    ) -> None:
        """Offer what this stage can do; `count` is how many stages there are. The keyboard stays
        where it is in the line.
        """
        shape = (stage, count, parted, tuple(methods), tuple(slots))
        if shape == self._shape:
            return
        self._shape = shape
        had = self._at()
        kinds = [(word.name, word.label) for word in STAGE_KINDS.values()]
        self._kind = self._choice("kind", msg("Kind of stage"), kinds, stage.stage_kind)
        whose: list[tuple[str, Message | str]] = [("", msg("all"))]
        whose += [(m.id, msg("{letter} alone", letter=m.letter)) for m in methods]
        self._who = self._choice("give", msg("For which method"), whose, stage.method_id or "")
        items: list[Item] = [msg("a "), self._kind, msg(" stage, for "), self._who]
        if stage.method_id is None:
            items += [_GAP, *self._parting(stage, parted, slots)]
        if stage.position > 1:
            items += [_GAP, self._verb(msg("Earlier"), "move", stage.position - 1)]
        if stage.position < count:
            items += [_GAP, self._verb(msg("Later"), "move", stage.position + 1)]
        items += [_GAP, self._verb(msg("Take it away"), "remove", "")]
        self._take_over(had, items)
        self.set_items(items)

    def focus_on(self, name: str) -> bool:
        """Put the keyboard into a tool; False where it is not offered."""
        return self._take_over(name, self.items())

    def _at(self) -> str:
        """The tool that has the keyboard, "" for none."""
        inner = self.focusWidget()
        here = inner is not None and inner.hasFocus() and self.isAncestorOf(inner)
        return inner.objectName() if here and inner is not None else ""

    def _take_over(self, name: str, items: Sequence[Item]) -> bool:
        """Before the old tool goes, so that the keyboard is thrown nowhere else."""
        for item in items:
            if name and isinstance(item, QWidget) and item.objectName() == name:
                if item.parentWidget() is not self:
                    item.setParent(self)
                item.show()
                item.setFocus(Qt.FocusReason.OtherFocusReason)
                return True
        return False

    def stops(self) -> list[QWidget]:
        """What the Tab key visits, in the order of the line."""
        return [item for item in self.items() if isinstance(item, QWidget)]

    def _parting(self, stage: Stage, parted: frozenset[str], slots: Sequence[Slot]) -> list[Item]:
        """Part a value by choosing which: the way by mouse, beside the key."""
        held = stage.values()
        written = [f for f in STAGE_FIELDS if held[f] not in (None, "") or f in offered(stage)]
        fields: list[tuple[str, Message | str]] = [
            (f, STAGE_FIELDS_NAMES[f]) for f in written if f not in parted
        ]
        fields += [(slot.field, role_and_name(slot)) for slot in slots if not slot.parted]
        if not fields:
            return []
        return [self._choice("part", msg("Part a line"), fields, "", hint=msg("part a line"))]

    def _choice(
        self,
        name: str,
        spoken: Message,
        alternatives: Sequence[tuple[str, Message | str]],
        key: str,
        hint: Message | str = "",
    ) -> Choice:
        choice = Choice(spoken, alternatives, key, role="cell", hint=hint)
        choice.setObjectName(name)
        choice.committed.connect(partial(self._want, name))
        return choice

    def _verb(self, label: Message, name: str, argument: object) -> TextVerb:
        verb = TextVerb(label, role="cell", weight=400)
        verb.setObjectName(str(label))
        verb.clicked.connect(partial(self._press, name, argument))
        return verb

    def _press(self, name: str, argument: object, checked: bool = False) -> None:
        self.wanted.emit((name, argument))

    def _want(self, name: str, argument: object) -> None:
        self.wanted.emit((name, argument))


def role_and_name(slot: Slot) -> Message | str:
    """A line of additions by what it is: "the rub: paprika"."""
    name = slot.records[0].name
    role = ADDITION_ROLES.get(slot.role, slot.role)
    return msg("{role}: {name}", role=role, name=name) if name else role


STAGE_FIELDS_NAMES: dict[str, Message] = {
    "medium": msg("what it lies in"),
    "set_temp_c": msg("the temperature"),
    "duration_s": msg("the time"),
    "end_core_c": msg("the core temperature"),
    "end_feel": msg("the sign that it is done"),
    "cover": msg("the cover"),
    "vessel": msg("the vessel"),
    "salt_g_per_kg": msg("the salt"),
    "slice_mm": msg("the thickness of the slices"),
    "knife_to_mouth_min": msg("the minutes from knife to mouth"),
    "place": msg("the place it takes"),
    "note": msg("the remark"),
}
"""The fields of a stage by name, for choosing one."""

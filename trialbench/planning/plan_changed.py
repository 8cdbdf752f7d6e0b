"""What changed from one state of a plan to another: each line with what it said and says now."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from trialbench.model.message import Message, msg, say
from trialbench.planning.plan_lines import NOTHING, Text, Words, plan_lines

NOT_THERE = msg("not there")


@dataclass(frozen=True, slots=True)
class PlanChange:
    """One line that says something else. `name` is the line's own ("question:matters")."""

    name: str
    label: Words
    old: Words
    new: Words

    @property
    def sentence(self) -> Message:
        """ "tasters: 8, now 6"."""
        return msg("{label}: {old}, now {new}", label=self.label, old=self.old, new=self.new)


def plan_changes(before: Text, after: Text) -> tuple[PlanChange, ...]:
    """The lines that differ, in the order of the plan; none where nothing was changed.

    Of what came or went as a whole (a stage, an outcome) one line stands for all its own lines.
    """
    old, new = plan_lines(before), plan_lines(after)
    whole = {_owner(name) for name in old.keys() ^ new.keys() if name.count(":") == 1}
    found = []
    for name in dict.fromkeys((*old, *new)):
        was, now = old.get(name), new.get(name)
        inside = name.count(":") > 1 and _owner(name) in whole
        if inside or (was and now and say(was.value) == say(now.value)):
            continue
        line = now or was
        assert line is not None
        old_words = (was.value or NOTHING) if was else NOT_THERE
        new_words = (now.value or NOTHING) if now else NOT_THERE
        found.append(PlanChange(name, line.label, old_words, new_words))
    return tuple(found)


def _owner(name: str) -> str:
    """The id of the record that a line is of: "stage:<id>:cover"."""
    return name.split(":")[1]


def together(changes: Sequence[PlanChange]) -> Message:
    """Several changes in one sentence."""
    first, rest = changes[0].sentence, changes[1:]
    return msg("{first}; {rest}", first=first, rest=together(rest)) if rest else first

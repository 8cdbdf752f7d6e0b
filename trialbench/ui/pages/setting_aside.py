"""Leaving out a piece or a taster: always with a reason, and both answers are shown."""

from __future__ import annotations

from collections.abc import Sequence

from trialbench.model.message import msg
from trialbench.model.records import LeftOut
from trialbench.model.steps import Step
from trialbench.notebook import views
from trialbench.notebook.acts import leaving_out
from trialbench.ui.page import Desk
from trialbench.ui.pages.who_and_why import Asked, Said, WhoAndWhy

_WHO = {"piece": msg("a piece"), "taster": msg("a taster")}


class SettingAside(WhoAndWhy):
    """`subject` is piece | taster."""

    def __init__(self, desk: Desk, subject: str) -> None:
        self._book, self._subject = desk.notebook, subject
        self._trial_id = ""
        super().__init__(desk, Asked(msg("Leave out "), _WHO[subject]), self._leave, self._count)

    def show_named(self, trial_id: str, named: Sequence[tuple[str, str]]) -> None:
        """Those of one page as (id, name)."""
        self._trial_id = trial_id
        names = dict(named)
        aside = [
            record
            for record in views.left_out(self._book, trial_id)
            if record.subject == self._subject and record.subject_id in names
        ]
        gone = {record.subject_id for record in aside}
        self.show_all(
            f"left_out:{trial_id}",
            [(key, name) for key, name in named if key not in gone],
            [_said(record, names[record.subject_id]) for record in aside],
        )

    def _leave(self, key: str, why: str) -> Step:
        return leaving_out.leave_out(self._book, self._trial_id, self._subject, key, why)

    def _count(self, record_id: str) -> Step:
        return leaving_out.take_back_in(self._book, record_id)


def _said(record: LeftOut, name: str) -> Said:
    words = msg("Left out: {name}, {why}.", name=name, why=record.reason.rstrip("."))
    return Said(words, msg("Count {name} again", name=name), record.id)

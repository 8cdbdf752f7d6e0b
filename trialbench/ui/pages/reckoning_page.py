"""What Findings, its second leaf and the recipe note have in common: they show one reckoning."""

from __future__ import annotations

from PySide6.QtCore import Slot

from trialbench.ui.page import Desk, Page
from trialbench.ui.pages.reckoning import Reckoned, Reckoning


class ReckoningPage(Page):
    """A page that shows what was reckoned last. Subclasses fill `_show`.

    `_shown` is the trial and state that stand on the page now, None for nothing yet.
    """

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self._reckoning = Reckoning.of(desk)
        self._reckoning.changed.connect(self._show_change)
        self._shown: tuple[str, int] | None = None

    def _show(self) -> None:
        """Show the answer there is, as old or as fresh as it is."""
        raise NotImplementedError

    @Slot()
    def _show_change(self) -> None:
        if self.leaf is not None and not self.leaf.isHidden():
            self._show()
            self.desk.margin_changed.emit()

    def _answer(self) -> Reckoned | None:
        return self._reckoning.answer(self.desk.trial_id)

    def _is_fresh(self) -> bool:
        return self._reckoning.is_fresh(self.desk.trial_id)

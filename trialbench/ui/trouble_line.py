"""A line under a verb that says why it was not done; there is none while all went well."""

from __future__ import annotations

from trialbench.model.errors import TrialbenchError
from trialbench.model.message import Message
from trialbench.ui.runs import Run
from trialbench.ui.text import Line


class TroubleLine(Line):
    """Shows a refusal with its way out, or a message; hidden without either."""

    def __init__(self, role: str = "body") -> None:
        super().__init__(role)
        self.hide()

    def show_trouble(self, trouble: TrialbenchError | Message | None) -> None:
        """Say what is the matter, or nothing more."""
        self.setVisible(trouble is not None)
        if isinstance(trouble, TrialbenchError):
            way_out = getattr(trouble, "way_out", "")
            self.set_items([Run(trouble.message), Run(" "), Run(way_out)])
        else:
            self.set_items([Run(trouble)] if trouble is not None else "")

"""Who shared a vessel: pieces of one method in one pan, bag or box are one load."""

from __future__ import annotations

from trialbench.model.message import msg, msg_n
from trialbench.model.steps import Step
from trialbench.notebook import views
from trialbench.notebook.acts import loads
from trialbench.planning.stage_words import listed
from trialbench.ui.page import Desk
from trialbench.ui.pages.who_and_why import Asked, Said, WhoAndWhy

_ALONE = "alone"


class SharedVessels(WhoAndWhy):
    """ "P05 and P07 shared pan 1", and the line that puts one more piece into a vessel."""

    def __init__(self, desk: Desk) -> None:
        self._book = desk.notebook
        self._cook_id = ""
        asked = Asked(
            msg("Shared a vessel with its own method: "), msg("a piece"), msg(" in "),
            msg("which pan, bag or box; or alone"),
        )  # fmt: skip
        super().__init__(desk, asked, self._join, self._apart)

    def show_cook(self, cook_id: str) -> None:
        """The loads of one cook day."""
        self._cook_id = cook_id
        said = []
        for load in views.loads(self._book, cook_id):
            inside = [piece.label for piece in views.pieces_of_load(self._book, load.id)]
            words = msg_n("{pieces} was in {vessel}.", "{pieces} shared {vessel}.", len(inside),
                          pieces=listed(inside), vessel=load.name)  # fmt: skip
            back = msg_n("It was alone", "Each was alone", len(inside))
            said.append(Said(words, back, load.id))
        pieces = views.pieces(self._book, cook_id)
        self.show_all(f"load:{cook_id}", [(p.id, p.label) for p in pieces], said)

    def _join(self, piece_id: str, name: str) -> Step:
        if name.strip().casefold() == _ALONE:
            return loads.leave_load(self._book, piece_id)
        there = {load.name.casefold(): load for load in views.loads(self._book, self._cook_id)}
        found = there.get(name.strip().casefold())
        if found is not None:
            return loads.join_load(self._book, piece_id, found.id)
        return loads.make_load(self._book, self._cook_id, [piece_id], name)

    def _apart(self, load_id: str) -> Step:
        return loads.remove_load(self._book, load_id)

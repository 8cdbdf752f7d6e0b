"""Who shared a vessel: pieces of one method in one pan, bag or box are one load."""

from __future__ import annotations

from trialbench.model.message import msg
from trialbench.model.steps import Step
from trialbench.notebook import views
from trialbench.notebook.acts import loads
from trialbench.ui.page import Desk
from trialbench.ui.pages.who_and_why import Asked, Said, WhoAndWhy


class SharedVessels(WhoAndWhy):
    """ "P05 and P07 shared pan 1", and the line that puts one more piece into a vessel."""

    def __init__(self, desk: Desk) -> None:
        self._book = desk.notebook
        self._cook_id = ""
        asked = Asked(
            msg("Shared a vessel with its own method: "), msg("a piece"), msg(" in "),
            msg("which pan, bag or box"),
        )  # fmt: skip
        super().__init__(desk, asked, self._join, self._alone)

    def show_cook(self, cook_id: str) -> None:
        """The loads of one cook day."""
        self._cook_id = cook_id
        pieces = views.pieces(self._book, cook_id)
        names = {load.id: load.name for load in views.loads(self._book, cook_id)}
        said = [
            Said(
                msg("{piece} was in {vessel}.", piece=piece.label, vessel=names[piece.load_id]),
                msg("{piece} was alone", piece=piece.label),
                piece.id,
            )
            for piece in pieces
            if piece.load_id in names
        ]
        self.show_all(f"load:{cook_id}", [(p.id, p.label) for p in pieces if not p.load_id], said)

    def _join(self, piece_id: str, name: str) -> Step:
        there = {load.name.casefold(): load for load in views.loads(self._book, self._cook_id)}
        found = there.get(name.strip().casefold())
        if found is not None:
            return loads.join_load(self._book, piece_id, found.id)
        return loads.make_load(self._book, self._cook_id, [piece_id], name)

    def _alone(self, piece_id: str) -> Step:
        return loads.leave_load(self._book, piece_id)

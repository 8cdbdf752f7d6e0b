"""The weighing list: pieces by checkpoints, with empty cells to write by hand, and what goes on.

Without methods it is for whoever trims and seasons: it ends with the parting, and names no grams
that differ between methods.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from trialbench.findings.snapshot import TrialRecords
from trialbench.model.message import msg, say
from trialbench.model.numbers import shortest
from trialbench.model.quantities import show_mass, show_typed_mass
from trialbench.model.records import Checkpoint, Cook, Pair, Piece
from trialbench.notebook import views
from trialbench.notebook.acts.amounts import name_of
from trialbench.notebook.views import ToWeigh
from trialbench.planning.parting_weights import parting_checkpoint
from trialbench.planning.stage_words import listed
from trialbench.report.papers.words import (
    Values,
    all_said,
    day_lines,
    day_name,
    framed,
    methods_shown,
    said,
)
from trialbench.report.words import Text

_NONE = "\u2013"
_WIDE_FROM = 6
Cells = list[str | Values | None]


def weighing_values(
    records: TrialRecords, size: str, *, with_methods: bool
) -> tuple[Values, dict[str, str]]:
    """The values of the template and its pictures: a page a cook day."""
    trial = records.trial
    methods, pictures = methods_shown(views.methods(records, trial.id) if with_methods else ())
    checkpoints = _checkpoints(records, with_methods=with_methods)
    things = views.to_weigh(records, trial.id)
    title = msg("Weighing list") if with_methods else msg("Weighing list without methods")
    days = [
        _Day(records, cook, with_methods).values(checkpoints, things)
        for cook in views.cooks(records, trial.id)
    ]
    values = framed(title, size) | {
        "methods": methods,
        "with_methods": with_methods,
        "wide": max(len(checkpoints), 2 * len(things)) > _WIDE_FROM,
        "days": days,
        "nothing": say(msg("No cook day is laid out yet. The Plan page lays them out.")),
    }
    return values, pictures


def _checkpoints(records: TrialRecords, *, with_methods: bool) -> tuple[Checkpoint, ...]:
    """All weighings; without methods those up to the parting, which all pieces share."""
    found = views.checkpoints(records, records.trial.id)
    parting = parting_checkpoint(records)
    if with_methods or parting is None:
        return found if with_methods else ()
    return tuple(c for c in found if c.position <= parting.position)


class _Day:
    """One cook day."""

    def __init__(self, records: TrialRecords, cook: Cook, with_methods: bool) -> None:
        self._records, self._cook, self._with_methods = records, cook, with_methods
        self._pieces = views.pieces(records, cook.id)
        self._unit = views.cover(records).mass_unit

    def values(self, checkpoints: Sequence[Checkpoint], things: Sequence[ToWeigh]) -> Values:
        """The day with its tables; what is missing is said."""
        tables: list[Values] = []
        if self._pieces and things:
            tables.append(self._onto(things))
        if self._pieces and checkpoints:
            tables.append(self._weights(checkpoints))
        return {
            "name": say(day_name(self._cook)),
            "under": day_lines(self._records, self._cook),
            "nothing": self._nothing(checkpoints),
            "tables": tables,
        }

    def _nothing(self, checkpoints: Sequence[Checkpoint]) -> str | None:
        if not self._pieces:
            return say(msg("No piece is laid out for this day yet."))
        if not checkpoints:
            return say(msg("No weighing is laid out yet. Stages are written on Methods."))
        return None

    def _row(self, piece: Piece, cells: Cells) -> Values:
        method = views.method_of_piece(self._records, piece) if self._with_methods else None
        pair = self._records.find(Pair, piece.pair_id)
        known: list[Text] = [msg("pair {number}", number=pair.number)] if pair else []
        known += [text for text in (piece.source or (pair.source if pair else ""), piece.side)
                  if text]  # fmt: skip
        return {
            "label": said(piece.label),
            "letter": method.letter if method else None,
            "under": said(listed(known)),
            "cells": cells,
        }

    # --- what is weighed -----------------------------------------------------------------------

    def _weights(self, checkpoints: Sequence[Checkpoint]) -> Values:
        heads: list[Text] = [msg("piece")]
        heads += [msg("{name}, {unit}", name=c.name, unit=self._unit) for c in checkpoints]
        rows = [
            self._row(piece, [self._weight(piece, c) for c in checkpoints])
            for piece in self._pieces
        ]
        notes: list[Text] = []
        if not self._with_methods:
            notes.append(msg("As far as all pieces are treated alike. Who gets which method is "
                             "not on this page."))  # fmt: skip
        name = say(msg("Weights"))
        return {"name": name, "heads": all_said(heads), "rows": rows, "notes": all_said(notes)}

    def _weight(self, piece: Piece, checkpoint: Checkpoint) -> str | None:
        there = views.measurement(self._records, piece.id, checkpoint.id)
        if there is not None and there.mass_g is not None:
            return show_typed_mass(there.mass_g, there.typed, self._unit)
        if self._with_methods and piece.method_id:
            return None if views.is_weighed_at(self._records, piece, checkpoint) else _NONE
        return None

    # --- what goes on --------------------------------------------------------------------------

    def _onto(self, things: Sequence[ToWeigh]) -> Values:
        told = [thing for thing in things if self._may_tell(thing)]
        heads: list[Text] = [msg("piece")]
        for thing in told:
            what = name_of(thing)
            heads.append(msg("{what}, target, {unit}", what=what, unit=self._unit))
            heads.append(msg("{what}, weighed, {unit}", what=what, unit=self._unit))
        rows = [
            self._row(piece, [cell for thing in told for cell in self._amounts(piece, thing)])
            for piece in self._pieces
        ]
        return {
            "name": say(msg("Onto the pieces")),
            "heads": all_said(heads),
            "rows": rows if told else [],
            "notes": all_said(self._notes(things, told)),
        }

    def _may_tell(self, thing: ToWeigh) -> bool:
        """Whether its grams give away no method."""
        any_piece = Piece("", self._cook.id, 0, "")
        alike = views.rate_g_per_kg(self._records, thing, any_piece) is not None
        return self._with_methods or alike

    def _amounts(self, piece: Piece, thing: ToWeigh) -> Cells:
        there = views.amount(self._records, thing, piece.id)
        written = None if there is None or there.mass_g is None else show_typed_mass(
            there.mass_g, there.typed, self._unit
        )  # fmt: skip
        rate = views.rate_g_per_kg(self._records, thing, piece)
        target = views.target_g(self._records, thing, piece)
        if target is not None:
            return [show_mass(target, self._unit), written]
        if rate is None:
            unknown = piece.method_id is None and self._with_methods
            return [{"asked": said(msg("lots not drawn"))} if unknown else _NONE,
                    None if unknown else _NONE]  # fmt: skip
        said_rate = msg("{rate} g for each kg trimmed", rate=shortest(rate))
        return [{"asked": said(said_rate)}, written]

    def _notes(self, things: Sequence[ToWeigh], told: Sequence[ToWeigh]) -> Iterator[Text]:
        checkpoint = views.trimmed_checkpoint(self._records, self._records.trial.id)
        if told and checkpoint is not None:
            yield msg("Every target counts on the weight {base}.", base=checkpoint.name)
        elif told:
            yield msg("Every target counts on the trimmed weight.")
        apart = [name_of(thing) for thing in things if thing not in told]
        if apart:
            yield msg("Not on this page, because it differs between the methods: {what}.",
                      what=listed(apart))  # fmt: skip

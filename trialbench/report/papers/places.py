"""Which piece goes where on each cook day, and which pieces share a pan, bag or box."""

from __future__ import annotations

from collections.abc import Iterator

from trialbench.findings.snapshot import TrialRecords
from trialbench.model.message import msg, say
from trialbench.model.records import Cook, Load, Method, Pair, Piece, Stage
from trialbench.notebook import views
from trialbench.planning.stage_words import listed, stage_name
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


def places_values(records: TrialRecords, size: str) -> tuple[Values, dict[str, str]]:
    """The values of the template and its pictures: a page a cook day."""
    trial = records.trial
    methods, pictures = methods_shown(views.methods(records, trial.id))
    heads = (msg("load"), msg("shared in"), msg("stage"), msg("pieces"))
    values = framed(msg("Which piece goes where"), size) | {
        "methods": methods,
        "days": [_day(records, cook) for cook in views.cooks(records, trial.id)],
        "nothing": say(msg("No cook day is laid out yet. The Plan page lays them out.")),
        "not_drawn": say(msg("lots not drawn")),
        "loads_head": say(msg("What shares a pan, bag or box")),
        "loads_heads": all_said(heads),
    }
    return values, pictures


def _day(records: TrialRecords, cook: Cook) -> Values:
    pieces = views.pieces(records, cook.id)
    lines: list[Text] = []
    first = records.find(Method, cook.starts_id)
    if first is not None:
        lines.append(msg("{letter} goes in first.", letter=f"{first.letter} {first.name}".strip()))
    if any(piece.method_id is None for piece in pieces):
        lines.append(msg("Lots are not drawn for every piece of this day yet."))
    none = msg("No piece is laid out for this day yet.")
    return {
        "name": say(day_name(cook)),
        "under": [*day_lines(records, cook), *all_said(lines)],
        "nothing": None if pieces else say(none),
        "places": [_place(records, name, there) for name, there in _by_place(records, pieces)],
        "loads": list(_loads(records, cook)),
    }


def _by_place(
    records: TrialRecords, pieces: tuple[Piece, ...]
) -> Iterator[tuple[Text, list[Piece]]]:
    """The places in the order of the pieces; those without a place stand by their load, then
    come those with neither."""
    for name in dict.fromkeys(piece.place for piece in pieces if piece.place):
        yield name[:1].upper() + name[1:], [piece for piece in pieces if piece.place == name]
    bare = [piece for piece in pieces if not piece.place]
    for load_id in dict.fromkeys(piece.load_id for piece in bare if piece.load_id):
        load = records.get(Load, load_id)
        name = load.name[:1].upper() + load.name[1:]
        yield name, [piece for piece in bare if piece.load_id == load_id]
    rest = [piece for piece in bare if not piece.load_id]
    if rest:
        yield msg("No place written"), rest


def _place(records: TrialRecords, name: Text, pieces: list[Piece]) -> Values:
    return {"name": said(name), "pieces": [_piece(records, piece) for piece in pieces]}


def _piece(records: TrialRecords, piece: Piece) -> Values:
    method = views.method_of_piece(records, piece)
    return {
        "label": said(piece.label),
        "letter": method.letter if method else None,
        "lines": all_said(_about(records, piece)),
    }


def _about(records: TrialRecords, piece: Piece) -> Iterator[Text]:
    pair, load = records.find(Pair, piece.pair_id), records.find(Load, piece.load_id)
    if pair is not None:
        source = piece.source or pair.source
        known: list[Text] = [msg("pair {number}", number=pair.number)]
        yield listed([*known, *filter(None, (source, piece.side))])
    elif piece.source or piece.side:
        yield listed([text for text in (piece.source, piece.side) if text])
    if load is not None and piece.place:
        yield msg("in {load}", load=load.name)


def _loads(records: TrialRecords, cook: Cook) -> Iterator[list[str]]:
    for load in views.loads(records, cook.id):
        stage = records.find(Stage, load.stage_id)
        pieces = [p for p in views.pieces_of_load(records, load.id) if views.takes_part(p)]
        words: list[Text] = []
        for piece in pieces:
            method = views.method_of_piece(records, piece)
            words.append(f"{piece.label}\u00a0{method.letter}" if method else piece.label)
        yield all_said(
            (load.name, load.vessel or "\u2013", stage_name(stage) if stage else "\u2013",
             listed(words))
        )  # fmt: skip

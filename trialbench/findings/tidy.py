"""The data of a trial as one tidy table of text: for spreadsheets, packages and the data file."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Iterator, Mapping

from trialbench.findings.names import measure_of
from trialbench.findings.snapshot import TrialRecords
from trialbench.findings.tables import (
    opened_samples,
    repeats_of,
    why_missing,
    why_not_weighed,
)
from trialbench.findings.units import Place, places_of
from trialbench.model.numbers import shortest
from trialbench.model.records import (
    Cook,
    LeftOut,
    Method,
    Outcome,
    Sample,
    Score,
    Sitting,
    Taster,
)
from trialbench.notebook.views import outcome_on_piece

TIDY_COLUMNS: dict[str, str] = {
    "outcome": "what was scored or measured",
    "unit_of_value": "points, % of the first weighing, or g",
    "decides": "true for the outcome that decides",
    "cook": "number of the cook day, the block",
    "date": "the kitchen's own day",
    "pair": "number of the pair within its cook day, empty without pairs",
    "load": "pieces of one method that were treated together, empty for a piece treated alone",
    "piece": "label of the piece",
    "method": "letter of the method",
    "method_name": "name of the method",
    "taster": "alias of the taster, empty for a measurement",
    "repeat": "number of this taster's portion of this piece",
    "position": "place in the serving order, empty for a measurement",
    "code": "three-digit code, empty for a measurement",
    "value": "the number, empty where missing",
    "missing_reason": "why there is no number",
    "left_out": "why the piece or taster was set aside, empty where it was not",
    "changed_after_opening": "true for a score written or changed with the key open",
}
"""Columns of the tidy table and what they hold."""

Tidy = dict[str, str]


def tidy_rows(records: TrialRecords) -> Iterator[Tidy]:
    """Every expected number of every outcome, written or missing; sealed sittings are not in it."""
    outcomes = sorted(records.of(Outcome), key=lambda o: o.position)
    places = places_of(records)
    for outcome in outcomes:
        maker = _tasted if outcome.source == "attribute" else _weighed
        yield from maker(records, outcome, places)


def data_csv(records: TrialRecords) -> str:
    """The tidy table as CSV text (RFC 4180, comma, point, UTF-8)."""
    return csv_text(TIDY_COLUMNS, tidy_rows(records))


def csv_text(columns: Iterable[str], rows: Iterable[Mapping[str, str]]) -> str:
    """Rows as CSV text with a header line; lines end with a line feed."""
    kept = list(rows)
    # The writer only quotes a carriage return where lines end with one.
    returns = any("\r" in cell for row in kept for cell in row.values())
    out = io.StringIO(newline="")
    writer = csv.DictWriter(
        out,
        list(columns),
        lineterminator="\n",
        quoting=csv.QUOTE_ALL if returns else csv.QUOTE_MINIMAL,
    )
    writer.writeheader()
    writer.writerows(kept)
    return out.getvalue()


def _place_cells(records: TrialRecords, outcome: Outcome, place: Place) -> Tidy:
    names = {method.letter: method.name for method in records.of(Method)}
    dates = {str(cook.number): cook.date for cook in records.of(Cook)}
    return {
        "outcome": outcome.name,
        "unit_of_value": measure_of(records, outcome),
        "decides": "true" if outcome.id == records.trial.decides_id else "false",
        "cook": place.cook,
        "date": dates[place.cook],
        "pair": place.pair,
        "load": place.load,
        "piece": place.piece,
        "method": place.method,
        "method_name": names[place.method],
        "repeat": "1",
        "left_out": _left_out(records, place.piece_id),
        "changed_after_opening": "false",
    }


def _left_out(records: TrialRecords, *subject_ids: str) -> str:
    reasons = [one.reason for one in records.of(LeftOut) if one.subject_id in subject_ids]
    return "; ".join(reasons)


def _tasted(records: TrialRecords, outcome: Outcome, places: dict[str, Place]) -> Iterator[Tidy]:
    alias = {taster.id: taster.alias for taster in records.of(Taster)}
    dates = {sitting.id: sitting.date for sitting in records.of(Sitting)}
    scores = {s.sample_id: s for s in records.of(Score) if s.outcome_id == outcome.id}
    samples = opened_samples(records)
    repeats = repeats_of(samples)
    for sample in samples:
        place = places.get(sample.piece_id or "")
        if place is None:
            continue
        score = scores.get(sample.id)
        row = _place_cells(records, outcome, place) | _score_cells(records, sample, score)
        row["taster"] = alias.get(sample.taster_id, "")
        row["date"] = dates[sample.sitting_id] or row["date"]
        row["repeat"] = str(repeats[sample.id])
        row["left_out"] = _left_out(records, place.piece_id, sample.taster_id)
        yield row


def _score_cells(records: TrialRecords, sample: Sample, score: Score | None) -> Tidy:
    number = score.number if score else None
    changed = bool(score and score.changed_after_opening)
    return {
        "position": str(sample.position),
        "code": sample.code,
        "value": "" if number is None else shortest(number),
        "missing_reason": "" if number is not None else why_missing(records, sample, score),
        "changed_after_opening": "true" if changed else "false",
    }


def _weighed(records: TrialRecords, outcome: Outcome, places: dict[str, Place]) -> Iterator[Tidy]:
    for piece_id, place in places.items():
        value = outcome_on_piece(records, outcome, piece_id)
        row = _place_cells(records, outcome, place)
        row["value"] = "" if value is None else shortest(value)
        reason = why_not_weighed(records, outcome, piece_id)
        row["missing_reason"] = reason if value is None else ""
        yield row

"""Taking a taster's personal data out of a notebook file: records, history, drafts.

Works on the tables as they are, so that it also serves copies of an older form.
"""

from __future__ import annotations

import json
import re
import sqlite3
from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True, slots=True)
class Redacted:
    """Whose data: the aliases the taster ever had, and what stands there instead."""

    taster_id: str
    aliases: frozenset[str]
    instead: str

    def text(self, text: str) -> str:
        """The text with every alias as a whole word replaced."""
        for alias in sorted(self.aliases, key=len, reverse=True):
            text = re.sub(rf"(?<!\w){re.escape(alias)}(?!\w)", self.instead, text)
        return text


def aliases_of(db: sqlite3.Connection, taster_id: str) -> frozenset[str]:
    """Every alias that records and history know for a taster."""
    found = {row[0] for row in db.execute("SELECT alias FROM taster WHERE id = ?", (taster_id,))}
    for (text,) in db.execute("SELECT changes FROM history WHERE instr(changes, ?)", (taster_id,)):
        for values in _values(json.loads(text)):
            if values.get("id") == taster_id and "alias" in values:
                found.add(values["alias"])
    return frozenset(alias for alias in found if alias)


def redact(db: sqlite3.Connection, who: Redacted) -> None:
    """Replace the taster's data in records, history and drafts. Call inside a transaction."""
    related = _related_ids(db, who.taster_id)
    db.execute(
        "UPDATE taster SET alias = ?, avoids = '' WHERE id = ?", (who.instead, who.taster_id)
    )
    for table, field in (
        ("seat", "left_reason"),
        ("score", "missing_reason"),
        ("left_out", "reason"),
    ):
        for identity, text in db.execute(f"SELECT id, {field} FROM {table}").fetchall():
            if identity in related and who.text(text) != text:
                db.execute(
                    f"UPDATE {table} SET {field} = ? WHERE id = ?", (who.text(text), identity)
                )
    _redact_history(db, who, related)
    for place, text in db.execute("SELECT place, text FROM draft").fetchall():
        if who.taster_id in place or who.text(text) != text:
            db.execute("DELETE FROM draft WHERE place = ?", (place,))


def _related_ids(db: sqlite3.Connection, taster_id: str) -> frozenset[str]:
    """Ids of the records that speak of a taster: now and in history."""
    related = {taster_id}
    for (text,) in db.execute("SELECT changes FROM history WHERE instr(changes, ?)", (taster_id,)):
        for values in _values(json.loads(text)):
            if taster_id in (values.get("taster_id"), values.get("subject_id")):
                related.add(values["id"])
    for sql in (
        "SELECT id FROM seat WHERE taster_id = ?",
        "SELECT id FROM sample WHERE taster_id = ?",
        "SELECT id FROM left_out WHERE subject_id = ?",
        "SELECT score.id FROM score JOIN sample ON sample.id = sample_id WHERE taster_id = ?",
    ):
        related |= {row[0] for row in db.execute(sql, (taster_id,))}
    return frozenset(related)


def _redact_history(db: sqlite3.Connection, who: Redacted, related: frozenset[str]) -> None:
    for number, label, text in db.execute("SELECT number, label, changes FROM history").fetchall():
        entries = json.loads(text)
        touched = False
        for values in _values(entries):
            if values.get("id") in related or values.get("sample_id") in related:
                touched = True
                _redact_values(values, who)
        if touched:
            db.execute(
                "UPDATE history SET label = ?, changes = ? WHERE number = ?",
                (
                    json.dumps(_redact_label(json.loads(label), who), ensure_ascii=False),
                    json.dumps(entries, ensure_ascii=False, separators=(",", ":")),
                    number,
                ),
            )


def _values(entries: list[dict[str, Any]]) -> list[dict[str, Any]]:
    return [v for entry in entries for v in (entry["before"], entry["after"]) if v is not None]


def _redact_values(values: dict[str, Any], who: Redacted) -> None:
    if values.get("id") == who.taster_id:
        values.update(alias=who.instead, avoids="")
    for field in ("left_reason", "missing_reason", "reason"):
        if field in values:
            values[field] = who.text(values[field])


def _redact_label(label: dict[str, Any], who: Redacted) -> dict[str, Any]:
    """A label's arguments may name the taster."""
    args = []
    for name, value in label["args"]:
        if isinstance(value, dict):
            args.append([name, _redact_label(value, who)])
        else:
            args.append([name, who.text(value) if isinstance(value, str) else value])
    return {**label, "args": args}

"""From file form 1 to form 2: plans of more than two methods, buying, timetables, more sittings.

The statements stand here as they were: tomorrow's tables are different.
"""

from __future__ import annotations

import re
import sqlite3

NOTE = (
    "Plans may have more than two methods, settings, prices, pieces to match and a timetable; "
    "sittings may be choices, rounds or solo. What was written stays as it was."
)

_STATEMENTS = """
ALTER TABLE cover ADD COLUMN currency TEXT NOT NULL DEFAULT '';
ALTER TABLE cover ADD COLUMN zone TEXT NOT NULL DEFAULT '';
ALTER TABLE trial ADD COLUMN shape TEXT NOT NULL DEFAULT 'two';
ALTER TABLE trial ADD COLUMN usual_id TEXT REFERENCES method;
ALTER TABLE trial ADD COLUMN compares TEXT NOT NULL DEFAULT 'all_pairs';
ALTER TABLE trial ADD COLUMN reference TEXT NOT NULL DEFAULT '';
ALTER TABLE trial ADD COLUMN serving TEXT NOT NULL DEFAULT 'all';
ALTER TABLE trial ADD COLUMN draw_early_reason TEXT NOT NULL DEFAULT '';
ALTER TABLE trial ADD COLUMN spares INTEGER NOT NULL DEFAULT 0;
ALTER TABLE trial ADD COLUMN portion_g REAL;
ALTER TABLE trial ADD COLUMN yield_percent REAL;
ALTER TABLE trial ADD COLUMN most_samples INTEGER;
ALTER TABLE method ADD COLUMN departs TEXT NOT NULL DEFAULT '';
ALTER TABLE stage ADD COLUMN place TEXT NOT NULL DEFAULT '';
ALTER TABLE stage ADD COLUMN slice_mm REAL;
ALTER TABLE stage ADD COLUMN knife_to_mouth_min REAL;
ALTER TABLE outcome ADD COLUMN target REAL;
ALTER TABLE outcome ADD COLUMN definition TEXT NOT NULL DEFAULT '';
ALTER TABLE outcome ADD COLUMN options TEXT NOT NULL DEFAULT '';
ALTER TABLE outcome ADD COLUMN sighted INTEGER NOT NULL DEFAULT 0 CHECK (sighted IN (0, 1));
ALTER TABLE outcome ADD COLUMN allows_neither INTEGER NOT NULL DEFAULT 0
  CHECK (allows_neither IN (0, 1));
ALTER TABLE cook ADD COLUMN serve_utc TEXT NOT NULL DEFAULT '';
ALTER TABLE cook ADD COLUMN offset_min INTEGER NOT NULL DEFAULT 0;
ALTER TABLE cook ADD COLUMN starts_id TEXT REFERENCES method;
ALTER TABLE cook ADD COLUMN turns INTEGER NOT NULL DEFAULT 0 CHECK (turns IN (0, 1));
ALTER TABLE load ADD COLUMN stage_id TEXT REFERENCES stage;
ALTER TABLE piece ADD COLUMN side TEXT NOT NULL DEFAULT '';
ALTER TABLE piece ADD COLUMN lot TEXT NOT NULL DEFAULT '';
ALTER TABLE piece ADD COLUMN bought_g REAL;
ALTER TABLE piece ADD COLUMN thickness_mm REAL;
ALTER TABLE piece ADD COLUMN marbling TEXT NOT NULL DEFAULT '';
ALTER TABLE piece ADD COLUMN frozen TEXT NOT NULL DEFAULT '';
ALTER TABLE piece ADD COLUMN ph REAL;
ALTER TABLE piece ADD COLUMN spare INTEGER NOT NULL DEFAULT 0 CHECK (spare IN (0, 1));
ALTER TABLE piece ADD COLUMN rejected_reason TEXT NOT NULL DEFAULT '';
ALTER TABLE taster ADD COLUMN person TEXT NOT NULL DEFAULT '';
ALTER TABLE taster ADD COLUMN consent_utc TEXT NOT NULL DEFAULT '';
ALTER TABLE taster ADD COLUMN is_cook INTEGER NOT NULL DEFAULT 0 CHECK (is_cook IN (0, 1));
ALTER TABLE sitting ADD COLUMN form TEXT NOT NULL DEFAULT 'cards';
ALTER TABLE sitting ADD COLUMN by_eye TEXT NOT NULL DEFAULT '';
ALTER TABLE sitting ADD COLUMN hidden_by TEXT NOT NULL DEFAULT '';
ALTER TABLE sitting ADD COLUMN sighted INTEGER NOT NULL DEFAULT 0 CHECK (sighted IN (0, 1));
ALTER TABLE sitting ADD COLUMN tasted_before TEXT NOT NULL DEFAULT '';
ALTER TABLE sample ADD COLUMN round_number INTEGER NOT NULL DEFAULT 1;
ALTER TABLE sample ADD COLUMN set_number INTEGER NOT NULL DEFAULT 0;
ALTER TABLE sample ADD COLUMN served_utc TEXT NOT NULL DEFAULT '';
ALTER TABLE sample ADD COLUMN reference INTEGER NOT NULL DEFAULT 0 CHECK (reference IN (0, 1));
ALTER TABLE score ADD COLUMN text TEXT NOT NULL DEFAULT '';
CREATE TABLE addition (id TEXT PRIMARY KEY, stage_id TEXT NOT NULL REFERENCES stage, position
  INTEGER NOT NULL, role TEXT NOT NULL, name TEXT NOT NULL, method_id TEXT REFERENCES method,
  g_per_kg REAL, mass_g REAL, salt_percent REAL) STRICT;
CREATE TABLE expected (id TEXT PRIMARY KEY, trial_id TEXT NOT NULL REFERENCES trial, stage_id TEXT
  NOT NULL REFERENCES stage, duration_s REAL NOT NULL, method_id TEXT REFERENCES method, typed TEXT
  NOT NULL) STRICT;
CREATE TABLE feel (id TEXT PRIMARY KEY, position INTEGER NOT NULL, word TEXT NOT NULL, meaning
  TEXT NOT NULL) STRICT;
CREATE TABLE factor (id TEXT PRIMARY KEY, trial_id TEXT NOT NULL REFERENCES trial, position
  INTEGER NOT NULL, name TEXT NOT NULL, ordered INTEGER NOT NULL CHECK (ordered IN (0, 1)),
  stage_id TEXT REFERENCES stage, field TEXT NOT NULL) STRICT;
CREATE TABLE level (id TEXT PRIMARY KEY, factor_id TEXT NOT NULL REFERENCES factor, position
  INTEGER NOT NULL, number REAL, text TEXT NOT NULL) STRICT;
CREATE TABLE setting (id TEXT PRIMARY KEY, method_id TEXT NOT NULL REFERENCES method, level_id
  TEXT NOT NULL REFERENCES level) STRICT;
CREATE TABLE price (id TEXT PRIMARY KEY, trial_id TEXT NOT NULL REFERENCES trial, item TEXT
  NOT NULL, per TEXT NOT NULL, amount REAL NOT NULL, name TEXT NOT NULL) STRICT;
CREATE TABLE replan (id TEXT PRIMARY KEY, cook_id TEXT NOT NULL REFERENCES cook, made_utc TEXT
  NOT NULL, offset_min INTEGER NOT NULL, choice TEXT NOT NULL, late_s REAL NOT NULL, method_id
  TEXT REFERENCES method, piece_id TEXT REFERENCES piece, reason TEXT NOT NULL, stage_id TEXT
  REFERENCES stage) STRICT;
CREATE TABLE amount (id TEXT PRIMARY KEY, piece_id TEXT NOT NULL REFERENCES piece, role TEXT
  NOT NULL, made_utc TEXT NOT NULL, offset_min INTEGER NOT NULL, stage_id TEXT REFERENCES stage,
  name TEXT NOT NULL, mass_g REAL, typed TEXT NOT NULL, missing_reason TEXT NOT NULL) STRICT;
CREATE TABLE key_look (id TEXT PRIMARY KEY, sitting_id TEXT NOT NULL REFERENCES sitting, made_utc
  TEXT NOT NULL, offset_min INTEGER NOT NULL, reason TEXT NOT NULL) STRICT;
CREATE TABLE read_back (id TEXT PRIMARY KEY, sample_id TEXT NOT NULL REFERENCES sample, outcome_id
  TEXT NOT NULL REFERENCES outcome, made_utc TEXT NOT NULL, offset_min INTEGER NOT NULL, number
  REAL, typed TEXT NOT NULL) STRICT;
CREATE TABLE after_seal (id TEXT PRIMARY KEY, trial_id TEXT NOT NULL REFERENCES trial, number
  INTEGER NOT NULL, reason TEXT NOT NULL, begun_utc TEXT NOT NULL, offset_min INTEGER NOT NULL,
  key_open INTEGER NOT NULL CHECK (key_open IN (0, 1)), written TEXT NOT NULL, written_after TEXT
  NOT NULL, ended_utc TEXT NOT NULL) STRICT;
CREATE INDEX amount_by_piece ON amount (piece_id);
"""


def change(db: sqlite3.Connection) -> None:
    """Add the columns and tables of form 2. A new column holds what it means to have no say."""
    deferred = re.sub(r"(REFERENCES \w+)", r"\1 DEFERRABLE INITIALLY DEFERRED", _STATEMENTS)
    for statement in deferred.split(";\n"):
        if statement.strip():
            db.execute(statement)

"""The whole file form on one screen. One strict table a record kind; columns are its fields.

A column is named as the field of the record (trialbench.model.records), with its unit. Foreign
keys are checked when a transaction ends, so that a step may write its records in any order.
"""

from __future__ import annotations

import re

APPLICATION_ID = 0x54524221
"""Marks an SQLite file as a notebook ("TRB!")."""

FILE_FORM = 2
"""The file form that this program writes (SQLite's user_version)."""

RECORD_TABLES = """
CREATE TABLE cover (id TEXT PRIMARY KEY, name TEXT NOT NULL, begun_utc TEXT NOT NULL,
  temperature_unit TEXT NOT NULL, mass_unit TEXT NOT NULL, currency TEXT NOT NULL, zone TEXT
  NOT NULL) STRICT;
CREATE TABLE trial (id TEXT PRIMARY KEY, number INTEGER NOT NULL, food TEXT NOT NULL, chapter TEXT
  NOT NULL, usual TEXT NOT NULL, idea TEXT NOT NULL, begun_utc TEXT NOT NULL, question TEXT
  NOT NULL, came_out TEXT NOT NULL, decides_id TEXT REFERENCES outcome, matters REAL,
  matters_typed TEXT NOT NULL, easier_id TEXT REFERENCES method, planned_cooks INTEGER,
  pieces_each INTEGER NOT NULL, paired INTEGER NOT NULL CHECK (paired IN (0, 1)), loads TEXT
  NOT NULL, planned_tasters INTEGER, servings INTEGER NOT NULL, alpha REAL NOT NULL, policy
  INTEGER NOT NULL, invented INTEGER NOT NULL CHECK (invented IN (0, 1)), remark TEXT NOT NULL,
  shape TEXT NOT NULL, usual_id TEXT REFERENCES method, compares TEXT NOT NULL, reference TEXT
  NOT NULL, serving TEXT NOT NULL, draw_early_reason TEXT NOT NULL, spares INTEGER NOT NULL,
  portion_g REAL, yield_percent REAL, most_samples INTEGER) STRICT;
CREATE TABLE method (id TEXT PRIMARY KEY, trial_id TEXT NOT NULL REFERENCES trial, letter TEXT
  NOT NULL, name TEXT NOT NULL, origin TEXT NOT NULL, origin_note TEXT NOT NULL, departs TEXT
  NOT NULL) STRICT;
CREATE TABLE stage (id TEXT PRIMARY KEY, trial_id TEXT NOT NULL REFERENCES trial, position INTEGER
  NOT NULL, stage_kind TEXT NOT NULL, method_id TEXT REFERENCES method, medium TEXT NOT NULL,
  set_temp_c REAL, duration_s REAL, end_core_c REAL, end_feel TEXT NOT NULL, cover TEXT NOT NULL,
  vessel TEXT NOT NULL, salt_g_per_kg REAL, note TEXT NOT NULL, place TEXT NOT NULL, slice_mm
  REAL, knife_to_mouth_min REAL) STRICT;
CREATE TABLE part (id TEXT PRIMARY KEY, stage_id TEXT NOT NULL REFERENCES stage, method_id TEXT
  NOT NULL REFERENCES method, field TEXT NOT NULL, number REAL, text TEXT) STRICT;
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
CREATE TABLE difference (id TEXT PRIMARY KEY, trial_id TEXT NOT NULL REFERENCES trial, stage_id
  TEXT NOT NULL REFERENCES stage, field TEXT NOT NULL, role TEXT NOT NULL) STRICT;
CREATE TABLE outcome (id TEXT PRIMARY KEY, trial_id TEXT NOT NULL REFERENCES trial, position
  INTEGER NOT NULL, name TEXT NOT NULL, source TEXT NOT NULL, scale TEXT NOT NULL, low REAL, high
  REAL, step REAL, unit TEXT NOT NULL, better TEXT NOT NULL, more_word TEXT NOT NULL, less_word
  TEXT NOT NULL, asked_as TEXT NOT NULL, low_anchor TEXT NOT NULL, high_anchor TEXT NOT NULL,
  from_checkpoint_id TEXT REFERENCES checkpoint, to_checkpoint_id TEXT REFERENCES checkpoint,
  target REAL, definition TEXT NOT NULL, options TEXT NOT NULL, sighted INTEGER NOT NULL
  CHECK (sighted IN (0, 1)), allows_neither INTEGER NOT NULL CHECK (allows_neither IN (0, 1)))
  STRICT;
CREATE TABLE checkpoint (id TEXT PRIMARY KEY, trial_id TEXT NOT NULL REFERENCES trial, position
  INTEGER NOT NULL, name TEXT NOT NULL, checkpoint_kind TEXT NOT NULL, stage_id TEXT
  REFERENCES stage) STRICT;
CREATE TABLE cook (id TEXT PRIMARY KEY, trial_id TEXT NOT NULL REFERENCES trial, number INTEGER
  NOT NULL, date TEXT NOT NULL, remark TEXT NOT NULL, after_opening INTEGER NOT NULL
  CHECK (after_opening IN (0, 1)), serve_utc TEXT NOT NULL, offset_min INTEGER NOT NULL, starts_id
  TEXT REFERENCES method, turns INTEGER NOT NULL CHECK (turns IN (0, 1))) STRICT;
CREATE TABLE pair (id TEXT PRIMARY KEY, cook_id TEXT NOT NULL REFERENCES cook, number INTEGER
  NOT NULL, source TEXT NOT NULL) STRICT;
CREATE TABLE load (id TEXT PRIMARY KEY, cook_id TEXT NOT NULL REFERENCES cook, name TEXT NOT NULL,
  vessel TEXT NOT NULL, stage_id TEXT REFERENCES stage) STRICT;
CREATE TABLE piece (id TEXT PRIMARY KEY, cook_id TEXT NOT NULL REFERENCES cook, position INTEGER
  NOT NULL, label TEXT NOT NULL, pair_id TEXT REFERENCES pair, load_id TEXT REFERENCES load,
  method_id TEXT REFERENCES method, source TEXT NOT NULL, place TEXT NOT NULL, side TEXT NOT NULL,
  lot TEXT NOT NULL, bought_g REAL, thickness_mm REAL, marbling TEXT NOT NULL, frozen TEXT
  NOT NULL, ph REAL, spare INTEGER NOT NULL CHECK (spare IN (0, 1)), rejected_reason TEXT
  NOT NULL) STRICT;
CREATE TABLE replan (id TEXT PRIMARY KEY, cook_id TEXT NOT NULL REFERENCES cook, made_utc TEXT
  NOT NULL, offset_min INTEGER NOT NULL, choice TEXT NOT NULL, late_s REAL NOT NULL, method_id
  TEXT REFERENCES method, piece_id TEXT REFERENCES piece, reason TEXT NOT NULL, stage_id TEXT
  REFERENCES stage) STRICT;
CREATE TABLE draw (id TEXT PRIMARY KEY, trial_id TEXT NOT NULL REFERENCES trial, number INTEGER
  NOT NULL, lot_number INTEGER NOT NULL, made_utc TEXT NOT NULL, offset_min INTEGER NOT NULL,
  within TEXT NOT NULL, reason TEXT NOT NULL) STRICT;
CREATE TABLE lot (id TEXT PRIMARY KEY, draw_id TEXT NOT NULL REFERENCES draw, piece_id TEXT
  NOT NULL REFERENCES piece, method_id TEXT NOT NULL REFERENCES method) STRICT;
CREATE TABLE seal (id TEXT PRIMARY KEY, trial_id TEXT NOT NULL REFERENCES trial, made_utc TEXT
  NOT NULL, offset_min INTEGER NOT NULL, written TEXT NOT NULL, fingerprint TEXT NOT NULL) STRICT;
CREATE TABLE after_seal (id TEXT PRIMARY KEY, trial_id TEXT NOT NULL REFERENCES trial, number
  INTEGER NOT NULL, reason TEXT NOT NULL, begun_utc TEXT NOT NULL, offset_min INTEGER NOT NULL,
  key_open INTEGER NOT NULL CHECK (key_open IN (0, 1)), written TEXT NOT NULL, written_after TEXT
  NOT NULL, ended_utc TEXT NOT NULL) STRICT;
CREATE TABLE measurement (id TEXT PRIMARY KEY, piece_id TEXT NOT NULL REFERENCES piece,
  checkpoint_id TEXT NOT NULL REFERENCES checkpoint, made_utc TEXT NOT NULL, offset_min INTEGER
  NOT NULL, mass_g REAL, temp_c REAL, typed TEXT NOT NULL, missing_reason TEXT NOT NULL) STRICT;
CREATE TABLE amount (id TEXT PRIMARY KEY, piece_id TEXT NOT NULL REFERENCES piece, role TEXT
  NOT NULL, made_utc TEXT NOT NULL, offset_min INTEGER NOT NULL, stage_id TEXT REFERENCES stage,
  name TEXT NOT NULL, mass_g REAL, typed TEXT NOT NULL, missing_reason TEXT NOT NULL) STRICT;
CREATE TABLE taster (id TEXT PRIMARY KEY, alias TEXT NOT NULL, position INTEGER NOT NULL, avoids
  TEXT NOT NULL, person TEXT NOT NULL, consent_utc TEXT NOT NULL, is_cook INTEGER NOT NULL
  CHECK (is_cook IN (0, 1))) STRICT;
CREATE TABLE sitting (id TEXT PRIMARY KEY, trial_id TEXT NOT NULL REFERENCES trial, cook_id TEXT
  NOT NULL REFERENCES cook, number INTEGER NOT NULL, date TEXT NOT NULL, key_state TEXT NOT NULL,
  key_guard TEXT NOT NULL, key_fingerprint TEXT NOT NULL, sealed_utc TEXT NOT NULL, opened_utc
  TEXT NOT NULL, opened_early_reason TEXT NOT NULL, offset_min INTEGER NOT NULL, lot_number
  INTEGER, served_temp_c REAL, slice_mm REAL, knife_to_mouth_min REAL, allergens TEXT NOT NULL,
  form TEXT NOT NULL, by_eye TEXT NOT NULL, hidden_by TEXT NOT NULL, sighted INTEGER NOT NULL
  CHECK (sighted IN (0, 1)), tasted_before TEXT NOT NULL) STRICT;
CREATE TABLE seat (id TEXT PRIMARY KEY, sitting_id TEXT NOT NULL REFERENCES sitting, taster_id
  TEXT NOT NULL REFERENCES taster, position INTEGER NOT NULL, left_reason TEXT NOT NULL) STRICT;
CREATE TABLE sample (id TEXT PRIMARY KEY, sitting_id TEXT NOT NULL REFERENCES sitting, taster_id
  TEXT NOT NULL REFERENCES taster, position INTEGER NOT NULL, code TEXT NOT NULL, piece_id TEXT
  REFERENCES piece, round_number INTEGER NOT NULL, set_number INTEGER NOT NULL, served_utc TEXT
  NOT NULL, reference INTEGER NOT NULL CHECK (reference IN (0, 1))) STRICT;
CREATE TABLE score (id TEXT PRIMARY KEY, sample_id TEXT NOT NULL REFERENCES sample, outcome_id
  TEXT NOT NULL REFERENCES outcome, made_utc TEXT NOT NULL, offset_min INTEGER NOT NULL, number
  REAL, typed TEXT NOT NULL, missing_reason TEXT NOT NULL, changed_after_opening INTEGER NOT NULL
  CHECK (changed_after_opening IN (0, 1)), text TEXT NOT NULL) STRICT;
CREATE TABLE key_look (id TEXT PRIMARY KEY, sitting_id TEXT NOT NULL REFERENCES sitting, made_utc
  TEXT NOT NULL, offset_min INTEGER NOT NULL, reason TEXT NOT NULL) STRICT;
CREATE TABLE read_back (id TEXT PRIMARY KEY, sample_id TEXT NOT NULL REFERENCES sample, outcome_id
  TEXT NOT NULL REFERENCES outcome, made_utc TEXT NOT NULL, offset_min INTEGER NOT NULL, number
  REAL, typed TEXT NOT NULL) STRICT;
CREATE TABLE left_out (id TEXT PRIMARY KEY, trial_id TEXT NOT NULL REFERENCES trial, subject TEXT
  NOT NULL, subject_id TEXT NOT NULL, reason TEXT NOT NULL, made_utc TEXT NOT NULL, after_opening
  INTEGER NOT NULL CHECK (after_opening IN (0, 1))) STRICT;
CREATE TABLE decision (id TEXT PRIMARY KEY, trial_id TEXT NOT NULL REFERENCES trial, choice TEXT
  NOT NULL, reason TEXT NOT NULL, made_utc TEXT NOT NULL, offset_min INTEGER NOT NULL) STRICT;
CREATE TABLE handed_on (id TEXT PRIMARY KEY, trial_id TEXT NOT NULL REFERENCES trial, form TEXT
  NOT NULL, made_utc TEXT NOT NULL, offset_min INTEGER NOT NULL, headline TEXT NOT NULL,
  finding_json TEXT NOT NULL) STRICT;
CREATE INDEX measurement_by_piece ON measurement (piece_id);
CREATE INDEX sample_by_sitting ON sample (sitting_id);
CREATE INDEX score_by_sample ON score (sample_id);
CREATE INDEX amount_by_piece ON amount (piece_id);
"""

OWN_TABLES = """
CREATE TABLE history (number INTEGER PRIMARY KEY, step_id TEXT NOT NULL UNIQUE,
  made_utc TEXT NOT NULL, offset_min INTEGER NOT NULL, label TEXT NOT NULL, origin TEXT NOT NULL,
  barrier INTEGER NOT NULL CHECK (barrier IN (0, 1)), file_form INTEGER NOT NULL,
  changes TEXT NOT NULL) STRICT;
CREATE TABLE draft (place TEXT PRIMARY KEY, text TEXT NOT NULL, made_utc TEXT NOT NULL) STRICT;
CREATE TABLE sealed_key (sitting_id TEXT PRIMARY KEY REFERENCES sitting, guard TEXT NOT NULL,
  salt BLOB NOT NULL, nonce BLOB NOT NULL, body BLOB NOT NULL) STRICT;
CREATE TABLE notebook_meta (name TEXT PRIMARY KEY, value TEXT NOT NULL) STRICT;
CREATE TABLE migration (form INTEGER PRIMARY KEY, name TEXT NOT NULL, note TEXT NOT NULL,
  made_utc TEXT NOT NULL) STRICT;
"""

SCHEMA = re.sub(
    r"(REFERENCES \w+)", r"\1 DEFERRABLE INITIALLY DEFERRED", RECORD_TABLES + OWN_TABLES
)
"""What makes an empty file a notebook of this form."""

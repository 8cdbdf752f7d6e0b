"""Writing a trial as an open package: Data Package v2, one CSV per record kind, SI units.

Standard: https://datapackage.org/standard/data-package/ (version 2.0). A key that is still sealed
never enters a package: neither the piece of a sample nor the lot number of codes and orders.
"""

from __future__ import annotations

import io
import json
import zipfile
from collections.abc import Iterable, Mapping
from dataclasses import replace
from pathlib import Path

from trialbench import __version__
from trialbench.exchange.fields import field_schema, field_types, write_cell
from trialbench.findings.snapshot import TrialRecords, records_of, trial_records
from trialbench.findings.tidy import TIDY_COLUMNS, csv_text, data_csv
from trialbench.model.errors import FileTrouble
from trialbench.model.message import msg, say
from trialbench.model.records import (
    KINDS,
    REFERENCES,
    Cover,
    Record,
    Sample,
    Sitting,
    Trial,
)
from trialbench.notebook.records_read import Reads
from trialbench.notebook.views.question_line import title

DESCRIPTOR = "datapackage.json"
PROFILE = "https://datapackage.org/profiles/2.0/"
TIDY_FILE = "scores.csv"
RECORDS_FOLDER = "records"
_EPOCH = (1980, 1, 1, 0, 0, 0)


def write_package(book: Reads, trial_id: str, target: Path) -> Path:
    """Write one trial to a folder, or to one file when `target` ends in .zip.

    A folder must be new, empty, or hold an earlier package, which is replaced. Raises FileTrouble
    and NoSuchTrial.
    """
    files = package_files(records_of(book, trial_id))
    try:
        if target.suffix.lower() == ".zip":
            target.write_bytes(_zipped(files))
        else:
            _write_folder(target, files)
    except OSError as error:
        raise FileTrouble(
            msg("{path} cannot be written: {why}.", path=str(target), why=error.strerror or "?"),
            cause=str(error),
        ) from error
    return target


def package_files(records: TrialRecords) -> dict[str, bytes]:
    """Path inside the package to its bytes; the same records always give the same bytes."""
    kept = without_sealed_keys(records)
    kinds = [kind for kind in KINDS if kind is not Cover]
    found = {kind: kept.of(kind) for kind in kinds if kept.of(kind)}
    present = {kind.kind for kind in found}
    files: dict[str, bytes] = {}
    resources: list[dict[str, object]] = []
    for kind, rows in found.items():
        path = f"{RECORDS_FOLDER}/{kind.kind}.csv"
        files[path] = _records_csv(kind, rows).encode()
        resources.append(_resource(kind.kind, path, _record_schema(kind, present)))
    files[TIDY_FILE] = data_csv(kept).encode()
    resources.append(_resource("scores", TIDY_FILE, _tidy_schema()))
    descriptor = _descriptor(kept.trial, resources)
    text = json.dumps(descriptor, ensure_ascii=False, indent=1) + "\n"
    return {DESCRIPTOR: text.encode(), **files}


def without_sealed_keys(records: TrialRecords) -> TrialRecords:
    """The records with nothing in them of a key that is still sealed."""
    sealed = {s.id for s in records.of(Sitting) if s.key_state == "sealed"}

    def bare(record: Record) -> Record:
        if isinstance(record, Sample) and record.sitting_id in sealed:
            return replace(record, piece_id=None)
        if isinstance(record, Sitting) and record.id in sealed:
            return replace(record, lot_number=None)
        return record

    return trial_records((bare(r) for kind in KINDS for r in records.of(kind)), records.trial.id)


def _records_csv(kind: type[Record], records: Iterable[Record]) -> str:
    rows = (
        {name: write_cell(kind, name, value) for name, value in record.values().items()}
        for record in records
    )
    return csv_text(field_types(kind), rows)


def _resource(name: str, path: str, schema: dict[str, object]) -> dict[str, object]:
    return {
        "name": name,
        "$schema": PROFILE + "dataresource.json",
        "type": "table",
        "path": path,
        "format": "csv",
        "mediatype": "text/csv",
        "encoding": "utf-8",
        "schema": schema,
    }


def _record_schema(kind: type[Record], present: set[str]) -> dict[str, object]:
    schema: dict[str, object] = {
        "$schema": PROFILE + "tableschema.json",
        "fields": [field_schema(kind, field) for field in field_types(kind)],
        "missingValues": [""],
        "primaryKey": ["id"],
    }
    keys = [
        {"fields": [field], "reference": {"resource": other, "fields": ["id"]}}
        for field, other in REFERENCES.get(kind.kind, {}).items()
        if other in present
    ]
    if keys:
        schema["foreignKeys"] = keys
    return schema


def _tidy_schema() -> dict[str, object]:
    types = {"value": "number", "cook": "integer", "repeat": "integer", "position": "integer"}
    types |= {"decides": "boolean", "changed_after_opening": "boolean"}
    fields = [
        {"name": name, "type": types.get(name, "string"), "description": meaning}
        for name, meaning in TIDY_COLUMNS.items()
    ]
    return {"$schema": PROFILE + "tableschema.json", "fields": fields, "missingValues": [""]}


def _descriptor(trial: Trial, resources: list[dict[str, object]]) -> dict[str, object]:
    descriptor: dict[str, object] = {
        "$schema": PROFILE + "datapackage.json",
        "name": f"trial-{trial.id}",
        "id": trial.id,
        "title": say(title(trial)),
        "created": trial.begun_utc,
        "version": __version__,
        "keywords": ["cooking trial", trial.chapter or trial.food],
        "resources": resources,
    }
    about = "A side-by-side cooking trial. records/ holds every record, scores.csv every number."
    invented = "Everything in it is invented: " if trial.invented else ""
    descriptor["description"] = " ".join(filter(None, [about, invented + trial.remark])).strip()
    return descriptor


def _zipped(files: Mapping[str, bytes]) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        for path, data in files.items():
            archive.writestr(zipfile.ZipInfo(path, _EPOCH), data, zipfile.ZIP_DEFLATED)
    return out.getvalue()


def _write_folder(target: Path, files: Mapping[str, bytes]) -> None:
    if target.is_dir() and any(target.iterdir()):
        if not (target / DESCRIPTOR).is_file():
            raise FileTrouble(
                msg(
                    "{path} holds other files. Nothing was written. Name a new or empty folder.",
                    path=str(target),
                )
            )
        for old in [*(target / RECORDS_FOLDER).glob("*.csv"), target / TIDY_FILE]:
            old.unlink(missing_ok=True)
    for path, data in files.items():
        place = target / path
        place.parent.mkdir(parents=True, exist_ok=True)
        place.write_bytes(data)

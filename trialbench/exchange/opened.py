"""Reading an open package: folder or .zip to records, every error with file, row and column."""

from __future__ import annotations

import csv
import io
import json
import zipfile
from collections.abc import Callable, Iterable, Mapping
from dataclasses import MISSING, fields
from pathlib import Path, PurePosixPath

from trialbench.exchange.fields import BadCell, field_types, read_cell
from trialbench.exchange.package import DESCRIPTOR
from trialbench.findings.snapshot import TrialRecords, trial_records
from trialbench.model.errors import BadInput
from trialbench.model.records import KIND_BY_NAME, REFERENCES, Record, Trial

ReadFile = Callable[[str], bytes]


def open_package(path: Path) -> TrialRecords:
    """Read a folder or .zip. Raises BadInput (what, where, what is allowed)."""
    if path.is_dir():
        return _read(lambda name: (path / name).read_bytes())
    if not path.is_file():
        raise BadInput(
            f"There is no package at {path}.",
            where=str(path),
            allowed=f"a folder with {DESCRIPTOR} in it, or that folder as .zip",
        )
    try:
        with zipfile.ZipFile(path) as archive:
            inside = _inner_folder(archive.namelist())
            return _read(lambda name: archive.read(inside + name))
    except zipfile.BadZipFile as error:
        raise BadInput(
            f"{path.name} is not a package: it is no .zip file.",
            where=str(path),
            allowed=f"a folder with {DESCRIPTOR} in it, or that folder as .zip",
        ) from error


def is_package(path: Path) -> bool:
    """Whether a path looks like a package: a folder with a descriptor, or a .zip file."""
    return (path / DESCRIPTOR).is_file() or (path.is_file() and path.suffix.lower() == ".zip")


def _inner_folder(names: Iterable[str]) -> str:
    """Archives often hold one folder: the path before the descriptor nearest to the top."""
    found = [name for name in names if PurePosixPath(name).name == DESCRIPTOR]
    return min(found, key=len)[: -len(DESCRIPTOR)] if found else ""


def _read(read_file: ReadFile) -> TrialRecords:
    by_kind: dict[str, tuple[Record, ...]] = {}
    for name, path in _resources(read_file):
        if name in KIND_BY_NAME:
            by_kind[name] = _records(read_file, path, KIND_BY_NAME[name])
    trials = by_kind.get(Trial.kind, ())
    if len(trials) != 1 or not isinstance(trials[0], Trial):
        raise BadInput(
            f"This package holds {len(trials)} trials.",
            where=DESCRIPTOR,
            allowed="one resource named trial with one row",
        )
    _check_references(by_kind)
    return trial_records((r for found in by_kind.values() for r in found), trials[0].id)


def _load(read_file: ReadFile, path: str) -> bytes:
    try:
        return read_file(path)
    except (OSError, KeyError) as error:
        raise BadInput(
            f"{path} is missing from the package.",
            where=path,
            allowed=f"every file that {DESCRIPTOR} names",
        ) from error


def _text(read_file: ReadFile, path: str) -> str:
    try:
        return _load(read_file, path).decode("utf-8-sig")
    except UnicodeDecodeError as error:
        row = _load(read_file, path)[: error.start].count(b"\n") + 1
        raise BadInput(
            f"{path} is not UTF-8 text (line {row}).", where=f"{path}, line {row}", allowed="UTF-8"
        ) from error


def _resources(read_file: ReadFile) -> list[tuple[str, str]]:
    text = _text(read_file, DESCRIPTOR)
    try:
        listed = json.loads(text)["resources"]
        found = [(str(one["name"]), str(one["path"])) for one in listed]
    except (ValueError, KeyError, TypeError) as error:
        raise BadInput(
            f"{DESCRIPTOR} cannot be read as a data package.",
            where=DESCRIPTOR,
            allowed="a JSON object with a list of resources, each with a name and one path",
        ) from error
    for _, path in found:
        parts = PurePosixPath(path)
        if parts.is_absolute() or ".." in parts.parts or "\\" in path or ":" in path:
            raise BadInput(
                f"{DESCRIPTOR} names a file outside the package: {path}.",
                where=DESCRIPTOR,
                allowed="paths below the package's folder",
            )
    return found


def _records(read_file: ReadFile, path: str, kind: type[Record]) -> tuple[Record, ...]:
    reader = csv.reader(io.StringIO(_text(read_file, path), newline=""), strict=True)
    try:
        rows = list(reader)
    except csv.Error as error:
        where = f"{path}, line {reader.line_num}"
        raise BadInput(
            f"{path} cannot be read near line {reader.line_num}: {error}.",
            where=where,
            allowed="comma-separated text with double quotes (RFC 4180)",
        ) from error
    header = rows[0] if rows else []
    _check_header(path, kind, header)
    records = [_record(path, kind, header, number, row) for number, row in enumerate(rows[1:], 2)]
    _check_ids(path, records)
    return tuple(records)


def _check_header(path: str, kind: type[Record], header: list[str]) -> None:
    wanted = list(field_types(kind))
    unknown = [name for name in header if name not in wanted]
    # A column that came with a later version holds what its field begins with.
    needed = [f.name for f in fields(kind) if f.default is MISSING]
    lacking = [name for name in needed if name not in header]
    twice = sorted({name for name in header if header.count(name) > 1})
    for names, words in (
        (unknown, "has a column that is not known"),
        (lacking, "lacks a column"),
        (twice, "has a column twice"),
    ):
        if names:
            raise BadInput(
                f"{path} {words}: {names[0]}.",
                where=f"{path}, row 1, column {names[0]}",
                allowed=", ".join(wanted),
            )


def _record(
    path: str, kind: type[Record], header: list[str], number: int, row: list[str]
) -> Record:
    if len(row) != len(header):
        raise BadInput(
            f"{path}, row {number} has {len(row)} cells; the header has {len(header)}.",
            where=f"{path}, row {number}",
            allowed=f"{len(header)} cells",
        )
    values: dict[str, object] = {}
    for name, cell in zip(header, row, strict=True):
        try:
            values[name] = read_cell(kind, name, cell)
        except BadCell as error:
            shown = cell or "nothing"
            raise BadInput(
                f"{path}, row {number}, column {name}: {shown} is not {error}.",
                where=f"{path}, row {number}, column {name}",
                allowed=str(error),
            ) from error
    return kind(**values)  # type: ignore[arg-type]


def _check_ids(path: str, records: list[Record]) -> None:
    rows: dict[str, int] = {}
    for number, record in enumerate(records, 2):
        if not record.id or record.id in rows:
            what = f"the id of row {rows[record.id]} again" if record.id else "an empty id"
            raise BadInput(
                f"{path}, row {number} has {what}.",
                where=f"{path}, row {number}, column id",
                allowed="an id of its own in every row",
            )
        rows[record.id] = number


def _check_references(by_kind: Mapping[str, tuple[Record, ...]]) -> None:
    ids = {name: {record.id for record in found} for name, found in by_kind.items()}
    for name, found in by_kind.items():
        for field, other in REFERENCES.get(name, {}).items():
            for number, record in enumerate(found, 2):
                value = getattr(record, field)
                if value is not None and value not in ids.get(other, ()):
                    raise BadInput(
                        f"{name}.csv, row {number}, column {field}: there is no {other} {value}.",
                        where=f"{name}.csv, row {number}, column {field}",
                        allowed=f"an id of {other}.csv",
                    )

"""The note as PDF, from its template.

The same note always gives the same bytes: no date is written into the file.
"""

from __future__ import annotations

from trialbench import __version__
from trialbench.figures.look import PX_PER_INCH
from trialbench.figures.pictures import Picture
from trialbench.model.message import msg, say
from trialbench.report.note import RecipeNote
from trialbench.report.pictures import cook_days_picture, interval_picture, svg_of
from trialbench.report.typesetting import typeset
from trialbench.report.words import ReportTable, Section, tied

_INTERVAL, _DAYS = "interval.svg", "days.svg"


def pdf_of(note: RecipeNote) -> bytes:
    """The note as the bytes of a PDF file. Raises CannotTypeset."""
    pictures: dict[str, str] = {}
    return typeset("note.typ", _values(note, pictures), pictures)


def _values(note: RecipeNote, pictures: dict[str, str]) -> dict[str, object]:
    return {
        "title": say(note.title),
        "under_title": [tied(line) for line in note.under_title],
        "recipe": [tied(line) for line in note.recipe],
        "weight": None if note.weight is None else tied(note.weight),
        "weight_label": say(msg("By weight")),
        "sections": [_section(section) for section in note.sections],
        "outcomes": _table(note.outcomes),
        "means": _table(note.means),
        "interval": _drawn(interval_picture(note), _INTERVAL, pictures),
        "days": _drawn(cook_days_picture(note), _DAYS, pictures),
        "cautions": [{"sentence": tied(s), "source": tied(source)} for s, source in note.cautions],
        "local_code": None if note.local_code is None else say(note.local_code),
        "watch_label": say(msg("Food: watch")),
        "reckoned": [_section(section) for section in note.reckoned],
        "reckoned_title": say(msg("How it was reckoned")),
        "foot": f"Trialbench {__version__}",
        "page": say(msg("page")),
    }


def _drawn(
    picture: Picture | None, file: str, pictures: dict[str, str]
) -> dict[str, object] | None:
    """Put a picture among `pictures`: its file, its sentence, its width in pixels."""
    if picture is None:
        return None
    pictures[file] = svg_of(picture, "text")
    width = picture.figure.get_figwidth() * PX_PER_INCH
    return {"file": file, "sentence": say(picture.sentence), "width_px": width}


def _section(section: Section) -> dict[str, object]:
    return {
        "label": say(section.label),
        "lines": [tied(line) for line in section.lines],
        "table": _table(section.table),
        "small": None if section.small is None else tied(section.small),
    }


def _table(table: ReportTable | None) -> dict[str, object] | None:
    if table is None:
        return None
    return {
        "heads": [tied(head) for head in table.heads],
        "rows": [[tied(cell) for cell in row] for row in table.rows],
        "numbers": list(table.numbers),
    }

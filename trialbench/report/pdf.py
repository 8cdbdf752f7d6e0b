"""The note as PDF: typeset by typst from a shipped template, with the shipped fonts alone.

The same note always gives the same bytes: no date is written into the file.
"""

from __future__ import annotations

import json
import shutil
from pathlib import Path
from tempfile import TemporaryDirectory

from trialbench import __version__, paths
from trialbench.figures.look import PX_PER_INCH
from trialbench.figures.pictures import Picture
from trialbench.model.errors import TrialbenchError
from trialbench.model.message import msg, say
from trialbench.report.note import RecipeNote
from trialbench.report.pictures import cook_days_picture, interval_picture, svg_of
from trialbench.report.words import ReportTable, Section, tied

_INTERVAL, _DAYS = "interval.svg", "days.svg"


class CannotTypeset(TrialbenchError):
    """The typesetter refused the note."""


def pdf_of(note: RecipeNote) -> bytes:
    """The note as the bytes of a PDF file. Raises CannotTypeset."""
    import typst

    with TemporaryDirectory() as folder:
        place = Path(folder)
        shutil.copy(paths.resource("report", "note.typ"), place / "note.typ")
        text = json.dumps(_values(note, place), ensure_ascii=False)
        (place / "note.json").write_text(text, encoding="utf-8")
        try:
            made = typst.compile(
                str(place / "note.typ"),
                root=folder,
                font_paths=[str(paths.resource("fonts"))],
                ignore_system_fonts=True,
                format="pdf",
            )
        except (RuntimeError, typst.TypstError) as error:
            raise CannotTypeset(
                msg("The note cannot be typeset: {why}.", why=str(error))
            ) from error
    return bytes(made)


def _values(note: RecipeNote, folder: Path) -> dict[str, object]:
    return {
        "title": say(note.title),
        "under_title": [tied(line) for line in note.under_title],
        "recipe": [tied(line) for line in note.recipe],
        "weight": None if note.weight is None else tied(note.weight),
        "weight_label": say(msg("By weight")),
        "sections": [_section(section) for section in note.sections],
        "outcomes": _table(note.outcomes),
        "means": _table(note.means),
        "interval": _drawn(interval_picture(note), folder / _INTERVAL),
        "days": _drawn(cook_days_picture(note), folder / _DAYS),
        "cautions": [{"sentence": tied(s), "source": tied(source)} for s, source in note.cautions],
        "local_code": None if note.local_code is None else say(note.local_code),
        "watch_label": say(msg("Food: watch")),
        "reckoned": [_section(section) for section in note.reckoned],
        "reckoned_title": say(msg("How it was reckoned")),
        "foot": f"Trialbench {__version__}",
        "page": say(msg("page")),
    }


def _drawn(picture: Picture | None, file: Path) -> dict[str, object] | None:
    """Write a picture beside the template: its file, its sentence, its width in pixels."""
    if picture is None:
        return None
    file.write_text(svg_of(picture, "text"), encoding="utf-8")
    width = picture.figure.get_figwidth() * PX_PER_INCH
    return {"file": file.name, "sentence": say(picture.sentence), "width_px": width}


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

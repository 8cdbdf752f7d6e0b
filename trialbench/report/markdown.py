"""The note as Markdown text."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from trialbench.model.message import msg, say
from trialbench.report.note import RecipeNote
from trialbench.report.pictures import interval_picture
from trialbench.report.words import ReportTable, Section, Text

_MARKS = re.compile(r"([\\`*_\[\]<>|#])")


def markdown_of(note: RecipeNote) -> str:
    """The whole note: headings, paragraphs, tables; the picture as its sentence."""
    blocks = [f"# {_text(note.title)}", *(_text(line) for line in note.under_title)]
    blocks += [_text(line) for line in note.recipe]
    if note.weight is not None:
        blocks.append(f"**{say(msg('By weight'))}:** {_text(note.weight)}")
    for section in note.sections:
        blocks += _section(section, 2)
    if note.outcomes is not None:
        blocks += [f"## {say(msg('Outcomes'))}", _table(note.outcomes)]
    if note.means is not None:
        blocks.append(_table(note.means))
    picture = interval_picture(note)
    if picture is not None:
        blocks.append(f"*{_text(picture.sentence)}*")
    blocks += _cautions(note)
    if note.reckoned:
        blocks.append(f"## {say(msg('How it was reckoned'))}")
    for section in note.reckoned:
        blocks += _section(section, 3)
    return "\n\n".join(blocks) + "\n"


def _text(text: Text) -> str:
    return _MARKS.sub(r"\\\1", " ".join(say(text).split()))


def _section(section: Section, level: int) -> Iterator[str]:
    yield f"{'#' * level} {_text(section.label)}"
    yield from (_text(line) for line in section.lines)
    if section.table is not None:
        yield _table(section.table)
    if section.small is not None:
        yield f"*{_text(section.small)}*"


def _table(table: ReportTable) -> str:
    rule = ["---:" if n in table.numbers else "---" for n in range(len(table.heads))]
    rows = [_row(_text(cell) for cell in row) for row in table.rows]
    return "\n".join([_row(_text(head) for head in table.heads), _row(rule), *rows])


def _row(cells: Iterable[str]) -> str:
    return f"| {' | '.join(cells)} |"


def _cautions(note: RecipeNote) -> Iterator[str]:
    if note.cautions or note.local_code:
        yield f"## {say(msg('Food: watch'))}"
    for sentence, source in note.cautions:
        yield f"{_text(sentence)} ({_text(source)})"
    if note.local_code is not None:
        yield _text(note.local_code)

"""The note as one HTML file: nothing is fetched, the picture is inside, it prints well."""

from __future__ import annotations

from collections.abc import Iterator
from html import escape

from trialbench.model.message import msg, say
from trialbench.report.note import RecipeNote
from trialbench.report.pictures import cook_days_picture, interval_picture, svg_of
from trialbench.report.words import ReportTable, Section, Text, tied

_STYLE = """
:root { color-scheme: light dark; --page: #F1F4EC; --ink: #1A211E; --pencil: #525D56;
  --rule: #C6D0C3; --watch: #C0123E; }
@media (prefers-color-scheme: dark) { :root { --page: #1D2320; --ink: #E6EADF; --pencil: #A7B2A7;
  --rule: #3D4840; --watch: #FF7A8E; } figure { background: #fff; padding: 14px; } }
body { background: var(--page); color: var(--ink); margin: 0 auto; padding: 30px 22px;
  max-width: 44rem; font: 17px/1.5 Vollkorn, Georgia, "Times New Roman", serif;
  font-variant-numeric: lining-nums; }
h1 { font-size: 1.8rem; font-weight: 500; line-height: 1.2; margin: 0; }
h2 { font: 500 1.45rem/1.3 Vollkorn, Georgia, serif; border-top: 1.5px solid var(--ink);
  padding-top: 14px; margin: 30px 0 10px; }
.under, .small, table, h3, .label, .weight { font-family: "Fira Sans", "Helvetica Neue", Arial,
  sans-serif; }
.under, .small { color: var(--pencil); font-size: 15px; margin: 4px 0; }
.weight { border-top: 1.5px solid var(--ink); padding-top: 10px; font-size: 16px; }
section { display: grid; grid-template-columns: 9rem 1fr; gap: 0 18px; padding: 10px 0;
  border-top: 1px solid var(--rule); break-inside: avoid; }
.label { font-weight: 600; font-size: 15px; padding-top: 3px; }
section p { margin: 0 0 6px; overflow-wrap: anywhere; }
table { border-collapse: collapse; width: 100%; font-size: 15px; margin: 14px 0;
  font-variant-numeric: tabular-nums lining-nums; }
th { text-align: left; font-weight: 500; color: var(--pencil); font-size: 14px; }
th, td { padding: 6px 10px 6px 0; border-bottom: 1px solid var(--rule); vertical-align: top; }
.number { text-align: right; white-space: nowrap; padding-right: 0; padding-left: 10px; }
figure { margin: 18px 0; display: flex; flex-wrap: wrap; gap: 14px; align-items: flex-start; }
figure svg { height: auto; flex: 226 1 200px; min-width: 0; max-width: 100%; }
figure svg:first-of-type { flex: 500 1 320px; }
figcaption { font-size: 15px; color: var(--pencil); flex-basis: 100%; }
.watch { border-left: 3px solid var(--watch); padding-left: 14px; }
.watch strong { color: var(--watch); font-weight: 600; }
@media (max-width: 40rem) { section { grid-template-columns: 1fr; } }
@media print { :root { --page: #fff; --ink: #1A211E; --pencil: #525D56; --rule: #C6D0C3; }
  body { padding: 0; font-size: 11pt; max-width: none; } .reckoned { break-before: page; } }
"""


def html_of(note: RecipeNote) -> str:
    """The whole note as one file."""
    title = escape(say(note.title))
    body = "\n".join(_body(note))
    return (
        f'<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        f'<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f"<title>{title}</title>\n<style>{_STYLE}</style>\n</head>\n<body>\n{body}\n"
        f"</body>\n</html>\n"
    )


def _body(note: RecipeNote) -> Iterator[str]:
    yield f"<h1>{_text(note.title)}</h1>"
    yield from (f'<p class="under">{_text(line)}</p>' for line in note.under_title)
    yield from (f"<p>{_text(line)}</p>" for line in note.recipe)
    if note.weight is not None:
        label = escape(say(msg("By weight")))
        yield f'<p class="weight"><strong>{label}:</strong> {_text(note.weight)}</p>'
    for section in note.sections:
        yield from _section(section)
    if note.outcomes is not None:
        yield _table(note.outcomes)
    if note.means is not None:
        yield _table(note.means)
    yield from _picture(note)
    yield from _cautions(note)
    if note.reckoned:
        yield f'<div class="reckoned"><h2>{escape(say(msg("How it was reckoned")))}</h2>'
        for section in note.reckoned:
            yield from _section(section)
        yield "</div>"


def _text(text: Text) -> str:
    return escape(tied(text))


def _section(section: Section) -> Iterator[str]:
    lines = "".join(f"<p>{_text(line)}</p>" for line in section.lines)
    table = _table(section.table) if section.table is not None else ""
    label = f'<div class="label">{_text(section.label)}</div>'
    small = f'<p class="small">{_text(section.small)}</p>' if section.small is not None else ""
    yield f"<section>{label}<div>{lines}{table}{small}</div></section>"


def _table(table: ReportTable) -> str:
    heads = "".join(
        f'<th scope="col"{_side(table, n)}>{_text(head)}</th>' for n, head in enumerate(table.heads)
    )
    rows = "".join(
        f"<tr>{''.join(_cell(table, n, cell) for n, cell in enumerate(row))}</tr>"
        for row in table.rows
    )
    return f"<table><thead><tr>{heads}</tr></thead><tbody>{rows}</tbody></table>"


def _cell(table: ReportTable, column: int, text: Text) -> str:
    return f"<td{_side(table, column)}>{_text(text)}</td>"


def _side(table: ReportTable, column: int) -> str:
    return ' class="number"' if column in table.numbers else ""


def _picture(note: RecipeNote) -> Iterator[str]:
    pictures = [interval_picture(note), cook_days_picture(note)]
    shown = [picture for picture in pictures if picture is not None]
    if not shown:
        return
    yield "<figure>"
    for picture in shown:
        label = f'<svg role="img" aria-label="{_text(picture.sentence)}"'
        yield svg_of(picture, "outlines").replace("<svg", label, 1)
    yield f"<figcaption>{_text(shown[0].sentence)}</figcaption></figure>"


def _cautions(note: RecipeNote) -> Iterator[str]:
    if note.local_code is None and not note.cautions:
        return
    yield '<div class="watch">'
    label = escape(say(msg("Food: watch")))
    for sentence, source in note.cautions:
        yield f"<p><strong>{label}.</strong> {_text(sentence)}</p>"
        yield f'<p class="small">{_text(source)}</p>'
    if note.local_code is not None:
        yield f'<p class="small">{_text(note.local_code)}</p>'
    yield "</div>"

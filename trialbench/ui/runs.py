"""Pieces of a written line and how they are set into lines of a given width; nothing is painted."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache

from PySide6.QtCore import Qt
from PySide6.QtGui import QFont, QFontMetricsF
from PySide6.QtWidgets import QWidget

from trialbench.model.message import Message, say
from trialbench.ui import theme

_LEAST_BROKEN_PX = 60
_PIECES = re.compile(r"\n|[^\S\u00a0\u202f\n]+|(?:\S|[\u00a0\u202f])+")


@dataclass(frozen=True, slots=True)
class Run:
    """Text of one kind. `role` other than the line's own; `colour` and `ground` are token names."""

    text: str | Message
    weight: int | None = None
    italic: bool | None = None
    colour: str | None = None
    role: str | None = None
    ground: str | None = None


Item = Run | Message | str | QWidget


@dataclass(slots=True)
class Placed:
    """A fragment or a widget at its place: x from the left edge, baseline or top y, in px."""

    x: float
    y: float
    width: float
    run: Run | None = None
    text: str = ""
    widget: QWidget | None = None
    height: float = 0.0


@dataclass(slots=True)
class _Atom:
    width: float
    space: bool = False
    breaks: bool = False
    text: str = ""
    run: Run | None = None
    widget: QWidget | None = None


def put_away(widget: QWidget) -> bool:
    """Whether a widget was hidden on purpose (one that was never shown is hidden as well)."""
    return widget.isHidden() and widget.testAttribute(Qt.WidgetAttribute.WA_WState_ExplicitShowHide)


def as_run(item: Item) -> Run | QWidget:
    """Words become a run; runs and widgets are what they are."""
    if isinstance(item, (Run, QWidget)):
        return item
    return Run(item)


def run_font(run: Run, role: str) -> QFont:
    """The font of a run in a line of `role`."""
    return theme.font(run.role or role, weight=run.weight, italic=run.italic)


def run_metrics(run: Run, role: str) -> QFontMetricsF:
    """The metrics of that font."""
    return theme.metrics(run.role or role, weight=run.weight, italic=run.italic)


def plain(items: Iterable[Item]) -> str:
    """The words of the line as a reader hears them."""
    words = []
    for item in map(as_run, items):
        if isinstance(item, Run):
            words.append(say(item.text))
        elif not (item.parentWidget() and put_away(item)):
            value = getattr(item, "spoken_value", None)
            words.append(value() if value else item.accessibleName())
    return " ".join("".join(words).split())


def _atoms(items: Sequence[Run | QWidget], role: str, width: float) -> list[_Atom]:
    found: list[_Atom] = []
    for item in items:
        if isinstance(item, QWidget):
            if not put_away(item):
                found.append(_Atom(min(item.sizeHint().width(), width), widget=item))
            continue
        for piece in _PIECES.findall(say(item.text)):
            found += _fitted(_atom(piece, item, role), role, width)
    return found


def _wide(text: str, run: Run, role: str) -> float:
    """How wide words of a run are, in px."""
    return _measured(text, run.role or role, run.weight, run.italic, theme.factor())


@lru_cache(maxsize=30_000)
def _measured(
    text: str, role: str, weight: int | None, italic: bool | None, factor: float
) -> float:
    """The same words are set at several widths; measuring them is what a page's refresh costs."""
    return theme.metrics(role, weight=weight, italic=italic).horizontalAdvance(text)


def _atom(piece: str, run: Run, role: str) -> _Atom:
    atom = _Atom(_wide(piece, run, role), text=piece, run=run)
    atom.breaks = piece == "\n"
    atom.space = piece.isspace() and "\u00a0" not in piece and "\u202f" not in piece
    return atom


def _fitted(atom: _Atom, role: str, width: float) -> Iterable[_Atom]:
    """A word wider than the line (a fingerprint) is broken where the line is full."""
    assert atom.run is not None
    text = atom.text
    while atom.width > width >= _LEAST_BROKEN_PX and len(text) > 1:
        most = 1
        while _wide(text[: most + 1], atom.run, role) <= width:
            most += 1
        yield _atom(text[:most], atom.run, role)
        yield _Atom(0.0, space=True, run=atom.run)
        text = text[most:]
        atom = _atom(text, atom.run, role)
    yield atom


def _lines(atoms: list[_Atom], width: float) -> list[list[_Atom]]:
    """Break at spaces: what stands together without a space stays together."""
    lines: list[list[_Atom]] = [[]]
    used = 0.0
    index = 0
    while index < len(atoms):
        atom = atoms[index]
        if atom.breaks:
            lines.append([])
            used = 0.0
            index += 1
            continue
        if atom.space:
            lines[-1].append(atom)
            used += atom.width
            index += 1
            continue
        end = index
        while end < len(atoms) and not atoms[end].space and not atoms[end].breaks:
            end += 1
        cluster = atoms[index:end]
        needed = sum(each.width for each in cluster)
        if used and used + needed > width + 0.5 and any(not each.space for each in lines[-1]):
            lines.append([])
            used = 0.0
        lines[-1].extend(cluster)
        used += needed
        index = end
    return lines


@dataclass(slots=True)
class Setting:
    """A set line or paragraph: what stands where, and how high it all is."""

    placed: list[Placed]
    height: float
    first_baseline: float
    natural_width: float


def set_lines(items: Sequence[Run | QWidget], role: str, width: float) -> Setting:
    """Set items into lines of `width` px with baselines in one line. Widgets give `baseline()`.

    A widget may give `below()`: a widget to stand under its line (a refusal with its verbs).
    """
    usual = theme.line_height(role)
    metrics = theme.metrics(role)
    placed: list[Placed] = []
    top, first, widest = 0.0, 0.0, 0.0
    for number, line in enumerate(_lines(_atoms(items, role, width), width)):
        up = (usual - metrics.height()) / 2 + metrics.ascent()
        down = usual - up
        for atom in line:
            if atom.widget is not None:
                above = atom.widget.baseline()  # type: ignore[attr-defined]
                up = max(up, above)
                down = max(down, atom.widget.sizeHint().height() - above)
        if number == 0:
            first = up
        x = _place_line(line, role, top, up, placed)
        widest = max(widest, x)
        top += up + down
        top = _place_below(line, top, width, placed)
    return Setting(placed, top, first, widest)


def _place_line(line: list[_Atom], role: str, top: float, up: float, placed: list[Placed]) -> float:
    x = 0.0
    started = False
    for atom in line:
        if atom.space and not started:
            continue
        started = True
        if atom.widget is not None:
            size = atom.widget.sizeHint()
            above = atom.widget.baseline()  # type: ignore[attr-defined]
            placed.append(
                Placed(x, top + up - above, atom.width, widget=atom.widget, height=size.height())
            )
        elif placed and placed[-1].run is atom.run and placed[-1].y == top + up:
            last = placed[-1]
            last.text += atom.text
            assert atom.run is not None
            last.width = _wide(last.text, atom.run, role)
            x = last.x + last.width
            continue
        else:
            placed.append(Placed(x, top + up, atom.width, run=atom.run, text=atom.text))
        x += atom.width
    return x


def _place_below(line: list[_Atom], top: float, width: float, placed: list[Placed]) -> float:
    for atom in line:
        below = getattr(atom.widget, "below", None)
        under = below() if below else None
        if under is not None:
            height = under.heightForWidth(int(width)) + theme.px(4)
            placed.append(Placed(0, top + theme.px(2), width, widget=under, height=height))
            top += height + theme.px(2)
    return top

"""The signs of methods, drawn from resources/look/signs on an 18 px grid."""

from __future__ import annotations

import math
import re
from functools import cache
from xml.etree import ElementTree

from trialbench import paths
from trialbench.figures.drawing import Drawing

_TOKEN = re.compile(r"[MLHVAZ]|-?\d*\.?\d+")
_SVG = "{http://www.w3.org/2000/svg}"
GRID = 18.0

Mark = tuple[tuple[tuple[float, float], ...], bool, float]
"""Points of one line, whether it is filled, and the width of its stroke."""


def sign(drawing: Drawing, letter: str, x: float, y: float, size: float = GRID) -> bool:
    """Draw a method's sign with its upper left corner at (x, y); False where it has none."""
    if letter not in "ABCD":
        return False
    colour, scale = drawing.colours.of_method(letter), size / GRID
    for points, filled, stroke in _marks(letter.lower()):
        placed = [(x + scale * px, y + scale * py) for px, py in points]
        if filled:
            drawing.area(placed, fill=colour)
        else:
            drawing.line(placed, colour=colour, width=stroke * scale, solid_capstyle="round")
    return True


def method_mark(drawing: Drawing, letter: str, x: float, y: float, size: float = GRID) -> None:
    """The sign of a method, or from the fifth on its letter in a square, at (x, y) upper left."""
    if sign(drawing, letter, x, y, size):
        return
    edge = drawing.colours.of_method(letter)
    corners = [(x + 1, y + 1), (x + size - 1, y + 1), (x + size - 1, y + size - 1),
               (x + 1, y + size - 1), (x + 1, y + 1)]  # fmt: skip
    drawing.line(corners, colour=edge, width=1.5, solid_capstyle="projecting")
    drawing.text(
        x + size / 2,
        y + size / 2 + 4.6,
        letter,
        px=13,
        weight="medium",
        align="center",
        colour=edge,
    )


@cache
def _marks(letter: str) -> tuple[Mark, ...]:
    text = paths.resource("look", "signs", f"sign-{letter}.svg").read_text(encoding="utf-8")
    marks: list[Mark] = []
    for element in ElementTree.fromstring(text):
        filled = element.get("fill") == "currentColor"
        stroke = float(element.get("stroke-width", "1"))
        if element.tag == f"{_SVG}circle":
            centre = (float(element.get("cx", "0")), float(element.get("cy", "0")))
            marks.append((_circle(centre, float(element.get("r", "0"))), filled, stroke))
        else:
            marks += [(line, filled, stroke) for line in _lines(element.get("d", ""))]
    return tuple(marks)


def _circle(centre: tuple[float, float], radius: float) -> tuple[tuple[float, float], ...]:
    turns = [2 * math.pi * step / 48 for step in range(48)]
    return tuple(
        (centre[0] + radius * math.cos(t), centre[1] + radius * math.sin(t)) for t in turns
    )


def _lines(path: str) -> list[tuple[tuple[float, float], ...]]:
    """Straight parts and arcs of a path; arcs as the half ellipse that the signs use."""
    tokens = _TOKEN.findall(path)
    lines: list[list[tuple[float, float]]] = []
    at, place, verb = (0.0, 0.0), 0, ""
    while place < len(tokens):
        if tokens[place].isalpha():
            verb = tokens[place]
            place += 1
        if verb == "Z":
            lines[-1].append(lines[-1][0])
            continue
        count = {"M": 2, "L": 2, "H": 1, "V": 1, "A": 7}[verb]
        numbers = [float(token) for token in tokens[place : place + count]]
        place += count
        there = _end(verb, at, numbers)
        if verb == "M":
            lines.append([there])
            verb = "L"
        elif verb == "A":
            lines[-1] += _arc(at, there, numbers[1])
        else:
            lines[-1].append(there)
        at = there
    return [tuple(line) for line in lines]


def _end(verb: str, at: tuple[float, float], numbers: list[float]) -> tuple[float, float]:
    if verb == "H":
        return numbers[0], at[1]
    if verb == "V":
        return at[0], numbers[0]
    return numbers[-2], numbers[-1]


def _arc(
    start: tuple[float, float], end: tuple[float, float], height: float
) -> list[tuple[float, float]]:
    """The upper half of an ellipse between two points on one level."""
    middle, half = (start[0] + end[0]) / 2, (end[0] - start[0]) / 2
    turns = [math.pi * (1 - step / 32) for step in range(33)]
    return [(middle + half * math.cos(turn), start[1] - height * math.sin(turn)) for turn in turns]

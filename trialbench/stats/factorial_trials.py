"""Factorial trials: main effects, interactions and simple effects, one value per cook each."""

from __future__ import annotations

import itertools
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from trialbench.model.message import Message, msg
from trialbench.stats import frames
from trialbench.stats.cook_contrasts import (
    Cell,
    CellScores,
    CookContrast,
    JointOverCooks,
    Question,
    joint_over_cooks,
    read_cells,
)
from trialbench.stats.families import holm
from trialbench.stats.not_applicable import NotApplicable
from trialbench.stats.numbers import BadNumbers, listed
from trialbench.stats.read_only import ReadOnly

MOST_CONTRASTS = 5_000
Levels = Mapping[str, Sequence[str]]


@dataclass(frozen=True, slots=True)
class Factorial:
    """A factorial trial over cooks. Each list is one family for its `holm_p`.

    `main`: a - b of two levels of a factor, averaged equally over the others. `interactions`:
    the difference of two such differences. `simple`: a - b at one combination of the others.
    `joint`: by factor or "a:b", all of its contrasts at once, where it has several.
    `differ`: whether any interaction's Holm p is at most alpha, so that simple effects lead.
    """

    levels: dict[str, tuple[str, ...]]
    main: tuple[CookContrast, ...]
    interactions: tuple[CookContrast, ...]
    simple: tuple[CookContrast, ...]
    joint: dict[str, JointOverCooks | NotApplicable]
    differ: bool
    alpha: float


def factorial(
    frame: frames.Frame,
    value: str,
    factors: Sequence[str],
    cook: str,
    unit: str | None = None,
    taster: str | None = None,
    *,
    step: float | None = None,
    matters: float | None = None,
    alpha: float = 0.05,
) -> Factorial:
    """All effects of two or more factors, each with one value per cook (policy 1, section 6.7).

    `frame`: one row per score. A cook counts for an effect where it carries every cell that the
    effect weighs. Raises `BadNumbers` for columns or levels that are not there, and for more
    than 5,000 effects.
    """
    question = Question(step=step, matters=matters, alpha=alpha)
    columns: list[Any] = [factors] if isinstance(factors, str) else listed(factors, "factors")
    cells = read_cells(frame, value, columns, cook, unit, taster)
    names = _named_once(columns)
    levels = {name: sorted({cell[i] for cell in cells.cells}) for i, name in enumerate(names)}
    for name, own in levels.items():
        if len(own) < 2:
            there = ", ".join(own) or "none"
            raise BadNumbers(
                f"{name} has one level only: {there}.", where=name, allowed="two levels"
            )
    _few_enough(levels)
    main = [c for name in names for c in _main(cells, levels, name, question)]
    pairs = list(itertools.combinations(names, 2))
    crossed = [c for pair in pairs for c in _interactions(cells, levels, pair, question)]
    simple = [c for name in names for c in _simple(cells, levels, name, question)]
    crossed = _family(crossed)
    return Factorial(
        levels=ReadOnly({name: tuple(own) for name, own in levels.items()}),
        main=tuple(_family(main)),
        interactions=tuple(crossed),
        simple=tuple(_family(simple)),
        joint=ReadOnly(_joint(cells, levels, pairs)),
        differ=any(c.holm_p is not None and c.holm_p <= question.alpha for c in crossed),
        alpha=question.alpha,
    )


def _few_enough(levels: Levels) -> None:
    """Raise `BadNumbers` for a column of so many levels that it is hardly a factor."""
    sizes = [len(own) for own in levels.values()]
    pairs = [size * (size - 1) // 2 for size in sizes]
    crossed = sum(a * b for a, b in itertools.combinations(pairs, 2))
    simple = sum(pair * math.prod(sizes) // size for pair, size in zip(pairs, sizes, strict=True))
    if crossed + simple > MOST_CONTRASTS:
        said = ", ".join(f"{name} {size}" for name, size in zip(levels, sizes, strict=True))
        raise BadNumbers(
            f"There are too many levels: {said}.",
            where="factors",
            allowed=f"up to {MOST_CONTRASTS} effects of two levels at a time",
        )


def _named_once(columns: Sequence[object]) -> list[str]:
    names = [str(name) for name in columns]
    if len(names) < 2:
        raise BadNumbers("One factor only.", where="factors", allowed="two or more columns")
    if len(set(names)) < len(names):
        raise BadNumbers("A factor stands twice.", where="factors", allowed="each column once")
    return names


def _family(contrasts: Sequence[CookContrast]) -> list[CookContrast]:
    adjusted = holm([each.p for each in contrasts])
    return [replace(each, holm_p=p) for each, p in zip(contrasts, adjusted, strict=True)]


def _averaged(levels: Levels, parts: Mapping[str, Mapping[str, float]]) -> dict[Cell, float]:
    """Weights of cells: the product of each factor's own, an equal share where it has none."""
    own = [
        parts.get(name, dict.fromkeys(there, 1.0 / len(there))) for name, there in levels.items()
    ]
    cells = itertools.product(*(weights.items() for weights in own))
    found = {}
    for cell in cells:
        weight = 1.0
        for _, part in cell:
            weight *= part
        found[tuple(label for label, _ in cell)] = weight
    return found


def _main(cells: CellScores, levels: Levels, factor: str, question: Question) -> list[CookContrast]:
    return [
        cells.contrast(
            msg("{factor}: {a} less {b}", factor=factor, a=a, b=b),
            _averaged(levels, {factor: {a: 1.0, b: -1.0}}),
            question,
        )
        for a, b in itertools.combinations(levels[factor], 2)
    ]


def _interactions(
    cells: CellScores, levels: Levels, pair: tuple[str, str], question: Question
) -> list[CookContrast]:
    first, second = pair
    return [
        cells.contrast(
            msg("{first}: {a} less {b}, at {second} {c} less at {d}",
                first=first, a=a, b=b, second=second, c=c, d=d),
            _averaged(levels, {first: {a: 1.0, b: -1.0}, second: {c: 1.0, d: -1.0}}),
            question,
        )
        for a, b in itertools.combinations(levels[first], 2)
        for c, d in itertools.combinations(levels[second], 2)
    ]  # fmt: skip


def _simple(
    cells: CellScores, levels: Levels, factor: str, question: Question
) -> list[CookContrast]:
    others = {name: own for name, own in levels.items() if name != factor}
    found = []
    for place in itertools.product(*others.values()):
        fixed = {name: {label: 1.0} for name, label in zip(others, place, strict=True)}
        at = ", ".join(f"{name} {label}" for name, label in zip(others, place, strict=True))
        for a, b in itertools.combinations(levels[factor], 2):
            name = msg("{factor}: {a} less {b}, at {place}", factor=factor, a=a, b=b, place=at)
            weights = _averaged(levels, {factor: {a: 1.0, b: -1.0}, **fixed})
            found.append(cells.contrast(name, weights, question))
    return found


def _joint(
    cells: CellScores, levels: Levels, pairs: Sequence[tuple[str, str]]
) -> dict[str, JointOverCooks | NotApplicable]:
    """Joint tests of what has more than one contrast."""
    found = {}
    for names in [*((name,) for name in levels), *pairs]:
        own = [
            [{label: 1.0, levels[name][0]: -1.0} for label in levels[name][1:]] for name in names
        ]
        parts = [dict(zip(names, weights, strict=True)) for weights in itertools.product(*own)]
        if len(parts) > 1:
            label: Message = msg("{term}", term=":".join(names))
            values = [cells.values(_averaged(levels, each)) for each in parts]
            found[":".join(names)] = joint_over_cooks(label, values)
    return found

"""The tasters themselves: how well each repeats, agrees, uses the scale, and sways the answer."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from trialbench.model.message import Message, msg
from trialbench.stats import frames
from trialbench.stats.intraclass_correlation import Intraclass, intraclass
from trialbench.stats.not_applicable import NotApplicable
from trialbench.stats.numbers import mean, one_of, variance
from trialbench.stats.over import NULL_HYPOTHESIS, OverCooks, over_cooks
from trialbench.stats.taster_cells import Cells, score_cells

__all__ = [
    "Intraclass",
    "TasterInfluence",
    "TasterUse",
    "TasterUses",
    "influence",
    "intraclass",
    "use",
]


NOTHING_TESTED = msg("Nothing is tested: these figures describe the tasters.")


@dataclass(frozen=True, slots=True, kw_only=True)
class TasterUse:
    """One taster, in the scale's units; None where the scores allow none.

    `repeat_sd`, `repeat_df`: scatter of blind repeats of one sample. `agreement`: correlation of
    the taster's sample means with the mean of the other tasters (-1 to 1); `stretch`: slope of
    the same (1: as spread as the others, 0: all samples alike). `mean`, `sd`, `lowest`, `highest`:
    use of the scale; `level`: mean less that of the others on the same samples.
    """

    taster: str
    scores: int
    mean: float
    sd: float | None
    lowest: float
    highest: float
    level: float | None
    repeat_sd: float | None
    repeat_df: int
    agreement: float | None
    stretch: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class TasterUses:
    """All tasters in order of names, and the repeatability of the panel (pooled over tasters)."""

    tasters: tuple[TasterUse, ...]
    repeat_sd: float | None
    repeat_df: int
    notes: tuple[Message, ...]
    null_hypothesis: Message = NOTHING_TESTED

    def of(self, taster: str) -> TasterUse:
        """The taster of this name. Raises `BadNumbers` naming those there are."""
        one_of(taster, "taster", tuple(each.taster for each in self.tasters))
        return next(each for each in self.tasters if each.taster == taster)


def use(frame: frames.Frame, value: str, taster: str, sample: str) -> TasterUses | NotApplicable:
    """Describe every taster: rows alike in taster and sample are blind repeats.

    `sample` names what was tasted (give a column that tells pieces of different cook days apart).
    Missing values are left out. Raises `BadNumbers`. Common practice in sensory panels, no source
    for the choice of figures; stretch as in Brockhoff 2003, Food Quality and Preference 14, 425.
    """
    cells = score_cells(frame, value, taster, sample)
    if not cells:
        return NotApplicable(msg("There is no score."))
    found = tuple(_one(name, cells) for name in sorted(cells))
    squares, df = _repeats(own for samples in cells.values() for own in samples.values())
    notes = () if df else (msg("Nobody scored a sample twice: no repeatability."),)
    return TasterUses(
        tasters=found, repeat_sd=math.sqrt(squares / df) if df else None, repeat_df=df, notes=notes
    )


def _repeats(cells: Iterable[Sequence[float]]) -> tuple[float, int]:
    squares, df = 0.0, 0
    for own in cells:
        if len(own) > 1:
            squares += variance(own) * (len(own) - 1)
            df += len(own) - 1
    return squares, df


def _one(name: str, cells: Cells) -> TasterUse:
    own = cells[name]
    scores = [x for xs in own.values() for x in xs]
    squares, df = _repeats(own.values())
    mine, theirs = _beside_others(name, cells)
    agreement, stretch = _line(theirs, mine)
    return TasterUse(
        taster=name, scores=len(scores), mean=mean(scores),
        sd=math.sqrt(variance(scores)) if len(scores) > 1 else None,
        lowest=min(scores), highest=max(scores),
        level=mean(mine) - mean(theirs) if mine else None,
        repeat_sd=math.sqrt(squares / df) if df else None, repeat_df=df,
        agreement=agreement, stretch=stretch,
    )  # fmt: skip


def _beside_others(name: str, cells: Cells) -> tuple[list[float], list[float]]:
    """The taster's mean and the mean of the other tasters' means, sample by sample."""
    mine, theirs = [], []
    for what, own in sorted(cells[name].items()):
        rest = [
            mean(cells[who][what]) for who in sorted(cells) if who != name and what in cells[who]
        ]
        if rest:
            mine.append(mean(own))
            theirs.append(mean(rest))
    return mine, theirs


def _line(x: Sequence[float], y: Sequence[float]) -> tuple[float | None, float | None]:
    """Correlation and slope of y on x; None where one of them does not vary or under 3 points."""
    if len(x) < 3:
        return None, None
    mx, my = mean(x), mean(y)
    xx = math.fsum((a - mx) ** 2 for a in x)
    yy = math.fsum((b - my) ** 2 for b in y)
    xy = math.fsum((a - mx) * (b - my) for a, b in zip(x, y, strict=True))
    if xx <= 0:
        return None, None
    return (xy / (math.sqrt(xx) * math.sqrt(yy)) if yy > 0 else None), xy / xx


@dataclass(frozen=True, slots=True, kw_only=True)
class TasterInfluence:
    """The comparison over cooks without one taster; `shift` = without less with, in scale units."""

    taster: str
    estimate: float | None
    low: float | None
    high: float | None
    p: float | None
    shift: float | None
    null_hypothesis: Message = NULL_HYPOTHESIS


def influence(
    frame: frames.Frame,
    value: str,
    method: str,
    cook: str,
    unit: str | None = None,
    taster: str = "taster",
    *,
    step: float | None = None,
    alpha: float = 0.05,
) -> tuple[TasterInfluence, ...]:
    """What `over_cooks` says without each taster in turn, in order of names.

    It shows how much hangs on one taster; it never changes the headline. Raises `BadNumbers`.
    """
    whole = over_cooks(frame, value, method, cook, unit, taster, step, alpha)
    names = frames.labels(frame, taster)
    columns = [each for each in (value, method, cook, unit, taster) if each is not None]
    found = []
    for who in sorted({name for name in names if name}):
        rest = {
            column: [x for x, name in zip(frames.column(frame, column), names, strict=True)
                     if name != who]
            for column in columns
        }  # fmt: skip
        left = len({label for label in frames.labels(rest, method) if label})
        found.append(_without(who, whole, over_cooks(rest, value, method, cook, unit, taster, step,
                                                     alpha) if left == 2 else None))  # fmt: skip
    return tuple(found)


def _without(who: str, whole: OverCooks, rest: OverCooks | None) -> TasterInfluence:
    both = rest is not None and rest.estimate is not None and whole.estimate is not None
    return TasterInfluence(
        taster=who, estimate=rest.estimate if rest else None, low=rest.low if rest else None,
        high=rest.high if rest else None, p=rest.p if rest else None,
        shift=rest.estimate - whole.estimate  # type: ignore[union-attr, operator]
        if both else None,
    )  # fmt: skip

"""The pictures of three methods or more: threads and means, or a curve over settings."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from trialbench.findings.phrases import Names, opening
from trialbench.findings.several_finding import SeveralFinding
from trialbench.model.message import msg, say
from trialbench.ui.pages.drawn import Drawn
from trialbench.ui.runs import Item, Run

_LEAST_MEANS_PX, _MOST_MEANS_PX, _MOST_PX, _CURVE_PX = 260.0, 360.0, 560.0, 320.0


@dataclass(frozen=True)
class SeveralPicture:
    """What is drawn, its head, and its height at a scale of 1."""

    drawn: Drawn
    head: list[Item]
    height_px: float


def pictures_of(
    found: SeveralFinding, names: Names, ending: str
) -> tuple[SeveralPicture, SeveralPicture | None]:
    """The wide picture, and the narrow one where there is one. `ending`: of the look (" field")."""
    from trialbench.figures.threads import threads_height

    if found.plan.shape == "ordered":
        factor = found.plan.factors[0].name
        head = msg("{outcome} by {factor}", outcome=opening(names.outcome), factor=factor)
        return SeveralPicture(_Curve(found, names, ending), _headed(head, names), _CURVE_PX), None
    height = min(threads_height(found), _MOST_PX)
    compared = msg("What is compared, {outcome}", outcome=names.outcome)
    wide = SeveralPicture(_Threads(found, names, ending), _headed(compared, names), height)
    if not found.means:
        return wide, None
    means: list[Item] = [Run(msg("Means"), weight=600),
                         Run(msg("   each cook day thin"), colour="pencil")]  # fmt: skip
    tall = min(max(height, _LEAST_MEANS_PX), _MOST_MEANS_PX)
    return wide, SeveralPicture(_Means(found, names, ending), means, tall)


def _headed(words: object, names: Names) -> list[Item]:
    head: list[Item] = [Run(words, weight=600)]  # type: ignore[arg-type]
    if names.measure:
        head.append(Run(f"   {say(names.measure)}", colour="pencil"))
    return head


class _Several(Drawn):
    def __init__(self, found: SeveralFinding, names: Names, ending: str) -> None:
        self.found, self.names, self.ending = found, names, ending


class _Threads(_Several):
    def words(self) -> tuple[Any, Any]:
        from trialbench.figures.threads import threads_words

        return threads_words(self.found, self.names)

    def __call__(self, look: str, width_in: float, height_in: float) -> Any:
        from trialbench.figures.threads import threads_figure

        return threads_figure(
            self.found, self.names, look + self.ending,  # type: ignore[arg-type]
            width_px=width_in * 96, height_px=height_in * 96,
        ).figure  # fmt: skip


class _Means(_Several):
    def words(self) -> tuple[Any, Any]:
        from trialbench.figures.method_means import means_words

        return means_words(self.found, self.names)

    def __call__(self, look: str, width_in: float, height_in: float) -> Any:
        from trialbench.figures.method_means import means_figure

        return means_figure(
            self.found, self.names, look + self.ending,  # type: ignore[arg-type]
            width_px=width_in * 96, height_px=height_in * 96,
        ).figure  # fmt: skip


class _Curve(_Several):
    def words(self) -> tuple[Any, Any]:
        from trialbench.figures.setting_curve import curve_words

        return curve_words(self.found, self.names)

    def __call__(self, look: str, width_in: float, height_in: float) -> Any:
        from trialbench.figures.setting_curve import curve_figure

        return curve_figure(
            self.found, self.names, look + self.ending,  # type: ignore[arg-type]
            width_px=width_in * 96, height_px=height_in * 96,
        ).figure  # fmt: skip

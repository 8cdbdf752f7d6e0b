"""Scales of attributes: what may be written, by which step, and how it is typed.

The 9-point hedonic scale: 1 dislike extremely, 5 neither, 9 like extremely (common practice).
Line and category scales: ISO 4121:2003 names both; anchors here are our own.
"""

from __future__ import annotations

from dataclasses import dataclass

from trialbench.model.message import Message, msg


@dataclass(frozen=True, slots=True)
class Scale:
    """`step` is the smallest difference a taster can write; None where there is none."""

    name: str
    label: Message
    low: float
    high: float
    step: float | None
    low_anchor: Message
    high_anchor: Message
    middle_anchor: Message | None = None

    @property
    def one_key(self) -> bool:
        """Whether one digit key 1-9 fills a score and moves on."""
        return self.step == 1 and self.low >= 1 and self.high <= 9


SCALES: dict[str, Scale] = {
    scale.name: scale
    for scale in (
        Scale(
            "hedonic_9",
            msg("liking 1 to 9"),
            1,
            9,
            1,
            msg("dislike extremely"),
            msg("like extremely"),
            msg("neither like nor dislike"),
        ),
        Scale("points_9", msg("points 1 to 9"), 1, 9, 1, msg("very little"), msg("very much")),
        Scale("line_10", msg("line 0 to 10"), 0, 10, 0.1, msg("not at all"), msg("very")),
        Scale("points_8", msg("points 1 to 8"), 1, 8, 1, msg("very little"), msg("very much")),
    )
}
"""Scales by the name that `Outcome.scale` holds."""

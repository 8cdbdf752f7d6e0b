"""What is scored and weighed in the example trials, each with the words of its sentences."""

from __future__ import annotations

from dataclasses import dataclass, replace

from tests.examples.scatter import Drawn, Scatter
from tests.examples.writing import Draft
from trialbench.model.records import Checkpoint, Outcome
from trialbench.model.scales import SCALES


@dataclass(frozen=True)
class Scored:
    """An attribute: its scale, its words, and the true means by method letter."""

    name: str
    scale: str
    more: str
    less: str
    asked: str
    low_anchor: str
    high_anchor: str
    means: dict[str, float]
    better: str = "more"

    def drawn(self, lot_number: int, scatter: Scatter) -> Drawn:
        """The attribute's invented scores."""
        return Drawn(lot_number, self.name, self.means, scatter, SCALES[self.scale])


@dataclass(frozen=True)
class Weighed:
    """A loss or yield between two checkpoints."""

    name: str
    source: str
    unit: str
    first: str
    last: str
    better: str
    more: str
    less: str


def write_outcomes(draft: Draft, scored: list[Scored], weighed: list[Weighed]) -> None:
    """The outcomes; the first attribute decides."""
    for position, one in enumerate(scored, 1):
        scale = SCALES[one.scale]
        draft.write(
            Outcome(
                id=draft.id("outcome", one.name),
                trial_id=draft.trial.id,
                position=position,
                name=one.name,
                scale=one.scale,
                low=scale.low,
                high=scale.high,
                step=scale.step,
                unit="points",
                better=one.better,
                more_word=one.more,
                less_word=one.less,
                asked_as=one.asked,
                low_anchor=one.low_anchor,
                high_anchor=one.high_anchor,
            )
        )
    for position, item in enumerate(weighed, len(scored) + 1):
        draft.write(_weighed(draft, position, item))
    draft.write(replace(draft.trial, decides_id=draft.id("outcome", scored[0].name)))


def _weighed(draft: Draft, position: int, item: Weighed) -> Outcome:
    return Outcome(
        id=draft.id("outcome", item.name),
        trial_id=draft.trial.id,
        position=position,
        name=item.name,
        source=item.source,
        unit=item.unit,
        better=item.better,
        more_word=item.more,
        less_word=item.less,
        from_checkpoint_id=draft.id("checkpoint", item.first),
        to_checkpoint_id=draft.id("checkpoint", item.last),
    )


def write_checkpoints(draft: Draft, *names: tuple[str, str, str]) -> None:
    """Checkpoints as (name, kind, name of its stage or "")."""
    for position, (name, kind, stage) in enumerate(names, 1):
        stage_id = draft.id("stage", stage) if stage else None
        draft.write(
            Checkpoint(draft.id("checkpoint", name), draft.trial.id, position, name, kind, stage_id)
        )

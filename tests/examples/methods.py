"""Methods of the example trials: stages written once, parted values, own stages, riders."""

from __future__ import annotations

from dataclasses import dataclass, field

from tests.examples.writing import Draft
from trialbench.model.records import Difference, Method, Part, Stage

Two = tuple[float | str, float | str]


@dataclass(frozen=True)
class Line:
    """One stage. `parts` maps a field to its values for A and B; `only` makes it A's or B's own.

    `name` tells two stages of one kind apart.
    """

    stage_kind: str
    only: str = ""
    name: str = ""
    medium: str = ""
    set_temp_c: float | None = None
    duration_s: float | None = None
    end_core_c: float | None = None
    end_feel: str = ""
    cover: str = ""
    vessel: str = ""
    salt_g_per_kg: float | None = None
    note: str = ""
    parts: dict[str, Two] = field(default_factory=dict)


_FIELDS = (
    "medium", "set_temp_c", "duration_s", "end_core_c", "end_feel", "cover", "vessel",
    "salt_g_per_kg", "note",
)  # fmt: skip


def write_methods(draft: Draft, a: tuple[str, str], b: tuple[str, str]) -> None:
    """Methods A and B, each as (short name, origin)."""
    for letter, (name, origin) in (("A", a), ("B", b)):
        draft.write(Method(draft.id("method", letter), draft.trial.id, letter, name, origin))


def write_stages(draft: Draft, *lines: Line) -> None:
    """The stages in order."""
    for position, line in enumerate(lines, 1):
        stage = draft.write(
            Stage(
                id=draft.id("stage", line.name or line.stage_kind),
                trial_id=draft.trial.id,
                position=position,
                stage_kind=line.stage_kind,
                method_id=draft.id("method", line.only) if line.only else None,
                **{name: getattr(line, name) for name in _FIELDS},
            )
        )
        for name, values in line.parts.items():
            for letter, value in zip("AB", values, strict=True):
                draft.write(_part(draft, stage, name, letter, value))


def _part(draft: Draft, stage: Stage, name: str, letter: str, value: float | str) -> Part:
    return Part(
        draft.id("part", stage.id, name, letter),
        stage.id,
        draft.id("method", letter),
        name,
        number=None if isinstance(value, str) else value,
        text=value if isinstance(value, str) else None,
    )


def name_differences(
    draft: Draft, *, question: tuple[str, ...] = (), rider: tuple[str, ...] = ()
) -> None:
    """What is asked for and what comes along, each as "stage/field" ("stage/" for an own stage)."""
    for role, names in (("question", question), ("rider", rider)):
        for name in names:
            stage, _, field_name = name.partition("/")
            draft.write(
                Difference(
                    draft.id("difference", name),
                    draft.trial.id,
                    draft.id("stage", stage),
                    field_name,
                    role,
                )
            )

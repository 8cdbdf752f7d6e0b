"""Methods that follow from what is varied: one parent, every combination of settings one method.

What is not varied is equal by construction: a new method takes over every line of the first one,
and a line that holds what is varied has one part a method, with the value of its setting.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

from trialbench.model.errors import Refused
from trialbench.model.message import msg
from trialbench.model.records import (
    Addition,
    Checkpoint,
    Difference,
    Factor,
    Level,
    Method,
    Part,
    Record,
    Setting,
    Stage,
    Trial,
    new_id,
)
from trialbench.model.steps import Change, added, removed
from trialbench.notebook import views
from trialbench.notebook.acts.plan import relaid
from trialbench.notebook.records_read import Reads
from trialbench.notebook.views import shapes

LETTERS = "ABCDEF"

Combination = tuple[Level, ...]


@dataclass(frozen=True, slots=True)
class Design:
    """What is varied, with its settings: `levels` has one tuple a factor, in its order."""

    factors: tuple[Factor, ...] = ()
    levels: tuple[tuple[Level, ...], ...] = ()

    def records(self) -> dict[str, Factor | Level]:
        """All of it by id, positions counted anew."""
        found: dict[str, Factor | Level] = {}
        for n, (factor, own) in enumerate(zip(self.factors, self.levels, strict=True), start=1):
            found[factor.id] = replace(factor, position=n)
            for place, level in enumerate(own, start=1):
                found[level.id] = replace(level, position=place)
        return found

    @property
    def shape(self) -> str:
        """The shape of a trial of this design."""
        if len([own for own in self.levels if own]) > 1:
            return "crossed"
        return "ordered" if any(f.ordered for f in self.factors) else "levels"

    def value(self, combination: Combination, factor: Factor) -> Level | None:
        """The level that a combination has of a factor."""
        return next((level for level in combination if level.factor_id == factor.id), None)


def design_of(book: Reads, trial_id: str) -> Design:
    """The design as it stands."""
    there = shapes.factors(book, trial_id)
    return Design(there, tuple(shapes.levels(book, factor.id) for factor in there))


def name_of(combination: Combination) -> str:
    """The short name of a method at these settings: "stock, 77 °C"."""
    return ", ".join(level.text for level in combination)


def changes_to(book: Reads, trial: Trial, after: Design, **values: Any) -> list[Change]:
    """The changes that bring a trial to a design, its methods, parts and layout with it.

    `values` are further fields of the trial. Raises Refused for more than six methods, and where
    methods would come or go after the draw.
    """
    combinations = shapes.combinations(after.levels)
    _check_count(after, combinations)
    there = views.methods(book, trial.id)
    kept = _matched(book, there, combinations)
    bare = [m for m in there if m not in kept][: max(2 - len(kept), 0)]
    gone = [m for m in there if m not in kept and m not in bare]
    named = [_named(book, trial, kept[n], combinations[n], n) for n in range(len(combinations))]
    named += [_bare(book, trial, m, len(kept) + n) for n, m in enumerate(bare)]
    _check_drawn(book, trial, there, named)
    before = design_of(book, trial.id).records()
    changes = _records(before, after.records())
    old = {m.id: m for m in there}
    changes += [Change(old.get(m.id), m) for m in named]
    changes += _gone(book, gone)
    changes += _settings(book, there, dict(zip([m.id for m in named], combinations, strict=False)))
    changes += _lines(book, trial, after, named, combinations, gone)
    trial_after = replace(trial, **_of_trial(trial, after, gone), **values)
    if len(named) != len(there):
        changes += relaid(book, trial, len(named))
    return [Change(trial, trial_after), *changes]


def _check_count(after: Design, combinations: Sequence[Combination]) -> None:
    if len(combinations) <= shapes.MOST_METHODS:
        return
    sizes = " × ".join(str(len(own)) for own in after.levels if own)
    crossed = sizes if len(after.levels) > 1 else str(len(combinations))
    raise Refused(
        msg("{settings} make {count} methods. A trial compares up to {most}. Not written.",
            settings=crossed, count=len(combinations), most=shapes.MOST_METHODS),
        field="level.text",
        allowed=msg("two to {most} methods", most=shapes.MOST_METHODS),
        way_out=msg("Leave out a setting, or begin another trial for it."),
    )  # fmt: skip


def _check_drawn(
    book: Reads, trial: Trial, there: Sequence[Method], named: Sequence[Method]
) -> None:
    if {m.id for m in there} == {m.id for m in named}:
        return
    if any(piece.method_id for piece in views.all_pieces(book, trial.id)):
        raise drawn()


def drawn() -> Refused:
    """The error where a method would come or go after the draw."""
    return Refused(
        msg("Lots are drawn, and they name the methods. No method comes or goes any more."),
        field="method.id",
        allowed=msg("two to {most} methods, before the draw", most=shapes.MOST_METHODS),
        way_out=msg("Take the draw back, or begin another trial for it."),
    )


def _matched(
    book: Reads, there: Sequence[Method], combinations: Sequence[Combination]
) -> list[Method | None]:
    """For each combination the method that has it, else one that has part of it, else any."""
    has = {m.id: {level.id for level in shapes.levels_of_method(book, m.id)} for m in there}
    wanted = [{level.id for level in combination} for combination in combinations]
    found: list[Method | None] = [None] * len(wanted)
    free = list(there)
    for fits in (
        lambda own, one: own == one,
        lambda own, one: bool(own) and (own <= one or one <= own),
        lambda own, one: not own,
        lambda own, one: True,
    ):
        for n, one in enumerate(wanted):
            if found[n] is None:
                method = next((m for m in free if fits(has[m.id], one)), None)
                if method is not None:
                    found[n] = method
                    free.remove(method)
    return found


def _named(
    book: Reads, trial: Trial, method: Method | None, combination: Combination, n: int
) -> Method:
    """The method of a combination; a name that the cook gave it stays."""
    name = name_of(combination)
    if method is None:
        parent = views.methods(book, trial.id)[0]
        return replace(parent, id=new_id(), letter=LETTERS[n], name=name)
    own = name_of(shapes.levels_of_method(book, method.id))
    given = bool(own) and method.name not in (own, "")
    return replace(method, letter=LETTERS[n], name=method.name if given else name)


def _bare(book: Reads, trial: Trial, method: Method, n: int) -> Method:
    """A method that has no setting (any more): it waits for one without the name of the last."""
    own = name_of(shapes.levels_of_method(book, method.id))
    name = (trial.usual if n == 0 else "") if own and method.name == own else method.name
    return replace(method, letter=LETTERS[n], name=name)


def _records(before: dict[str, Factor | Level], after: dict[str, Factor | Level]) -> list[Change]:
    changes = [Change(before.get(key), record) for key, record in after.items()]
    return changes + list(removed(*(r for key, r in before.items() if key not in after)))


def _gone(book: Reads, gone: Sequence[Method]) -> list[Change]:
    """Methods that leave, with all that is theirs alone."""
    leaving: dict[str, Record] = {m.id: m for m in gone}
    changes: list[Change] = []
    for method in gone:
        own = book.all(Stage, method_id=method.id)
        mine: list[Record] = [*own, *book.all(Part, method_id=method.id)]
        mine += book.all(Addition, method_id=method.id)
        for stage in own:
            mine += [*book.all(Addition, stage_id=stage.id), *book.all(Part, stage_id=stage.id)]
            mine += book.all(Difference, stage_id=stage.id)
            changes += [Change(c, replace(c, stage_id=None))
                        for c in book.all(Checkpoint, stage_id=stage.id)]  # fmt: skip
        leaving |= {record.id: record for record in mine}
    return [*removed(*leaving.values()), *changes]


def _settings(book: Reads, there: Sequence[Method], wanted: dict[str, Combination]) -> list[Change]:
    changes: list[Change] = []
    for method in there:
        ids = {level.id for level in wanted.get(method.id, ())}
        for setting in book.all(Setting, method_id=method.id):
            if setting.level_id in ids:
                ids.remove(setting.level_id)
            else:
                changes += removed(setting)
        changes += added(*(Setting(new_id(), method.id, level_id) for level_id in sorted(ids)))
    old = {m.id for m in there}
    for method_id, combination in wanted.items():
        if method_id not in old:
            changes += added(*(Setting(new_id(), method_id, level.id) for level in combination))
    return changes


def _lines(
    book: Reads,
    trial: Trial,
    after: Design,
    named: Sequence[Method],
    combinations: Sequence[Combination],
    gone: Sequence[Method],
) -> list[Change]:
    """The parts of the lines that hold what is varied, and every other part for new methods."""
    held = {(f.stage_id, f.field): f for f in after.factors if f.stage_id and f.field}
    changes = _unheld(book, trial, held, gone)
    for (stage_id, field), factor in held.items():
        there = {p.method_id: p for p in views.parts(book, stage_id or "", field)}
        for n, method in enumerate(named):
            own = after.value(combinations[n], factor) if n < len(combinations) else None
            part = there.get(method.id) or Part(new_id(), stage_id or "", method.id, field)
            number = own.number if own is not None else None
            text = (own.text if own is not None else "") if _is_text(field) else None
            filled = replace(part, number=None if _is_text(field) else number, text=text)
            changes.append(Change(there.get(method.id), filled))
        if views.difference(book, stage_id or "", field) is None:
            changes += added(Difference(new_id(), trial.id, stage_id or "", field, "question"))
    return changes + _taken_over(book, trial, held, named)


def _unheld(
    book: Reads, trial: Trial, held: dict[Any, Factor], gone: Sequence[Method]
) -> list[Change]:
    """Lines that no longer hold what is varied are written once again."""
    changes: list[Change] = []
    out = {method.id for method in gone}
    for factor in shapes.factors(book, trial.id):
        stage = book.find(Stage, factor.stage_id)
        if stage is None or (factor.stage_id, factor.field) in held:
            continue
        parts = views.parts(book, stage.id, factor.field)
        said = book.all(Difference, stage_id=stage.id, field=factor.field)
        changes += removed(*(p for p in parts if p.method_id not in out), *said)
        if parts and not getattr(stage, factor.field):
            once: dict[str, Any] = {factor.field: views.part_value(parts[0])}
            changes.append(Change(stage, replace(stage, **once)))
    return changes


def _taken_over(
    book: Reads, trial: Trial, held: dict[Any, Factor], named: Sequence[Method]
) -> list[Change]:
    """What the first method has in lines that are parted already, for methods that are new."""
    there = views.methods(book, trial.id)
    old = {method.id for method in there}
    unheld = {(f.stage_id, f.field) for f in shapes.factors(book, trial.id)} - set(held)
    changes: list[Change] = []
    for method in named:
        if method.id in old:
            continue
        for part in book.all(Part, method_id=there[0].id):
            line = (part.stage_id, part.field)
            if line not in held and line not in unheld:
                changes += added(replace(part, id=new_id(), method_id=method.id))
        for addition in book.all(Addition, method_id=there[0].id):
            changes += added(replace(addition, id=new_id(), method_id=method.id))
    return changes


def _is_text(field: str) -> bool:
    return field not in views.NUMBER_FIELDS


def _of_trial(trial: Trial, after: Design, gone: Sequence[Method]) -> dict[str, Any]:
    out = {method.id for method in gone}
    values: dict[str, Any] = {"shape": after.shape}
    values["idea"] = " and ".join(filter(None, (factor.name for factor in after.factors)))
    if trial.easier_id in out:
        values["easier_id"] = None
    if trial.usual_id in out:
        values.update(usual_id=None, compares="all_pairs")
    return values

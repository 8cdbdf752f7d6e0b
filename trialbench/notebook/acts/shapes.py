"""Acts on the shape of a trial: what is varied at which settings, more ideas, the control.

Every act here leaves two to six methods that follow from one parent; a change of a setting goes
to the name of its method and to its line of the methods in the same step.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import Any

from trialbench.model.errors import Refused
from trialbench.model.message import Message, msg
from trialbench.model.records import Factor, Level, Method, Stage, Trial, new_id
from trialbench.model.steps import Change, Step
from trialbench.model.words import STAGE_FIELDS, STAGE_KINDS
from trialbench.notebook import views
from trialbench.notebook.acts import new_record
from trialbench.notebook.acts.level_reading import read_levels, read_number
from trialbench.notebook.acts.shape_methods import Design, changes_to, design_of
from trialbench.notebook.acts.stages import add_stage
from trialbench.notebook.acts.writing import line, made, one_of, rewrite
from trialbench.notebook.records_read import Reads
from trialbench.notebook.views import shapes

COMPARES = ("all_pairs", "with_usual")


def vary(book: Reads, trial_id: str, name: str = "") -> Step:
    """One more thing to vary; two are crossed. Raises Refused for a third."""
    there = shapes.factors(book, trial_id)
    if len(there) >= shapes.MOST_FACTORS:
        raise Refused(
            msg("A trial crosses two things at most. A third gets its own trial."),
            field="factor.position",
            allowed=msg("one or two things to vary"),
            way_out=msg("Begin another trial for it."),
        )
    trial, before = book.get(Trial, trial_id), design_of(book, trial_id)
    text = _factor_name(there, name)
    factor = Factor(new_id(), trial_id, len(there) + 1, text)
    after = Design((*before.factors, factor), (*before.levels, ()))
    label = msg("Varied: {name}", name=text or "–")
    return made(book, label, changes_to(book, trial, after))


def name_factor(book: Reads, factor_id: str, typed: str) -> Step:
    """Write what is varied. Without a name and without settings a second one leaves."""
    factor = book.get(Factor, factor_id)
    trial, design = book.get(Trial, factor.trial_id), design_of(book, factor.trial_id)
    others = [f for f in design.factors if f.id != factor_id]
    text = _factor_name(others, typed)
    if not text and others and not shapes.levels(book, factor_id):
        return remove_factor(book, factor_id)
    after = _with_factor(design, replace(factor, name=text))
    label = msg("Varied: {name}", name=text or "–")
    return made(book, label, changes_to(book, trial, after), burst=f"{factor_id}:name")


def remove_factor(book: Reads, factor_id: str) -> Step:
    """No longer vary it: its line is written once again. Raises Refused for the only one."""
    factor = book.get(Factor, factor_id)
    trial, design = book.get(Trial, factor.trial_id), design_of(book, factor.trial_id)
    kept = [n for n, f in enumerate(design.factors) if f.id != factor_id]
    if not kept:
        raise Refused(
            msg("This trial asks which setting, so something is varied."),
            field="factor.id",
            allowed=msg("one or two things to vary"),
            way_out=msg("Choose another question."),
        )
    after = Design(tuple(design.factors[n] for n in kept), tuple(design.levels[n] for n in kept))
    label = msg("No longer varied: {name}", name=factor.name or "–")
    return made(book, label, changes_to(book, trial, after))


def add_level(book: Reads, factor_id: str, typed: str) -> Step:
    """One more setting. The first one says whether they are words, or numbers in order.

    Raises Refused for a setting that is there, for words among numbers, for a number in another
    unit, and for more than six methods.
    """
    factor = book.get(Factor, factor_id)
    there = shapes.levels(book, factor_id)
    text = line(typed, "level.text", most=60, needed=True)
    if not there and not factor.field:
        factor = replace(factor, ordered=read_number(text) is not None)
    level = Level(new_id(), factor_id, len(there) + 1, None, text)
    label = msg("{name}: also {text}", name=_called(factor), text=text)
    return _with_levels(book, factor, (*there, level), label)


def set_level(book: Reads, level_id: str, typed: str) -> Step:
    """Write a setting anew, with the name and the line of its methods; "" takes it away."""
    level = book.get(Level, level_id)
    if not typed.strip():
        return remove_level(book, level_id)
    factor = book.get(Factor, level.factor_id)
    text = line(typed, "level.text", most=60)
    there = shapes.levels(book, factor.id)
    if len(there) == 1 and not factor.field:
        factor = replace(factor, ordered=read_number(text) is not None)
    written = replace(level, number=None, text=text)
    wanted = tuple(written if other.id == level_id else other for other in there)
    label = msg("{name}: {text}", name=_called(factor), text=text)
    return _with_levels(book, factor, wanted, label, burst=f"{level_id}:text")


def remove_level(book: Reads, level_id: str) -> Step:
    """Take a setting away, with its methods. Raises Refused after the draw."""
    level = book.get(Level, level_id)
    factor = book.get(Factor, level.factor_id)
    rest = tuple(x for x in shapes.levels(book, factor.id) if x.id != level_id)
    label = msg("{name}: without {text}", name=_called(factor), text=level.text)
    return _with_levels(book, factor, rest, label)


def set_ordered(book: Reads, factor_id: str, ordered: bool | str) -> Step:
    """Whether the settings are numbers in order (True, "yes") or ways in no order.

    Raises Refused where one of them is no number, or where the line holds numbers.
    """
    factor = book.get(Factor, factor_id)
    wanted = ordered in (True, "yes")
    if not wanted and factor.field in views.NUMBER_FIELDS:
        raise Refused(
            msg("{line} holds numbers, so the settings are numbers in order.",
                line=STAGE_FIELDS[factor.field]),
            field="factor.ordered",
            allowed=msg("numbers in order"),
            way_out=msg("Take it out of its line first."),
        )  # fmt: skip
    after = replace(factor, ordered=wanted)
    said = msg("numbers in order") if wanted else msg("ways in no order")
    label = msg("{name}: {text}", name=_called(factor), text=said)
    return _with_levels(book, after, shapes.levels(book, factor_id), label)


def set_line(book: Reads, factor_id: str, stage: str, field: str) -> Step:
    """Name the line of the methods that holds what is varied; stage "" takes it out of its line.

    `stage` is the id of a stage for all methods, or a kind of stage: then it is written. Raises
    Refused where the settings cannot stand in that field.
    """
    factor = book.get(Factor, factor_id)
    there = shapes.levels(book, factor_id)
    if not stage:
        label = msg("{name}: in no line yet", name=_called(factor))
        return _with_levels(book, replace(factor, stage_id=None, field=""), there, label)
    one_of(field, "factor.field", STAGE_FIELDS)
    found, new = _stage(book, factor, stage)
    others = [f for f in shapes.factors(book, factor.trial_id) if f.id != factor_id]
    taken = any((f.stage_id, f.field) == (found.id, field) for f in others)
    if found.method_id is not None or taken:
        raise Refused(
            msg("That line cannot hold it: it is one method’s own, or holds the other thing."),
            field="factor.stage_id",
            allowed=msg("a line that is written once for all methods"),
            way_out=msg("Choose another line."),
        )
    ordered = factor.ordered or field in views.NUMBER_FIELDS
    after = replace(factor, stage_id=found.id, field=field, ordered=ordered)
    label = msg("{name}: in {stage}, {field}", name=_called(factor),
                stage=STAGE_KINDS[found.stage_kind].label, field=STAGE_FIELDS[field])  # fmt: skip
    return _with_levels(book, after, there, label, extra=new)


def _stage(book: Reads, factor: Factor, stage: str) -> tuple[Stage, tuple[Change, ...]]:
    if stage not in STAGE_KINDS:
        return book.get(Stage, stage), ()
    step = add_stage(book, factor.trial_id, stage)
    return new_record(step, Stage), step.changes


def set_usual(book: Reads, trial_id: str, method_id: str) -> Step:
    """Hold each method against this one, the usual one."""
    method = book.get(Method, method_id)
    trial = book.get(Trial, trial_id)
    label = msg("Each is held against {letter}", letter=method.letter)
    return rewrite(book, trial, label, usual_id=method.id, compares="with_usual")


def set_compares(book: Reads, trial_id: str, compares: str) -> Step:
    """all_pairs: each against each. with_usual: each against the usual one (at first A)."""
    one_of(compares, "trial.compares", COMPARES)
    trial = book.get(Trial, trial_id)
    if compares == "with_usual":
        return set_usual(book, trial_id, trial.usual_id or views.methods(book, trial_id)[0].id)
    return rewrite(book, trial, msg("Each is held against each"), compares=compares)


def set_reference(book: Reads, trial_id: str, typed: str) -> Step:
    """What the reference sample of every sitting is; "" for none."""
    trial = book.get(Trial, trial_id)
    text = line(typed, "trial.reference", most=200)
    label = msg("Reference sample: {text}", text=text or "–")
    return rewrite(book, trial, label, reference=text)


def _factor_name(others: Iterable[Factor], typed: str) -> str:
    name = line(typed, "factor.name", most=60)
    if name and any(f.name.casefold() == name.casefold() for f in others):
        raise Refused(
            msg("{name} is varied already.", name=name),
            field="factor.name",
            typed=typed,
            allowed=msg("another thing to vary"),
            way_out=msg("Write what else you would set differently."),
        )
    return name


def _called(factor: Factor) -> Message | str:
    return factor.name or msg("What is varied")


def _with_factor(design: Design, factor: Factor) -> Design:
    return replace(
        design, factors=tuple(factor if f.id == factor.id else f for f in design.factors)
    )


def _with_levels(
    book: Reads,
    factor: Factor,
    levels: tuple[Level, ...],
    label: Message,
    *,
    burst: str = "",
    extra: tuple[Change, ...] = (),
) -> Step:
    trial, design = book.get(Trial, factor.trial_id), design_of(book, factor.trial_id)
    read = read_levels(book, factor, levels)
    sets = tuple(
        read if f.id == factor.id else own
        for f, own in zip(design.factors, design.levels, strict=True)
    )
    after = replace(_with_factor(design, factor), levels=sets)
    changes: list[Any] = [*extra, *changes_to(book, trial, after)]
    return made(book, label, changes, burst=burst)

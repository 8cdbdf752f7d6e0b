"""A method as a recipe: one or two sentences a stage, by weight where it was weighed."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from statistics import fmean

from trialbench.findings.snapshot import TrialRecords
from trialbench.model.message import Message, msg, msg_n, say
from trialbench.model.numbers import figure, shortest
from trialbench.model.quantities import show_duration, show_mass, show_temp
from trialbench.model.records import Addition, Checkpoint, Method, Stage
from trialbench.model.words import COVERS, MEDIA
from trialbench.notebook import views
from trialbench.notebook.acts.addition_words import shown_addition
from trialbench.planning.stage_words import stage_name

Sentence = Message | str

_IN: dict[str, Message] = {
    "air": msg(""),
    "dry oven": msg(" in the oven"),
    "smoke": msg(" in smoke"),
    "steam": msg(" in steam"),
    "water": msg(" in water"),
    "salt water": msg(" in salt water"),
    "stock": msg(" in stock"),
    "its own juices": msg(" in its own juices"),
    "fat": msg(" in fat"),
    "sealed bag in water": msg(" in a sealed bag in water"),
    "pan": msg(" in the pan"),
    "fridge": msg(" in the fridge"),
}

_ROLES: dict[str, Message] = {
    "rub": msg("Rub"),
    "brine": msg("Brine"),
    "medium": msg("Medium"),
    "fuel": msg("Fuel"),
    "wood": msg("Wood"),
}


def mean_masses(records: TrialRecords, method_id: str) -> tuple[tuple[Checkpoint, float, int], ...]:
    """(checkpoint, mean mass in g, number of pieces) for each weighing of one method."""
    pieces = [p for p in views.all_pieces(records, records.trial.id) if p.method_id == method_id]
    found = []
    for checkpoint in views.checkpoints(records, records.trial.id):
        masses = [views.mass_g(records, piece.id, checkpoint.id) for piece in pieces]
        known = [mass for mass in masses if mass is not None]
        if known:
            found.append((checkpoint, fmean(known), len(known)))
    return tuple(found)


def recipe_lines(records: TrialRecords, method: Method) -> tuple[Sentence, ...]:
    """The stages of one method in order, as sentences."""
    cover = views.cover(records)
    weighed = mean_masses(records, method.id)
    trimmed = next((m for c, m, _ in weighed if c.checkpoint_kind == "trimmed"), None)
    raw = next((m for c, m, _ in weighed if c.checkpoint_kind == "raw"), None)
    stages = views.method_stages(records, method.id)
    return tuple(
        _with_additions(
            _line(stage, cover.temperature_unit, cover.mass_unit, trimmed or raw),
            views.additions_of(records, stage, method.id),
        )
        for stage in stages
    )


def _with_additions(sentence: Sentence, additions: Sequence[Addition]) -> Sentence:
    """What goes on, in or under the food, after its stage: "Rub: paprika, 20 g/kg." """
    if additions and not say(sentence).endswith("."):
        sentence = msg("{sentence}.", sentence=sentence)
    for addition in additions:
        what = shown_addition(addition)
        role = _ROLES.get(addition.role)
        said = msg("With {what}", what=what) if role is None else msg(
            "{role}: {what}", role=role, what=what
        )  # fmt: skip
        sentence = msg("{sentence} {more}.", sentence=sentence, more=said)
    return sentence


def _line(stage: Stage, temperature: str, mass: str, base_g: float | None) -> Sentence:
    first = _salted(stage, mass, base_g) if stage.salt_g_per_kg is not None else None
    words = "".join(say(part) for part in _parts(stage, temperature))
    if first is not None:
        kept = msg("{first} Keep it{how}.", first=first, how=words) if words else first
        return _noted(kept, stage)
    if not words:
        name = stage_name(stage)
        return msg("{stage}: {note}.", stage=name, note=_bare(stage.note)) if stage.note else name
    return _noted(msg("{stage}{how}.", stage=stage_name(stage), how=words), stage)


def _salted(stage: Stage, mass: str, base_g: float | None) -> Message:
    rate = stage.salt_g_per_kg or 0.0
    if base_g is None:
        return msg("Salt with {rate} g for each kilogram.", rate=shortest(rate))
    return msg(
        "Salt {piece} with {salt} ({rate} g for each kilogram).",
        piece=show_mass(base_g, mass, with_unit=True),
        salt=show_mass(round(base_g * rate / 1000, 1), mass, with_unit=True),
        rate=shortest(rate),
    )


def _parts(stage: Stage, temperature: str) -> Iterator[Sentence]:
    medium = stage.medium
    if medium and medium != stage.stage_kind:
        yield _IN.get(medium) or msg(" in {medium}", medium=MEDIA.get(medium, medium))
    if stage.set_temp_c is not None:
        yield msg(" at {temp}", temp=show_temp(stage.set_temp_c, temperature))
    yield from _ends(stage, temperature)
    if stage.cover:
        yield msg(", {cover}", cover=COVERS.get(stage.cover, stage.cover))
    if stage.vessel:
        yield msg(", held in {vessel}", vessel=stage.vessel)
    if stage.slice_mm is not None:
        yield msg(", in slices of {thick} mm", thick=shortest(stage.slice_mm))
    if stage.knife_to_mouth_min is not None:
        yield msg(", eaten {time} min from the knife", time=shortest(stage.knife_to_mouth_min))


def _ends(stage: Stage, temperature: str) -> Iterator[Sentence]:
    ends: list[Sentence] = []
    if stage.end_core_c is not None:
        ends.append(msg("the core is {temp}", temp=show_temp(stage.end_core_c, temperature)))
    if stage.end_feel:
        ends.append(stage.end_feel)
    if ends:
        joined = ends[0] if len(ends) == 1 else msg("{one} and {two}", one=ends[0], two=ends[1])
        yield msg(" until {ends}", ends=joined)
    if stage.duration_s is not None:
        time = show_duration(stage.duration_s)
        yield msg(", about {time}", time=time) if ends else msg(" for {time}", time=time)


def _noted(sentence: Sentence, stage: Stage) -> Sentence:
    if not stage.note:
        return sentence
    note = _bare(stage.note)
    return msg("{sentence} {note}.", sentence=sentence, note=note[:1].upper() + note[1:])


def _bare(note: str) -> str:
    return note.strip().rstrip(".")


def by_weight(records: TrialRecords, method: Method) -> Sentence | None:
    """What a piece weighed from the first weighing to the last, and what it lost of which base."""
    weighed = mean_masses(records, method.id)
    if len(weighed) < 2:
        return None
    unit = views.cover(records).mass_unit
    shown = [
        msg("{mass} {name}", mass=show_mass(m, unit, with_unit=True), name=c.name)
        for c, m, _ in weighed
    ]
    (base, first, pieces), (_, last, _) = weighed[0], weighed[-1]
    change = 100 * (first - last) / first
    lost = msg("loss {percent} % of {base}", percent=figure(change, 1), base=base.name)
    gained = msg("gain {percent} % of {base}", percent=figure(-change, 1), base=base.name)
    return msg(
        "{first} gives {rest}: {change}. Means of {count}.",
        first=shown[0],
        rest=_and(shown[1:]),
        change=lost if change >= 0 else gained,
        count=msg_n("{count} piece", "{count} pieces", pieces),
    )


def _and(words: Sequence[Sentence]) -> Sentence:
    if len(words) == 1:
        return words[0]
    if len(words) == 2:
        return msg("{one} and {two}", one=words[0], two=words[1])
    return msg("{one}, {two}", one=words[0], two=_and(words[1:]))

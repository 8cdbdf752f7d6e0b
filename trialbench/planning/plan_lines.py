"""A plan's canonical text line by line, in words: what two states of a plan are compared by."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from trialbench.model.message import Message, msg
from trialbench.model.numbers import shortest
from trialbench.model.scales import SCALES
from trialbench.model.words import ADDITION_ROLES, STAGE_FIELDS, STAGE_KINDS
from trialbench.planning.stage_words import field_name, listed, value_words

Words = Message | str
Text = Mapping[str, Any]
"""A canonical text as plain values (seal_text.read_text)."""

NOTHING = msg("nothing written")


@dataclass(frozen=True, slots=True)
class PlanLine:
    """One line: what it is about, and what it says."""

    label: Words
    value: Words


_ASKED: dict[str, Message] = {
    "better": msg("is it better"),
    "at_least_as_good": msg("is the easier one at least as good"),
    "which_setting": msg("which setting"),
    "same_recipe": msg("one recipe twice"),
}
_SHAPES: dict[str, Message] = {
    "two": msg("two methods"),
    "several": msg("several methods"),
    "levels": msg("one thing at several settings"),
    "ordered": msg("one thing at several settings, in order"),
    "crossed": msg("two things crossed"),
}
_COMPARES = {"all_pairs": msg("every pair"), "with_usual": msg("each with the usual one")}
_LOADS = {"alone": msg("each by itself"), "shared": msg("together in one vessel")}
_SERVING = {
    "all": msg("to every taster in an order of their own"),
    "rounds": msg("one product a round, to all at once"),
}
_BETTER = {
    "more": msg("more"), "less": msg("less"), "target": msg("closest to a target"),
    "neither": msg("neither way"),
}  # fmt: skip
_ROLES = {"question": msg("the question"), "rider": msg("a rider")}
_YES = {True: msg("yes"), False: msg("no")}

_PLAN: dict[str, Message] = {
    "planned_cooks": msg("cook days"),
    "pieces_each": msg("pieces of each method a day"),
    "planned_tasters": msg("tasters"),
    "servings": msg("times each sample is tasted"),
    "most_samples": msg("samples for a taster at most"),
}
_OUTCOME: dict[str, Message] = {
    "name": msg("name"),
    "scale": msg("scale"),
    "better": msg("wanted"),
    "target": msg("target"),
    "definition": msg("what it means"),
    "options": msg("words to tick"),
    "sighted": msg("scored with the eyes too"),
    "allows_neither": msg("no preference allowed"),
}


def plan_lines(text: Text) -> dict[str, PlanLine]:
    """Every line by a name of its own; texts of the same plan have the same lines."""
    return dict(
        (*_question(text), *_plan(text), *_methods(text), *_stages(text), *_parts(text),
         *_additions(text), *_settings(text), *_roles(text), *_outcomes(text))
    )  # fmt: skip


def _question(text: Text) -> Iterator[tuple[str, PlanLine]]:
    asked, letter = text["question"], _letters(text)
    name = {o["id"]: o["name"] for o in text["outcomes"]}
    for field, label, value in (
        ("food", msg("food"), asked["food"]),
        ("usual", msg("my way"), asked["usual"]),
        ("idea", msg("my idea"), asked["idea"]),
        ("came_out", msg("it came out"), asked["came_out"]),
        ("question", msg("what is asked"), _ASKED.get(asked["question"], asked["question"])),
        ("decides_id", msg("what decides"), name.get(asked["decides_id"], "")),
        ("matters", msg("the smallest difference that matters"), _number(asked["matters"])),
        ("easier_id", msg("the easier way"), letter.get(asked["easier_id"], "")),
        ("shape", msg("what is compared"), _SHAPES.get(asked["shape"], asked["shape"])),
        ("usual_id", msg("the usual one"), letter.get(asked["usual_id"], "")),
        ("compares", msg("compared"), _COMPARES.get(asked["compares"], asked["compares"])),
        ("reference", msg("reference sample"), asked["reference"]),
        ("alpha", msg("alpha"), _number(asked["alpha"])),
        ("policy", msg("policy"), str(asked["policy"])),
    ):
        yield f"question:{field}", PlanLine(label, value)


def _plan(text: Text) -> Iterator[tuple[str, PlanLine]]:
    plan = text["plan"]
    for field, label in _PLAN.items():
        yield f"plan:{field}", PlanLine(label, _number(plan[field]))
    yield "plan:paired", PlanLine(msg("matched pairs"), _YES[bool(plan["paired"])])
    loads = _LOADS.get(plan["loads"], plan["loads"])
    yield "plan:loads", PlanLine(msg("pieces of one method cook"), loads)
    served = _SERVING.get(plan["serving"], plan["serving"])
    yield "plan:serving", PlanLine(msg("served"), served)


def _methods(text: Text) -> Iterator[tuple[str, PlanLine]]:
    for method in text["methods"]:
        label = msg("method {letter}", letter=method["letter"])
        yield f"method:{method['id']}", PlanLine(label, method["name"] or method["letter"])


def _stages(text: Text) -> Iterator[tuple[str, PlanLine]]:
    letter, names = _letters(text), _stage_names(text)
    for stage in text["stages"]:
        name = names[stage["id"]]
        own = letter.get(stage["method_id"], "")
        whose = msg("{letter} alone", letter=own) if own else msg("in all methods")
        yield f"stage:{stage['id']}", PlanLine(name, whose)
        for field in STAGE_FIELDS:
            label = msg("{stage}, {field}", stage=name, field=field_name(field))
            yield f"stage:{stage['id']}:{field}", PlanLine(label, _of_field(field, stage[field]))
    order = sorted(text["stages"], key=lambda s: (s["position"], s["method_id"] or "", s["id"]))
    yield "stages", PlanLine(msg("the order"), listed([names[s["id"]] for s in order]))


def _parts(text: Text) -> Iterator[tuple[str, PlanLine]]:
    letter, names = _letters(text), _stage_names(text)
    for part in text["parts"]:
        label = msg("{stage}, {field}, in {letter}", stage=names.get(part["stage_id"], ""),
                    field=field_name(part["field"]),
                    letter=letter.get(part["method_id"], ""))  # fmt: skip
        value = part["number"] if part["number"] is not None else part["text"]
        key = f"part:{part['stage_id']}:{part['field']}:{part['method_id']}"
        yield key, PlanLine(label, _of_field(part["field"], value))


def _additions(text: Text) -> Iterator[tuple[str, PlanLine]]:
    letter, names = _letters(text), _stage_names(text)
    for one in text["additions"]:
        role = ADDITION_ROLES.get(one["role"], one["role"])
        what: list[Words] = [one["name"]] if one["name"] else []
        if one["g_per_kg"] is not None:
            what.append(msg("{amount} g/kg", amount=shortest(one["g_per_kg"])))
        if one["mass_g"] is not None:
            what.append(msg("{amount} g", amount=shortest(one["mass_g"])))
        if one["salt_percent"] is not None:
            what.append(msg("{share} % salt", share=shortest(one["salt_percent"])))
        if one["method_id"]:
            what.append(msg("in {letter}", letter=letter.get(one["method_id"], "")))
        label = msg("{stage}, {field}", stage=names.get(one["stage_id"], ""), field=role)
        yield f"addition:{one['id']}", PlanLine(label, listed(what) or NOTHING)


def _settings(text: Text) -> Iterator[tuple[str, PlanLine]]:
    """Factors with their levels, and at which level each method has them."""
    letter = _letters(text)
    levels = {level["id"]: level for level in text["levels"]}
    factor_name = {factor["id"]: factor for factor in text["factors"]}
    for factor in text["factors"]:
        own = sorted((x for x in text["levels"] if x["factor_id"] == factor["id"]),
                     key=lambda x: (x["position"], x["id"]))  # fmt: skip
        said = listed([_level(factor, level) for level in own]) or NOTHING
        yield f"factor:{factor['id']}", PlanLine(factor["name"] or msg("what is varied"), said)
    for setting in text["settings"]:
        level = levels.get(setting["level_id"])
        if level is None:
            continue
        varied = factor_name.get(level["factor_id"], {"name": "", "field": ""})
        label = msg("{factor}, in {letter}", factor=varied["name"],
                    letter=letter.get(setting["method_id"], ""))  # fmt: skip
        key = f"setting:{setting['method_id']}:{level['factor_id']}"
        yield key, PlanLine(label, _level(varied, level))


def _level(factor: Mapping[str, Any], level: Mapping[str, Any]) -> Words:
    if level["number"] is None:
        return str(level["text"])
    return _of_field(factor["field"], level["number"])


def _roles(text: Text) -> Iterator[tuple[str, PlanLine]]:
    names = _stage_names(text)
    for each in text["differences"]:
        field = field_name(each["field"]) if each["field"] else msg("the stage")
        label = msg("{stage}, {field}, is", stage=names.get(each["stage_id"], ""), field=field)
        key = f"difference:{each['stage_id']}:{each['field']}"
        yield key, PlanLine(label, _ROLES.get(each["role"], each["role"]))


def _outcomes(text: Text) -> Iterator[tuple[str, PlanLine]]:
    for outcome in text["outcomes"]:
        yield f"outcome:{outcome['id']}", PlanLine(outcome["name"], msg("looked at"))
        for field, what in _OUTCOME.items():
            label = msg("{outcome}, {field}", outcome=outcome["name"], field=what)
            value = _of_outcome(field, outcome)
            yield f"outcome:{outcome['id']}:{field}", PlanLine(label, value)


def _of_outcome(field: str, outcome: Mapping[str, Any]) -> Words:
    value = outcome[field]
    if field == "better":
        return _BETTER.get(value, str(value))
    if field == "scale" and value in SCALES:
        return SCALES[value].label
    if isinstance(value, bool):
        return _YES[value]
    if isinstance(value, str):
        return ", ".join(value.split("\n"))
    return _number(value)


def _of_field(field: str, value: Any) -> Words:
    return value_words(field, value)


def _number(value: float | None) -> str:
    return "" if value is None else shortest(value)


def _letters(text: Text) -> dict[str | None, str]:
    return {method["id"]: method["letter"] for method in text["methods"]}


def _stage_names(text: Text) -> dict[str, Words]:
    """Stage id to what its line begins with."""
    found: dict[str, Words] = {}
    for stage in text["stages"]:
        word = STAGE_KINDS.get(stage["stage_kind"])
        found[stage["id"]] = word.label if word else stage["stage_kind"]
    return found

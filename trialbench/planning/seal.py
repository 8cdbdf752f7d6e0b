"""The seal: what was written down before tasting, dated and fingerprinted.

`Seal.written` is the canonical text of the plan (`seal_text`). It proves that nothing was changed
since, not when it was written. What was sealed and what was done are compared from it
(`sealed_and_done`); what was changed on purpose stands beside it (`after_seal`).
"""

from __future__ import annotations

from dataclasses import dataclass

from trialbench.model.errors import Refused, Sealed
from trialbench.model.message import Message, msg, msg_n
from trialbench.model.records import Seal, new_id
from trialbench.model.steps import Step, added
from trialbench.notebook.clock import Moment
from trialbench.planning.draw_rule import days_to_come, lot_number_for
from trialbench.planning.of_trial import OfTrial
from trialbench.planning.parting_weights import parting_checkpoint
from trialbench.planning.plan_lines import Text, Words, plan_lines
from trialbench.planning.seal_text import fingerprint, plan_written, read_text
from trialbench.planning.stage_words import listed

WHAT_IT_SHOWS = msg(
    "The fingerprint shows that the sealed text was not changed since. It does not show when it "
    "was written."
)


def seal_plan(records: OfTrial, when: Moment) -> Step:
    """The barrier step that seals the plan.

    Raises Sealed when it is sealed already, Refused when something that a seal must hold is not
    written: what decides, how many cook days, and lots, drawn or with the rule for days to come.
    """
    if any(True for _ in records.of(Seal)):
        raise Sealed(msg("The plan is sealed already."))
    lacks = lacks_for_seal(records)
    if lacks:
        raise Refused(
            msg("The plan cannot be sealed yet. {first}", first=lacks[0]),
            field="seal.written",
            allowed=msg("a plan with what decides, its cook days, and lots for every piece"),
            way_out=lacks[0],
        )
    written = plan_written(records, lot_number_for(records))
    seal = Seal(
        new_id(), records.trial.id, when.utc, when.offset_min, written, fingerprint(written)
    )
    return Step(msg("Plan sealed"), added(seal), barrier=True)


def lacks_for_seal(records: OfTrial) -> tuple[Message, ...]:
    """What must be written before the plan can be sealed, dearest first."""
    trial = records.trial
    lacks: list[Message] = []
    if trial.decides_id is None:
        lacks.append(msg("Say on the Question page what decides."))
    if trial.question == "at_least_as_good" and trial.easier_id is None:
        lacks.append(msg("Say on the Question page which way is the easier one."))
    if trial.question == "at_least_as_good" and trial.matters is None:
        lacks.append(msg("Say on the Question page how much would matter."))
    if not trial.planned_cooks:
        lacks.append(msg("Say how many cook days there are to be."))
    if days_to_come(records) and parting_checkpoint(records) is None:
        lacks.append(msg("Draw lots for every piece."))
    return tuple(lacks)


@dataclass(frozen=True, slots=True)
class SealedLine:
    """One line of what is sealed, as a page shows it."""

    label: Words
    value: Words


def seal_of(records: OfTrial) -> Seal | None:
    """The seal, None before it is made."""
    return next(iter(records.of(Seal)), None)


def untouched(seal: Seal) -> bool:
    """Whether the text still has the fingerprint that was made of it."""
    return fingerprint(seal.written) == seal.fingerprint


_SHOWN: tuple[tuple[str, Message], ...] = (
    ("question:food", msg("Food")),
    ("question:usual", msg("My way")),
    ("question:idea", msg("My idea")),
    ("question:question", msg("Asked")),
    ("question:decides_id", msg("Decides")),
    ("question:matters", msg("Matters")),
    ("question:easier_id", msg("The easier way")),
    ("question:usual_id", msg("The usual one")),
    ("question:reference", msg("Reference sample")),
    ("plan:planned_cooks", msg("Cook days")),
    ("plan:pieces_each", msg("Pieces of each a day")),
    ("plan:planned_tasters", msg("Tasters")),
    ("plan:servings", msg("Every sample tasted")),
    ("plan:serving", msg("Served")),
    ("plan:most_samples", msg("Samples for a taster at most")),
)
_ALWAYS = ("question:matters", "plan:planned_tasters")


def what_is_sealed(seal: Seal) -> tuple[SealedLine, ...]:
    """The sealed plan in words, from the seal alone; what was left empty is not shown."""
    text = read_text(seal.written)
    known = plan_lines(text)
    lines = [
        SealedLine(label, known[name].value or msg("not said"))
        for name, label in _SHOWN
        if known[name].value or name in _ALWAYS
    ]
    lines[5:5] = list(_wanted(text))
    return (
        *lines,
        *_varied(text),
        *_drawn(text),
        *_analysis(text),
        SealedLine(msg("Alpha"), known["question:alpha"].value),
        SealedLine(msg("Policy"), known["question:policy"].value),
        SealedLine(msg("Fingerprint"), seal.fingerprint),
    )


def _wanted(text: Text) -> list[SealedLine]:
    """The direction of what decides, with its target."""
    known, decides = plan_lines(text), text["question"]["decides_id"]
    if f"outcome:{decides}:better" not in known:
        return []
    way, target = known[f"outcome:{decides}:better"].value, known[f"outcome:{decides}:target"].value
    said = msg("{way}: {target}", way=way, target=target) if target else way
    return [SealedLine(msg("Wanted"), said)]


def _varied(text: Text) -> list[SealedLine]:
    """The methods, and the settings of what is varied."""
    found = []
    if len(text["methods"]) > 2:
        names = [f"{m['letter']} {m['name']}".strip() for m in text["methods"]]
        found.append(SealedLine(msg("Methods"), listed(names)))
        shape = plan_lines(text)["question:shape"].value
        found.append(SealedLine(msg("Compared"), shape))
    known = plan_lines(text)
    found += [
        SealedLine(known[f"factor:{f['id']}"].label, known[f"factor:{f['id']}"].value)
        for f in text["factors"]
    ]
    return found


def _drawn(text: Text) -> list[SealedLine]:
    draw, rule = text["draw"], text.get("lots") or {}
    found = []
    if draw is not None:
        said = msg("{number}, lot number {lot}", number=draw["number"], lot=draw["lot_number"])
        found.append(SealedLine(msg("Draw"), said))
    if rule.get("to_come"):
        said = msg_n("{count} cook day, on the weights at the parting, lot number {lot}",
                     "{count} cook days, each on the weights at its parting, lot number {lot}",
                     len(rule["to_come"]), lot=rule["lot_number"])  # fmt: skip
        found.append(SealedLine(msg("Lots to come"), said))
    return found


def _analysis(text: Text) -> list[SealedLine]:
    words = text.get("analysis", {}).get("words", ())
    return [SealedLine(msg("Analysis"), " ".join(words))] if words else []

"""Sentences of three methods or more, to be read: `python -m tests.findings.sentences_several`."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

from tests.findings.several_made_up import ASKED, CROSSED, MEASURED, ORDERED, pairs, table
from trialbench.findings import wording_several as wording
from trialbench.findings.contrasts import MethodPlan
from trialbench.findings.judging_several import judge_several
from trialbench.findings.phrases import Names
from trialbench.findings.question import AnalysisQuestion
from trialbench.findings.several_finding import SeveralFinding
from trialbench.model.message import say

GOLDEN = Path(__file__).with_name("sentences_several.txt")
_CALLED = ("bare", "paper wrap", "foil wrap", "lid", "pan", "rack")
TENDER = Names(
    methods=tuple(zip("ABCDEF", _CALLED, strict=True)), outcome="tenderness", more="more tender",
    less="less tender", form="adjective", measure="points",
)  # fmt: skip
LOSS = replace(TENDER, outcome="loss", more="loses more", less="loses less", form="verb",
               measure="% of raw")  # fmt: skip
PLAIN = Names(methods=TENDER.methods, outcome="liking", measure="points")
_MEANS = {"A": 5.2, "B": 7.6, "C": 6.4, "D": 6.9}
_HUMP = {"A": 4.0, "B": 6.0, "C": 7.0, "D": 6.6, "E": 4.4}
_RISING = dict(zip("ABCDE", (4.0, 5.0, 6.0, 7.0, 8.0), strict=True))
_LEVEL = dict.fromkeys("ABCDE", 5.5)
_ADDED = {"A": 5.0, "B": 7.2, "C": 5.2, "D": 7.3}


def _judged(
    means: dict[str, float], plan: MethodPlan, asked: AnalysisQuestion = ASKED, lot: int = 3,
    **more: object,
) -> SeveralFinding:  # fmt: skip
    own = {letter: means[letter] for letter in plan.letters}
    return judge_several((table(own, lot, **more), asked), plan)  # type: ignore[arg-type]


def every() -> Iterator[tuple[str, SeveralFinding, Names]]:
    """Each shape with what it can support, in each scope and form of words."""
    yield from _pairs()
    yield from _crossed()
    yield from _ordered()


def _pairs() -> Iterator[tuple[str, SeveralFinding, Names]]:
    far = {"A": 4.0, "B": 8.0, "C": 6.0, "D": 6.2, "E": 4.2, "F": 5.0}
    same = dict.fromkeys("ABCDEF", 6.0)
    sure = {"cooks": 10, "tasters": 10, "scatter": 0.35}
    weighed = replace(MEASURED, better="lower")
    lower = replace(ASKED, better="lower")
    as_good = replace(ASKED, kind="at-least-as-good")
    kept = {"A": 6.0, "B": 6.1, "C": 4.0}
    for letters in ("ABC", "ABCD", "ABCDEF"):
        yield f"{len(letters)} methods", _judged(far, pairs(letters)), TENDER
        yield f"{len(letters)} methods, sure", _judged(far, pairs(letters), **sure), TENDER
        yield f"{len(letters)} methods, alike", _judged(same, pairs(letters), **sure), TENDER
        yield f"{len(letters)} methods, open", _judged(same, pairs(letters)), TENDER
    yield "against the usual one", _judged(far, pairs("ABCD", "A")), TENDER
    yield "against the usual one, alike", _judged(same, pairs("ABC", "A"), **sure), TENDER
    yield "plain words, lower is better", _judged(far, pairs(), lower, **sure), PLAIN
    yield "weighed", _judged(far, pairs(), weighed, tasters=0, whole=False, cooks=8), LOSS
    yield "at least as good", _judged(kept, pairs("ABC", "A"), as_good, **sure), TENDER
    yield "two cooks", _judged(far, pairs(), cooks=2), TENDER
    yield "no d", _judged(far, pairs(), replace(ASKED, matters=None)), TENDER
    yield "one day, several units", _judged(far, pairs(), cooks=1, units=4), TENDER
    yield "one day, one unit", _judged(far, pairs(), cooks=1, tasters=9), TENDER
    yield "one day, two tasters", _judged(far, pairs(), cooks=1, tasters=2), TENDER
    yield "cook days out", _judged(far, pairs(), replace(ASKED, planned_cooks=7)), TENDER
    yield "cook days added", _judged(far, pairs(), replace(ASKED, planned_cooks=3)), TENDER
    yield "one recipe", _judged(same, pairs(), replace(ASKED, same_recipe=True)), TENDER
    yield "one taster", _judged(far, pairs(), tasters=1), TENDER


def _crossed() -> Iterator[tuple[str, SeveralFinding, Names]]:
    sure = {"cooks": 10, "tasters": 10, "scatter": 0.35}
    weighed = replace(MEASURED, better="lower", matters=2.0)
    losses = {"A": 44.0, "B": 52.0, "C": 39.0, "D": 47.0}
    yield "crossed, they act on each other", _judged(_MEANS, CROSSED), TENDER
    yield "crossed, they act on each other, sure", _judged(_MEANS, CROSSED, **sure), TENDER
    yield "crossed, they only add up", _judged(_ADDED, CROSSED), TENDER
    yield "crossed, they only add up, sure", _judged(_ADDED, CROSSED, **sure), PLAIN
    yield "crossed, alike", _judged(_LEVEL, CROSSED, **sure), TENDER
    yield "crossed, open", _judged(_LEVEL, CROSSED), TENDER
    yield "crossed, weighed", _judged(losses, CROSSED, weighed, tasters=0, whole=False), LOSS
    yield "crossed, one day", _judged(_MEANS, CROSSED, cooks=1, tasters=10, scatter=0.5), TENDER
    yield "crossed, one day, units", _judged(_MEANS, CROSSED, cooks=1, units=4), PLAIN


def _ordered() -> Iterator[tuple[str, SeveralFinding, Names]]:
    falling = dict(zip("ABCDE", (8.0, 7.0, 6.0, 5.0, 4.0), strict=True))
    sure = {"cooks": 10, "tasters": 10, "scatter": 0.35}
    neither = replace(ASKED, better="neither")
    yield "ordered, a best setting", _judged(_HUMP, ORDERED), TENDER
    yield "ordered, no way better", _judged(_HUMP, ORDERED, neither), PLAIN
    yield "ordered, rising to the edge", _judged(_RISING, ORDERED), TENDER
    yield "ordered, falling", _judged(falling, ORDERED), PLAIN
    yield "ordered, alike", _judged(_LEVEL, ORDERED, **sure), TENDER
    yield "ordered, open", _judged(_LEVEL, ORDERED), TENDER
    yield "ordered, one day", _judged(_RISING, ORDERED, cooks=1, tasters=9), TENDER


def written() -> str:
    """All of them, one paragraph a finding."""
    parts = []
    for name, made, names in every():
        what, who = wording.holds_for(made)
        said = {
            "headline": wording.whole_headline(made, names),
            "short": wording.short_form(made, names),
            "what": what,
            "who": who,
            "seen": wording.seen_on(made),
            "ruled out": wording.ruled_out(made, names),
            "cost": wording.cost(made, names),
            "model": wording.model_in_words(made),
        }
        lines = [f"{key:>9}  {say(text)}" for key, text in said.items() if text is not None]
        for claim in made.leading[:6]:
            shown = wording.turned(claim, made)
            what, cell = wording.claim_name(shown, made), wording.claim_verdict(shown, names)
            lines.append(f"{'cell':>9}  {say(what)}: {say(cell)}")
        lines += [f"{'note':>9}  {say(note)}" for note in made.notes]
        parts.append("\n".join([f"## {name}", *lines]))
    return "\n\n".join(parts) + "\n"


if __name__ == "__main__":
    GOLDEN.write_text(written(), encoding="utf-8")
    print(GOLDEN.name)

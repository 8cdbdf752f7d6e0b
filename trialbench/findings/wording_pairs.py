"""Several methods, pair by pair: who is told apart from whom, and who is not."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from trialbench.findings.finding import Case
from trialbench.findings.level_words import Text, both
from trialbench.findings.phrases import Names, compares, is_up, opening
from trialbench.findings.several_finding import Claim, SeveralFinding
from trialbench.findings.short_forms import not_settled
from trialbench.model.message import Message, msg, msg_n, say

_ORDER: tuple[Case, ...] = ("better_enough", "better_size_open", "better_too_little")
_MOST = 3
"""Groups of winners that a headline names; the table has the rest."""
Pair = tuple[str, str]


def headline(found: SeveralFinding, names: Names) -> Message:
    """Who is ahead of whom, then who is not told apart from whom."""
    if found.kind == "at-least-as-good":
        return _as_good(found, names)
    told = _winners(found, names)
    apart = _not_apart(found, names)
    if told is None:
        return _none_told(found, names)
    if apart is None:
        return msg("{told}.", told=told)
    return msg("{told}. {apart}.", told=told, apart=opening(say(apart)))


def claim_name(claim: Claim, found: SeveralFinding) -> Text:
    """ "B over A", by letters."""
    plain = claim.finding.comparison
    return msg("{first} over {second}", first=plain.a, second=plain.b)


def _winners(found: SeveralFinding, names: Names) -> Message | None:
    """ "B is juicier than A and C, by enough to matter; C is juicier than A ..."."""
    groups: dict[tuple[str, Case], list[Claim]] = {}
    for claim in found.told:
        winner = claim.finding.favours or ""
        groups.setdefault((winner, claim.finding.case), []).append(claim)
    if not groups:
        return None
    ordered = sorted(
        groups.items(), key=lambda item: (_place(item[0][1]), -len(item[1]), item[0][0])
    )
    said = [
        _group(names, winner, case, claims, past=found.scope != "method", opens=not place)
        for place, ((winner, case), claims) in enumerate(ordered[:_MOST])
    ]
    first, *rest = said
    for each in rest:
        first = msg("{first}; {second}", first=first, second=each)
    if len(ordered) > _MOST:
        return msg("{first}; the table has more", first=first)
    return first


def _place(case: Case) -> int:
    return _ORDER.index(case) if case in _ORDER else len(_ORDER)


def _group(
    names: Names, winner: str, case: Case, claims: Sequence[Claim], *, past: bool, opens: bool
) -> Message:
    losers = [claim.finding.other or "" for claim in claims]
    together = say(both([names.of(each) for each in losers]))
    grouped = replace(names, methods=((winner, names.of(winner)), ("\0", together)))
    up = is_up(claims[0].finding, winner)
    said = compares(grouped, winner, "\0", up=up, past=past, opens=opens)
    if case == "better_enough":
        return msg("{said}, by enough to matter", said=said)
    if case == "better_too_little":
        return msg("{said}, by too little to matter", said=said)
    return msg("{said}, by how much is not pinned down", said=said)


def _pair(claim: Claim) -> Pair:
    plain = claim.finding.comparison
    return plain.a, plain.b


def _not_apart(found: SeveralFinding, names: Names) -> Message | None:
    """ "C is not told apart from either"; then pairs with no difference that matters."""
    open_ = [_pair(c) for c in found.leading if not c.told and not c.equal_enough]
    equal = [_pair(c) for c in found.leading if c.equal_enough]
    said = [part for part in (_open(found, names, open_), _equal(names, equal)) if part is not None]
    if len(said) == 2:
        return msg("{first}; {second}", first=said[0], second=said[1])
    return said[0] if said else None


def _open(found: SeveralFinding, names: Names, pairs: Sequence[Pair]) -> Message | None:
    if not pairs:
        return None
    usual, letters = found.plan.usual, found.plan.letters
    if usual is not None:
        other = [b if a == usual else a for a, b in pairs]
        return _from(names, other, names.of(usual))
    alone = _alone(letters, pairs)
    if alone is not None and len(letters) > 2:
        rest = msg("either") if len(letters) == 3 else msg("any of the others")
        return _from(names, [alone], rest)
    if len(pairs) == 1:
        one, two = (names.of(each) for each in pairs[0])
        return msg("{one} and {two} are not told apart", one=one, two=two)
    group = sorted({letter for pair in pairs for letter in pair})
    if len(pairs) == len(group) * (len(group) - 1) // 2:
        listed = both([names.of(each) for each in group])
        return msg("{methods} are not told apart", methods=listed)
    return msg_n(
        "the other {count} pair is not told apart",
        "the other {count} pairs are not told apart",
        len(pairs),
    )


def _alone(letters: Sequence[str], pairs: Sequence[Pair]) -> str | None:
    """The one method whose pairs with all others these are."""
    for letter in letters:
        if len(pairs) == len(letters) - 1 and all(letter in pair for pair in pairs):
            return letter
    return None


def _from(names: Names, methods: Sequence[str], other: Text) -> Message:
    listed = both([names.of(each) for each in methods])
    if len(methods) == 1:
        return msg("{one} is not told apart from {other}", one=listed, other=other)
    return msg("{several} are not told apart from {other}", several=listed, other=other)


def _equal(names: Names, pairs: Sequence[Pair]) -> Message | None:
    if not pairs:
        return None
    if len(pairs) > 2:
        return msg_n(
            "no difference that matters in {count} pair",
            "no difference that matters in {count} pairs",
            len(pairs),
        )
    said = [msg("{one} and {two}", one=names.of(a), two=names.of(b)) for a, b in pairs]
    if len(said) == 1:
        return msg("no difference that matters between {pair}", pair=said[0])
    return msg(
        "no difference that matters between {pair}, nor between {other}",
        pair=said[0],
        other=said[1],
    )


def _none_told(found: SeveralFinding, names: Names) -> Message:
    equal = [_pair(c) for c in found.leading if c.equal_enough]
    methods = both([names.of(letter) for letter in found.plan.letters])
    shown = {"outcome": names.outcome, "methods": methods}
    if len(equal) == len(found.leading):
        return msg(
            "No difference that matters in {outcome} between any two of {methods}.", **shown
        ) if found.plan.usual is None else msg(
            "No difference that matters in {outcome} between {usual} and any of the others.",
            outcome=names.outcome, usual=names.of(found.plan.usual),
        )  # fmt: skip
    if not equal:
        return msg(
            "Not settled: {methods} are not told apart in {outcome}, nor shown to be alike.",
            **shown,
        )
    said = _equal(names, equal)
    rest = _not_settled(found, names)
    return msg("Not settled in {outcome}: {rest}; {equal}.", outcome=names.outcome, rest=rest,
               equal=said or "")  # fmt: skip


def _not_settled(found: SeveralFinding, names: Names) -> Message:
    open_ = [_pair(c) for c in found.leading if not c.told and not c.equal_enough]
    return _open(found, names, open_) or msg("no pair is told apart")


def _as_good(found: SeveralFinding, names: Names) -> Message:
    """Which of the easier ways are shown to be at least as good, and which are not."""
    asked = [c for c in found.leading if c.finding.kind == "at-least-as-good"]
    shown = [c for c in asked if c.finding.case == "at_least_as_good"]
    not_shown = [c for c in asked if c.finding.case == "not_shown"]
    said: list[Message] = []
    if shown:
        easier = both([names.of(c.finding.easier or "") for c in shown])
        said.append(_at_least(shown, easier, found, names))
    if not_shown:
        easier = both([names.of(c.finding.easier or "") for c in not_shown])
        said.append(msg("Not shown of {easier} in {outcome}.", easier=easier,
                        outcome=names.outcome) if shown else
                    msg("Not shown that {easier} is at least as good in {outcome}.",
                        easier=easier, outcome=names.outcome))  # fmt: skip
    winners = _winners(found, names)
    if winners is not None:
        said.append(msg("{said}.", said=winners))
    if not said:
        return _none_told(found, names)
    first, *rest = said
    for each in rest:
        first = msg("{first} {second}", first=first, second=each)
    return first


def _at_least(shown: Sequence[Claim], easier: Text, found: SeveralFinding, names: Names) -> Message:
    finding = shown[0].finding
    plain = finding.comparison
    usual = plain.a if finding.easier == plain.b else plain.b
    more = {
        "one": opening(say(easier)),
        "two": names.of(usual),
        "outcome": names.outcome,
        "size": names.as_typed(finding.matters or 0.0),
    }
    if len(shown) == 1:
        return msg(
            "{one} came out at least as good as {two} in {outcome}: not worse by {size} or more.",
            **more,
        ) if found.scope != "method" else msg(
            "{one} is at least as good as {two} in {outcome}: not worse by {size} or more.", **more
        )  # fmt: skip
    return msg(
        "{one} are at least as good as {two} in {outcome}: not worse by {size} or more.", **more
    )


def short_form(found: SeveralFinding, names: Names) -> Message:
    """ "B juicier than A and C, by enough; C not told apart from A", by letters."""
    if found.kind == "at-least-as-good":
        asked = [c for c in found.leading if c.finding.kind == "at-least-as-good"]
        good = [c.finding.easier or "" for c in asked if c.finding.case == "at_least_as_good"]
        if not good:
            return msg("None shown to be as good")
        return msg("At least as good: {letters}", letters=both(good))
    told = found.told
    if not told:
        if all(c.equal_enough for c in found.leading):
            return msg("No difference that matters")
        return not_settled(found.cooks_to_settle, found.counts.cooks)
    clear = [c for c in told if c.finding.case == "better_enough"]
    counted: dict[str, list[Claim]] = {}
    for claim in clear or told:
        counted.setdefault(claim.finding.favours or "", []).append(claim)
    winner, claims = max(counted.items(), key=lambda item: (len(item[1]), item[0]))
    word = names.word(is_up(claims[0].finding, winner))
    losers = both([claim.finding.other or "" for claim in claims])
    said = msg("{winner} {word} than {losers}", winner=winner, word=word, losers=losers)
    if names.form == "plain":
        said = msg("{winner} {word} than {losers} in {outcome}", winner=winner, word=word,
                   losers=losers, outcome=names.outcome)  # fmt: skip
    if clear:
        said = msg("{said}, by enough", said=said)
    left = sum(not c.told and not c.equal_enough for c in found.leading)
    if not left:
        return said
    return msg_n("{said}; {count} pair not told apart", "{said}; {count} pairs not told apart",
                 left, said=said)  # fmt: skip

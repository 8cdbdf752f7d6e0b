"""From a Finding to sentences. Language never says more than the finding's scope."""

from __future__ import annotations

from dataclasses import dataclass

from trialbench.findings.finding import Finding, OtherOutcome
from trialbench.model.message import Message


@dataclass(frozen=True, slots=True)
class Names:
    """How methods and the outcome are called on the page.

    `methods` pairs each label with its short name. `more` and `less` are comparatives ("juicier",
    "less juicy"), `measure` what the numbers count ("points", "% of raw"), `decimals` how many are
    shown.
    """

    methods: tuple[tuple[str, str], ...] = ()
    outcome: str = "score"
    more: str = "higher"
    less: str = "lower"
    measure: str = ""
    decimals: int = 1

    def of(self, label: str) -> str:
        """The short name of a method; its label where none was given."""
        return dict(self.methods).get(label, label)


def headline(finding: Finding, names: Names) -> Message:
    """At most two sentences: who is ahead and how far that is pinned down."""
    raise NotImplementedError


def holds_for(finding: Finding, names: Names) -> tuple[Message, Message]:
    """What it holds for (shown bold) and for whom."""
    raise NotImplementedError


def ruled_out(finding: Finding, names: Names) -> Message | None:
    """What the interval rules out, in words."""
    raise NotImplementedError


def cost(finding: Finding, names: Names) -> Message | None:
    """How many cook days would probably settle it."""
    raise NotImplementedError


def short_form(finding: Finding, names: Names) -> Message:
    """A few words for the contents line: "Juicier, and by enough"."""
    raise NotImplementedError


def redraw_sentence(finding: Finding) -> Message | None:
    """What the redraw test says, or from how many cook days on it could speak."""
    raise NotImplementedError


def model_in_words(finding: Finding) -> Message:
    """How the interval was reckoned, for "How it was reckoned" and for exports."""
    raise NotImplementedError


def other_verdict(other: OtherOutcome, names: Names) -> Message:
    """What else we looked at: "also loses less" or "not told apart"."""
    raise NotImplementedError

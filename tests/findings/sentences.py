"""The golden sentences: `python -m tests.findings.sentences` writes them, to be read by eye."""

from __future__ import annotations

from pathlib import Path

from tests.findings.made_up import every
from trialbench.findings import wording
from trialbench.model.message import say

GOLDEN = Path(__file__).with_name("sentences.txt")


def written() -> str:
    """All sentences of all made-up findings."""
    parts = []
    for name, finding, names in every():
        what, who = wording.holds_for(finding, names)
        said = {
            "headline": wording.whole_headline(finding, names),
            "short": wording.short_form(finding, names),
            "cell": wording.verdict(finding, names),
            "what": what,
            "who": who,
            "seen": wording.seen_on(finding),
            "ruled out": wording.ruled_out(finding, names),
            "cost": wording.cost(finding, names),
            "redraw": wording.redraw_sentence(finding),
            "model": wording.model_in_words(finding),
        }
        lines = [f"{key:>9}  {say(text)}" for key, text in said.items() if text is not None]
        parts.append("\n".join([f"## {name}", *lines]))
    return "\n\n".join(parts) + "\n"


if __name__ == "__main__":
    GOLDEN.write_text(written(), encoding="utf-8")
    print(GOLDEN.name)

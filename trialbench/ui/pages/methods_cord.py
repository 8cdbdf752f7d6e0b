"""The cord over the methods: where each stage begins on it, where the plies part and join."""

from __future__ import annotations

from trialbench.model.message import Message, msg, say
from trialbench.planning.parting import CordOfMethods, Stretch
from trialbench.ui import theme
from trialbench.ui.cord import CordShape, CordStage

_BETWEEN_PX = 34
_LEAST_PX = 64


def shape_of(cord: CordOfMethods, room_px: float) -> CordShape:
    """Every stage as wide as its words; the plies part before the first stage that differs.

    Where the words want more than `room_px`, the longest are said shorter, then left out.
    """
    said = [_says(stretch) for stretch in cord.stretches]
    wide = [_width(stretch, says) for stretch, says in zip(cord.stretches, said, strict=True)]
    shortened: set[int] = set()
    while sum(wide) - _BETWEEN_PX > room_px and any(said):
        longest = max(range(len(wide)), key=lambda n: wide[n] if said[n] else 0.0)
        stretch = cord.stretches[longest]
        said[longest] = () if longest in shortened else _says(stretch, short=True)
        shortened.add(longest)
        wide[longest] = _width(stretch, said[longest])
    whole = sum(wide) or 1.0
    at = [sum(wide[:number]) / whole for number in range(len(wide) + 1)]
    stages = tuple(
        CordStage(at[number], stretch.name, said[number])
        for number, stretch in enumerate(cord.stretches)
    )
    parts = None
    if cord.parts_at is not None and cord.joins_at is not None:
        parts = (max(at[cord.parts_at] - 0.01, 0.04), at[cord.joins_at])
    under = ("", msg("here they part"), "") if parts else ("", "", "")
    return CordShape(cord.letters, parts, stages, under)


def _width(stretch: Stretch, says: tuple[tuple[str, str], ...]) -> float:
    words = "".join(text for text, _ in says)
    metrics = theme.metrics("label", weight=600)
    name = theme.metrics("cell", weight=500).horizontalAdvance(say(stretch.name))
    return max(metrics.horizontalAdvance(words), name, _LEAST_PX) + _BETWEEN_PX


def _says(stretch: Stretch, *, short: bool = False) -> tuple[tuple[str, str], ...]:
    said = [(letters, say(words)) for letters, words in stretch.says if say(words)]
    if short:
        # "to 92 °C core, about 9 h" is "9 h".
        said = [(letters, words.rpartition(", ")[2].split("about ")[-1]) for letters, words in said]
    if len(said) == 1 and not stretch.apart:
        return ((said[0][1], "pencil"),)
    if len(said) == 1:
        letters, words = said[0]
        return ((words, f"method_{letters.lower()}" if len(letters) == 1 else "pencil"),)
    found: list[tuple[str, str]] = []
    for letters, words in zip([x for x, _ in said], without_what_is_alike([w for _, w in said]),
                              strict=True):  # fmt: skip
        if found:
            found.append((say(msg(" or ")), "pencil"))
        alone = len(letters) == 1 and letters in theme.METHODS
        found.append((words, f"method_{letters.lower()}" if alone else "pencil"))
    return tuple(found)


def spoken(cord: CordOfMethods) -> Message:
    """The cord in words: "A and B go together: Salt, Roast; apart: Rest, Hold; together: Sear"."""
    if cord.parts_at is None or cord.joins_at is None:
        return msg("{letters} go together all the way", letters=" ".join(cord.letters))
    names = [say(stretch.name) for stretch in cord.stretches]
    return msg(
        "{letters} together: {before}; apart: {apart}; together again: {after}",
        letters=" ".join(cord.letters),
        before=", ".join(names[: cord.parts_at]) or "–",
        apart=", ".join(names[cord.parts_at : cord.joins_at]),
        after=", ".join(names[cord.joins_at :]) or "–",
    )


def without_what_is_alike(said: list[str]) -> list[str]:
    """ "to 92 °C core, about 2 h" and "to 92 °C core, about 1 h": the second says "1 h" alone;
    "45 min" and "20 min": the first says "45" alone."""
    if not said:
        return []
    words = [text.split() for text in said]
    first = words[0]
    alike = 0
    while all(len(w) > alike + 1 and w[alike] == first[alike] for w in words):
        alike += 1
    # A number never goes without its own unit: only whole phrases are left out.
    while alike and not first[alike - 1].endswith((",", "about", "to", "core")):
        alike -= 1
    kept = [first, *(w[alike:] for w in words[1:])]
    short = all(len(w) - (alike if n == 0 else 0) == 2 for n, w in enumerate(kept))
    if short and len({w[-1] for w in kept}) == 1:
        kept = [w[:-1] for w in kept[:-1]] + [kept[-1]]
    return [" ".join(w) for w in kept]

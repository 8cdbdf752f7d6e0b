"""Tasting one after another until the answers speak: two lines in a chart of right answers."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from trialbench.model.message import Message, msg
from trialbench.stats.binomial import check_counts, whole
from trialbench.stats.choice_forms import form_named
from trialbench.stats.not_applicable import NotApplicable
from trialbench.stats.numbers import BadNumbers
from trialbench.stats.settings import between

LONGEST = 5_000
"""Answers after which the chance of still going on is nothing."""
TOO_LONG = msg(
    "With so small a share or risk more than {most} answers may be needed.", most=LONGEST
)


@dataclass(frozen=True, slots=True, kw_only=True)
class SequentialLines:
    """Two lines: right answers after n tasters, `slope` n + intercept.

    At or above the upper line guessing is ruled out; at or below the lower one it is unlikely that
    a `share` of tasters can tell. `chance_if_guessing` and `chance_if_share`: exact chances of
    ending at the upper line; `expected_if_guessing`, `expected_if_share`: mean number of answers.
    """

    form: str
    share: float
    alpha: float
    beta: float
    slope: float
    upper: float
    lower: float
    chance_if_guessing: float
    chance_if_share: float
    expected_if_guessing: float
    expected_if_share: float
    null_hypothesis: Message

    def needed(self, of: int) -> int | None:
        """Fewest right after `of` answers that rule out guessing; None where not yet possible.

        Raises `BadNumbers` for what is no count.
        """
        of = whole(of, "of")
        fewest = math.ceil(self.slope * of + self.upper - 1e-12)
        return fewest if fewest <= of else None

    def allowed(self, of: int) -> int | None:
        """Most right after `of` answers at which to stop for want of a difference.

        None where it is too early. Raises `BadNumbers` for what is no count.
        """
        of = whole(of, "of")
        most = math.floor(self.slope * of + self.lower + 1e-12)
        return most if most >= 0 else None

    def decide(self, right: int, of: int) -> str:
        """ "can tell", "cannot tell" or "go on". Raises `BadNumbers` for counts that do not fit."""
        right, of = check_counts(right, of)
        needed, allowed = self.needed(of), self.allowed(of)
        if needed is not None and right >= needed:
            return "can tell"
        return "cannot tell" if allowed is not None and right <= allowed else "go on"


def sequential_lines(
    form: str = "triangle", share: float = 0.3, alpha: float = 0.05, beta: float = 0.2
) -> SequentialLines | NotApplicable:
    """Lines of the sequential probability ratio test, guessing against a `share` who can tell.

    Wald 1947, Sequential Analysis, section 5.3, with his bounds (1 - beta) / alpha and
    beta / (1 - alpha); the chances they really give are reckoned exactly, answer by answer.
    Raises `BadNumbers` unless alpha + beta < 1 and the share is above 0 and below 1;
    `NotApplicable` where 5,000 answers may not be enough.
    """
    kind = form_named(form)
    share, alpha = between(share, "share"), between(alpha, "alpha")
    beta = between(beta, "beta")
    if alpha + beta >= 1:
        raise BadNumbers("alpha and beta add up to 1 or more.", where="beta", allowed="less")
    guess, truth = kind.guess, min(kind.right_if(share), math.nextafter(1.0, 0.0))
    right, wrong = math.log(truth / guess), math.log((1 - truth) / (1 - guess))
    heights = math.log((1 - beta) / alpha), math.log(beta / (1 - alpha))
    if max(heights[0], -heights[1]) >= LONGEST * (right - wrong):
        return NotApplicable(TOO_LONG)
    plain = {
        "slope": -wrong / (right - wrong),
        "upper": heights[0] / (right - wrong),
        "lower": heights[1] / (right - wrong),
    }
    lines = [plain["slope"], plain["upper"], plain["lower"]]
    by_guess, long_guess, open_guess = _walk(lines, guess)
    by_share, long_share, open_share = _walk(lines, truth)
    if max(open_guess, open_share) > 1e-9:
        return NotApplicable(TOO_LONG)
    return SequentialLines(
        form=kind.name, share=share, alpha=alpha, beta=beta, **plain,
        chance_if_guessing=by_guess, chance_if_share=by_share,
        expected_if_guessing=long_guess, expected_if_share=long_share,
        null_hypothesis=msg("Everybody guesses."),
    )  # fmt: skip


def _walk(lines: list[float], share: float) -> tuple[float, float, float]:
    """Exact chance of ending at the upper line, mean number of answers, chance of no end."""
    slope, upper, lower = lines
    going = np.array([1.0])
    start, told, length = 0, 0.0, 0.0
    for of in range(1, LONGEST + 1):
        length += float(going.sum())
        going = np.append(going * (1 - share), 0.0) + np.append(0.0, going * share)
        needed = math.ceil(slope * of + upper - 1e-12)
        allowed = math.floor(slope * of + lower + 1e-12)
        # Right answers start ... start + len - 1 are still open.
        end = max(0, min(len(going), needed - start))
        told += float(going[end:].sum())
        cut = min(max(0, allowed + 1 - start), end)
        going, start = going[cut:end], start + cut
        if not going.size or float(going.sum()) < 1e-15:
            break
    return told, length, float(going.sum())

"""Numbers as typed in a kitchen: one point or one comma is the decimal sign, spaces group."""

from __future__ import annotations

import math
import re
from decimal import ROUND_HALF_UP, Decimal

from trialbench.model.errors import Refused
from trialbench.model.message import msg

THIN_SPACE = "\u2009"
MINUS = "\u2212"

_SPACES = re.compile(r"[\s\u2009\u202f\u00a0]+")
_NUMBER = re.compile(r"[+-]?(\d+([.,]\d*)?|[.,]\d+)")


def parse_number(typed: str, *, field: str = "") -> float:
    """The number that was typed.

    "1,5" and "1.5" are one and a half; spaces group digits; two decimal signs are refused, because
    "1.234,5" can be read in two ways. Raises Refused.
    """
    text = _SPACES.sub("", typed).replace(MINUS, "-")
    if not _NUMBER.fullmatch(text):
        if text.count(".") + text.count(",") > 1:
            raise Refused(
                msg("{typed} has two decimal signs. Not written.", typed=typed.strip()),
                field=field,
                typed=typed,
                allowed=msg("one point or one comma, and no sign between thousands"),
                way_out=msg("Write it again with one point or comma."),
            )
        raise Refused(
            msg("{typed} is not a number. Not written.", typed=typed.strip() or "\u2013"),
            field=field,
            typed=typed,
            allowed=msg("figures with one point or comma"),
            way_out=msg("Write figures, or leave it empty."),
        )
    value = float(text.replace(",", "."))
    if not math.isfinite(value):
        raise Refused(msg("{typed} is too large. Not written.", typed=typed), field=field)
    return value


def rounded(value: float, decimals: int) -> Decimal:
    """Round half away from zero on the shortest decimal text of the value: the one place."""
    quantum = Decimal(1).scaleb(-decimals)
    result = Decimal(repr(float(value))).quantize(quantum, rounding=ROUND_HALF_UP)
    return abs(result) if result == 0 else result


def figure(value: float, decimals: int = 1, *, sign: bool = False) -> str:
    """A number for a page: true minus, thin space between thousands, a plus sign on request."""
    number = rounded(value, decimals)
    text = f"{abs(number):,.{decimals}f}".replace(",", THIN_SPACE)
    if number < 0:
        return MINUS + text
    return f"+{text}" if sign and number > 0 else text


def shortest(value: float, most: int = 6) -> str:
    """A number for a field: as few decimals as it needs, at most `most`."""
    text = f"{rounded(value, most):f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def plain(value: float, decimals: int) -> str:
    """A number for files: ASCII minus, no grouping."""
    return f"{rounded(value, decimals):f}"

"""Numbers as they come from outside: to plain floats, exact sums, their own grid of decimals."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal
from fractions import Fraction
from math import lcm

from trialbench.model.errors import BadInput

LARGEST_DENOMINATOR = 10_000
"""Means of up to this many grid values are recognised as fractions of the grid."""

LARGEST = 1e100
"""Beyond this the square of a number may be beyond what a float holds."""

LONGEST_DECIMAL = 14
"""Decimals of up to this many figures are taken as written."""


class BadNumbers(BadInput, ValueError):
    """Numbers or labels that the engine cannot work with; `where` and `allowed` say more."""


def plain(value: object, where: str = "value") -> float | None:
    """A finite float, or None where `value` is missing (None, NaN, empty text).

    Raises `BadNumbers` for text that is no number, for infinities and for numbers beyond 1e100.
    """
    if value is None or (isinstance(value, str) and not value.strip()):
        return None
    if type(value).__name__ in ("NAType", "NaTType"):
        return None
    number = float(value) if type(value) is float else _as_float(value)
    if number is None:
        said = f"{shown(value)} is not a number."
        raise BadNumbers(said, where=where, allowed="a number up to 1e100")
    if math.isnan(number):
        return None
    if math.isinf(number):
        raise BadNumbers(f"{shown(value)} is not a finite number.", where=where, allowed="a number")
    if abs(number) > LARGEST:
        raise BadNumbers(
            f"{shown(value)} is too large to reckon with.", where=where, allowed="up to 1e100"
        )
    return number


def _as_float(value: object) -> float | None:
    """None for what is no number, and for a list or array even of one number."""
    many = hasattr(value, "__len__") and getattr(value, "shape", None) != ()
    if isinstance(value, bytes) or (many and not isinstance(value, str)):
        return None
    try:
        # float32 0.1 is the text 0.1, not 0.10000000149: read it as it is written.
        return float(str(value)) if type(value).__name__ == "float32" else float(value)  # type: ignore[arg-type]
    except OverflowError:
        return math.inf
    except (TypeError, ValueError):
        return None


def one_number(value: object, where: str, allowed: str) -> float:
    """A setting such as a level or a share. Raises `BadNumbers` for text, None and lists."""
    number = None if isinstance(value, str) else _as_float(value)
    if number is None:
        raise BadNumbers(f"{where} is {shown(value)}.", where=where, allowed=allowed)
    return number


def above_zero(value: object, where: str) -> float:
    """A size such as a step. Raises `BadNumbers` unless 0 < value <= 1e100."""
    allowed = "a number above 0, up to 1e100"
    number = one_number(value, where, allowed)
    if not 0 < number <= LARGEST:
        raise BadNumbers(f"{where} is {number:g}.", where=where, allowed=allowed)
    return number


def one_flag(value: object, where: str) -> bool:
    """A yes or no. Raises `BadNumbers` for anything but True and False (or 1 and 0)."""
    if type(value).__name__ in ("bool", "bool_") or (type(value) is int and value in (0, 1)):
        return bool(value)
    raise BadNumbers(f"{where} is {shown(value)}.", where=where, allowed="True or False")


def shown(value: object) -> str:
    """What was given, short enough for a sentence."""
    if isinstance(value, int) and value.bit_length() > 400:
        return "a number of more than 100 figures"
    text = " ".join(repr(value).split())
    return text if len(text) <= 60 else f"{text[:57]}..."


def one_text(value: object, where: str, allowed: str) -> str:
    """A name, a formula or a choice of words. Raises `BadNumbers` for what is no text."""
    if not isinstance(value, str):
        raise BadNumbers(f"{where} is {shown(value)}.", where=where, allowed=allowed)
    return value


def listed(values: object, where: str) -> list[object]:
    """The values of a list, tuple, array or column. Raises `BadNumbers` for anything else."""
    table = isinstance(values, Mapping) or hasattr(values, "columns")
    if not table and not isinstance(values, (str, bytes)) and values is not None:
        try:
            # A column of short floats gives long ones (0.10000000149) where it is gone through.
            if str(getattr(values, "dtype", "")).lower() == "float32" and hasattr(
                values, "to_numpy"
            ):
                return list(values.to_numpy())
            return list(values)  # type: ignore[call-overload, no-any-return]
        except TypeError:
            pass
    raise BadNumbers(f"{where} is {shown(values)}.", where=where, allowed="a list")


def one_of(value: object, where: str, allowed: Sequence[str]) -> str:
    """One of the words `allowed`. Raises `BadNumbers` for anything else."""
    if isinstance(value, str) and value in allowed:
        return value
    raise BadNumbers(f"{where} is {shown(value)}.", where=where, allowed=", ".join(allowed))


def mean(values: Iterable[float]) -> float:
    """Mean whose value does not depend on the order of the values (correctly rounded sum)."""
    kept = list(values)
    return math.fsum(kept) / len(kept)


def variance(values: Sequence[float]) -> float:
    """Variance with n - 1, independent of order; two values at least."""
    middle = mean(values)
    return math.fsum((value - middle) ** 2 for value in values) / (len(values) - 1)


def _as_fraction(value: float, slack: float) -> Fraction | None:
    """The short decimal or small fraction that `value` stands for, within `slack`."""
    text = Decimal(repr(value))
    if len(text.normalize().as_tuple().digits) <= LONGEST_DECIMAL:
        return Fraction(text)
    near = Fraction(text).limit_denominator(LARGEST_DENOMINATOR)
    return near if abs(float(near) - value) <= slack else None


def on_own_grid(pairs: Sequence[tuple[float, float]]) -> list[int] | None:
    """a - b of each pair as whole steps of the finest grid all values lie on, else None.

    The grid is that of the written decimals: 7.2 - 6.0 and 7.0 - 5.8 tie, which their floats do
    not. Means and differences of grid values (44.8333..., 0.39999...) are taken for the fraction
    they stand for.
    """
    # Such numbers are off by a few units in the last place of the largest.
    slack = 4 * math.ulp(max((abs(value) for pair in pairs for value in pair), default=0.0))
    exact: list[Fraction] = []
    for first, second in pairs:
        left, right = _as_fraction(first, slack), _as_fraction(second, slack)
        if left is None or right is None:
            return None
        exact.append(left - right)
    step = lcm(*(value.denominator for value in exact)) if exact else 1
    steps = [int(value * step) for value in exact]
    # Numbers of very different size have a grid beyond what floats hold: there is none then.
    return steps if all(abs(each) < LARGEST for each in steps) else None

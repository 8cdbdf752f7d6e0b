"""What an instrument may be off by, and what that does to a reckoned heat effect.

Thermocouples: IEC 60584-2:1993 as in JIS C1602-1995; resistance thermometers: IEC 60751. For new
wire; the larger of the two terms counts for a thermocouple, their sum for a resistance thermometer.
"""

from __future__ import annotations

import math

from trialbench.thermal.bad_figures import BadFigures

_RESISTANCE = {
    "RTD AA": (0.1, 0.0017),
    "RTD A": (0.15, 0.002),
    "RTD B": (0.3, 0.005),
    "RTD C": (0.6, 0.01),
}
_THERMOCOUPLE = {
    "K 1": (1.5, 0.004),
    "K 2": (2.5, 0.0075),
    "J 1": (1.5, 0.004),
    "T 1": (0.5, 0.004),
    "T 2": (1.0, 0.0075),
}
SENSORS = (*_RESISTANCE, *_THERMOCOUPLE)
"""Sensor and class, as `tolerance_k` takes them."""

_PT100_A, _PT100_B = 3.9083e-3, -5.775e-7


def tolerance_k(sensor: str, temp_c: float) -> float:
    """The tolerance in K of a sensor and class at a temperature. Raises BadFigures for another."""
    if sensor in _RESISTANCE:
        constant, slope = _RESISTANCE[sensor]
        return constant + slope * abs(temp_c)
    if sensor in _THERMOCOUPLE:
        constant, slope = _THERMOCOUPLE[sensor]
        return max(constant, slope * abs(temp_c))
    raise BadFigures(f"No sensor is called {sensor!r}.", where="sensor", allowed=", ".join(SENSORS))


def factor_on_lethality(bias_k: float, z_c: float) -> float:
    """How many times too large an F value is when the probe says `bias_k` too much: 10^(bias/z)."""
    if not z_c > 0:
        raise BadFigures(f"z is {z_c:g} K.", where="z_c", allowed="above 0 K")
    return math.exp(bias_k / z_c * math.log(10))


def pt100_c(resistance_ohm: float) -> float:
    """Temperature of a Pt100 from its resistance, 0 °C and above (Callendar and Van Dusen).

    R = 100 (1 + 3.9083e-3 t - 5.775e-7 t^2): IEC 60751, coefficients from memory. For logs that
    hold ohms. Raises BadFigures below 100 ohm and above 390 ohm (850 °C).
    """
    if not 100 <= resistance_ohm <= 390:
        raise BadFigures(
            f"{resistance_ohm:g} ohm.", where="resistance_ohm", allowed="100 to 390 ohm"
        )
    under = _PT100_A**2 - 4 * _PT100_B * (1 - resistance_ohm / 100)
    return (-_PT100_A + math.sqrt(under)) / (2 * _PT100_B)

"""Moist air and boiling water: saturation pressure, humidity ratio, wet bulb, boiling point.

ASHRAE Fundamentals 2017, chapter 1 (Hyland and Wexler): ideal-gas mixture, without the enhancement
factor (0.5 % low in the saturated humidity ratio at 25 °C, 1.2 % at 85 °C). Over liquid water only.
"""

from __future__ import annotations

import math
from collections.abc import Callable

from scipy.optimize import brentq

from trialbench.thermal.bad_figures import BadFigures

STANDARD_PA = 101325.0
RATIO = 0.621945
"""Molar mass of water by that of dry air."""
LOWEST_C, HIGHEST_C = 0.0, 200.0
"""Range of the saturation equation over liquid water."""


def saturation_pa(temp_c: float) -> float:
    """Saturation pressure over liquid water in Pa, 0 to 200 °C. Raises BadFigures outside."""
    if not LOWEST_C <= temp_c <= HIGHEST_C:
        raise BadFigures(f"{temp_c:g} °C is outside the range.", where="temp_c",
                       allowed=f"{LOWEST_C:g} to {HIGHEST_C:g} °C")  # fmt: skip
    kelvin = temp_c + 273.15
    return math.exp(
        -5.8002206e3 / kelvin + 1.3914993 - 4.8640239e-2 * kelvin + 4.1764768e-5 * kelvin**2
        - 1.4452093e-8 * kelvin**3 + 6.5459673 * math.log(kelvin)
    )  # fmt: skip


def saturated_ratio(temp_c: float, pressure_pa: float = STANDARD_PA) -> float:
    """Humidity ratio of saturated air, kg water per kg dry air. Raises BadFigures when it boils."""
    return humidity_ratio(temp_c, 1.0, pressure_pa)


def humidity_ratio(
    temp_c: float, relative_humidity: float, pressure_pa: float = STANDARD_PA
) -> float:
    """Humidity ratio from the relative humidity (0 to 1)."""
    if not 0 <= relative_humidity <= 1:
        raise BadFigures(f"Relative humidity {relative_humidity:g}.", where="relative_humidity",
                       allowed="0 to 1")  # fmt: skip
    vapour = relative_humidity * saturation_pa(temp_c)
    if vapour >= pressure_pa:
        raise BadFigures("The water in this air would boil.", where="temp_c, pressure_pa",
                       allowed="a vapour pressure below the air pressure")  # fmt: skip
    return RATIO * vapour / (pressure_pa - vapour)


def vapour_pa(ratio: float, pressure_pa: float = STANDARD_PA) -> float:
    """Vapour pressure from the humidity ratio."""
    return pressure_pa * ratio / (RATIO + ratio)


def relative_humidity(temp_c: float, ratio: float, pressure_pa: float = STANDARD_PA) -> float:
    """Relative humidity (0 to 1) from the humidity ratio."""
    return vapour_pa(ratio, pressure_pa) / saturation_pa(temp_c)


def dew_point_c(ratio: float, pressure_pa: float = STANDARD_PA) -> float:
    """Dew point from the humidity ratio. Raises BadFigures below 0 °C."""
    wanted = vapour_pa(ratio, pressure_pa)
    return _root(lambda t: saturation_pa(t) - wanted, LOWEST_C, HIGHEST_C)


def ratio_from_wet_bulb(
    temp_c: float, wet_bulb_c: float, pressure_pa: float = STANDARD_PA
) -> float:
    """Humidity ratio from dry and wet bulb, above freezing:
    ((2501 - 2.326 w) Ws - 1.006 (t - w)) / (2501 + 1.86 t - 4.186 w)."""
    saturated = saturated_ratio(wet_bulb_c, pressure_pa)
    return (
        (2501 - 2.326 * wet_bulb_c) * saturated - 1.006 * (temp_c - wet_bulb_c)
    ) / (2501 + 1.86 * temp_c - 4.186 * wet_bulb_c)  # fmt: skip


def wet_bulb_c(temp_c: float, ratio: float, pressure_pa: float = STANDARD_PA) -> float:
    """Wet bulb from the humidity ratio, above freezing. It does not foretell a stall."""
    highest = min(temp_c, boiling_point_c(pressure_pa) - 1e-3)
    return _root(
        lambda wet: ratio_from_wet_bulb(temp_c, wet, pressure_pa) - ratio, LOWEST_C, highest
    )


def enthalpy_kj_per_kg(temp_c: float, ratio: float) -> float:
    """Enthalpy of moist air per kg dry air, 1.006 t + W (2501 + 1.86 t)."""
    return 1.006 * temp_c + ratio * (2501 + 1.86 * temp_c)


def volume_m3_per_kg(temp_c: float, ratio: float, pressure_pa: float = STANDARD_PA) -> float:
    """Volume per kg dry air, 287.042 T (1 + 1.607858 W) / p."""
    return 287.042 * (temp_c + 273.15) * (1 + 1.607858 * ratio) / pressure_pa


def pressure_at_pa(altitude_m: float) -> float:
    """Standard atmosphere: 101325 (1 - 2.25577e-5 Z)^5.2559. Weather adds or takes some 3 kPa."""
    return STANDARD_PA * float((1 - 2.25577e-5 * altitude_m) ** 5.2559)


def boiling_point_c(pressure_pa: float) -> float:
    """Boiling point of pure water at an air pressure: a fixed point to check a probe with."""
    return _root(lambda t: saturation_pa(t) - pressure_pa, LOWEST_C, HIGHEST_C)


def evaporation_kg_per_h(h: float, area_m2: float, air_c: float, surface_c: float) -> float:
    """Water that the heat brought by the air can evaporate: h A (air - surface) / Lv.

    Lv = 2501 - 2.361 t kJ/kg (from memory). A bound for a wet surface without radiation.
    """
    return h * area_m2 * (air_c - surface_c) / (2501e3 - 2361 * surface_c) * 3600


def _root(function: Callable[[float], float], low: float, high: float) -> float:
    if function(low) * function(high) > 0:
        raise BadFigures("There is no such air between 0 °C and boiling.", where="ratio, pressure",
                       allowed="air above 0 °C that is not oversaturated")  # fmt: skip
    return float(brentq(function, low, high, xtol=1e-10))

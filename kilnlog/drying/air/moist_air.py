"""Moist air from any two of dry bulb, wet bulb, depression and relative humidity, at the kiln's altitude.

Relations of the ASHRAE Handbook, Fundamentals (2017), chapter 1: barometric pressure by equation 3,
saturation pressure over ice and water by 5 and 6, humidity ratio from the wet bulb by 33 (water on the wick)
and 35 (ice). Vapour among air is a little denser than alone: Buck's enhancement factor (Journal of Applied
Meteorology 20, 1981; from memory) is put on every saturation pressure; it brings the humidity within 0.1
points of a real-gas formulation where kilns run, against 0.12 without it.

The relations take the wick for the thermodynamic wet bulb, as a wick in a good stream of air is; a poorly
ventilated one reads high, and the humidity worked out from it is then too high. Floats and arrays are taken
alike.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property, lru_cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from kilnlog.drying.air.errors import ImpossibleAir

#: A temperature, a pressure, a humidity: one, or an array of them.
Quantity = float | NDArray[np.float64]

#: Ratio of the molar masses of water and dry air (ASHRAE 2017, equation 20).
MASS_RATIO = 0.621945
KELVIN = 273.15
TRIPLE_POINT_K = 273.16
#: ln p = c0/T + c1 + c2 T + c3 T2 + c4 T3 + c5 ln T over water (equation 6), T in kelvin, p in Pa.
OVER_WATER = (-5800.2206, 1.3914993, -4.8640239e-2, 4.1764768e-5, -1.4452093e-8, 6.5459673)
#: The relations hold between these temperatures [C].
COLDEST_C, HOTTEST_C = -40.0, 200.0
_STEPS = 60  # of halving: a wet bulb to far below any reading's digit


@dataclass(frozen=True)
class AirState:
    """The air at one moment, or at each moment of an array."""

    dry_bulb_c: Quantity
    read_wet_bulb_c: Quantity | None  # None: it was told in other terms
    rh_pct: Quantity
    humidity_ratio: Quantity  # [kg water per kg dry air]
    vapour_pressure_pa: Quantity
    pressure_pa: float

    @cached_property
    def wet_bulb_c(self) -> Quantity:
        """Wet bulb [C]; searched for only where it is asked for, which takes longer than all the rest."""
        if self.read_wet_bulb_c is not None:
            return self.read_wet_bulb_c
        if not np.ndim(self.humidity_ratio):
            return _one_wet_bulb(float(self.dry_bulb_c), float(self.humidity_ratio), self.pressure_pa)
        dry_c, ratio = np.asarray(self.dry_bulb_c, dtype=np.float64), np.asarray(self.humidity_ratio)
        return _wet_bulb_for(dry_c, ratio, self.pressure_pa)

    @property
    def depression_c(self) -> Quantity:
        """Dry bulb less wet bulb, a difference [C degrees]."""
        return self.dry_bulb_c - self.wet_bulb_c


def pressure_pa(altitude_m: float) -> float:
    """Barometric pressure of the standard atmosphere [Pa] at an altitude [m] (ASHRAE 2017, equation 3)."""
    return float(101325 * (1 - 2.25577e-5 * altitude_m) ** 5.2559)


def saturation_pressure_pa(temperature_c: Quantity) -> Quantity:
    """Pressure of saturated water vapour [Pa] (ASHRAE 2017, equations 5 over ice and 6 over water)."""
    kelvin = np.asarray(temperature_c, dtype=np.float64) + KELVIN
    over_water = _over_water(kelvin)
    if np.any(kelvin <= TRIPLE_POINT_K):
        over_water = np.where(kelvin <= TRIPLE_POINT_K, _over_ice(kelvin), over_water)
    return _like(over_water, temperature_c)


def _over_water(kelvin: NDArray[np.float64]) -> NDArray[np.float64]:
    c0, c1, c2, c3, c4, c5 = OVER_WATER
    polynomial = c1 + kelvin * (c2 + kelvin * (c3 + c4 * kelvin))
    return np.exp(c0 / kelvin + polynomial + c5 * np.log(kelvin))


def _over_ice(kelvin: NDArray[np.float64]) -> NDArray[np.float64]:
    high = 6.2215701e-7 + kelvin * (2.0747825e-9 - 9.484024e-13 * kelvin)
    polynomial = 6.3925247 + kelvin * (-9.677843e-3 + kelvin * high)
    return np.exp(-5674.5359 / kelvin + polynomial + 4.1635019 * np.log(kelvin))


def saturated_air_pa(temperature_c: Quantity, pressure: float) -> Quantity:
    """Pressure of the vapour in saturated air [Pa] at a barometric pressure [Pa]."""
    return enhancement(pressure) * saturation_pressure_pa(temperature_c)


def enhancement(pressure: float) -> float:
    """How much denser vapour is among air of a pressure [Pa] than alone (Buck 1981, from memory)."""
    return 1.0007 + 3.46e-8 * pressure


def from_wet_bulb(dry_bulb_c: Quantity, wet_bulb_c: Quantity, pressure: float) -> AirState:
    """The air by dry and wet bulb [C] at a barometric pressure [Pa].

    Raises ``ImpossibleAir``: the wet bulb above the dry one, at the boiling point, or so far below the dry
    one that the air would hold less than no water.
    """
    _check_temperature(dry_bulb_c)
    _check_temperature(wet_bulb_c)
    if np.any(np.asarray(wet_bulb_c) > np.asarray(dry_bulb_c)):
        raise ImpossibleAir(why="wet-above-dry", dry_bulb_c=_told(dry_bulb_c), wet_bulb_c=_told(wet_bulb_c))
    if np.any(np.asarray(saturated_air_pa(wet_bulb_c, pressure)) >= pressure):
        raise ImpossibleAir(why="boils", wet_bulb_c=_told(wet_bulb_c))
    ratio = ratio_from_wet_bulb(dry_bulb_c, wet_bulb_c, pressure)
    if np.any(np.asarray(ratio) < 0):
        raise ImpossibleAir(why="wet-too-low", dry_bulb_c=_told(dry_bulb_c), wet_bulb_c=_told(wet_bulb_c))
    vapour = pressure * ratio / (MASS_RATIO + ratio)
    # Saturated air comes out a rounding above, which nothing that takes a humidity would let in again.
    rh_pct = _like(np.minimum(100 * vapour / saturated_air_pa(dry_bulb_c, pressure), 100.0), vapour)
    return AirState(dry_bulb_c, wet_bulb_c, rh_pct, ratio, vapour, pressure)


def from_depression(dry_bulb_c: Quantity, depression_c: Quantity, pressure: float) -> AirState:
    """The air by dry bulb [C] and depression [C degrees]; raises ``ImpossibleAir``."""
    if np.any(np.asarray(depression_c) < 0):
        raise ImpossibleAir(why="depression", depression_c=_told(depression_c))
    return from_wet_bulb(dry_bulb_c, dry_bulb_c - depression_c, pressure)


def from_rh(dry_bulb_c: Quantity, rh_pct: Quantity, pressure: float) -> AirState:
    """The air by dry bulb [C] and relative humidity [%], 0 to 100; raises ``ImpossibleAir``.

    Above the boiling point no air at that pressure reaches every humidity: a vapour pressure at or above the
    barometric one is refused as ``too-hot``.
    """
    _check_temperature(dry_bulb_c)
    humidity = np.asarray(rh_pct, dtype=np.float64)
    if np.any((humidity < 0) | (humidity > 100)) or np.any(np.isnan(humidity)):
        raise ImpossibleAir(why="rh", rh_pct=_told(rh_pct))
    vapour = saturated_air_pa(dry_bulb_c, pressure) * humidity / 100
    if np.any(np.asarray(vapour) >= pressure):
        raise ImpossibleAir(why="too-hot", dry_bulb_c=_told(dry_bulb_c), rh_pct=_told(rh_pct))
    ratio = MASS_RATIO * vapour / (pressure - vapour)
    shape: Any = np.asarray(dry_bulb_c) + humidity
    like = dry_bulb_c if np.ndim(shape) else 0.0
    return AirState(
        dry_bulb_c,
        None,
        rh_pct,
        _like(np.asarray(ratio), like),
        _like(np.asarray(vapour), like),
        pressure,
    )


def dry_bulb_from(wet_bulb_c: float, rh_pct: float, pressure: float) -> AirState:
    """The air whose dry bulb a wet bulb [C] and a humidity [%] call for; raises ``ImpossibleAir``."""
    _check_temperature(wet_bulb_c)
    if not 0 < rh_pct <= 100:
        raise ImpossibleAir(why="rh", rh_pct=rh_pct)
    low, high = wet_bulb_c, HOTTEST_C
    for _ in range(_STEPS):
        middle = (low + high) / 2
        ratio = float(ratio_from_wet_bulb(middle, wet_bulb_c, pressure))
        vapour = pressure * ratio / (MASS_RATIO + ratio)
        if 100 * vapour / float(saturated_air_pa(middle, pressure)) > rh_pct:
            low = middle
        else:
            high = middle
    return from_wet_bulb((low + high) / 2, wet_bulb_c, pressure)


def from_depression_and_rh(depression_c: float, rh_pct: float, pressure: float) -> AirState:
    """The air whose wet bulb, above freezing, a depression [C degrees] and a humidity [%] call for.

    Raises ``ImpossibleAir``: ``no-such-air`` where none up to boiling is like that.
    """
    if not depression_c > 0:
        raise ImpossibleAir(why="depression", depression_c=depression_c)
    if not 0 <= rh_pct <= 100:
        raise ImpossibleAir(why="rh", rh_pct=rh_pct)

    def rh_at(wet_c: float) -> float:
        vapour = vapour_pa(float(ratio_from_wet_bulb(wet_c + depression_c, wet_c, pressure)), pressure)
        return 100 * vapour / float(saturated_air_pa(wet_c + depression_c, pressure))

    low, high = 0.0, min(_boiling_c(pressure) - 1e-6, HOTTEST_C - depression_c)
    if high <= low or not rh_at(low) <= rh_pct <= rh_at(high):
        raise ImpossibleAir(why="no-such-air", depression_c=depression_c, rh_pct=rh_pct)
    for _ in range(_STEPS):
        middle = (low + high) / 2
        low, high = (middle, high) if rh_at(middle) < rh_pct else (low, middle)
    wet_c = (low + high) / 2
    return from_wet_bulb(wet_c + depression_c, wet_c, pressure)


def vapour_pa(ratio: float, pressure: float) -> float:
    """The vapour pressure [Pa] of air that carries so much water [kg/kg] (equation 20)."""
    return pressure * ratio / (MASS_RATIO + ratio)


def ratio_from_wet_bulb(dry_c: Quantity, wet_c: Quantity, pressure: float) -> Quantity:
    """Humidity ratio by the wick [kg/kg] (equations 33 and 35); below 0 where no air makes it read so."""
    saturated_pa = saturated_air_pa(wet_c, pressure)
    saturated = MASS_RATIO * saturated_pa / (pressure - saturated_pa)
    water = ((2501 - 2.326 * wet_c) * saturated - 1.006 * (dry_c - wet_c)) / (
        2501 + 1.86 * dry_c - 4.186 * wet_c
    )
    frozen = np.asarray(wet_c) < 0
    if not np.any(frozen):
        return water
    ice = ((2830 - 0.24 * wet_c) * saturated - 1.006 * (dry_c - wet_c)) / (2830 + 1.86 * dry_c - 2.1 * wet_c)
    return _like(np.where(frozen, ice, water), water)


@lru_cache(maxsize=256)  # the same few readings are asked for at every weight
def _one_wet_bulb(dry_c: float, ratio: float, pressure: float) -> float:
    return float(_wet_bulb_for(np.asarray(dry_c), np.asarray(ratio), pressure))


def _wet_bulb_for(
    dry_c: NDArray[np.float64], ratio: NDArray[np.float64], pressure: float
) -> NDArray[np.float64]:
    """The wet bulb at which the air holds that much water, by halving: the relation only rises."""
    shape = np.broadcast_shapes(dry_c.shape, ratio.shape)
    high = np.broadcast_to(dry_c, shape).astype(np.float64)
    # Above boiling no wick is hotter than the boiling point.
    high = np.minimum(high, _boiling_c(pressure) - 1e-9)
    low = np.full(shape, COLDEST_C)
    for _ in range(_STEPS):
        middle = (low + high) / 2
        too_wet = np.asarray(ratio_from_wet_bulb(dry_c, middle, pressure)) > ratio
        high = np.where(too_wet, middle, high)
        low = np.where(too_wet, low, middle)
    return (low + high) / 2


def _boiling_c(pressure: float) -> float:
    low, high = 0.0, HOTTEST_C
    for _ in range(_STEPS):
        middle = (low + high) / 2
        low, high = (middle, high) if float(saturated_air_pa(middle, pressure)) < pressure else (low, middle)
    return (low + high) / 2


def _check_temperature(temperature_c: Quantity) -> None:
    temperature = np.asarray(temperature_c)
    if not np.all((temperature >= COLDEST_C) & (temperature <= HOTTEST_C)):
        raise ImpossibleAir(why="temperature", temperature_c=_told(temperature_c))


def _told(quantity: Quantity) -> float:
    """One figure to tell in an error."""
    return float(np.asarray(quantity).flat[0])


def _like(values: NDArray[np.float64], given: Quantity) -> Quantity:
    """A float where a float was given."""
    return values if np.ndim(given) else float(values)

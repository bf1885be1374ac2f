"""What two readings say about the air: typed with their units, answered in the terms of every kiln."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass

from kilnlog.drying.air.emc import COLDEST_EMC_C, known_emc_pct, rh_for_emc_pct
from kilnlog.drying.air.errors import ImpossibleAir
from kilnlog.drying.air.moist_air import AirState, from_depression, from_rh, from_wet_bulb, pressure_pa
from kilnlog.logbook.errors import ImpossibleReading, UnreadableQuantity
from kilnlog.records.errors import KilnlogError, WetAboveDry
from kilnlog.records.temperature import celsius, difference_c, difference_in_unit, in_unit
from kilnlog.records.typed_number import number_from_text
from kilnlog.records.words import TemperatureUnit

_WITH_UNIT = re.compile(r"\s*(?P<number>[^A-Za-z°%]+?)\s*°?\s*(?P<unit>[A-Za-z]+)\s*")
_TEMPERATURES = {"C": TemperatureUnit.CELSIUS, "F": TemperatureUnit.FAHRENHEIT}
METRES_PER_FOOT = 0.3048  # exact by definition
HIGHEST_M = 9000.0


@dataclass(frozen=True)
class Air:
    """The air asked about, all in SI."""

    state: AirState
    emc_pct: float | None  # None outside of what was published

    def figures(self) -> dict[str, float | None]:
        """Every figure by name, as ``kilnlog air --json`` gives them."""
        state = self.state
        return {
            "dry_bulb_c": float(state.dry_bulb_c),
            "wet_bulb_c": float(state.wet_bulb_c),
            "depression_c": float(state.depression_c),
            "rh_pct": float(state.rh_pct),
            "emc_pct": self.emc_pct,
            "humidity_ratio": float(state.humidity_ratio),
            "pressure_pa": state.pressure_pa,
        }


def air_from(
    dry: str,
    *,
    wet: str | None = None,
    depression: str | None = None,
    rh_pct: str | None = None,
    emc: str | None = None,
    altitude: str = "0m",
) -> Air:
    """The air by a dry bulb (``160F``, ``71C``) and exactly one more reading.

    Args:
        dry: Dry bulb with its unit.
        wet: Wet bulb with its unit.
        depression: Depression with its unit: a difference, so 9F is 5 Celsius degrees.
        rh_pct: Relative humidity [%], a bare number.
        emc: EMC [%], a bare number.
        altitude: Altitude with its unit, ``m`` or ``ft``.

    Raises:
        UnreadableQuantity: a text is no such quantity.
        ImpossibleReading, WetAboveDry: no air shows these two readings; told in the unit of the dry bulb.
        ImpossibleAir: no air of that temperature brings wood to that EMC.
    """
    dry_bulb, unit = _temperature(dry)
    dry_c, pressure = celsius(dry_bulb, unit), pressure_pa(_altitude_m(altitude))
    second, find = _second(dry_c, pressure, unit, wet, depression, rh_pct, emc)
    try:
        state = find()
    except ImpossibleAir as error:
        why = error.values["why"]
        sign = f"°{unit.value}"
        if why == "wet-above-dry" and wet is not None:
            wet_bulb = _figure(in_unit(celsius(*_temperature(wet)), unit))
            raise WetAboveDry(wet_bulb=wet_bulb, dry_bulb=_figure(dry_bulb), unit=sign) from error
        if why == "emc":
            raise
        raise ImpossibleReading(why=why, read_dry_bulb=_figure(dry_bulb), second=second, unit=sign) from error
    is_published = dry_c >= COLDEST_EMC_C
    return Air(state, known_emc_pct(dry_c, float(state.rh_pct)) if is_published else None)


def _second(
    dry_c: float,
    pressure: float,
    unit: TemperatureUnit,
    wet: str | None,
    depression: str | None,
    rh_pct: str | None,
    emc: str | None,
) -> tuple[str, Callable[[], AirState]]:
    """The other reading, in words by the unit of the dry bulb, and how the air is found by it."""
    if wet is not None:
        wet_c = celsius(*_temperature(wet))
        said = f"wet bulb of {_figure(in_unit(wet_c, unit)):g} °{unit.value}"
        return said, lambda: from_wet_bulb(dry_c, wet_c, pressure)
    if depression is not None:
        apart_c = difference_c(*_temperature(depression))
        said = f"depression of {_figure(difference_in_unit(apart_c, unit)):g} °{unit.value}"
        return said, lambda: from_depression(dry_c, apart_c, pressure)
    if rh_pct is not None:
        humidity = _number(rh_pct, rh_pct)
        return f"RH of {humidity:g} %", lambda: from_rh(dry_c, humidity, pressure)
    if emc is not None:
        wanted = _number(emc, emc)
        return f"EMC of {wanted:g} %", lambda: from_rh(dry_c, rh_for_emc_pct(dry_c, wanted), pressure)
    raise UnreadableQuantity(typed="", why="second-reading")


def _figure(value: float) -> float:
    """Converted and back, as it would be read off."""
    return round(value, 1)


def _temperature(typed: str) -> tuple[float, TemperatureUnit]:
    number, unit = _split(typed, _TEMPERATURES)
    return number, _TEMPERATURES[unit]


def _altitude_m(typed: str) -> float:
    number, unit = _split(typed, {"M": None, "FT": None})
    metres = number * METRES_PER_FOOT if unit == "FT" else number
    if not -500 <= metres <= HIGHEST_M:
        raise UnreadableQuantity(typed=typed, why="altitude")
    return metres


def _split(typed: str, units: dict[str, TemperatureUnit] | dict[str, None]) -> tuple[float, str]:
    match = _WITH_UNIT.fullmatch(typed)
    unit = match["unit"].upper() if match is not None else ""
    if match is None or unit not in units:
        raise UnreadableQuantity(typed=typed, why="altitude-unit" if "FT" in units else "temperature-unit")
    return _number(match["number"], typed), unit


def _number(text: str, typed: str) -> float:
    try:
        return float(number_from_text(text, negative=True))
    except KilnlogError as error:
        raise UnreadableQuantity(typed=typed, why="number") from error

"""What two readings say about the air: typed with their units, answered in the terms of every kiln."""

from __future__ import annotations

import re
from dataclasses import dataclass

from kilnlog.drying.air.emc import emc_pct, rh_for_emc_pct
from kilnlog.drying.air.moist_air import AirState, from_depression, from_rh, from_wet_bulb, pressure_pa
from kilnlog.logbook.errors import UnreadableQuantity
from kilnlog.records.errors import KilnlogError
from kilnlog.records.temperature import celsius, difference_c
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
    emc_pct: float

    def figures(self) -> dict[str, float]:
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
        ImpossibleAir: no air shows these two readings.
    """
    dry_c = _temperature_c(dry)
    pressure = pressure_pa(_altitude_m(altitude))
    if wet is not None:
        state = from_wet_bulb(dry_c, _temperature_c(wet), pressure)
    elif depression is not None:
        number, unit = _split(depression, _TEMPERATURES)
        state = from_depression(dry_c, difference_c(number, _TEMPERATURES[unit]), pressure)
    elif rh_pct is not None:
        state = from_rh(dry_c, _number(rh_pct, rh_pct), pressure)
    elif emc is not None:
        wanted = _number(emc, emc)
        state = from_rh(dry_c, rh_for_emc_pct(dry_c, wanted), pressure)
    else:
        raise UnreadableQuantity(typed="", why="second-reading")
    return Air(state, float(emc_pct(float(state.dry_bulb_c), float(state.rh_pct))))


def _temperature_c(typed: str) -> float:
    number, unit = _split(typed, _TEMPERATURES)
    return celsius(number, _TEMPERATURES[unit])


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

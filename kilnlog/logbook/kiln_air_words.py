"""The air of a kiln in words: one line for a terminal or a paper."""

from __future__ import annotations

from collections.abc import Iterator

from kilnlog.drying.figures import AirFigures
from kilnlog.logbook import figures
from kilnlog.records.moment import Moment
from kilnlog.records.temperature import difference_in_unit, in_unit
from kilnlog.records.words import TemperatureUnit


def air_line(air: AirFigures, now: Moment, unit: TemperatureUnit = TemperatureUnit.FAHRENHEIT) -> str:
    """``Air 110 °F dry, 102 °F wet (8 °F less), RH 76 %, EMC 13.7 %, read by hand today, 07:40``."""
    source = f"{air.source}, {air.sensor}" if air.sensor else air.source
    read = f"{source}, {figures.day_and_time(air.read_at, now)}"
    return f"Air {', '.join((*air_parts_told(air, unit), read))}"


def air_parts_told(air: AirFigures, unit: TemperatureUnit) -> Iterator[str]:
    """Each figure that a reading tells, with its name, in one unit of temperature."""
    if air.dry_bulb_c is not None:
        yield f"{temperature(air.dry_bulb_c, unit)} dry"
    if air.wet_bulb_c is not None and air.depression_c is not None:
        less = figures.trimmed(difference_in_unit(air.depression_c, unit), 1)
        yield f"{temperature(air.wet_bulb_c, unit)} wet ({less} °{unit.value} less)"
    if air.rh_pct is not None:
        yield f"RH {figures.number(air.rh_pct, 0)} %"
    if air.emc_pct is not None:
        yield f"EMC {figures.number(air.emc_pct, 1)} %"


def temperature(temperature_c: float, unit: TemperatureUnit) -> str:
    """A temperature in the unit, to a tenth at most."""
    return f"{figures.trimmed(in_unit(temperature_c, unit), 1)} °{unit.value}"

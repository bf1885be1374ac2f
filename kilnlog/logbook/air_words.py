"""The air in words, for a terminal."""

from __future__ import annotations

from kilnlog.logbook import figures
from kilnlog.logbook.air_question import Air
from kilnlog.records.temperature import difference_in_unit, in_unit
from kilnlog.records.words import TemperatureUnit

_F = TemperatureUnit.FAHRENHEIT


def air_text(air: Air) -> str:
    """Every figure in both units, a line each, and by which relations."""
    state = air.state
    lines = (
        ("dry bulb", _both(float(state.dry_bulb_c))),
        ("wet bulb", _both(float(state.wet_bulb_c))),
        ("depression", _difference(float(state.depression_c))),
        ("RH", f"{figures.number(float(state.rh_pct), 1)} %"),
        ("EMC", "not known" if air.emc_pct is None else f"{figures.number(air.emc_pct, 1)} %"),
        ("water in the air", f"{figures.number(1000 * float(state.humidity_ratio), 1)} g per kg of dry air"),
        ("pressure", f"{figures.number(state.pressure_pa / 100, 0)} hPa"),
    )
    width = max(len(name) for name, _ in lines)
    told = [f"{name:<{width}}  {value}" for name, value in lines]
    told.append("Humidity by the ASHRAE relations, EMC by the Wood Handbook's equation 4-5.")
    if air.emc_pct is None:
        told.append("Its table goes from 30 to 270 °F (−1 to 132 °C): here nobody knows the EMC.")
    return "\n".join(told)


def _both(temperature_c: float) -> str:
    return f"{figures.number(in_unit(temperature_c, _F), 1)} °F, {figures.number(temperature_c, 1)} °C"


def _difference(difference_c: float) -> str:
    return (
        f"{figures.number(difference_in_unit(difference_c, _F), 1)} °F, {figures.number(difference_c, 1)} °C"
    )

"""A schedule step in the terms of every kiln: wet bulb, depression, RH for a humidistat, EMC."""

from __future__ import annotations

from dataclasses import dataclass

from kilnlog.drying.air.emc import known_emc_pct, rh_for_emc_pct
from kilnlog.drying.air.errors import ImpossibleAir
from kilnlog.drying.air.moist_air import AirState, from_depression, from_rh, from_wet_bulb, pressure_pa
from kilnlog.drying.figures import AirFigures
from kilnlog.drying.kiln_now import altitude_m
from kilnlog.records.kiln import Kiln
from kilnlog.records.schedule_step import ScheduleStep
from kilnlog.records.temperature import celsius, difference_c, difference_in_unit, in_unit
from kilnlog.records.words import AirControl, TemperatureUnit

#: Kilns whose setting is a humidity.
_BY_HUMIDITY = (AirControl.HUMIDISTAT, AirControl.DEHUMIDIFIER)
#: A kiln this near its dry bulb is at it [C].
_SAME_C = 1.0


@dataclass(frozen=True, slots=True)
class StepTerms:
    """What one step sets, in its own unit of temperature."""

    dry_bulb: float  # [unit]
    wet_bulb: float  # [unit]
    depression: float  # a difference [unit]
    rh_pct: float
    emc_pct: float
    unit: TemperatureUnit


def step_terms(step: ScheduleStep, pressure_pa: float) -> StepTerms | None:
    """Work the terms out at a barometric pressure [Pa].

    None where the step says too little (a dry bulb and one more are needed), what no air can be, or
    air too hot for an EMC.
    """
    unit = step.temperature_unit
    if step.dry_bulb is None or unit is None:
        return None
    dry_c = celsius(step.dry_bulb, unit)
    try:
        air = _air(step, dry_c, unit, pressure_pa)
    except ImpossibleAir:
        return None
    at_emc_pct = None if air is None else known_emc_pct(dry_c, float(air.rh_pct))
    if air is None or at_emc_pct is None:
        return None
    return StepTerms(
        dry_bulb=step.dry_bulb,
        wet_bulb=in_unit(float(air.wet_bulb_c), unit),
        depression=difference_in_unit(float(air.depression_c), unit),
        rh_pct=float(air.rh_pct),
        emc_pct=at_emc_pct,
        unit=unit,
    )


def set_values(
    step: ScheduleStep, kiln: Kiln | None, air: AirFigures | None = None
) -> dict[str, float | str]:
    """The terms by the names findings tell them under, at the kiln's altitude; empty where there are none.

    Args:
        step: What is to be set.
        kiln: The kiln. One kept by its humidity is also told the RH that keeps the step's EMC for now.
        air: Its air as last read, where that was lately.
    """
    terms = step_terms(step, pressure_pa(altitude_m(kiln)))
    if terms is None:
        return {}
    values: dict[str, float | str] = {
        "set_dry_bulb": terms.dry_bulb,
        "set_wet_bulb": terms.wet_bulb,
        "set_depression": terms.depression,
        "set_unit": terms.unit.value,
        "set_rh_pct": terms.rh_pct,
        "set_emc_pct": terms.emc_pct,
    }
    if kiln is None or kiln.air_control not in _BY_HUMIDITY or air is None or air.dry_bulb_c is None:
        return values
    now_rh_pct = rh_at_pct(terms, air.dry_bulb_c)
    if now_rh_pct is not None and abs(air.dry_bulb_c - celsius(terms.dry_bulb, terms.unit)) > _SAME_C:
        values |= {"now_dry_bulb": in_unit(air.dry_bulb_c, terms.unit), "now_rh_pct": now_rh_pct}
    return values


def rh_at_pct(terms: StepTerms, dry_bulb_c: float) -> float | None:
    """What a humidistat is set to while the kiln stands at another dry bulb [C]: the RH with the step's EMC.

    None where no air of that temperature brings wood there.
    """
    try:
        return float(rh_for_emc_pct(dry_bulb_c, terms.emc_pct))
    except ImpossibleAir:
        return None


def _air(step: ScheduleStep, dry_c: float, unit: TemperatureUnit, pressure_pa: float) -> AirState | None:
    if step.wet_bulb is not None:
        return from_wet_bulb(dry_c, celsius(step.wet_bulb, unit), pressure_pa)
    if step.depression is not None:
        return from_depression(dry_c, difference_c(step.depression, unit), pressure_pa)
    if step.rh_pct is not None:
        return from_rh(dry_c, step.rh_pct, pressure_pa)
    if step.emc_pct is not None:
        return from_rh(dry_c, rh_for_emc_pct(dry_c, step.emc_pct), pressure_pa)
    return None

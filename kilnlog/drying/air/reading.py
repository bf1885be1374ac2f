"""One reading of the air, in whatever terms the kiln has, as the whole state of the air."""

from __future__ import annotations

from dataclasses import dataclass

from kilnlog.drying.air.emc import known_emc_pct
from kilnlog.drying.air.errors import ImpossibleAir
from kilnlog.drying.air.moist_air import (
    AirState,
    dry_bulb_from,
    from_depression,
    from_depression_and_rh,
    from_rh,
    from_wet_bulb,
)
from kilnlog.records.air_reading import AirReading
from kilnlog.records.moment import Moment
from kilnlog.records.set_point import SetPoint
from kilnlog.records.temperature import celsius, difference_c
from kilnlog.records.words import TemperatureUnit


@dataclass(frozen=True, slots=True)
class PlainTerms:
    """What a logger showed at one moment."""

    dry_bulb: float | None  # [temperature_unit]
    wet_bulb: float | None  # [temperature_unit]
    depression: float | None  # a difference [temperature_unit]
    rh_pct: float | None
    temperature_unit: TemperatureUnit | None


#: What tells the air: a reading, or what a kiln was set to.
AirTerms = AirReading | SetPoint | PlainTerms


@dataclass(frozen=True, slots=True)
class AirPoint:
    """The air at one moment; None what a single figure does not tell, or no air can show."""

    at: Moment
    dry_bulb_c: float | None
    wet_bulb_c: float | None = None
    rh_pct: float | None = None
    emc_pct: float | None = None
    humidity_ratio: float | None = None  # [kg water per kg dry air]

    @property
    def is_whole(self) -> bool:
        """Whether two figures told the air."""
        return self.rh_pct is not None


def point_of(terms: AirTerms, at: Moment, pressure_pa: float) -> AirPoint:
    """The air by these terms at a barometric pressure [Pa].

    What no air can show (readings are kept as they were read) leaves only the dry bulb.
    """
    unit = terms.temperature_unit
    dry_c = None if terms.dry_bulb is None or unit is None else celsius(terms.dry_bulb, unit)
    try:
        state = state_of(terms, pressure_pa)
    except ImpossibleAir:
        state = None
    return AirPoint(at, dry_c) if state is None else point_from(state, at)


def point_from(state: AirState, at: Moment) -> AirPoint:
    """The state of the air at one moment, with its EMC."""
    dry_c, rh_pct = float(state.dry_bulb_c), float(state.rh_pct)
    return AirPoint(
        at, dry_c, float(state.wet_bulb_c), rh_pct, known_emc_pct(dry_c, rh_pct), float(state.humidity_ratio)
    )


def state_of(terms: AirTerms, pressure_pa: float) -> AirState | None:
    """The air by any two of its terms; None where fewer were told. Raises ``ImpossibleAir``."""
    unit = terms.temperature_unit or TemperatureUnit.CELSIUS  # a humidity alone has no unit and needs none
    dry_c = None if terms.dry_bulb is None else celsius(terms.dry_bulb, unit)
    wet_c = None if terms.wet_bulb is None else celsius(terms.wet_bulb, unit)
    apart_c = None if terms.depression is None else difference_c(terms.depression, unit)
    if dry_c is None and wet_c is not None and apart_c is not None:
        dry_c = wet_c + apart_c
    if dry_c is not None:
        if wet_c is not None:
            return from_wet_bulb(dry_c, wet_c, pressure_pa)
        if apart_c is not None:
            return from_depression(dry_c, apart_c, pressure_pa)
        return None if terms.rh_pct is None else from_rh(dry_c, terms.rh_pct, pressure_pa)
    if terms.rh_pct is None:
        return None
    if wet_c is not None:
        return dry_bulb_from(wet_c, terms.rh_pct, pressure_pa)
    return None if apart_c is None else from_depression_and_rh(apart_c, terms.rh_pct, pressure_pa)

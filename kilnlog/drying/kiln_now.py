"""The kiln a charge is in."""

from __future__ import annotations

from kilnlog.drying.facts_at import FactsAt, in_order
from kilnlog.drying.schedule import steps_of
from kilnlog.records.kiln import Kiln
from kilnlog.records.words import TemperatureUnit


def kiln_of(facts: FactsAt) -> Kiln | None:
    """The kiln it is or was last in, as described then: by its stays, else as the charge says."""
    stays = in_order(facts.record.stay, facts.at)
    entity = stays[-1].fact.kiln if stays else facts.charge.kiln
    for line in facts.record.kiln:
        if line.entity == entity and (counting := line.at(facts.at, particulars=True)) is not None:
            return counting.fact
    return None


def altitude_m(kiln: Kiln | None) -> float:
    """Its altitude [m]; sea level where none was said."""
    return 0.0 if kiln is None else kiln.altitude_m or 0.0


def temperature_unit(kiln: Kiln | None, facts: FactsAt) -> TemperatureUnit:
    """What its thermometers show: as described, else as its air was last read or its schedule is written."""
    if kiln is not None and kiln.temperature_unit is not None:
        return kiln.temperature_unit
    readings = [line.current for line in reversed(facts.record.air_reading)]
    told = [entry.fact.temperature_unit for entry in readings if entry is not None]
    told += [step.temperature_unit for step in steps_of(facts)]
    return next((unit for unit in told if unit is not None), TemperatureUnit.FAHRENHEIT)

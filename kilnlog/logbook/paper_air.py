"""The kiln's air as papers tell of it: an hour each, with what was set aside left open."""

from __future__ import annotations

from datetime import UTC, datetime

from kilnlog.exchange.papers.contents import AirPart
from kilnlog.logbook.paper_told import Told
from kilnlog.records.moment import Moment
from kilnlog.records.temperature import in_unit


def air_part(told: Told) -> AirPart | None:
    """The air of the sensor that stands for the kiln's; None where nobody read any.

    A logger's readings are told by the mean of each hour, readings by hand one by one.
    """
    if not told.air.lines and not told.record.air_reading:
        return None
    from kilnlog.drying.air.hourly import hourly  # noqa: PLC0415  # loads numpy
    from kilnlog.drying.air.kiln_line import kiln_line  # noqa: PLC0415  # as above

    line = kiln_line(told.facts, told.assessment, told.air.lines, told.reference)
    if line is None:
        return None
    unit, zone = told.assessment.temperature_unit, told.record.particulars.zone
    hours = hourly(line)
    return {
        "unit": unit.value,
        "hours": [
            (
                _iso(one.at_s, zone),
                round(float(in_unit(one.dry_c, unit)), 2),
                None if one.wet_c is None else round(float(in_unit(one.wet_c, unit)), 2),
                None if one.rh_pct is None else round(one.rh_pct, 2),
            )
            for one in hours
        ],
        "emc": [(_iso(one.at_s, zone), round(one.emc_pct, 3)) for one in hours if one.emc_pct is not None],
        "holes": [(_iso(hole.from_s, zone), _iso(hole.until_s, zone)) for hole in line.holes],
    }


def _iso(at_s: float, zone: str) -> str:
    return Moment(datetime.fromtimestamp(at_s, UTC), zone).iso()

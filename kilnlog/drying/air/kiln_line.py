"""Which line stands for the kiln's air on a page that has room for one."""

from __future__ import annotations

from collections.abc import Sequence

from kilnlog.drying.air.lines import AirLine, hand_line
from kilnlog.drying.air.moist_air import pressure_pa
from kilnlog.drying.air.reading import point_of
from kilnlog.drying.facts_at import FactsAt, in_order
from kilnlog.drying.figures import Assessment
from kilnlog.drying.kiln_now import altitude_m, kiln_of
from kilnlog.reference.tables import Reference


def kiln_line(
    facts: FactsAt, assessment: Assessment, logged: Sequence[AirLine], reference: Reference
) -> AirLine | None:
    """The logged line of the sensor that stands for the kiln's air, else any, else what was read by hand."""
    sensor = assessment.air.sensor if assessment.air is not None else None
    named = next((line for line in logged if line.sensor == sensor), None)
    if (chosen := named or next(iter(logged), None)) is not None:
        return chosen
    pressure = pressure_pa(altitude_m(kiln_of(facts)))
    points = [
        point_of(seen.fact, seen.at, pressure)
        for seen in in_order(facts.record.air_reading, facts.at)
        if seen.fact.sensor in (None, sensor)
    ]
    return hand_line(sensor, points, reference.limit("air_fresh_h")) if points else None

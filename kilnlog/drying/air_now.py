"""The air of a charge at the moment of an assessment.

Whatever works with air loads numpy, which is slow to load: only a charge whose air was read comes here.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from kilnlog.drying.air.digest import AirDigest, logger_digest, with_hand
from kilnlog.drying.air.moist_air import pressure_pa
from kilnlog.drying.air.trace import Series, Trace, last_readings
from kilnlog.drying.facts_at import FactsAt, in_order
from kilnlog.drying.figures import AirFigures
from kilnlog.drying.kiln_now import altitude_m, kiln_of
from kilnlog.reference.tables import Reference


@dataclass(frozen=True, slots=True)
class AirNow:
    """What the checks may know of the air."""

    digest: AirDigest
    pressure_pa: float
    kiln: Trace | None  # the trace that stands for the kiln's air
    heat: tuple[Trace, ...]  # those whose dry bulb was the kiln's lately, whatever stood beside it
    leaving: Trace | None  # of the air that leaves the load, where its sensor was read too
    is_fresh: bool  # whether the kiln's last reading says something of now

    @property
    def figures(self) -> AirFigures | None:
        """The last reading of the kiln's air."""
        return None if self.kiln is None else _figures(self.kiln, self.pressure_pa)

    @property
    def leaving_figures(self) -> AirFigures | None:
        """The last reading of the air that leaves the load."""
        return None if self.leaving is None else _figures(self.leaving, self.pressure_pa)


def air_now(facts: FactsAt, digest: AirDigest | None, reference: Reference) -> AirNow | None:
    """The air by the loggers' digest and the readings by hand; None where nobody read any."""
    kiln = kiln_of(facts)
    pressure = pressure_pa(altitude_m(kiln))
    whole = with_hand(digest, in_order(facts.record.air_reading, facts.at), pressure, reference)
    entering, leaving = (None, None) if kiln is None else (kiln.entering_sensor, kiln.leaving_sensor)
    fresh_h = reference.limit("air_fresh_h")
    trace = whole.kiln_trace(entering, leaving, fresh_h)
    if trace is None:
        return None
    beyond = whole.trace_of(leaving)
    return AirNow(
        digest=whole,
        pressure_pa=pressure,
        kiln=trace,
        heat=whole.heat_traces(entering, leaving, facts.at, fresh_h),
        leaving=None if beyond is trace else beyond,
        is_fresh=facts.at.hours_since(trace.latest.at) <= fresh_h,
    )


def air_last_read(facts: FactsAt, loggers: Sequence[Series], reference: Reference) -> AirFigures | None:
    """The last reading of the kiln's air by the facts' moment, of all that the loggers showed."""
    pressure = pressure_pa(altitude_m(kiln_of(facts)))
    lasts = (last_readings(series, facts.at) for series in loggers)
    now = air_now(facts, logger_digest(lasts, facts.at, pressure, reference), reference)
    return None if now is None else now.figures


def _figures(trace: Trace, pressure: float) -> AirFigures:
    latest = trace.latest
    dry_c, wet_c = latest.dry_bulb_c, latest.wet_bulb_c
    return AirFigures(
        dry_bulb_c=dry_c,
        wet_bulb_c=wet_c,
        depression_c=None if dry_c is None or wet_c is None else dry_c - wet_c,
        rh_pct=latest.rh_pct,
        emc_pct=latest.emc_pct,
        humidity_ratio=latest.humidity_ratio,
        pressure_pa=pressure,
        read_at=latest.at,
        source=trace.source.value,
        sensor=trace.sensor,
    )

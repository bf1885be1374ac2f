"""The check of the air against what the kiln was set to keep."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from kilnlog.drying.facts_at import Seen, in_order
from kilnlog.drying.figures import ChargeState
from kilnlog.drying.finding import Finding, Severity
from kilnlog.drying.findings.case import CHARGE, Case
from kilnlog.records.moment import Moment
from kilnlog.records.set_point import SetPoint
from kilnlog.records.temperature import celsius, difference_c, difference_in_unit, in_unit

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from kilnlog.drying.air.trace import Reals, Trace


def off_set_point(case: Case) -> Iterator[Finding]:
    """A figure of the air away from its set point up to now, after the kiln had time to reach it."""
    settings = in_order(case.facts.record.set_point, case.assessment.at)
    air = case.air
    if case.assessment.state is not ChargeState.DRYING or not settings or air is None or air.kiln is None:
        return
    if not air.is_fresh:
        return
    now = settings[-1]
    for figure, values, set_to, off_by in _figures(case, air.kiln, now.fact):
        since = _off_since(case, air.kiln, abs(values - set_to) > off_by, now)
        if since is None:
            continue
        unit = case.assessment.temperature_unit
        reads = float(values[-1])
        is_rh, is_apart = figure == "humidity", figure == "depression"
        yield Finding(
            code="off-set-point",
            severity=Severity.LOOK,
            subject=f"{CHARGE} {figure}",  # each is answered for itself
            values={
                "figure": figure,
                "side": "above" if reads > set_to else "below",
                "off_dry_bulb": None if is_rh else difference_in_unit(abs(reads - set_to), unit),
                "stands_dry_bulb": None if is_rh or is_apart else in_unit(reads, unit),
                "set_to_dry_bulb": None if is_rh or is_apart else in_unit(set_to, unit),
                "stands_rh_pct": reads if is_rh else None,
                "set_to_rh_pct": set_to if is_rh else None,
                "temperature_unit": unit.value,
            },
            source=case.source("off_set_point_c"),
            since=since,
        )


def _figures(case: Case, trace: Trace, fact: SetPoint) -> Iterator[tuple[str, Reals, float, float]]:
    """Each figure that was set: its name, as read, as set and how far off is told [C or RH points]."""
    unit, off_c = fact.temperature_unit, case.reference.limit("off_set_point_c")
    if unit is not None and fact.dry_bulb is not None:
        yield "dry bulb", trace.dry_c, celsius(fact.dry_bulb, unit), off_c
    wet_bulb = fact.wet_bulb
    if unit is not None and wet_bulb is not None:
        yield "wet bulb", trace.dry_c - trace.depression_c, celsius(wet_bulb, unit), off_c
    elif unit is not None and fact.depression is not None:
        yield "depression", trace.depression_c, difference_c(fact.depression, unit), off_c
    elif fact.rh_pct is not None:
        yield "humidity", trace.rh_pct, fact.rh_pct, case.reference.limit("off_set_point_rh_points")


def _off_since(case: Case, trace: Trace, is_off: NDArray[np.bool_], now: Seen[SetPoint]) -> Moment | None:
    """Since when it is off without a break, up to the last reading; None where it is not, or not for long."""
    from kilnlog.drying.air.digest import spans  # noqa: PLC0415  # numpy: only where air was read
    from kilnlog.drying.air.trace import AirSource  # noqa: PLC0415  # as above

    settled = now.at.plus_hours(case.reference.limit("settled_after_h"))
    off = [
        span
        for span in spans(trace, is_off & (trace.from_s >= settled.utc.timestamp()))
        if span.reaches_latest
    ]
    for_h = 0.0 if trace.source is AirSource.HAND else case.reference.limit("off_for_h")
    return off[0].begun_at if off and off[0].hours >= for_h else None

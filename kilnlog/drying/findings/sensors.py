"""Checks of the sensors: a wick that dried, a figure that no longer moves."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from kilnlog.drying.damping import was_damped
from kilnlog.drying.figures import ChargeState
from kilnlog.drying.finding import Finding, Severity
from kilnlog.drying.findings.case import CHARGE, Case
from kilnlog.records.temperature import in_unit

if TYPE_CHECKING:
    from kilnlog.drying.air.trace import Trace


def _read_lately(case: Case) -> Iterator[Trace]:
    """The sensors of a charge that dries that were read lately."""
    if case.air is None or case.assessment.state is not ChargeState.DRYING:
        return
    for trace in case.air.digest.traces:
        if case.assessment.at.hours_since(trace.latest.at) <= case.reference.limit("air_fresh_h"):
            yield trace


def _subject(trace: Trace) -> str:
    return CHARGE if trace.sensor is None else f"sensor {trace.sensor}"


def wet_bulb_near_dry(case: Case) -> Iterator[Finding]:
    """A wet bulb that reads nearly as high as the dry one, after the kiln had a day to warm up."""
    loaded_at = case.assessment.loaded_at
    unit = case.assessment.temperature_unit
    least_c = case.reference.limit("least_depression_c")
    told: set[str | None] = set()
    for trace in sorted(_read_lately(case), key=lambda trace: trace.latest.at, reverse=True):
        from kilnlog.drying.air.digest import spans  # noqa: PLC0415  # numpy: only where air was read

        near = [span for span in spans(trace, trace.depression_c < least_c) if span.reaches_latest]
        warmed = loaded_at is not None and trace.latest.at.hours_since(loaded_at) >= case.reference.limit(
            "warm_up_h"
        )
        dry_c, wet_c = trace.latest.dry_bulb_c or 0.0, trace.latest.wet_bulb_c or 0.0
        if not near or not warmed or was_damped(case.facts.events, near[0].begun_at, trace.latest.at):
            continue
        if trace.sensor in told:
            continue  # read by hand and by a logger: the later of the two says it
        told.add(trace.sensor)
        yield Finding(
            code="wet-bulb-near-dry",
            severity=Severity.LOOK,
            subject=_subject(trace),
            values={
                "sensor": trace.sensor,
                "reads_dry_bulb": in_unit(dry_c, unit),
                "reads_wet_bulb": in_unit(wet_c, unit),
                "temperature_unit": unit.value,
                "read_at": trace.latest.at,
            },
            source=case.source("least_depression_c"),
            since=near[0].begun_at,
        )


def sensor_frozen(case: Case) -> Iterator[Finding]:
    """A figure that has stayed the same, to its last digit, up to the last reading."""
    for trace in _read_lately(case):
        for span in trace.frozen:
            if span.until < trace.latest.at:
                continue
            yield Finding(
                code="sensor-frozen",
                severity=Severity.LOOK,
                subject=f"{_subject(trace)} {span.figure}",  # each is answered for itself
                values={
                    "sensor": trace.sensor,
                    "figure": span.figure,
                    "stuck_at": span.value,
                    "lasted_h": span.until.hours_since(span.begun_at),
                    "readings": span.readings,
                    "begun_at": span.begun_at,
                },
                source=case.source("frozen_h"),
                since=span.begun_at,
            )

"""Checks of the air and its setting against the step: so dry that wet wood checks."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from kilnlog.drying.facts_at import in_order
from kilnlog.drying.finding import Finding, Severity
from kilnlog.drying.findings.case import CHARGE, RECENT_H, Case
from kilnlog.drying.kiln_now import altitude_m
from kilnlog.drying.wet_wood import taken_too_far, wet_step
from kilnlog.records.temperature import celsius, difference_in_unit

if TYPE_CHECKING:
    from kilnlog.drying.air.reading import AirPoint
    from kilnlog.drying.step_terms import StepTerms


def air_too_dry(case: Case) -> Iterator[Finding]:
    """The air stands at an EMC far below that of the step the wet wood calls for."""
    air, step = case.air, wet_step(case)
    if air is None or air.kiln is None or not air.is_fresh or step is None:
        return
    from kilnlog.drying.air.digest import recent_mean, spans  # noqa: PLC0415  # numpy: only where air was read
    from kilnlog.drying.step_terms import rh_at_pct, step_terms  # noqa: PLC0415  # as above

    mean, terms = recent_mean(air.kiln, RECENT_H), step_terms(step, air.pressure_pa)
    by = case.reference.limit("too_dry_by_points")
    if mean is None or terms is None or mean.emc_pct >= terms.emc_pct - by:
        return
    dry = [span for span in spans(air.kiln, air.kiln.emc_pct < terms.emc_pct - by) if span.reaches_latest]
    is_far = mean.emc_pct < terms.emc_pct - case.reference.limit("far_too_dry_by_points")
    yield Finding(
        code="air-too-dry",
        severity=Severity.ACT if is_far else Severity.LOOK,
        subject=CHARGE,
        values={
            "emc_pct": mean.emc_pct,
            "is_rh_pct": mean.rh_pct,
            "step": step.step,
            "taken_step": taken_too_far(case, step),
            "step_emc_pct": terms.emc_pct,
            "serving_rh_pct": rh_at_pct(terms, mean.dry_bulb_c),
            "control_mc_pct": case.assessment.control.mc_pct,
        },
        source=f"{case.own_schedule}; {case.source('too_dry_by_points')}",
        since=dry[-1].begun_at if dry else air.kiln.latest.at,
    )


def set_too_dry(case: Case) -> Iterator[Finding]:
    """The kiln is set to an EMC far below that of the step the wet wood calls for."""
    settings, step = in_order(case.facts.record.set_point, case.assessment.at), wet_step(case)
    if not settings or step is None:
        return
    from kilnlog.drying.air.emc import known_emc_pct  # noqa: PLC0415  # as above
    from kilnlog.drying.air.moist_air import pressure_pa  # noqa: PLC0415  # numpy: only where air was set
    from kilnlog.drying.air.reading import point_of  # noqa: PLC0415  # as above
    from kilnlog.drying.step_terms import step_terms  # noqa: PLC0415  # as above

    now, pressure = settings[-1], pressure_pa(altitude_m(case.kiln))
    set_to, terms = point_of(now.fact, now.at, pressure), step_terms(step, pressure)
    if terms is None:
        return
    emc_pct = set_to.emc_pct
    if emc_pct is None and now.fact.dry_bulb is None and now.fact.rh_pct is not None:
        # A humidistat alone keeps its humidity at whatever the kiln has, or is to have.
        read_c = None if case.fresh_air is None else case.fresh_air.dry_bulb_c
        emc_pct = known_emc_pct(
            celsius(terms.dry_bulb, terms.unit) if read_c is None else read_c, now.fact.rh_pct
        )
    if emc_pct is None:
        return
    if emc_pct < terms.emc_pct - case.reference.limit("too_dry_by_points"):
        yield Finding(
            code="set-too-dry",
            severity=Severity.ACT,
            subject=CHARGE,
            values={
                "emc_pct": emc_pct,
                "step": step.step,
                "taken_step": taken_too_far(case, step),
                "set_depression": _depression(set_to, terms),
                "step_depression": terms.depression,
                "temperature_unit": terms.unit.value,
                "step_emc_pct": terms.emc_pct,
                "control_mc_pct": case.assessment.control.mc_pct,
            },
            source=f"{case.own_schedule}; {case.source('too_dry_by_points')}",
            since=now.at,
        )


def _depression(set_to: AirPoint, terms: StepTerms) -> float | None:
    """What is set, as a depression in the unit of the step."""
    if set_to.dry_bulb_c is None or set_to.wet_bulb_c is None:
        return None
    return difference_in_unit(set_to.dry_bulb_c - set_to.wet_bulb_c, terms.unit)

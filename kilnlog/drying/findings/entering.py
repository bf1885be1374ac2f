"""Stock that comes in dry: it begins part-way through the schedule, and is eased in."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from kilnlog.drying.finding import Finding, Severity
from kilnlog.drying.findings.case import CHARGE, Case
from kilnlog.drying.schedule import called_for, steps_of
from kilnlog.records.moment import Moment
from kilnlog.records.schedule_step import ScheduleStep
from kilnlog.records.temperature import celsius, in_unit
from kilnlog.records.words import TemperatureUnit


def ease_in(case: Case) -> Iterator[Finding]:
    """The charge enters the schedule at a later step; its surface is drier than its boards are through.

    While the first hours of that step last, or it has not been taken yet. Nobody measures the surface: the
    driest board stands for it, which errs to the damp side.
    """
    entered = _entered(case)
    driest = case.assessment.driest
    if not case.is_running or entered is None or driest is None or driest.mc_pct is None:
        return
    step, since = entered
    hours = case.reference.limit("ease_in_h")
    if since is not None and case.assessment.at.hours_since(since) > hours:
        return
    eased_emc_pct = driest.mc_pct - case.reference.limit("ease_in_emc_points")
    eased = _eased(case, step, eased_emc_pct)
    if eased is None:
        return
    yield Finding(
        code="ease-in",
        severity=Severity.LOOK,
        subject=CHARGE,
        values={
            "step": step.step,
            "ease_in_h": hours,
            "driest_mc_pct": driest.mc_pct,
            "board": driest.board,
            "eased_emc_pct": eased_emc_pct,
            "step_emc_pct": eased.step_emc_pct,
            "set_dry_bulb": eased.dry_bulb,
            "set_wet_bulb": eased.wet_bulb,
            "set_unit": eased.unit.value,
            "set_rh_pct": eased.rh_pct,
        },
        source=case.source("ease_in_h"),
        since=since or case.assessment.loaded_at,
    )


def _entered(case: Case) -> tuple[ScheduleStep, Moment | None] | None:
    """The step the charge enters at, where that is not the first, and when it was taken; None: not yet."""
    steps = steps_of(case.facts)
    loaded_at, taken = case.assessment.loaded_at, case.facts.steps_taken
    if len(steps) < 2 or loaded_at is None:
        return None
    number, since = (taken[0].fact.step, taken[0].at) if taken else (None, None)
    if number is None:
        number = called_for(steps, case.assessment.control.mc_pct, 0.0)
    # Later than that the first step was dried on and then left, whether or not that was written down.
    if (since or case.assessment.at).hours_since(loaded_at) > case.reference.limit("entered_within_h"):
        return None
    step = next((one for one in steps[1:] if one.step == number), None)
    return None if step is None else (step, since)


@dataclass(frozen=True, slots=True)
class _Eased:
    """What to set first, at the dry bulb of the step."""

    dry_bulb: float  # [unit]
    wet_bulb: float  # [unit]
    unit: TemperatureUnit
    rh_pct: float
    step_emc_pct: float  # of the step itself


def _eased(case: Case, step: ScheduleStep, eased_emc_pct: float) -> _Eased | None:
    """None where the step is as mild itself, or says too little."""
    # The air brings numpy, which is slow to load: few charges come in dry.
    from kilnlog.drying.air.emc import rh_for_emc_pct  # noqa: PLC0415  # as above
    from kilnlog.drying.air.errors import ImpossibleAir  # noqa: PLC0415  # as above
    from kilnlog.drying.air.moist_air import from_rh, pressure_pa  # noqa: PLC0415  # as above
    from kilnlog.drying.kiln_now import altitude_m  # noqa: PLC0415  # as above
    from kilnlog.drying.step_terms import step_terms  # noqa: PLC0415  # as above

    pressure = pressure_pa(altitude_m(case.kiln))
    terms = step_terms(step, pressure)
    if terms is None or terms.emc_pct >= eased_emc_pct:
        return None
    dry_c = celsius(terms.dry_bulb, terms.unit)
    try:
        rh_pct = float(rh_for_emc_pct(dry_c, eased_emc_pct))
        air = from_rh(dry_c, rh_pct, pressure)
    except ImpossibleAir:
        return None
    wet_bulb = in_unit(float(air.wet_bulb_c), terms.unit)
    return _Eased(terms.dry_bulb, wet_bulb, terms.unit, rh_pct, terms.emc_pct)

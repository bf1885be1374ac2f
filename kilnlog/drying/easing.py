"""Easing in stock that comes dry: what it enters the schedule at, and how mild the first hours are."""

from __future__ import annotations

from dataclasses import dataclass

from kilnlog.drying.air.errors import ImpossibleAir
from kilnlog.drying.findings.case import Case
from kilnlog.drying.kiln_now import altitude_m
from kilnlog.drying.schedule import called_for, steps_of
from kilnlog.records.moment import Moment
from kilnlog.records.schedule_step import ScheduleStep
from kilnlog.records.temperature import celsius, in_unit
from kilnlog.records.words import TemperatureUnit


@dataclass(frozen=True, slots=True)
class Easing:
    """What to set first, at the dry bulb of the step the charge enters at."""

    step: int
    since: Moment | None  # when that step was taken; None: not yet
    driest_mc_pct: float
    board: str  # the driest
    emc_pct: float
    dry_bulb: float  # [unit]
    wet_bulb: float  # [unit]
    unit: TemperatureUnit
    rh_pct: float
    step_emc_pct: float  # of the step itself


def easing(case: Case) -> Easing | None:
    """None where the charge came green, was eased in, or its step is as mild itself or says too little.

    Nobody measures the surface: the driest board stands for it, which errs to the damp side.
    """
    entered, driest = _entered(case), case.assessment.driest
    if not case.is_running or entered is None or driest is None:
        return None
    step, since = entered
    if since is not None and case.assessment.at.hours_since(since) > case.reference.limit("ease_in_h"):
        return None
    emc_pct = driest.mc_pct - case.reference.limit("ease_in_emc_points")
    return _worked_out(case, step, since, emc_pct, driest.mc_pct, driest.board)


def _entered(case: Case) -> tuple[ScheduleStep, Moment | None] | None:
    """The step the charge enters at, where that is not the first, and when it was taken; None: not yet."""
    steps = steps_of(case.facts)
    loaded_at, taken = case.assessment.loaded_at, case.facts.steps_taken
    if len(steps) < 2 or loaded_at is None:
        return None
    number, since = (taken[0].fact.step, taken[0].at) if taken else (None, None)
    if since is None:
        # Nobody took a step yet: what it came at is what its boards said first.
        rounds = case.assessment.rounds
        came_at = rounds[0].control.mc_pct if rounds else case.assessment.control.mc_pct
        if called_for(steps, came_at, 0.0) in (None, steps[0].step):
            return None
        number = called_for(steps, case.assessment.control.mc_pct, 0.0)
    elif since.hours_since(loaded_at) > case.reference.limit("entered_within_h"):
        # Later than that the first step was dried on and then left, whether or not that was written down.
        return None
    step = next((one for one in steps[1:] if one.step == number), None)
    return None if step is None else (step, since)


def _worked_out(
    case: Case, step: ScheduleStep, since: Moment | None, eased_pct: float, driest_pct: float, board: str
) -> Easing | None:
    # The air brings numpy, which is slow to load: few charges come in dry.
    from kilnlog.drying.air.emc import rh_for_emc_pct  # noqa: PLC0415  # as above
    from kilnlog.drying.air.moist_air import from_rh, pressure_pa  # noqa: PLC0415  # as above
    from kilnlog.drying.step_terms import step_terms  # noqa: PLC0415  # as above

    pressure = pressure_pa(altitude_m(case.kiln))
    terms = step_terms(step, pressure)
    if terms is None or terms.emc_pct >= eased_pct:
        return None
    dry_c = celsius(terms.dry_bulb, terms.unit)
    try:
        rh_pct = float(rh_for_emc_pct(dry_c, eased_pct))
        air = from_rh(dry_c, rh_pct, pressure)
    except ImpossibleAir:
        return None
    return Easing(
        step=step.step,
        since=since,
        driest_mc_pct=driest_pct,
        board=board,
        emc_pct=eased_pct,
        dry_bulb=terms.dry_bulb,
        wet_bulb=in_unit(float(air.wet_bulb_c), terms.unit),
        unit=terms.unit,
        rh_pct=rh_pct,
        step_emc_pct=terms.emc_pct,
    )

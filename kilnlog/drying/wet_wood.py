"""The step that the air of wet wood is measured against while it can check and collapse."""

from __future__ import annotations

from kilnlog.drying.facts_at import FactsAt
from kilnlog.drying.figures import Assessment, ChargeState
from kilnlog.drying.findings.case import Case
from kilnlog.drying.schedule import steps_of
from kilnlog.records.schedule_step import ScheduleStep
from kilnlog.records.temperature import celsius
from kilnlog.reference.tables import Reference


def wet_step(case: Case) -> ScheduleStep | None:
    """The step that holds, with its dry bulb, while the controlling boards are still wet.

    That is the step the wood calls for. One taken a little early holds in its place, since the operator set
    it, unless it is so much hotter or drier than the wood stands that going back is what is to be told.
    """
    return step_while_wet(case.assessment, case.facts, case.reference)


def step_while_wet(assessment: Assessment, facts: FactsAt, reference: Reference) -> ScheduleStep | None:
    """The same, outside of the checks."""
    schedule, control_mc_pct = assessment.schedule, assessment.control.mc_pct
    if (
        assessment.state is not ChargeState.DRYING
        or schedule is None
        or control_mc_pct is None
        or control_mc_pct <= reference.limit("hot_above_mc_pct")
    ):
        return None
    steps = steps_of(facts)
    called = next((step for step in steps if step.step == schedule.called_for), steps[0])
    taken = next((step for step in steps if step.step == schedule.step), called)
    if called.dry_bulb is None or called.temperature_unit is None:
        return None
    return taken if taken.step > called.step and _is_as_mild(taken, called, reference) else called


def taken_too_far(case: Case, step: ScheduleStep) -> int | None:
    """The number of the step in force, where that is a later one than the step that holds."""
    schedule = case.assessment.schedule
    return schedule.step if schedule is not None and schedule.step > step.step else None


def _is_as_mild(taken: ScheduleStep, called: ScheduleStep, reference: Reference) -> bool:
    """Whether it is no hotter than the other, and not so much drier that wet wood is in danger."""
    # The air brings numpy, which is slow to load: few steps are taken early.
    from kilnlog.drying.air.moist_air import pressure_pa  # noqa: PLC0415  # as above
    from kilnlog.drying.step_terms import step_terms  # noqa: PLC0415  # as above

    pressure = pressure_pa(0)  # EMC goes by it far less than the two steps are apart
    is_of, was_of = step_terms(taken, pressure), step_terms(called, pressure)
    if is_of is None or was_of is None:
        return False
    hotter_c = celsius(is_of.dry_bulb, is_of.unit) - celsius(was_of.dry_bulb, was_of.unit)
    drier = was_of.emc_pct - is_of.emc_pct
    return hotter_c <= reference.limit("hot_by_c") and drier <= reference.limit("too_dry_by_points")

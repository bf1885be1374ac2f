"""The step that wet wood calls for: what its air is measured against while it can check and collapse."""

from __future__ import annotations

from kilnlog.drying.facts_at import FactsAt
from kilnlog.drying.figures import Assessment, ChargeState
from kilnlog.drying.findings.case import Case
from kilnlog.drying.schedule import steps_of
from kilnlog.records.schedule_step import ScheduleStep
from kilnlog.reference.tables import Reference


def wet_step(case: Case) -> ScheduleStep | None:
    """The step the wood calls for, with its dry bulb, while the controlling boards are still wet."""
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
    return called if called.dry_bulb is not None and called.temperature_unit is not None else None

"""The step that wet wood calls for: what its air is measured against while it can check and collapse."""

from __future__ import annotations

from kilnlog.drying.figures import ChargeState
from kilnlog.drying.findings.case import Case
from kilnlog.drying.schedule import steps_of
from kilnlog.records.schedule_step import ScheduleStep


def wet_step(case: Case) -> ScheduleStep | None:
    """The step the wood calls for, with its dry bulb, while the controlling boards are still wet."""
    schedule, control_mc_pct = case.assessment.schedule, case.assessment.control.mc_pct
    if (
        case.assessment.state is not ChargeState.DRYING
        or schedule is None
        or control_mc_pct is None
        or control_mc_pct <= case.reference.limit("hot_above_mc_pct")
    ):
        return None
    steps = steps_of(case.facts)
    called = next((step for step in steps if step.step == schedule.called_for), steps[0])
    return called if called.dry_bulb is not None and called.temperature_unit is not None else None

"""Where a charge stands in its own schedule, and which step the control figure calls for."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from kilnlog.drying.facts_at import FactsAt
from kilnlog.drying.figures import ScheduleFigures
from kilnlog.records.moment import Moment
from kilnlog.records.schedule_step import ScheduleStep

#: Reaching a step's MC exactly counts, and sums in floats may miss it by this much [points of MC].
REACHED_WITHIN_PCT = 1e-9


def steps_of(facts: FactsAt) -> list[ScheduleStep]:
    """The steps of the charge's schedule in order; empty where it has none."""
    name = facts.charge.schedule
    if name is None:
        return []
    steps = [
        entry.fact
        for line in facts.record.schedule_step
        if (entry := line.at(facts.at, particulars=True)) is not None and entry.fact.schedule == name
    ]
    return sorted(steps, key=lambda step: step.step)


def called_for(
    steps: Sequence[ScheduleStep], control_mc_pct: float | None, hours: float | None
) -> int | None:
    """The last step that the control figure or the clock has come to.

    Args:
        steps: In order.
        control_mc_pct: The controlling MC [%]; None while there is none.
        hours: Since loading [h]; None while the charge is planned.
    """
    reached = [step.step for step in steps if _is_reached(step, control_mc_pct, hours)]
    if steps and not has_rule(steps[0]):
        reached.append(steps[0].step)  # nothing to wait for: the step a charge begins with
    return max(reached) if reached else None


def has_rule(step: ScheduleStep) -> bool:
    """Whether a step says when it begins. One that does not, past the first, is the operator's to take."""
    return step.from_mc_pct is not None or step.from_hours is not None


def _is_reached(step: ScheduleStep, control_mc_pct: float | None, hours: float | None) -> bool:
    by_mc = (
        step.from_mc_pct is not None
        and control_mc_pct is not None
        and control_mc_pct <= step.from_mc_pct + REACHED_WITHIN_PCT
    )
    return by_mc or (step.from_hours is not None and hours is not None and hours >= step.from_hours)


def set_points(step: ScheduleStep) -> Mapping[str, float | str]:
    """What a step sets on the kiln, in the terms it was written in."""
    values: dict[str, float | str] = {
        name: value
        for name in ("dry_bulb", "wet_bulb", "depression", "rh_pct", "emc_pct")
        if (value := getattr(step, name)) is not None
    }
    if step.temperature_unit is not None and values.keys() & {"dry_bulb", "wet_bulb", "depression"}:
        values["temperature_unit"] = step.temperature_unit.value
    return values


def schedule_figures(
    facts: FactsAt, control_mc_pct: float | None, *, all_weighed: bool, loaded_at: Moment | None
) -> ScheduleFigures | None:
    """Where the charge stands in its schedule; None where it has none.

    Args:
        facts: The charge.
        control_mc_pct: The controlling MC [%].
        all_weighed: Whether the charge is drying by its schedule, and the latest round missed no board that
            feeds the control.
        loaded_at: When it was loaded; None while it is planned.
    """
    steps = steps_of(facts)
    if not steps or facts.charge.schedule is None:
        return None
    taken = facts.steps_taken[-1].fact.step if facts.steps_taken else steps[0].step
    in_force = next((step for step in steps if step.step == taken), None)
    hours = None if loaded_at is None else facts.at.hours_since(loaded_at)
    called = called_for(steps, control_mc_pct, hours)
    return ScheduleFigures(
        schedule=facts.charge.schedule,
        step=taken,
        of=len(steps),
        due=called if called is not None and called > taken and all_weighed else None,
        called_for=called,
        set_points={} if in_force is None else set_points(in_force),
    )

"""The air that the end of a run asks for, while it is equalized or conditioned or once that is due."""

from __future__ import annotations

from dataclasses import dataclass

from kilnlog.drying.end_of_run import EndOfRun, end_of_run, target_of, wood_type_of
from kilnlog.drying.facts_at import FactsAt
from kilnlog.drying.figures import Assessment, Phase
from kilnlog.drying.schedule import steps_of
from kilnlog.records.moment import Moment
from kilnlog.records.schedule_step import ScheduleStep
from kilnlog.records.temperature import celsius, difference_c, difference_in_unit, in_unit
from kilnlog.records.words import TemperatureUnit
from kilnlog.reference.end_of_run import ConditioningRule, conditioning_rule
from kilnlog.reference.tables import Reference

#: How much hotter than its last step a schedule is equalized at [F degrees].
HOTTER = "equalize_hotter_f"


@dataclass(frozen=True, slots=True)
class EndAir:
    """What to set on the kiln for it."""

    phase: Phase  # equalizing or conditioning
    since: Moment | None  # None: it is due, and nobody wrote down that it began
    emc_pct: float
    dry_bulb: float | None  # [unit]; None where neither a step nor the air tells one
    unit: TemperatureUnit  # of the kiln
    hotter_by: float | None  # how far that is above the last step [unit]; None where it is the step's own
    of_step: int | None  # the step whose dry bulb it goes by

    @property
    def as_step(self) -> ScheduleStep | None:
        """The same in the form of a step, so that it is told in a kiln's terms as any step is."""
        if self.dry_bulb is None:
            return None
        return ScheduleStep("", 1, dry_bulb=self.dry_bulb, emc_pct=self.emc_pct, temperature_unit=self.unit)


def end_air(facts: FactsAt, assessment: Assessment, reference: Reference) -> EndAir | None:
    """The air asked for now by the end of the run; None where the schedule still asks for its own."""
    end = end_of_run(facts, assessment)
    if end is None:
        return None
    if end.phase is Phase.CONDITIONING or (end.phase is Phase.EQUALIZED and end.is_wettest_there):
        return conditioning_air(end, facts, assessment, reference)
    if is_wet(assessment, reference):
        return None  # air so dry would check it: no setting is offered
    is_due = end.phase is Phase.DRYING and end.is_driest_there and not end.seems_all_there
    if end.phase is Phase.EQUALIZING or is_due:
        return equalizing_air(end, facts, assessment, reference)
    return None


def is_wet(assessment: Assessment, reference: Reference) -> bool:
    """Whether the controlling boards are so wet that air dry enough for equalizing would check them."""
    mc_pct = assessment.control.mc_pct
    return mc_pct is not None and mc_pct > reference.limit("hot_above_mc_pct")


def equalizing_air(end: EndOfRun, facts: FactsAt, assessment: Assessment, reference: Reference) -> EndAir:
    """EMC by the rule; the dry bulb of the schedule, and once that is at its last step, hotter.

    Source: Wengert, Drying Oak Lumber, step 6C (2012): if the schedule is already at its last step, equalize
        10 F above the final dry-bulb setting; otherwise keep raising the dry bulb by schedule, at that EMC.
    """
    return _air(end, Phase.EQUALIZING, end.emc_pct, facts, assessment, reference.limit(HOTTER))


def conditioning_air(end: EndOfRun, facts: FactsAt, assessment: Assessment, reference: Reference) -> EndAir:
    """EMC by the rule, at the dry bulb of the step (Dry Kiln Operator's Manual, from memory)."""
    rule = conditioning_of(end, assessment, reference)
    emc_pct = target_of(end.wettest) + rule.emc_above_points
    return _air(end, Phase.CONDITIONING, emc_pct, facts, assessment, 0.0)


def conditioning_of(end: EndOfRun, assessment: Assessment, reference: Reference) -> ConditioningRule:
    """The rule for the wood of the wettest board."""
    wood = wood_type_of(end.wettest, assessment, reference)
    return conditioning_rule(wood, target_of(end.wettest))


def _air(
    end: EndOfRun, phase: Phase, emc_pct: float, facts: FactsAt, assessment: Assessment, hotter_f: float
) -> EndAir:
    unit = assessment.temperature_unit
    since = end.since if end.phase is phase else None
    steps, schedule = steps_of(facts), assessment.schedule
    number = None if schedule is None else max(schedule.step, schedule.called_for or schedule.step)
    step = next((one for one in steps if one.step == number), None)
    if step is None or step.dry_bulb is None or step.temperature_unit is None:
        air = assessment.air
        read = None if air is None or air.dry_bulb_c is None else in_unit(air.dry_bulb_c, unit)
        return EndAir(phase, since, emc_pct, read, unit, None, None)
    dry_c = celsius(step.dry_bulb, step.temperature_unit)
    is_past = schedule is not None and schedule.step == steps[-1].step and hotter_f > 0
    by_c = difference_c(hotter_f, TemperatureUnit.FAHRENHEIT) if is_past else 0.0
    hotter_by = difference_in_unit(by_c, unit) if is_past else None
    return EndAir(phase, since, emc_pct, in_unit(dry_c + by_c, unit), unit, hotter_by, step.step)

"""What a step asks of a charge and sets on the kiln, told before it is written down as taken."""

from __future__ import annotations

from dataclasses import dataclass

from kilnlog.drying.facts_at import facts_at
from kilnlog.drying.figures import Assessment
from kilnlog.drying.kiln_now import kiln_of
from kilnlog.drying.schedule import set_points, steps_of
from kilnlog.logbook import figures
from kilnlog.logbook.wording_values import fill
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.schedule_step import ScheduleStep
from kilnlog.records.weight import WeightUnit

_BEGINS = (
    "[Step {step} begins at {from_mc_pct} %.|Step {step} begins {from_hours} h after loading.|"
    "Step {step} waits for nothing.]"
)
_SETS = (
    "[Set dry bulb {set_dry_bulb} °{set_unit}, wet bulb {set_wet_bulb} °{set_unit}: "
    "that is RH {set_rh_pct} %, EMC {set_emc_pct} %.]"
)
#: A step that says too little for wet bulb, RH and EMC to be worked out is told as it was written.
_WRITTEN = (
    ("dry_bulb", "dry bulb {} °{unit}"),
    ("wet_bulb", "wet bulb {} °{unit}"),
    ("depression", "depression {} °{unit}"),
    ("rh_pct", "RH {} %"),
    ("emc_pct", "EMC {} %"),
)
_EARLY = (
    "[It is early: the schedule calls for step {called_for} so far.|It is early: no step is called for yet.] "
    "Air too dry for its moisture checks wood, so say why it is taken now."
)


@dataclass(frozen=True, slots=True)
class StepWords:
    """One step to be taken; sentences."""

    control: str  # "Controlling MC 41.2 % (wettest half)."
    begins: str  # "Step 3 begins at 35 %."
    sets: str
    early: str  # empty where the schedule calls for the step, or a later one


def step_words(record: ChargeRecord, assessment: Assessment, number: int) -> StepWords | None:
    """The words of a step at the moment of the assessment; None where the schedule has no such step."""
    facts = facts_at(record, assessment.at)
    step = next((one for one in steps_of(facts) if one.step == number), None)
    if step is None or assessment.schedule is None:
        return None
    control, called_for = assessment.control, assessment.schedule.called_for
    values: dict[str, object] = {
        "step": number,
        "from_mc_pct": step.from_mc_pct,
        "from_hours": step.from_hours,
        "called_for": called_for,
    }
    is_early = called_for is None or called_for < number
    # The air brings numpy, which is slow to load: nobody needs it before a step is taken.
    from kilnlog.drying.step_terms import set_values  # noqa: PLC0415  # as above

    terms = set_values(step, kiln_of(facts))
    return StepWords(
        control=f"Controlling MC {figures.mc(control.mc_pct)} % ({control.rule.value})."
        if control.mc_pct is not None
        else "There is no controlling MC yet.",
        begins=fill(_BEGINS, values, WeightUnit.G),
        sets=fill(_SETS, terms, WeightUnit.G) if terms else _as_written(step),
        early=fill(_EARLY, values, WeightUnit.G) if is_early else "",
    )


def _as_written(step: ScheduleStep) -> str:
    told = set_points(step)
    parts = [
        words.format(figures.trimmed(float(told[name]), 1), unit=told.get("temperature_unit", ""))
        for name, words in _WRITTEN
        if name in told
    ]
    return f"Set {', '.join(parts)}." if parts else "The step sets no air."

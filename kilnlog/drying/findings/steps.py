"""Checks of the schedule: a step that is due, one skipped, one taken before its time."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from kilnlog.drying.easing import easing
from kilnlog.drying.facts_at import Seen
from kilnlog.drying.figures import Phase
from kilnlog.drying.finding import Finding, Severity
from kilnlog.drying.findings.case import CHARGE, COMMON_PRACTICE, Case
from kilnlog.drying.schedule import called_for, has_rule, steps_of
from kilnlog.drying.too_fast import too_fast_boards
from kilnlog.records.moment import Moment
from kilnlog.records.schedule_step import ScheduleStep
from kilnlog.records.step_taken import StepTaken

#: Rounds in which the loss after a step taken too early is watched. Common practice, no source.
WATCHED_ROUNDS = 2


def step_due(case: Case) -> Iterator[Finding]:
    """The control figure has come to a later step than the one in force."""
    schedule = case.assessment.schedule
    if schedule is None or schedule.due is None:
        return
    steps = steps_of(case.facts)
    due = next(step for step in steps if step.step == schedule.due)
    eased, back = easing(case), _gone_back(case)
    yield Finding(
        code="step-due",
        severity=Severity.LOOK if back.get("back_reason") else Severity.ACT,
        subject=CHARGE,
        values={
            "schedule": schedule.schedule,
            "step": schedule.step,
            "due_step": schedule.due,
            "left_out_steps": _between(steps, schedule.step, schedule.due) or None,
            "steps": schedule.of,
            "control_mc_pct": case.assessment.control.mc_pct,
            "from_mc_pct": due.from_mc_pct,
            "from_hours": due.from_hours,
            "eased_emc_pct": None if eased is None else eased.emc_pct,
            "too_fast_boards": too_fast_boards(case),
            **back,
            **_terms(case, due),
        },
        source=case.own_schedule,
        since=_due_since(case, steps, due),
    )


def _terms(case: Case, step: ScheduleStep) -> dict[str, float | str]:
    """What the step sets, worked out at the kiln's altitude; nothing where the step says too little."""
    # The air brings numpy, which is slow to load: only a step that is due asks for it.
    from kilnlog.drying.step_terms import set_values  # noqa: PLC0415  # as above

    return set_values(step, case.kiln, case.fresh_air)


def _gone_back(case: Case) -> dict[str, int | str | None]:
    """From which step the one in force went back, and why: a later one is then due on purpose."""
    for before, last in list(pairwise(case.facts.steps_taken))[-1:]:
        if last.fact.step < before.fact.step:
            return {"back_from_step": before.fact.step, "back_reason": last.fact.reason}
    return {"back_from_step": None, "back_reason": None}


def _due_since(case: Case, steps: list[ScheduleStep], due: ScheduleStep) -> Moment:
    """The first round of the unbroken run that calls for the step, up to the last; or when the clock did.

    A step that was called for already when the one in force was taken is due since then. It never moves with
    the time of asking: an answer would not outlast its minute.
    """
    taken = case.facts.steps_taken[-1:]
    since = None
    for found in reversed(case.assessment.rounds):
        called = called_for(steps, found.control.mc_pct, _hours(case, found.until))
        if called is None or called < due.step:
            break
        since = found.at
        if taken and found.until < taken[0].at:
            break
    loaded_at = case.assessment.loaded_at
    by_clock = (
        loaded_at.plus_hours(due.from_hours)
        if since is None and loaded_at is not None and due.from_hours is not None
        else None
    )
    known = [moment for moment in (since, by_clock, *(one.at for one in taken)) if moment is not None]
    return max(known, default=case.assessment.at)


def _hours(case: Case, at: Moment) -> float | None:
    """Time since loading [h]; None before."""
    loaded_at = case.assessment.loaded_at
    return at.hours_since(loaded_at) if loaded_at is not None and loaded_at <= at else None


def _called_at(case: Case, steps: list[ScheduleStep], at: Moment) -> tuple[int | None, float | None]:
    """The step called for at a moment, and the control figure of the last round before it.

    Wetter than the first step begins, the first is called for; without any control figure nobody can say.
    """
    control_mc_pct = next(
        (found.control.mc_pct for found in reversed(case.assessment.rounds) if found.at <= at), None
    )
    called = called_for(steps, control_mc_pct, _hours(case, at))
    if called is None and control_mc_pct is not None:
        called = steps[0].step
    return called, control_mc_pct


def _taken(case: Case) -> Iterator[tuple[int | None, Seen[StepTaken]]]:
    """Every step taken, with the one in force before it; None before the first."""
    taken = case.facts.steps_taken
    yield from ((None, first) for first in taken[:1])
    yield from ((before.fact.step, after) for before, after in pairwise(taken))


def step_skipped(case: Case) -> Iterator[Finding]:
    """A step was taken past others before the rule called for it.

    Where the control figure has come to a step, those before it have nothing left to do: stock that comes dry
    begins part-way, and after days without a round a step may be passed by.
    """
    steps = steps_of(case.facts)
    for before, taken in _taken(case) if steps else ():
        called, _ = _called_at(case, steps, taken.at)
        if (called is not None and taken.fact.step <= called) or _is_over(case, steps, taken):
            continue
        skipped = _between(steps, steps[0].step if before is None else before, taken.fact.step)
        if skipped:
            yield Finding(
                code="step-skipped",
                severity=_severity(case, taken),
                subject=CHARGE,
                values={"step": taken.fact.step, "skipped_steps": skipped, "reason": taken.fact.reason},
                source=COMMON_PRACTICE,
                since=taken.at,
            )


def _between(steps: list[ScheduleStep], begin: int, end: int) -> tuple[str, ...]:
    """The steps after one and before another."""
    return tuple(str(step.step) for step in steps if begin < step.step < end)


def step_against_rule(case: Case) -> Iterator[Finding]:
    """A step was taken before the control figure, or the clock, had come to it."""
    steps = steps_of(case.facts)
    for before, taken in _taken(case) if steps else ():
        called, control_mc_pct = _called_at(case, steps, taken.at)
        is_forward = taken.fact.step > (steps[0].step if before is None else before)
        if not is_forward or called is None or taken.fact.step <= called or _is_over(case, steps, taken):
            continue
        step = next((step for step in steps if step.step == taken.fact.step), None)
        if step is not None and not has_rule(step):
            continue
        yield Finding(
            code="step-against-rule",
            severity=_severity(case, taken),
            subject=CHARGE,
            values={
                "step": taken.fact.step,
                "called_for": called,
                "control_mc_pct": control_mc_pct,
                "from_mc_pct": None if step is None else step.from_mc_pct,
                "from_hours": None if step is None else step.from_hours,
                "reason": taken.fact.reason,
            },
            source=case.own_schedule,
            since=taken.at,
        )


def _is_over(case: Case, steps: list[ScheduleStep], taken: Seen[StepTaken]) -> bool:
    """Whether a step taken too early asks for nothing any more; once the kiln is unloaded all are told again.

    It does once another step is in force or the run is at its end, or once the boards came to it and some
    rounds since have shown the loss.
    """
    if not case.is_running:
        return False
    if taken is not case.facts.steps_taken[-1] or case.assessment.phase is not Phase.DRYING:
        return True
    since = sum(found.at > taken.at for found in case.assessment.rounds)
    called, _ = _called_at(case, steps, case.assessment.at)
    return since >= WATCHED_ROUNDS and called is not None and called >= taken.fact.step


def schedule_without_steps(case: Case) -> Iterator[Finding]:
    """The charge names a schedule that nobody wrote down: no step will ever fall due."""
    schedule = case.facts.charge.schedule
    if case.is_running and schedule is not None and not steps_of(case.facts):
        yield Finding(
            code="schedule-without-steps",
            severity=Severity.LOOK,
            subject=CHARGE,
            values={"schedule": schedule},
            source=case.own_schedule,
        )


def _severity(case: Case, taken: Seen[StepTaken]) -> Severity:
    """Worth a look while it is in force unexplained; with a reason or once unloaded, a note."""
    in_force = case.is_running and taken is case.facts.steps_taken[-1]
    return Severity.LOOK if in_force and taken.fact.reason is None else Severity.NOTE

"""Checks of the pace: a board that stopped losing, a round that is overdue."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from statistics import median

from kilnlog.drying.damping import was_damped
from kilnlog.drying.figures import BoardFigures, ChargeState
from kilnlog.drying.finding import Finding, Severity
from kilnlog.drying.findings.case import CHARGE, Case, on_board
from kilnlog.drying.findings.rates import rate_at
from kilnlog.records.moment import Moment
from kilnlog.records.words import EventKind

#: So many earlier rates at the same step tell what a board lost at it: one odd one is then outvoted.
_EARLIER = 3
#: What stands the kiln still, and then nobody wonders why its boards do.
_STANDSTILL = (EventKind.POWER_CUT, EventKind.HEAT, EventKind.FAN)
#: How many of the last rounds tell how often a charge is weighed and what it loses, and how late is late.
_HABIT, _LATE = 6, 1.5


def stalled(case: Case) -> Iterator[Finding]:
    """A board that now loses far less than it did at this step, though it has still to lose."""
    if case.assessment.state is not ChargeState.DRYING or case.assessment.loaded_at is None:
        return
    taken = case.facts.steps_taken
    step_at = taken[-1].at if taken else case.assessment.loaded_at
    air = case.fresh_air  # that of weeks ago bounds nothing by now
    floor_pct = 0.0 if air is None else air.emc_pct or 0.0
    for board in case.assessment.boards:
        lost = _usual_and_now(board, step_at, floor_pct)
        if lost is None:
            continue
        usual, now, by_steps, since = lost
        # A gain beyond the scale's noise is told as one.
        is_stall = -by_steps <= now and now + by_steps < case.reference.limit("stall_share") * usual
        if not is_stall or _was_explained(case, since, board.points[-1].at):
            continue
        yield on_board(
            board,
            "stalled",
            Severity.LOOK,
            {
                "rate_pct_per_day": now,
                "usual_rate_pct_per_day": usual,
                "mc_pct": board.mc_pct,
                "step": None if case.assessment.schedule is None else case.assessment.schedule.step,
                "from_at": since,
                "until_at": board.points[-1].at,
            },
            source=case.source("stall_share"),
            since=since,
        )


def _usual_and_now(
    board: BoardFigures, step_at: Moment, floor_pct: float
) -> tuple[float, float, float, Moment] | None:
    """The rate to be expected by this step's earlier ones, that of now, what steps add, and its beginning.

    Wood loses about in proportion to what stands above EMC; so a rate is carried on by that.
    """
    worth_pct, mc_pct, target_pct = board.mc_per_division_pct, board.mc_pct, board.target_mc_pct
    if not board.usable or worth_pct is None or mc_pct is None or mc_pct <= max(target_pct or 0.0, floor_pct):
        return None
    now = rate_at(board.points, len(board.points) - 1, worth_pct)
    if now is None or now.since < step_at:
        return None
    earlier = []
    for before, point in pairwise(board.points[-_HABIT - 2 : -1]):
        rate, then_pct = point.rate_pct_per_day, point.mc_pct
        if rate is not None and then_pct is not None and then_pct > floor_pct and before.at >= step_at:
            earlier.append(rate / (then_pct - floor_pct))
    if len(earlier) < _EARLIER:
        return None
    usual = median(earlier) * (mc_pct - floor_pct)
    return usual, now.rate_pct_per_day, now.by_steps_pct_per_day, now.since


def _was_explained(case: Case, since: Moment, until: Moment) -> bool:
    """Whether the air was damped, or the kiln stood still, at any time between the two."""
    stood = any(event.fact.kind in _STANDSTILL and since <= event.at <= until for event in case.facts.events)
    return stood or was_damped(case.facts.events, since, until)


def weighing_overdue(case: Case) -> Iterator[Finding]:
    """No round for longer than a charge of this habit goes without one."""
    loaded_at, at = case.assessment.loaded_at, case.assessment.at
    in_use = [board for board in case.assessment.boards if board.usable]
    if case.assessment.state is not ChargeState.DRYING or loaded_at is None or not in_use:
        return
    weighed = [found for found in case.assessment.rounds[-_HABIT:] if found.until >= loaded_at]
    last_at = weighed[-1].until if weighed else loaded_at
    gaps = [later.at.hours_since(earlier.at) for earlier, later in pairwise(weighed)]
    allowed_h = max(case.reference.limit("overdue_h"), _LATE * median(gaps) if gaps else 0.0)
    if at.hours_since(last_at) > allowed_h:
        yield Finding(
            code="weighing-overdue",
            severity=Severity.LOOK,
            subject=CHARGE,
            values={
                "last_at": last_at,
                "without_h": at.hours_since(last_at),
                "usual_h": median(gaps) if gaps else None,
                "boards": len(in_use),
            },
            source=case.source("overdue_h"),
            since=last_at.plus_hours(allowed_h),
        )

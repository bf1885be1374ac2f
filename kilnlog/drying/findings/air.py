"""Checks of the air against the wood: too wet to draw from it, too hot for it, fit for mould.

Only air read lately counts, and none of this is said of air damped on purpose.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from kilnlog.drying.damping import was_damped
from kilnlog.drying.facts_at import in_order
from kilnlog.drying.figures import BoardFigures, ChargeState
from kilnlog.drying.finding import Finding, Severity
from kilnlog.drying.findings.case import CHARGE, RECENT_H, Case, on_board
from kilnlog.drying.findings.rates import rate_at
from kilnlog.drying.kiln_now import altitude_m
from kilnlog.drying.too_fast import too_fast_boards
from kilnlog.drying.wet_wood import taken_too_far, wet_step
from kilnlog.records.moment import Moment
from kilnlog.records.schedule_step import ScheduleStep
from kilnlog.records.temperature import celsius, in_unit

if TYPE_CHECKING:
    from kilnlog.drying.air.digest import RecentMean

OWN_FIGURES = "worked out: wood in air goes to its EMC, Wood Handbook FPL-GTR-190 (2010), chapter 4"


def air_too_wet(case: Case) -> Iterator[Finding]:
    """EMC at or above the driest board that has still to lose: it cannot.

    While the controlling boards are wet the step's air comes first: drier air would check them.
    """
    air = case.air
    if air is None or air.kiln is None or not _is_judged(case):
        return
    from kilnlog.drying.air.digest import recent_mean, spans  # noqa: PLC0415  # numpy: only where air was read

    mean = recent_mean(air.kiln, RECENT_H)
    to_lose = [board for board in _usable(case) if _is_above_target(board)]
    driest = min(to_lose, key=_mc_pct, default=None)
    if mean is None or driest is None or mean.emc_pct < _mc_pct(driest) or _lost_below_emc(case, driest):
        return
    mc_pct, step, too_fast = _mc_pct(driest), wet_step(case), too_fast_boards(case)
    kept_pct, serving_rh_pct = _serving(case, step, mc_pct, mean)
    (*_, damp) = spans(air.kiln, air.kiln.emc_pct >= min(mc_pct, mean.emc_pct))
    yield on_board(
        driest,
        "air-too-wet",
        Severity.ACT if kept_pct is None and too_fast is None else Severity.LOOK,
        {
            "emc_pct": mean.emc_pct,
            "mc_pct": mc_pct,
            "is_rh_pct": mean.rh_pct,
            "air_dry_bulb": _shown(case, mean.dry_bulb_c),
            "temperature_unit": case.assessment.temperature_unit.value,
            "serving_rh_pct": serving_rh_pct,
            "wet_step": None if step is None else step.step,
            "kept_emc_pct": kept_pct,
            "too_fast_boards": too_fast,
            "read_at": air.kiln.latest.at,
        },
        source=OWN_FIGURES,
        since=max(damp.begun_at, _below_since(driest, mean.emc_pct)),
    )


def _serving(
    case: Case, step: ScheduleStep | None, mc_pct: float, mean: RecentMean
) -> tuple[float | None, float | None]:
    """The EMC that wetter boards need, where the air is kept as it is for them; else the RH that would serve.

    That is the RH at which the air draws from wood of that MC again, but never far below the step's EMC.
    """
    from kilnlog.drying.air.emc import rh_for_emc_pct  # noqa: PLC0415  # as above

    limit = case.reference.limit
    wanted_pct = mc_pct - limit("emc_below_mc_points")
    step_emc_pct, step_rh_pct = _of_step(case, step, mean.dry_bulb_c)
    if step_emc_pct is not None and wanted_pct < step_emc_pct - limit("too_dry_by_points"):
        if step_rh_pct is None or mean.rh_pct <= step_rh_pct + limit("off_set_point_rh_points"):
            return step_emc_pct, None
        return None, step_rh_pct
    return None, float(rh_for_emc_pct(mean.dry_bulb_c, wanted_pct)) if wanted_pct > 0 else None


def _of_step(case: Case, step: ScheduleStep | None, dry_bulb_c: float) -> tuple[float | None, float | None]:
    """The EMC of a step, and the RH that brings wood there at the temperature the kiln has [C]."""
    from kilnlog.drying.air.moist_air import pressure_pa  # noqa: PLC0415  # as above
    from kilnlog.drying.step_terms import rh_at_pct, step_terms  # noqa: PLC0415  # as above

    terms = None if step is None else step_terms(step, pressure_pa(altitude_m(case.kiln)))
    return (None, None) if terms is None else (terms.emc_pct, rh_at_pct(terms, dry_bulb_c))


def _below_since(board: BoardFigures, emc_pct: float) -> Moment:
    """The first point of the unbroken run at or below that, up to the last."""
    known = [point for point in board.points if point.mc_pct is not None]
    since = known[-1].at
    for point in reversed(known):
        if point.mc_pct is None or point.mc_pct > emc_pct:
            break
        since = point.at
    return since


def mc_below_emc(case: Case) -> Iterator[Finding]:
    """A board that lost water in air whose EMC stood above its MC throughout: one of the two is wrong."""
    for board in _usable(case) if _is_judged(case) else ():
        lowest_pct = _lost_below_emc(case, board)
        if lowest_pct is not None:
            yield on_board(
                board,
                "mc-below-emc",
                Severity.LOOK,
                {
                    "mc_pct": board.mc_pct,
                    "emc_pct": lowest_pct,
                    "mc_uncertainty_pct": board.mc_uncertainty_pct,
                    "rate_pct_per_day": board.rate_pct_per_day,
                    "oven_dry_weight_g": board.oven_dry_weight_g,
                },
                source=OWN_FIGURES,
                since=board.points[-1].at,
            )


def _lost_below_emc(case: Case, board: BoardFigures) -> float | None:
    """The lowest EMC since the board's point before the last, where it lost water below it for certain."""
    air, worth_pct = case.air, board.mc_per_division_pct
    if air is None or air.kiln is None or worth_pct is None or board.mc_uncertainty_pct is None:
        return None
    rate = rate_at(board.points, len(board.points) - 1, worth_pct)
    if rate is None or rate.certain_pct_per_day <= 0:
        return None
    from kilnlog.drying.air.digest import lowest_emc_pct  # noqa: PLC0415  # as above

    lowest_pct = lowest_emc_pct(air.kiln, rate.since, board.points[-1].at)
    if lowest_pct is None or _mc_pct(board) + board.mc_uncertainty_pct >= lowest_pct:
        return None
    return lowest_pct


def air_too_hot(case: Case) -> Iterator[Finding]:
    """The dry bulb above what the schedule allows while the controlling boards are wet."""
    air, step, loaded_at = case.air, wet_step(case), case.assessment.loaded_at
    if air is None or step is None or loaded_at is None:
        return
    from kilnlog.drying.air.digest import hotter_than  # noqa: PLC0415  # as above

    allowed_c = _dry_bulb_c(step)
    lately = case.assessment.at.plus_hours(-case.reference.limit("air_fresh_h"))
    spans = [
        span
        for trace in air.heat
        # from its own beginning on, so that what began long ago is not told as begun anew every hour
        for span in hotter_than(trace, allowed_c + case.reference.limit("hot_by_c"), loaded_at)
        if span.until >= lately
    ]
    hot = max(spans, key=lambda span: (span.reaches_latest, span.until, span.highest_dry_c), default=None)
    if hot is not None:
        yield Finding(
            code="air-too-hot",
            severity=Severity.ACT if hot.reaches_latest else Severity.LOOK,
            subject=CHARGE,
            values={
                "step": step.step,
                "taken_step": taken_too_far(case, step),
                "allowed_dry_bulb": _shown(case, allowed_c),
                "highest_dry_bulb": _shown(case, hot.highest_dry_c),
                "temperature_unit": case.assessment.temperature_unit.value,
                "control_mc_pct": case.assessment.control.mc_pct,
                "limit_pct": case.reference.limit("hot_above_mc_pct"),
                "until_at": None if hot.reaches_latest else hot.until,
            },
            source=f"{case.own_schedule}; {case.source('hot_above_mc_pct')}",
            since=hot.begun_at,
        )


def set_too_hot(case: Case) -> Iterator[Finding]:
    """The kiln is set hotter than the schedule allows while the controlling boards are wet."""
    step = wet_step(case)
    # A humidity set since leaves the heat as it was.
    settings = [
        seen
        for seen in in_order(case.facts.record.set_point, case.assessment.at)
        if seen.fact.dry_bulb is not None
    ]
    now = settings[-1] if settings else None
    if step is None or now is None or now.fact.dry_bulb is None or now.fact.temperature_unit is None:
        return
    allowed_c = _dry_bulb_c(step)
    set_c = celsius(now.fact.dry_bulb, now.fact.temperature_unit)
    if set_c > allowed_c + case.reference.limit("hot_by_c"):
        yield Finding(
            code="set-too-hot",
            severity=Severity.ACT,
            subject=CHARGE,
            values={
                "step": step.step,
                "taken_step": taken_too_far(case, step),
                "allowed_dry_bulb": _shown(case, allowed_c),
                "set_to_dry_bulb": _shown(case, set_c),
                "temperature_unit": case.assessment.temperature_unit.value,
                "control_mc_pct": case.assessment.control.mc_pct,
                "limit_pct": case.reference.limit("hot_above_mc_pct"),
            },
            source=f"{case.own_schedule}; {case.source('hot_above_mc_pct')}",
            since=now.at,
        )


def _dry_bulb_c(step: ScheduleStep) -> float:
    return celsius(step.dry_bulb or 0.0, step.temperature_unit) if step.temperature_unit else 0.0


def mould_weather(case: Case) -> Iterator[Finding]:
    """Air warm and damp for so long, and up to now, that mould may grow on wet boards.

    Where the step asks for air so damp, no vent is to be opened for it: the wood would check.
    """
    air, wettest, limit = case.air, case.assessment.wettest, case.reference.limit
    if air is None or air.kiln is None or not air.is_fresh or wettest is None:
        return
    if case.assessment.state is not ChargeState.DRYING or wettest.mc_pct <= limit("mould_mc_pct"):
        return
    from kilnlog.drying.air.digest import recent_mean, warm_and_damp  # noqa: PLC0415  # as above

    step, mean, too_fast = wet_step(case), recent_mean(air.kiln, RECENT_H), too_fast_boards(case)
    _, step_rh_pct = (None, None) if mean is None else _of_step(case, step, mean.dry_bulb_c)
    coolest_c, warmest_c, least_rh_pct = (
        limit("mould_coolest_c"),
        limit("mould_warmest_c"),
        limit("mould_rh_pct"),
    )
    for span in warm_and_damp(air.kiln, coolest_c, warmest_c, least_rh_pct):
        if span.reaches_latest and span.hours >= limit("mould_h"):
            yield Finding(
                code="mould-weather",
                severity=Severity.LOOK,
                subject=CHARGE,
                values={
                    "lasted_h": span.hours,
                    "over_rh_pct": least_rh_pct,
                    "coolest_dry_bulb": _shown(case, coolest_c),
                    "warmest_dry_bulb": _shown(case, warmest_c),
                    "temperature_unit": case.assessment.temperature_unit.value,
                    "wettest_mc_pct": wettest.mc_pct,
                    "from_at": span.begun_at,
                    "wet_step": None if step is None else step.step,
                    "step_rh_pct": step_rh_pct,
                    "too_fast_boards": too_fast,
                },
                source=case.source("mould_rh_pct"),
                since=span.begun_at,
            )


def _shown(case: Case, temperature_c: float) -> float:
    """A temperature as the kiln's thermometers show it."""
    return in_unit(temperature_c, case.assessment.temperature_unit)


def _is_judged(case: Case) -> bool:
    """Whether the charge dries in air read lately and not damped on purpose."""
    air, at = case.air, case.assessment.at
    if case.assessment.state is not ChargeState.DRYING or air is None or air.kiln is None or not air.is_fresh:
        return False
    return not was_damped(case.facts.events, air.kiln.latest.at.plus_hours(-RECENT_H), at)


def _usable(case: Case) -> list[BoardFigures]:
    return [board for board in case.assessment.boards if board.usable and board.mc_pct is not None]


def _is_above_target(board: BoardFigures) -> bool:
    return board.target_mc_pct is None or _mc_pct(board) > board.target_mc_pct


def _mc_pct(board: BoardFigures) -> float:
    return board.mc_pct or 0.0

"""Checks of the end of a run: equalizing due and done, conditioning due, each with what to set for it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from kilnlog.drying.end_of_run import (
    SETTING,
    Phase,
    end_of_run,
    rule_from_setting,
    target_of,
    wood_type_of,
)
from kilnlog.drying.figures import BoardFigures
from kilnlog.drying.finding import Finding, Severity, Value
from kilnlog.drying.findings.case import CHARGE, Case
from kilnlog.drying.schedule import REACHED_WITHIN_PCT, steps_of
from kilnlog.records.errors import UnknownWord
from kilnlog.records.moment import Moment
from kilnlog.records.schedule_step import ScheduleStep
from kilnlog.records.temperature import celsius, difference_in_unit, in_unit
from kilnlog.reference.end_of_run import EqualizingRule, conditioning_rule, equalizing_source

#: Past the last step, equalizing goes on so much hotter than it (10 F; Wengert, Drying Oak Lumber).
_HOTTER_C = 10 * 5 / 9


def equalize_due(case: Case) -> Iterator[Finding]:
    """The driest board has come to where the rule begins, and the wettest is not at its target.

    In air so dry wet wood would check: while the controlling boards are wet, it is told without a setting.
    """
    end = end_of_run(case.facts, case.assessment)
    if end is None or end.phase is not Phase.DRYING or not end.is_driest_there or end.seems_all_there:
        return
    control_mc_pct = case.assessment.control.mc_pct
    is_wet = control_mc_pct is not None and control_mc_pct > case.reference.limit("hot_above_mc_pct")
    yield Finding(
        code="equalize-due",
        severity=Severity.LOOK if is_wet else Severity.ACT,
        subject=CHARGE,
        values={
            "driest_board": end.driest.board,
            "driest_compared_pct": end.driest.mc_pct,
            "start_at_pct": end.start_at_pct,
            "wettest_board": end.wettest.board,
            "wettest_compared_pct": end.wettest.mc_pct,
            "end_at_pct": end.end_at_pct,
            "keep_emc_pct": None if is_wet else end.emc_pct,
            "wet_control_mc_pct": control_mc_pct if is_wet else None,
            "rule": end.rule.name,
            **({} if is_wet else _settings(case, end.emc_pct, hotter=True)),
        },
        source=_source(case, end.rule, end.driest),
        since=_since(end.driest, end.start_at_pct),
    )


def equalize_finished(case: Case) -> Iterator[Finding]:
    """The wettest board has come to where the rule ends, while equalizing is still on."""
    end = end_of_run(case.facts, case.assessment)
    if end is None or end.phase is not Phase.EQUALIZING or not end.is_wettest_there:
        return
    yield Finding(
        code="equalize-finished",
        severity=Severity.ACT,
        subject=CHARGE,
        values={
            "wettest_board": end.wettest.board,
            "wettest_compared_pct": end.wettest.mc_pct,
            "end_at_pct": end.end_at_pct,
            "equalizing_at": end.since,
            "rule": end.rule.name,
        },
        source=_source(case, end.rule, end.wettest),
        since=_since(end.wettest, end.end_at_pct),
    )


def condition_due(case: Case) -> Iterator[Finding]:
    """Every board is at its target, and nobody has conditioned the charge yet."""
    end = end_of_run(case.facts, case.assessment)
    if end is None or end.phase not in (Phase.DRYING, Phase.EQUALIZED) or not end.is_wettest_there:
        return
    wood = wood_type_of(end.wettest, case.assessment, case.reference)
    rule = conditioning_rule(wood, target_of(end.wettest))
    emc_pct = target_of(end.wettest) + rule.emc_above_points
    yield Finding(
        code="condition-due",
        severity=Severity.ACT if end.phase is Phase.EQUALIZED else Severity.LOOK,
        subject=CHARGE,
        values={
            "wettest_board": end.wettest.board,
            "wettest_compared_pct": end.wettest.mc_pct,
            "end_at_pct": end.end_at_pct,
            "keep_emc_pct": emc_pct,
            "above_points": rule.emc_above_points,
            "wood": wood,
            **_settings(case, emc_pct, hotter=False),
        },
        source=rule.source if rule.standing == "verified" else f"{rule.source}; from memory",
        since=max(_since(end.wettest, end.end_at_pct), end.since or case.assessment.boards[0].cut_at),
    )


def equalizing_rule_unknown(case: Case) -> Iterator[Finding]:
    """The logbook's rule for equalizing is none; the default one stands in for it."""
    setting = case.facts.setting(SETTING)
    end = end_of_run(case.facts, case.assessment)
    if setting is None or end is None:
        return
    try:
        rule_from_setting(setting)
    except UnknownWord:
        yield Finding(
            code="equalizing-rule-unknown",
            severity=Severity.LOOK,
            subject=CHARGE,
            values={"setting": setting, "rule": end.rule.name},
            source=end.rule.source,
            since=case.assessment.loaded_at,
        )


def _source(case: Case, rule: EqualizingRule, board: BoardFigures) -> str:
    return equalizing_source(rule.name, wood_type_of(board, case.assessment, case.reference))


def _since(board: BoardFigures, at_most_pct: float) -> Moment:
    """The first point of the unbroken run at or below that, up to the last."""
    since = board.points[-1].at
    for point in reversed(board.points):
        if point.mc_pct is None or point.mc_pct > at_most_pct + REACHED_WITHIN_PCT:
            break
        since = point.at
    return since


def _settings(case: Case, emc_pct: float, *, hotter: bool) -> Mapping[str, Value]:
    """What keeps that EMC on this kiln, in all terms; nothing where no temperature is known for it."""
    dry_bulb = _dry_bulb(case, hotter=hotter)
    if dry_bulb is None:
        return {}
    # The air brings numpy, which is slow to load: only the end of a run asks for it.
    from kilnlog.drying.step_terms import set_values  # noqa: PLC0415  # as above

    step = ScheduleStep(
        "", 1, dry_bulb=dry_bulb, emc_pct=emc_pct, temperature_unit=case.assessment.temperature_unit
    )
    return set_values(step, case.kiln, case.fresh_air)


def _dry_bulb(case: Case, *, hotter: bool) -> float | None:
    """That of the step in force, hotter past the last; else that of the air. In the kiln's unit."""
    unit, schedule = case.assessment.temperature_unit, case.assessment.schedule
    steps = steps_of(case.facts)
    step = next((one for one in steps if schedule is not None and one.step == schedule.step), None)
    if step is not None and step.dry_bulb is not None and step.temperature_unit is not None:
        by_c = _HOTTER_C if hotter and step is steps[-1] else 0.0
        shift = difference_in_unit(by_c, step.temperature_unit)
        return in_unit(celsius(step.dry_bulb + shift, step.temperature_unit), unit)
    air = case.assessment.air
    return None if air is None or air.dry_bulb_c is None else in_unit(air.dry_bulb_c, unit)

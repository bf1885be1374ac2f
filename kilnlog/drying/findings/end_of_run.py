"""Checks of the end of a run: equalizing due and done, conditioning due, each with what to set for it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from kilnlog.drying.end_air import (
    HOTTER,
    EndAir,
    conditioning_air,
    conditioning_of,
    equalizing_air,
    is_wet,
)
from kilnlog.drying.end_of_run import SETTING, end_of_run, rule_from_setting, wood_type_of
from kilnlog.drying.figures import BoardFigures, Phase
from kilnlog.drying.finding import Finding, Severity, Value
from kilnlog.drying.findings.case import CHARGE, Case
from kilnlog.drying.schedule import REACHED_WITHIN_PCT
from kilnlog.records.errors import UnknownWord
from kilnlog.records.moment import Moment
from kilnlog.reference.end_of_run import ConditioningRule, EqualizingRule, equalizing_source
from kilnlog.reference.rows import Standing


def equalize_due(case: Case) -> Iterator[Finding]:
    """The driest board has come to where the rule begins, and the wettest is not at its target.

    In air so dry wet wood would check: while the controlling boards are wet, it is told without a setting.
    """
    end = end_of_run(case.facts, case.assessment)
    if end is None or end.phase is not Phase.DRYING or not end.is_driest_there or end.seems_all_there:
        return
    wet = is_wet(case.assessment, case.reference)
    asked = None if wet else equalizing_air(end, case.facts, case.assessment, case.reference)
    yield Finding(
        code="equalize-due",
        severity=Severity.LOOK if wet else Severity.ACT,
        subject=CHARGE,
        values={
            "driest_board": end.driest.board,
            "driest_compared_pct": end.driest.mc_pct,
            "start_at_pct": end.start_at_pct,
            "wettest_board": end.wettest.board,
            "wettest_compared_pct": end.wettest.mc_pct,
            "end_at_pct": end.end_at_pct,
            "keep_emc_pct": None if asked is None else asked.emc_pct,
            "wet_control_mc_pct": case.assessment.control.mc_pct if wet else None,
            "rule": end.rule.name,
            **({} if asked is None else settings_of(case, asked)),
        },
        source=equalizing_source_of(case, end.rule, end.driest, asked),
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
        source=equalizing_source_of(case, end.rule, end.wettest, None),
        since=_since(end.wettest, end.end_at_pct),
    )


def condition_due(case: Case) -> Iterator[Finding]:
    """Every board is at its target, and nobody has conditioned the charge yet."""
    end = end_of_run(case.facts, case.assessment)
    if end is None or end.phase not in (Phase.DRYING, Phase.EQUALIZED) or not end.is_wettest_there:
        return
    rule = conditioning_of(end, case.assessment, case.reference)
    asked = conditioning_air(end, case.facts, case.assessment, case.reference)
    yield Finding(
        code="condition-due",
        severity=Severity.ACT if end.phase is Phase.EQUALIZED else Severity.LOOK,
        subject=CHARGE,
        values={
            "wettest_board": end.wettest.board,
            "wettest_compared_pct": end.wettest.mc_pct,
            "end_at_pct": end.end_at_pct,
            "keep_emc_pct": asked.emc_pct,
            "above_points": rule.emc_above_points,
            "wood": rule.wood_type,
            **settings_of(case, asked),
        },
        source=conditioning_source_of(rule),
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


def conditioning_source_of(rule: ConditioningRule) -> str:
    """Where the rule was read, or that it was not."""
    return rule.source if rule.standing is Standing.VERIFIED else f"{rule.source}; from memory"


def _since(board: BoardFigures, at_most_pct: float) -> Moment:
    """The first point of the unbroken run at or below that, up to the last."""
    since = board.points[-1].at
    for point in reversed(board.points):
        if point.mc_pct is None or point.mc_pct > at_most_pct + REACHED_WITHIN_PCT:
            break
        since = point.at
    return since


def settings_of(case: Case, asked: EndAir) -> Mapping[str, Value]:
    """What keeps that EMC on this kiln, in all terms; nothing where no temperature is known for it."""
    step = asked.as_step
    if step is None:
        return {}
    # The air brings numpy, which is slow to load: only the end of a run asks for it.
    from kilnlog.drying.step_terms import set_values  # noqa: PLC0415  # as above

    return {
        "hotter_dry_bulb": asked.hotter_by,
        "last_step": None if asked.hotter_by is None else asked.of_step,
        **set_values(step, case.kiln, case.fresh_air),
    }


def equalizing_source_of(case: Case, rule: EqualizingRule, board: BoardFigures, asked: EndAir | None) -> str:
    """Where the rule was read, and where the heat beyond the last step, if that is asked for, was."""
    source = equalizing_source(rule.name, wood_type_of(board, case.assessment, case.reference))
    hotter = case.source(HOTTER)
    if asked is None or asked.hotter_by is None or hotter in source:
        return source
    return f"{source}; hotter than the last step: {hotter}"

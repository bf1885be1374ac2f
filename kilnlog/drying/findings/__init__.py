"""What the checks noticed about a charge: each check one small function, all in one list."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from kilnlog.drying.finding import Finding, Severity
from kilnlog.drying.findings.air import air_too_hot, air_too_wet, mc_below_emc, mould_weather, set_too_hot
from kilnlog.drying.findings.case import CHARGE, Case, Check
from kilnlog.drying.findings.cut_short import conditioning_cut_short, equalizing_cut_short
from kilnlog.drying.findings.end_of_run import (
    condition_due,
    equalize_due,
    equalize_finished,
    equalizing_rule_unknown,
)
from kilnlog.drying.findings.end_phases import conditioning_on, end_air_off, equalizing_on
from kilnlog.drying.findings.entering import ease_in
from kilnlog.drying.findings.meter import meter_disagrees
from kilnlog.drying.findings.odd_weights import weighed_before_cut, weight_dropped, weights_misfit
from kilnlog.drying.findings.off_set_point import off_set_point
from kilnlog.drying.findings.oven import oven_rule_refused, oven_rule_unknown, section_lost_on
from kilnlog.drying.findings.pace import stalled, weighing_overdue
from kilnlog.drying.findings.preparation import (
    board_not_coated,
    few_boards,
    lot_without_board,
    oven_temperature_odd,
    recut_end_not_weighed,
    section_not_constant,
    sections_disagree,
    single_section,
    start_mc_odd,
    weighed_late,
)
from kilnlog.drying.findings.rates import fast_when_dry, rate_near_limit, rate_over_limit
from kilnlog.drying.findings.recut import recut_advised
from kilnlog.drying.findings.sensors import sensor_frozen, wet_bulb_near_dry
from kilnlog.drying.findings.steps import schedule_without_steps, step_against_rule, step_due, step_skipped
from kilnlog.drying.findings.too_dry import air_too_dry, set_too_dry
from kilnlog.drying.findings.weights import (
    board_missed,
    coarse_scale,
    negative_mc,
    provisional_basis,
    weight_gained,
)

__all__ = ["CHECKS", "Case", "all_findings"]

#: Every check, in the order their findings are shown in where they are equally urgent.
CHECKS: tuple[Check, ...] = (
    rate_over_limit,
    air_too_hot,
    set_too_hot,
    air_too_dry,
    set_too_dry,
    step_due,
    ease_in,
    equalize_due,
    equalize_finished,
    condition_due,
    end_air_off,
    equalizing_on,
    conditioning_on,
    equalizing_cut_short,
    conditioning_cut_short,
    air_too_wet,
    negative_mc,
    weighed_before_cut,
    rate_near_limit,
    weight_gained,
    weight_dropped,
    weights_misfit,
    mc_below_emc,
    fast_when_dry,
    meter_disagrees,
    stalled,
    mould_weather,
    off_set_point,
    wet_bulb_near_dry,
    sensor_frozen,
    weighing_overdue,
    board_missed,
    step_against_rule,
    step_skipped,
    schedule_without_steps,
    equalizing_rule_unknown,
    provisional_basis,
    recut_advised,
    recut_end_not_weighed,
    section_not_constant,
    oven_rule_unknown,
    oven_rule_refused,
    section_lost_on,
    start_mc_odd,
    sections_disagree,
    oven_temperature_odd,
    coarse_scale,
    few_boards,
    lot_without_board,
    board_not_coated,
    weighed_late,
    single_section,
)

_URGENCY = {Severity.ACT: 0, Severity.LOOK: 1, Severity.NOTE: 2}

#: A weight insisted on when it was typed answers what then stands in the record.
_ALSO_ANSWERED_BY: Mapping[str, frozenset[str]] = {
    "weight-gained": frozenset({"gain", "jump-up"}),
    "negative-mc": frozenset({"below-oven-dry"}),
    "weight-dropped": frozenset({"jump-down", "below-oven-dry"}),
    "weights-misfit": frozenset({"gain", "jump-up", "jump-down", "below-oven-dry", "weight-gained"}),
}


def all_findings(case: Case) -> tuple[Finding, ...]:
    """Every finding, the most urgent leading; those the operator has answered come last."""
    found = [_with_answer(finding, case) for check in CHECKS for finding in check(case)]
    return tuple(sorted(found, key=lambda finding: (finding.answered, _URGENCY[finding.severity])))


def _with_answer(finding: Finding, case: Case) -> Finding:
    """Mark a finding that a decision stands for: same code, same subject, not from before it began."""
    codes = {finding.code} | _ALSO_ANSWERED_BY.get(finding.code, frozenset())
    subjects = {finding.subject, finding.subject.partition(" ")[2]}
    for decision in case.facts.decisions:
        subject = decision.fact.subject or CHARGE
        is_late_enough = finding.since is None or decision.at >= finding.since
        if decision.fact.code in codes and subject in subjects and is_late_enough:
            return replace(finding, answered=True)
    return finding

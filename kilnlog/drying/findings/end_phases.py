"""Checks while a run is equalized or conditioned: what its air is to be, until when, and air off it."""

from __future__ import annotations

from collections.abc import Iterator

from kilnlog.drying.air.errors import ImpossibleAir
from kilnlog.drying.end_air import conditioning_air, conditioning_of, end_air, equalizing_air, is_wet
from kilnlog.drying.end_of_run import end_of_run
from kilnlog.drying.figures import Phase
from kilnlog.drying.finding import Finding, Severity
from kilnlog.drying.findings.case import CHARGE, RECENT_H, Case
from kilnlog.drying.findings.end_of_run import conditioning_source_of, equalizing_source_of, settings_of
from kilnlog.records.temperature import in_unit
from kilnlog.reference.end_of_run import HARDWOOD


def equalizing_on(case: Case) -> Iterator[Finding]:
    """The charge is equalized: it stands in place of a step until the wettest board is there."""
    end = end_of_run(case.facts, case.assessment)
    if end is None or end.phase is not Phase.EQUALIZING or end.is_wettest_there:
        return
    wet = is_wet(case.assessment, case.reference)
    asked = None if wet else equalizing_air(end, case.facts, case.assessment, case.reference)
    yield Finding(
        code="equalizing-on",
        severity=Severity.LOOK,
        subject=CHARGE,
        values={
            "begun_at": end.since,
            "keep_emc_pct": None if asked is None else asked.emc_pct,
            "wet_control_mc_pct": case.assessment.control.mc_pct if wet else None,
            "driest_board": end.driest.board,
            "driest_compared_pct": end.driest.mc_pct,
            "wettest_board": end.wettest.board,
            "wettest_compared_pct": end.wettest.mc_pct,
            "end_at_pct": end.end_at_pct,
            "rule": end.rule.name,
            **({} if asked is None else settings_of(case, asked)),
        },
        source=equalizing_source_of(case, end.rule, end.driest, asked),
        since=end.since,
    )


def conditioning_on(case: Case) -> Iterator[Finding]:
    """The charge is conditioned: it stands in place of a step until a stress test ends it."""
    end = end_of_run(case.facts, case.assessment)
    if end is None or end.phase is not Phase.CONDITIONING or end.since is None:
        return
    rule = conditioning_of(end, case.assessment, case.reference)
    asked = conditioning_air(end, case.facts, case.assessment, case.reference)
    is_hard, limit = rule.wood_type == HARDWOOD, case.reference.limit
    yield Finding(
        code="conditioning-on",
        severity=Severity.LOOK,
        subject=CHARGE,
        values={
            "begun_at": end.since,
            "lasted_h": case.assessment.at.hours_since(end.since),
            "keep_emc_pct": asked.emc_pct,
            "above_points": rule.emc_above_points,
            "wood": rule.wood_type,
            "usual_from_h": limit("condition_from_h") if is_hard else None,
            "usual_to_h": limit("condition_to_h") if is_hard else None,
            "usual_thick_h": limit("condition_thick_h") if is_hard else None,
            "softwood_h": None if is_hard else limit("condition_softwood_h"),
            **settings_of(case, asked),
        },
        source=f"{conditioning_source_of(rule)}; times: {case.source('condition_to_h')}, from memory",
        since=end.since,
    )


def end_air_off(case: Case) -> Iterator[Finding]:
    """The air is not what equalizing or conditioning asks for.

    Air too dry while equalizing is told at once, since the driest boards go on drying in it. All else is told
    once the kiln had time to get there, and is no more than worth a look: a published way of conditioning
    begins with a milder stage.
    """
    end = end_of_run(case.facts, case.assessment)
    asked, air = end_air(case.facts, case.assessment, case.reference), case.air
    if (
        end is None
        or asked is None
        or asked.since is None
        or air is None
        or air.kiln is None
        or not air.is_fresh
    ):
        return
    latest, limit = air.kiln.latest, case.reference.limit
    if latest.at < asked.since:
        return
    from kilnlog.drying.air.digest import recent_mean, spans  # noqa: PLC0415  # numpy: only where air was read

    mean = recent_mean(air.kiln, min(RECENT_H, latest.at.hours_since(asked.since)))
    by = limit("end_air_off_points")
    if mean is None or abs(mean.emc_pct - asked.emc_pct) <= by:
        return
    is_dry, is_equalizing = mean.emc_pct < asked.emc_pct, asked.phase is Phase.EQUALIZING
    is_settled = latest.at.hours_since(asked.since) >= limit("settled_after_h")
    if not is_settled and not (is_equalizing and is_dry):
        return
    emc_pct = air.kiln.emc_pct
    is_off = emc_pct < asked.emc_pct - by if is_dry else emc_pct > asked.emc_pct + by
    off = [span for span in spans(air.kiln, is_off) if span.reaches_latest]
    yield Finding(
        code="end-air-off",
        severity=Severity.ACT if is_settled and is_equalizing and is_dry else Severity.LOOK,
        subject=CHARGE,
        values={
            "phase": asked.phase.value,
            "side": "dry" if is_dry else "damp",
            "emc_pct": mean.emc_pct,
            "keep_emc_pct": asked.emc_pct,
            "is_rh_pct": mean.rh_pct,
            "air_dry_bulb": in_unit(mean.dry_bulb_c, asked.unit),
            "temperature_unit": asked.unit.value,
            "serving_rh_pct": _serving_rh_pct(mean.dry_bulb_c, asked.emc_pct),
            "off_points": abs(mean.emc_pct - asked.emc_pct),
            # Of these three each picks a sentence; without any, it is conditioned in air too damp.
            "driest_board": end.driest.board if is_equalizing and is_dry else None,
            "wettest_board": end.wettest.board if is_equalizing and not is_dry else None,
            "short_points": asked.emc_pct - mean.emc_pct if not is_equalizing and is_dry else None,
        },
        source=case.source("end_air_off_points"),
        since=max(asked.since, off[-1].begun_at) if off else latest.at,
    )


def _serving_rh_pct(dry_bulb_c: float, emc_pct: float) -> float | None:
    """The RH that brings wood there at this temperature [C]; None where none does."""
    from kilnlog.drying.air.emc import rh_for_emc_pct  # noqa: PLC0415  # as above

    try:
        return float(rh_for_emc_pct(dry_bulb_c, emc_pct))
    except ImpossibleAir:
        return None

"""Stock that comes in dry: it begins part-way through the schedule, and is eased in."""

from __future__ import annotations

from collections.abc import Iterator

from kilnlog.drying.easing import easing
from kilnlog.drying.finding import Finding, Severity
from kilnlog.drying.findings.case import CHARGE, Case


def ease_in(case: Case) -> Iterator[Finding]:
    """The charge enters the schedule at a later step; its surface is drier than its boards are through."""
    eased = easing(case)
    if eased is None:
        return
    yield Finding(
        code="ease-in",
        severity=Severity.LOOK,
        subject=CHARGE,
        values={
            "step": eased.step,
            "ease_in_h": case.reference.limit("ease_in_h"),
            "driest_mc_pct": eased.driest_mc_pct,
            "board": eased.board,
            "eased_emc_pct": eased.emc_pct,
            "step_emc_pct": eased.step_emc_pct,
            "set_dry_bulb": eased.dry_bulb,
            "set_wet_bulb": eased.wet_bulb,
            "set_unit": eased.unit.value,
            "set_rh_pct": eased.rh_pct,
        },
        source=case.source("ease_in_h"),
        since=eased.since or case.assessment.loaded_at,
    )

"""What the checks noticed about a charge: each check one small function, all in one list."""

from __future__ import annotations

from kilnlog.drying.finding import Finding, Severity
from kilnlog.drying.findings.case import Case, Check

__all__ = ["CHECKS", "Case", "all_findings"]

CHECKS: tuple[Check, ...] = ()

_URGENCY = {Severity.ACT: 0, Severity.LOOK: 1, Severity.NOTE: 2}


def all_findings(case: Case) -> tuple[Finding, ...]:
    """Every finding, those not yet answered first, the most urgent leading."""
    found = [_answered(finding, case) for check in CHECKS for finding in check(case)]
    return tuple(sorted(found, key=lambda finding: (finding.answered, _URGENCY[finding.severity])))


def _answered(finding: Finding, case: Case) -> Finding:
    return finding

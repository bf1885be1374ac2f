"""Boards over their limit: while there is one, no finding may ask for drier air."""

from __future__ import annotations

from kilnlog.drying.findings.case import Case
from kilnlog.drying.findings.rates import rate_over_limit


def too_fast_boards(case: Case) -> tuple[str, ...] | None:
    """The labels of the boards that lose faster than their lots stand; None where there is none."""
    return tuple(str(finding.values["board"]) for finding in rate_over_limit(case)) or None

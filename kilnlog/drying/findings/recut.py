"""The check whether the end of a run still rests on sections cut when the wood was green."""

from __future__ import annotations

from collections.abc import Iterator

from kilnlog.drying.boards import WorkedBoard
from kilnlog.drying.figures import BoardFigures, ChargeState
from kilnlog.drying.finding import Finding, Severity
from kilnlog.drying.findings.case import CHARGE, Case


def recut_advised(case: Case) -> Iterator[Finding]:
    """Boards that lead the charge near its end, never recut and known too loosely. One finding for all."""
    control_mc_pct, target_pct = case.assessment.control.mc_pct, case.assessment.target_mc_pct
    below_pct = case.reference.limit("recut_below_mc_pct")
    if (
        case.assessment.state is not ChargeState.DRYING
        or control_mc_pct is None
        or control_mc_pct > below_pct
    ):
        return
    if target_pct is not None and control_mc_pct <= target_pct:
        return  # what was to be decided is decided
    limit_pct = case.reference.limit("recut_uncertainty_mc_pct")
    loose = [board for board, worked in case.boards() if _is_loose(board, worked, limit_pct)]
    if not loose:
        return
    since = case.assessment.at
    for found in reversed(case.assessment.rounds):
        if found.control.mc_pct is None or found.control.mc_pct > below_pct:
            break
        since = found.at
    yield Finding(
        code="recut-advised",
        severity=Severity.NOTE,
        subject=CHARGE,
        values={
            "recut_boards": tuple(board.board for board in loose),
            "best_uncertainty_pct": min(board.mc_uncertainty_pct or 0.0 for board in loose),
            "below_pct": below_pct,
            "limit_pct": limit_pct,
        },
        source=case.source("recut_below_mc_pct"),
        since=since,
    )


def _is_loose(board: BoardFigures, worked: WorkedBoard, limit_pct: float) -> bool:
    """Whether a board that feeds the control is known no better than that, by its first sections alone."""
    was_recut = any(cut.is_recut for cut in worked.chain.cuts)
    return board.feeds_control and not was_recut and (board.mc_uncertainty_pct or 0.0) > limit_pct

"""Checks of what the scale showed: gains, impossible weights, missed boards, coarse scales."""

from __future__ import annotations

from collections.abc import Iterator

from kilnlog.drying.damping import was_damped
from kilnlog.drying.figures import BasisKind, ChargeState, PointKind
from kilnlog.drying.finding import Finding, Severity
from kilnlog.drying.findings.case import COMMON_PRACTICE, Case, on_board


def weight_gained(case: Case) -> Iterator[Finding]:
    """A board that gained more than its scale's noise since its last weight, in air not damped on purpose."""
    divisions = case.reference.limit("gain_divisions")
    is_drying = case.assessment.state is ChargeState.DRYING  # outside, rain is no mystery
    for board, _ in case.boards():
        loss_pct, per_division_pct = board.loss_since_last_pct, board.mc_per_division_pct
        if not board.usable or not is_drying or loss_pct is None or per_division_pct is None:
            continue
        gain_pct = -loss_pct
        last = board.points[-1]
        before = next(point for point in reversed(board.points) if point.at < last.at)
        if gain_pct <= divisions * per_division_pct + 1e-9 or was_damped(
            case.facts.events, before.at, last.at
        ):
            continue
        yield on_board(
            board,
            "weight-gained",
            Severity.LOOK,
            {
                "gain_pct": gain_pct,
                "gain_g": gain_pct * (board.oven_dry_weight_g or 0.0) / 100,
                "mc_pct": board.mc_pct,
                "before_at": before.at,
                "noise_divisions": divisions,
            },
            source=case.source("gain_divisions"),
            since=last.at,
        )


def negative_mc(case: Case) -> Iterator[Finding]:
    """A board lighter than its oven-dry weight: the weight or the basis is wrong."""
    for board, _ in case.boards():
        if board.usable and board.mc_pct is not None and board.mc_pct < 0 and board.basis is not None:
            first_below = next(point for point in board.points if (point.mc_pct or 0.0) < 0)
            yield on_board(
                board,
                "negative-mc",
                Severity.ACT,
                {
                    "mc_pct": board.mc_pct,
                    "weight_g": board.weight_g,
                    "oven_dry_weight_g": board.oven_dry_weight_g,
                    "basis": board.basis.kind.value,
                },
                source="worked out: wood cannot weigh less than its own oven-dry weight",
                since=first_below.at,
            )


def coarse_scale(case: Case) -> Iterator[Finding]:
    """A scale whose one division is worth too much MC to follow this board."""
    limit_pct = case.reference.limit("coarse_division_mc_pct")
    for board, _ in case.boards():
        worth_pct = board.mc_per_division_pct
        if board.usable and worth_pct is not None and worth_pct > limit_pct:
            weighed = [point.at for point in board.points if point.kind is PointKind.WEIGHING]
            yield on_board(
                board,
                "coarse-scale",
                Severity.LOOK,
                {
                    "mc_per_division_pct": worth_pct,
                    "division_g": board.scale_division_g,
                    "limit_per_division_pct": limit_pct,
                },
                source=case.source("coarse_division_mc_pct"),
                since=weighed[0] if weighed else board.cut_at,
            )


def board_missed(case: Case) -> Iterator[Finding]:
    """A board in use that the last round passed by: its last MC is carried, and no step falls due on it.

    Said once that round is over, since until then the board may only be waiting its turn.
    """
    if not case.is_running or case.latest_round is None:
        return
    if case.assessment.at.hours_since(case.latest_round.until) < case.reference.limit("round_gap_h"):
        return
    for board in case.assessment.boards:
        if board.carried:
            yield on_board(
                board,
                "board-missed",
                Severity.LOOK,
                {
                    "weight_at": board.weight_at,
                    "round_at": case.latest_round.at,
                    "mc_pct": board.mc_pct,
                    "feeds_control": board.feeds_control,
                },
                source=COMMON_PRACTICE,
                since=case.latest_round.at,
            )


def provisional_basis(case: Case) -> Iterator[Finding]:
    """A board recut whose new section is still in the oven: the old basis carries on."""
    for board, worked in case.boards():
        basis = board.basis
        if (
            not board.usable
            or not case.is_running
            or basis is None
            or basis.kind is not BasisKind.PROVISIONAL
        ):
            continue
        recut_at = max(cut.at for cut in worked.chain.cuts if cut.is_recut)
        yield on_board(
            board,
            "provisional-basis",
            Severity.NOTE,
            {"recut_at": recut_at, "oven_dry_weight_g": board.oven_dry_weight_g},
            source=COMMON_PRACTICE,
            since=recut_at,
        )

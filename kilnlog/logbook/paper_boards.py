"""Sample boards as papers tell of them: where each came from, where it ended, and the way between."""

from __future__ import annotations

from kilnlog.drying.figures import Assessment, BoardFigures
from kilnlog.exchange.papers.contents import BoardPart
from kilnlog.logbook import figures
from kilnlog.logbook.paper_told import Told
from kilnlog.records.moment import Moment


def board_parts(told: Told) -> list[BoardPart]:
    """The boards told of, in walking order."""
    left_at = {lot.entity: lot.fact.out_at for lot in told.assessment.lots if lot.is_out}
    return [_part(board, left_at.get(board.lot_entity or "")) for board in told.boards]


def control_points(assessment: Assessment) -> list[tuple[str, float]]:
    """The controlling figure, round by round."""
    return [(one.at.iso(), one.control.mc_pct) for one in assessment.rounds if one.control.mc_pct is not None]


def _part(board: BoardFigures, left_at: Moment | None) -> BoardPart:
    """Until its lot left: what a board weighed later tells of no drying in this kiln."""
    start = board.fact.start_weight
    points = [point for point in board.points if left_at is None or point.at <= left_at]
    mc_pct, uncertainty_pct = board.mc_pct, board.mc_uncertainty_pct
    if len(points) < len(board.points):
        known = [point for point in points if point.mc_pct is not None]
        mc_pct = known[-1].mc_pct if known else None
        uncertainty_pct = known[-1].mc_uncertainty_pct if known else None
    return {
        "board": board.board,
        "lot": board.lot,
        "state": board.state.value,
        "start_mc_pct": board.start_mc_pct,
        "mc_pct": mc_pct,
        "mc_uncertainty_pct": uncertainty_pct,
        "start_weight": None if start is None else figures.as_typed(start),
        "oven_dry_weight_g": board.oven_dry_weight_g,
        "weight_at_target_g": board.weight_at_target_g,
        "points": [(point.at.iso(), point.mc_pct) for point in points if point.mc_pct is not None],
    }

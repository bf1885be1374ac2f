"""Sample boards as papers tell of them: where each came from, where it ended, and the way between."""

from __future__ import annotations

from kilnlog.drying.figures import Assessment, BoardFigures
from kilnlog.exchange.papers.contents import BoardPart
from kilnlog.logbook import figures
from kilnlog.logbook.paper_told import Told


def board_parts(told: Told) -> list[BoardPart]:
    """The boards told of, in walking order."""
    return [_part(board) for board in told.boards]


def control_points(assessment: Assessment) -> list[tuple[str, float]]:
    """The controlling figure, round by round."""
    return [(one.at.iso(), one.control.mc_pct) for one in assessment.rounds if one.control.mc_pct is not None]


def _part(board: BoardFigures) -> BoardPart:
    start = board.fact.start_weight
    return {
        "board": board.board,
        "lot": board.lot,
        "state": board.state.value,
        "start_mc_pct": board.start_mc_pct,
        "mc_pct": board.mc_pct,
        "mc_uncertainty_pct": board.mc_uncertainty_pct,
        "start_weight": None if start is None else figures.as_typed(start),
        "oven_dry_weight_g": board.oven_dry_weight_g,
        "weight_at_target_g": board.weight_at_target_g,
        "points": [(point.at.iso(), point.mc_pct) for point in board.points if point.mc_pct is not None],
    }

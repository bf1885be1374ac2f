"""“Show working”: a computed figure as the sum it came from, with its numbers, and where the formula is from.

The sums carry one digit more than the figures shown beside them, so that whoever works them out again by hand
comes to the same last digit.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from math import sqrt

from kilnlog.drying.figures import Assessment, BoardFigures, Point
from kilnlog.logbook import figures
from kilnlog.logbook.sums import Sums
from kilnlog.logbook.working_basis import basis_lines, section_lines
from kilnlog.logbook.working_form import Working
from kilnlog.logbook.working_water import CHARGE_FIGURES
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.words import ControlRule

__all__ = ["CHARGE_FIGURES", "FIGURES", "Working", "working"]

SECTION_SOURCE = "University of Kentucky Extension FOR-128 (2017), p. 27, equation 4"
BASIS_SOURCE = "Wengert, Principles and Practices of Drying Lumber, p. 35"
RATE_SOURCE = "Wengert, Principles and Practices of Drying Lumber, p. 59; by true elapsed time"
ALGEBRA = "follows from MC = (weight ÷ oven-dry weight − 1) × 100"
CONTROL_SOURCE = "hardwood custom (Dry Kiln Operator's Manual, from memory)"
#: Rates over less than this need more digits in their sum.
SHORT_H = 6.0

UNCERTAINTY_SOURCE = "JCGM 100 (GUM), law of propagation; k = 2 for about 95 %"


def working(
    record: ChargeRecord, assessment: Assessment, board: str | None, figure: str, point: str | None = None
) -> Working | None:
    """How a figure was worked out, or None where there is none yet.

    Args:
        record: The charge.
        assessment: What follows from it.
        board: The entity of the board; not used for ``control`` and ``CHARGE_FIGURES``.
        figure: ``control``, one of ``FIGURES`` or one of ``CHARGE_FIGURES``.
        point: The entity of the weight that ``mc``, ``rate`` and ``uncertainty`` are asked of; by default
            the last one known.
    """
    if figure == "control":
        return _control(assessment)
    if figure in CHARGE_FIGURES:
        return CHARGE_FIGURES[figure](assessment)
    chosen = next(one for one in assessment.boards if one.entity == board)
    if point is not None:
        chosen = _as_of(chosen, point)
    return FIGURES[figure](record, chosen)


def _as_of(board: BoardFigures, entity: str) -> BoardFigures:
    """The board with its points up to that one, which is then the last."""
    last = max((n for n, point in enumerate(board.points) if point.entity == entity), default=-1)
    return replace(board, points=board.points[: last + 1])


def _mc(record: ChargeRecord, board: BoardFigures) -> Working | None:
    point = _last_known(board)
    if point is None or point.oven_dry_weight_g is None:
        return None
    sums = Sums.of(record, board)
    quotient = f"{sums.net(point)} ÷ {sums.computed(point.oven_dry_weight_g)}"
    lines = [f"({quotient} − 1) × 100 = {figures.mc(point.mc_pct)} %"]
    if point.first_estimate_mc_pct is not None:
        first = figures.mc(point.first_estimate_mc_pct)
        lines.append(f"By the oven-dry weight known at the time it was {first} %.")
    return Working(f"Moisture content of board {board.board}", tuple(lines), SECTION_SOURCE)


def _oven_dry_weight(record: ChargeRecord, board: BoardFigures) -> Working | None:
    if board.basis is None:
        return None
    lines = tuple(basis_lines(record, board))
    return Working(f"Oven-dry weight of board {board.board}", lines, BASIS_SOURCE)


def _start_mc(record: ChargeRecord, board: BoardFigures) -> Working | None:
    if board.start_mc_pct is None:
        return None
    lines = tuple(section_lines(record, board))
    return Working(f"Moisture content of board {board.board} when cut", lines, SECTION_SOURCE)


def _water_to_lose(record: ChargeRecord, board: BoardFigures) -> Working | None:
    if board.water_to_lose_g is None or board.oven_dry_weight_g is None:
        return None
    sums = Sums.of(record, board)
    left = f"({figures.number(board.mc_pct, 2)} − {figures.trimmed(board.target_mc_pct)})"
    line = f"{sums.computed(board.oven_dry_weight_g)} × {left} ÷ 100 = {sums.shown(board.water_to_lose_g)}"
    return Working(f"Water board {board.board} has still to lose", (line,), ALGEBRA)


def _weight_at_target(record: ChargeRecord, board: BoardFigures) -> Working | None:
    if board.weight_at_target_g is None or board.oven_dry_weight_g is None or board.target_mc_pct is None:
        return None
    sums = Sums.of(record, board)
    coats_g = board.weight_at_target_g - board.oven_dry_weight_g * (1 + board.target_mc_pct / 100)
    coats = f" + {sums.shown(coats_g)} end coat" if coats_g > 1e-6 else ""
    factor = f"(100 + {figures.trimmed(board.target_mc_pct)}) ÷ 100"
    line = (
        f"{sums.computed(board.oven_dry_weight_g)} × {factor}{coats} = {sums.shown(board.weight_at_target_g)}"
    )
    title = f"Weight of board {board.board} at {figures.trimmed(board.target_mc_pct)} %"
    return Working(title, (line,), ALGEBRA)


def _rate(record: ChargeRecord, board: BoardFigures) -> Working | None:
    point = _last_known(board)
    earlier = _before(board, point) if point is not None else None
    if point is None or earlier is None or point.rate_pct_per_day is None:
        return None
    hours = point.at.hours_since(earlier.at)
    finer = 0 if hours >= SHORT_H else 2  # a small loss over a short time is multiplied up to a day
    lost = f"({figures.number(earlier.mc_pct, 3 + finer)} − {figures.number(point.mc_pct, 3 + finer)}) %"
    a_day = figures.rate(point.rate_pct_per_day)
    line = f"{lost} ÷ {figures.number(hours, 2 + finer)} h × 24 h = {a_day} % a day"
    span = f"from {earlier.at.text()} to {point.at.text()}"
    return Working(f"Loss a day of board {board.board}", (line, span), RATE_SOURCE)


def _uncertainty(record: ChargeRecord, board: BoardFigures) -> Working | None:
    point = _last_known(board)
    if (
        point is None
        or point.mc_uncertainty_pct is None
        or point.mc_pct is None
        or not board.scale_division_g
    ):
        return None
    total = point.mc_uncertainty_pct / 2
    reading = min(total, (100 + point.mc_pct) * board.scale_division_g / sqrt(12) / point.net_weight_g)
    rest = sqrt(total**2 - reading**2)
    sums = Sums.of(record, board)
    now, carried = figures.number(reading, 2), figures.number(rest, 2)
    lines = (
        f"the reading now, in scale steps of {sums.division()}: {now} %",
        f"the oven-dry weight it rests on (sections, oven, weight when cut): {carried} %",
        f"2 × √({now}² + {carried}²) = ± {figures.number(2 * total, 1)} %",
    )
    return Working(f"Uncertainty of board {board.board}", lines, UNCERTAINTY_SOURCE)


def _control(assessment: Assessment) -> Working | None:
    control = assessment.control
    if control.mc_pct is None:
        return None
    taken = [assessment.board_named(label) for label in control.boards]
    sum_of = " + ".join(figures.number(board.mc_pct, 2) for board in taken)
    total = len([board for board in assessment.boards if board.governs])
    said = {
        ControlRule.WETTEST_BOARD: f"the wettest of {figures.count(total, 'board')}",
        ControlRule.WETTEST_HALF: f"the {_how_many(len(taken))}wettest of {figures.count(total, 'board')}",
        ControlRule.MEAN: f"all {figures.count(total, 'board')}",
    }[control.rule]
    result = f"{figures.mc(control.mc_pct)} %"
    line = f"({sum_of}) ÷ {len(taken)} = {result}" if len(taken) > 1 else f"board {taken[0].board}: {result}"
    lines = (line, f"{control.rule.value}: {said}")
    return Working("Controlling moisture content", lines, CONTROL_SOURCE)


def _how_many(boards: int) -> str:
    return "" if boards == 1 else f"{boards} "


def _last_known(board: BoardFigures) -> Point | None:
    return next((point for point in reversed(board.points) if point.mc_pct is not None), None)


def _before(board: BoardFigures, point: Point) -> Point | None:
    """The point that a rate is counted from: the last one of an earlier moment."""
    earlier = (one for one in reversed(board.points) if one.at < point.at and one.mc_pct is not None)
    return next(earlier, None)


FIGURES: Mapping[str, Callable[[ChargeRecord, BoardFigures], Working | None]] = {
    "mc": _mc,
    "oven_dry_weight": _oven_dry_weight,
    "start_mc": _start_mc,
    "water_to_lose": _water_to_lose,
    "weight_at_target": _weight_at_target,
    "rate": _rate,
    "uncertainty": _uncertainty,
}

"""The figures of a charge once per weighing round, oldest first, by all that is known now."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from kilnlog.drying.assessment import loaded_by, state_of
from kilnlog.drying.control import control_of, driest_of, mean_of, wettest_of
from kilnlog.drying.facts_at import FactsAt, facts_at
from kilnlog.drying.figures import (
    Assessment,
    BoardFigures,
    BoardState,
    ChargeState,
    Point,
    PointKind,
    RoundFigures,
)
from kilnlog.drying.moisture_content import water_to_lose_g, weight_at_mc_g
from kilnlog.drying.schedule import schedule_figures
from kilnlog.logbook.status_parts import (
    Figures,
    air_parts,
    basis_figures,
    control_figures,
    extreme_figures,
    schedule_parts,
)
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.moment import Moment
from kilnlog.reference.tables import load

if TYPE_CHECKING:
    from kilnlog.drying.air.trace import Series


def history(record: ChargeRecord, assessment: Assessment, loggers: Sequence[Series] = ()) -> list[Figures]:
    """Each round with the boards usable in it, under the names ``status`` gives their figures.

    What was found and expected in an earlier round is not worked out again: null. A recut re-bases the
    rounds before it. The air is that last read by the round's end, by hand or by ``loggers``.
    """
    return [_round(record, assessment, one, loggers) for one in assessment.rounds]


def _round(
    record: ChargeRecord, assessment: Assessment, one: RoundFigures, loggers: Sequence[Series]
) -> Figures:
    facts = facts_at(record, one.until)
    state = state_of(facts)
    all_weighed = state is ChargeState.DRYING and not set(one.control.boards) & set(one.carried)
    schedule = schedule_figures(
        facts, one.control.mc_pct, all_weighed=all_weighed, loaded_at=loaded_by(facts)
    )
    boards = [board for board in assessment.boards if board.board in one.mc_pct]
    return {
        "charge": assessment.charge.charge,
        "at": one.at.iso(),
        "until": one.until.iso(),
        "state": state.value,
        "boards": [
            _board(board, one, point)
            for board in boards
            if (point := _last_known(board, one.until)) is not None
        ],
        "lots": list(_lots(assessment, boards, one)),
        "control": control_figures(one.control),
        "wettest": extreme_figures(one.wettest),
        "driest": extreme_figures(one.driest),
        "mean_mc_pct": one.mean_mc_pct,
        "schedule": schedule_parts(schedule),
        "air": _air(facts, loggers),
        "findings": None,
        "forecast": None,
    }


def _air(facts: FactsAt, loggers: Sequence[Series]) -> Figures | None:
    """The air at a moment; numpy is loaded only where somebody read any."""
    if not loggers and not facts.record.air_reading:
        return None
    from kilnlog.drying.air_now import air_last_read  # noqa: PLC0415  # as above

    return air_parts(air_last_read(facts, loggers, load()))


def _last_known(board: BoardFigures, until: Moment) -> Point | None:
    known = (point for point in reversed(board.points) if point.at <= until and point.mc_pct is not None)
    return next(known, None)


def _board(board: BoardFigures, one: RoundFigures, point: Point) -> Figures:
    mc_pct, dry_g, target_pct = one.mc_pct[board.board], point.oven_dry_weight_g, board.target_mc_pct
    at_target_g = to_lose_g = None
    if dry_g is not None and target_pct is not None:
        coats_g = point.weight_g - point.net_weight_g
        at_target_g = weight_at_mc_g(dry_g, target_pct) + coats_g
        to_lose_g = water_to_lose_g(dry_g, mc_pct, target_pct)
    # A cut's point is the whole board just before it, which stood on the basis before.
    is_cut = point.kind in (PointKind.RECUT, PointKind.BREAK)
    basis = next(
        (one for one in reversed(board.bases) if one.at < point.at or (one.at == point.at and not is_cut)),
        None,
    )
    return {
        "board": board.board,
        "lot": board.lot,
        "state": BoardState.IN_USE.value,  # a round names the usable boards, and no others
        "feeds_control": board.board in one.control.boards,
        "start_mc_pct": board.start_mc_pct,
        "oven_dry_weight_g": dry_g,
        "basis": basis_figures(basis),
        "weight_g": point.weight_g,
        "weight_at_target_g": at_target_g,
        "water_to_lose_g": to_lose_g,
        "expected_g": None,
        "mc_pct": mc_pct,
        "mc_uncertainty_pct": point.mc_uncertainty_pct,
        "rate_pct_per_day": point.rate_pct_per_day,
        "carried": board.board in one.carried,
        "since": point.at.iso(),
    }


def _lots(assessment: Assessment, boards: list[BoardFigures], one: RoundFigures) -> Iterator[Figures]:
    for lot in assessment.lots:
        own = [(b.board, one.mc_pct[b.board]) for b in boards if b.lot_entity == lot.entity]
        yield {
            "lot": lot.lot,
            "control": control_figures(control_of(one.control.rule, own)),
            "wettest": extreme_figures(wettest_of(own)),
            "driest": extreme_figures(driest_of(own)),
            "mean_mc_pct": mean_of(own),
        }

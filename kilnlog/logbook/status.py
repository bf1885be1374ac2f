"""The figures of a charge as plain data: what ``status --json`` prints and a seal keeps.

The names are a promise to other programs. What is not yet computed is null.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from kilnlog.drying.figures import (
    Assessment,
    Basis,
    BoardFigures,
    BoardState,
    Control,
    Extreme,
    LotFigures,
    Point,
    RoundFigures,
    ScheduleFigures,
)
from kilnlog.drying.finding import Finding
from kilnlog.logbook.units import weight_unit_of
from kilnlog.logbook.wording import worded_finding
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.moment import Moment
from kilnlog.records.weight import WeightUnit

Figures = dict[str, Any]


def status(record: ChargeRecord, assessment: Assessment) -> Figures:
    """Where a charge stands, at the moment of the assessment."""
    unit = weight_unit_of(record)
    return {
        "charge": assessment.charge.charge,
        "at": assessment.at.iso(),
        "state": assessment.state.value,
        "boards": [_board(board) for board in assessment.boards],
        "lots": [_lot(lot) for lot in assessment.lots],
        "control": _control(assessment.control),
        "wettest": _extreme(assessment.wettest),
        "driest": _extreme(assessment.driest),
        "mean_mc_pct": assessment.mean_mc_pct,
        "schedule": _schedule(assessment.schedule),
        "air": None,
        "findings": [_finding(finding, unit) for finding in assessment.findings],
        "forecast": None,
    }


def history(assessment: Assessment) -> list[Figures]:
    """The same figures once per weighing round, oldest first, by all that is known now."""
    return [_round(assessment, one) for one in assessment.rounds]


def _round(assessment: Assessment, one: RoundFigures) -> Figures:
    return {
        "charge": assessment.charge.charge,
        "at": one.at.iso(),
        "until": one.until.iso(),
        "boards": [_board_in_round(board, one) for board in assessment.boards if board.board in one.mc_pct],
        "control": _control(one.control),
        "wettest": _extreme(one.wettest),
        "driest": _extreme(one.driest),
        "mean_mc_pct": one.mean_mc_pct,
    }


def _board_in_round(board: BoardFigures, one: RoundFigures) -> Figures:
    point = _last_point(board, one.until)
    basis = next((basis for basis in reversed(board.bases) if point and basis.at <= point.at), None)
    return {
        "board": board.board,
        "lot": board.lot,
        "state": BoardState.IN_USE.value,  # a round names the usable boards, and no others
        "feeds_control": board.board in one.control.boards,
        "start_mc_pct": board.start_mc_pct,
        "oven_dry_weight_g": point.oven_dry_weight_g if point else None,
        "basis": _basis(basis),
        "weight_g": point.weight_g if point else None,
        "mc_pct": one.mc_pct[board.board],
        "mc_uncertainty_pct": point.mc_uncertainty_pct if point else None,
        "rate_pct_per_day": one.rate_pct_per_day.get(board.board),
        "carried": board.board in one.carried,
        "since": point.at.iso() if point else None,
    }


def _last_point(board: BoardFigures, until: Moment) -> Point | None:
    return next((point for point in reversed(board.points) if point.at <= until), None)


def _board(board: BoardFigures) -> Figures:
    expected = None
    if board.expected_low_g is not None and board.expected_high_g is not None:
        expected = {"low": board.expected_low_g, "high": board.expected_high_g}
    return {
        "board": board.board,
        "lot": board.lot,
        "state": board.state.value,
        "feeds_control": board.feeds_control,
        "start_mc_pct": board.start_mc_pct,
        "oven_dry_weight_g": board.oven_dry_weight_g,
        "basis": _basis(board.basis),
        "weight_g": board.weight_g,
        "weight_at_target_g": board.weight_at_target_g,
        "water_to_lose_g": board.water_to_lose_g,
        "expected_g": expected,
        "mc_pct": board.mc_pct,
        "mc_uncertainty_pct": board.mc_uncertainty_pct,
        "rate_pct_per_day": board.rate_pct_per_day,
        "carried": board.carried,
        "since": board.since.iso() if board.since else None,
    }


def _basis(basis: Basis | None) -> Figures | None:
    return {"kind": basis.kind.value, "at": basis.at.iso()} if basis else None


def _lot(lot: LotFigures) -> Figures:
    return {
        "lot": lot.lot,
        "control": _control(lot.control),
        "wettest": _extreme(lot.wettest),
        "driest": _extreme(lot.driest),
        "mean_mc_pct": lot.mean_mc_pct,
    }


def _control(control: Control) -> Figures:
    return {"rule": control.rule.value, "mc_pct": control.mc_pct, "boards": list(control.boards)}


def _extreme(extreme: Extreme | None) -> Figures | None:
    return {"board": extreme.board, "mc_pct": extreme.mc_pct} if extreme else None


def _schedule(schedule: ScheduleFigures | None) -> Figures | None:
    if schedule is None:
        return None
    return {
        "name": schedule.schedule,
        "step": schedule.step,
        "of": schedule.of,
        "due": schedule.due,
        "set_points": dict(schedule.set_points),
    }


def _finding(finding: Finding, unit: WeightUnit) -> Figures:
    worded = worded_finding(finding, unit)
    return {
        "code": finding.code,
        "severity": finding.severity.value,
        "subject": finding.subject,
        "values": _values(finding.values),
        "what": worded.headline,
        "why": worded.why,
        "do": worded.do,
        "source": finding.source,
        "since": finding.since.iso() if finding.since else None,
    }


def _values(values: Mapping[str, Any]) -> Figures:
    return {name: _plain(value) for name, value in values.items()}


def _plain(value: Any) -> Any:
    if isinstance(value, Moment):
        return value.iso()
    return list(value) if isinstance(value, tuple) else value

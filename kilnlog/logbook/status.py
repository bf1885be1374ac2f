"""The figures of a charge as plain data: what ``status --json`` prints and a seal keeps.

The names are a promise to other programs. What is not yet computed is null.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from kilnlog.drying.figures import Assessment, BoardFigures, LotFigures
from kilnlog.drying.finding import Finding
from kilnlog.logbook.status_history import history
from kilnlog.logbook.status_parts import (
    Figures,
    air_parts,
    basis_figures,
    control_figures,
    extreme_figures,
    schedule_parts,
)
from kilnlog.logbook.units import weight_unit_of
from kilnlog.logbook.wording import worded_finding
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.moment import Moment
from kilnlog.records.weight import WeightUnit

__all__ = ["Figures", "history", "status"]


def status(record: ChargeRecord, assessment: Assessment) -> Figures:
    """Where a charge stands, at the moment of the assessment."""
    unit = weight_unit_of(record)
    return {
        "charge": assessment.charge.charge,
        "at": assessment.at.iso(),
        "state": assessment.state.value,
        "boards": [_board(board) for board in assessment.boards],
        "lots": [_lot(lot) for lot in assessment.lots],
        "control": control_figures(assessment.control),
        "wettest": extreme_figures(assessment.wettest),
        "driest": extreme_figures(assessment.driest),
        "mean_mc_pct": assessment.mean_mc_pct,
        "schedule": schedule_parts(assessment.schedule),
        "air": air_parts(assessment.air),
        "findings": [_finding(finding, unit) for finding in assessment.findings],
        "forecast": None,
    }


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
        "basis": basis_figures(board.basis),
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


def _lot(lot: LotFigures) -> Figures:
    return {
        "lot": lot.lot,
        "control": control_figures(lot.control),
        "wettest": extreme_figures(lot.wettest),
        "driest": extreme_figures(lot.driest),
        "mean_mc_pct": lot.mean_mc_pct,
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

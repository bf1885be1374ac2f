"""Checks of a moisture meter against the boards it was read on. Its readings are never averaged into them."""

from __future__ import annotations

from collections.abc import Iterator

from kilnlog.drying.facts_at import in_order
from kilnlog.drying.figures import BoardFigures
from kilnlog.drying.finding import Finding, Severity
from kilnlog.drying.findings.case import Case, on_board
from kilnlog.records.meter_check import MeterCheck
from kilnlog.records.moment import Moment
from kilnlog.records.temperature import celsius
from kilnlog.reference.tables import Reference

#: A board's MC is carried to the moment of a reading as it is for so long [h].
_CARRIED_H = 24.0
#: Further on it may have lost meanwhile what it loses in that time; after so long nobody knows [h].
_FURTHEST_H = 168.0
#: What a board whose loss is not known yet may lose [MC points a day]. Common practice, no source: air-dried
#: stock, which a meter is read on before the kiln has begun to dry it, loses less.
_UNKNOWN_LOSS_PCT_PER_DAY = 1.0


def meter_disagrees(case: Case) -> Iterator[Finding]:
    """The last reading on a board, and the board's own MC, stand apart by more than both may be off.

    A reading above 30 % never counts: a meter does not measure there. One below it on a wetter board does,
    held against 30 %: so much the meter should have shown.
    """
    if not case.is_running or not case.facts.record.meter_check:
        return
    last = {seen.fact.board: seen for seen in in_order(case.facts.record.meter_check, case.assessment.at)}
    most_pct, limit_pct = case.reference.limit("meter_most_pct"), case.reference.limit("meter_limit_pct")
    for board in case.assessment.boards:
        seen = last.get(board.entity)
        told = None if seen is None or not board.usable else board_at(board, seen.at)
        if seen is None or told is None:
            continue
        mc_pct, uncertainty_pct = told
        meter_pct = corrected_pct(seen.fact, case.reference)
        if max(meter_pct, seen.fact.reading_pct) > most_pct:
            continue
        if apart_points(mc_pct, meter_pct, most_pct) > uncertainty_pct + limit_pct:
            yield on_board(
                board,
                "meter-disagrees",
                Severity.LOOK,
                {
                    "reading_pct": seen.fact.reading_pct,
                    "meter_pct": meter_pct,
                    "corrected_pct": None if meter_pct == seen.fact.reading_pct else meter_pct,
                    "mc_pct": mc_pct,
                    "mc_uncertainty_pct": uncertainty_pct,
                    "meter_limit_pct": limit_pct,
                    "read_at": seen.at,
                },
                source=case.source("meter_limit_pct"),
                since=seen.at,
            )


def apart_points(mc_pct: float, meter_pct: float, most_pct: float) -> float:
    """How far a reading is from a board, as far as a meter can measure it [MC points]."""
    return abs(min(mc_pct, most_pct) - meter_pct)


def corrected_pct(check: MeterCheck, reference: Reference) -> float:
    """The reading for the wood's temperature [%]: as corrected by hand, else by the published rule of thumb.

    The rule: half a point in 10 F from the calibration temperature, less when warmer (Wood Handbook
    FPL-GTR-190, chapter 13).
    """
    if check.corrected_pct is not None:
        return check.corrected_pct
    if check.wood_temperature is None or check.temperature_unit is None:
        return check.reading_pct
    warmer_c = celsius(check.wood_temperature, check.temperature_unit) - reference.limit("meter_calibrated_c")
    return check.reading_pct - reference.limit("meter_pct_per_c") * warmer_c


def board_at(board: BoardFigures, at: Moment) -> tuple[float, float] | None:
    """A board's MC at the moment of a reading and its expanded uncertainty [%]; None where none is near."""
    before = after = None
    for point in board.points:
        if point.mc_pct is None or point.mc_uncertainty_pct is None:
            continue
        if point.at <= at:
            before = point
        elif after is None:
            after = point
    before_h = None if before is None else at.hours_since(before.at)
    if before_h is not None and before_h > _FURTHEST_H:
        before = None
    if after is not None and after.at.hours_since(at) > (_CARRIED_H if before is None else _FURTHEST_H):
        after = None
    if before is not None and after is not None:
        share = at.hours_since(before.at) / after.at.hours_since(before.at)
        uncertainty_pct = max(before.mc_uncertainty_pct or 0.0, after.mc_uncertainty_pct or 0.0)
        mc_pct = before.mc_pct or 0.0
        return mc_pct + share * ((after.mc_pct or 0.0) - mc_pct), uncertainty_pct
    near = before or after
    if near is None:
        return None
    rate = board.rate_pct_per_day
    a_day_pct = _UNKNOWN_LOSS_PCT_PER_DAY if rate is None else abs(rate)
    further_h = max(0.0, (before_h or 0.0) - _CARRIED_H)
    lost_pct = a_day_pct * (further_h + _CARRIED_H) / 24 if further_h else 0.0
    return near.mc_pct or 0.0, (near.mc_uncertainty_pct or 0.0) + lost_pct

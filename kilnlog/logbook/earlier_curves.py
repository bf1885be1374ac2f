"""Curves of earlier charges, to be laid behind the present one at equal moisture.

At equal time since loading, a charge that began drier would lie below the present one from the first day and
tell nothing of the pace. So each earlier curve is moved along the time axis until it meets the present one
where both were first as dry as the wetter of the two began: from there on, left is quicker.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from itertools import pairwise

from kilnlog.drying.assessment import assess
from kilnlog.drying.figures import Assessment, ChargeState
from kilnlog.logbook.closing import sealed_figures
from kilnlog.logbook.lot_kinds import LotKind, leading_kinds
from kilnlog.logbook.register import RegisterLine
from kilnlog.logbook.session import Logbook
from kilnlog.records.charge_record import closings_in_force
from kilnlog.records.moment import Moment
from kilnlog.reference.tables import Reference

#: So many are laid behind the present one, the newest; more would hide one another.
MOST = 5

#: Hours since the first round, and the control figure there [%].
Points = tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True)
class EarlierCurve:
    """The control figure of one closed charge, round by round."""

    entity: str
    number: str
    points: Points


@dataclass(frozen=True, slots=True)
class LaidOn:
    """An earlier curve where it stands behind the present one."""

    number: str
    points: tuple[tuple[float, float], ...]  # UTC seconds, MC in percent


def earlier_lines(
    lines: Iterable[RegisterLine],
    entity: str,
    lots: Sequence[LotKind],
    loaded_at: Moment | None = None,
) -> tuple[RegisterLine, ...]:
    """The closed charges whose control figure was taken from the same species and thickness, newest first.

    Args:
        lines: The register.
        entity: The present charge, which is none of them.
        lots: Of the present charge.
        loaded_at: When it was loaded: what was still drying then is not earlier. None: it is only planned.
    """
    kinds = leading_kinds(lots)
    same = [
        (line.loaded_at, line)
        for line in lines
        if kinds
        and line.entity != entity
        and line.state is ChargeState.CLOSED
        and line.loaded_at is not None
        and (loaded_at is None or _dried_until(line, line.loaded_at) <= loaded_at)
        and leading_kinds(line.lots) == kinds
    ]
    same.sort(key=lambda one: one[0], reverse=True)
    return tuple(line for _, line in same[:MOST])


def _dried_until(line: RegisterLine, loaded_at: Moment) -> Moment:
    """When a closed charge came out of its kiln: many are closed only weeks later."""
    return loaded_at.plus_hours(24 * line.day) if line.day is not None else line.closed_at or loaded_at


def earlier_curve(book: Logbook, line: RegisterLine, reference: Reference) -> EarlierCurve:
    """Read one as it was sealed; where its seal is of an early form, work it out as it stood when closed.

    The air is left out of that: no weight waits behind it for long.
    """
    closing = closings_in_force(book.file.entries("closing")).get(line.entity)
    sealed = sealed_figures(closing.fact).get("control") if closing is not None else None
    if sealed:
        rounds = [(datetime.fromisoformat(at), float(mc_pct)) for at, mc_pct in sealed]
        first = rounds[0][0]
        points = tuple(((at - first).total_seconds() / 3600, mc_pct) for at, mc_pct in rounds)
        return EarlierCurve(line.entity, line.number, points)
    record = book.file.charge_record(line.entity)
    at = line.closed_at or book.now(record.particulars.zone)
    assessment = assess(replace(record, air_reading=(), logger_batch=()), reference, at)
    return EarlierCurve(line.entity, line.number, control_points(assessment))


def control_points(assessment: Assessment) -> Points:
    """Hours since the first round with a control figure, and that figure, round by round."""
    rounds = [(one.at, one.control.mc_pct) for one in assessment.rounds if one.control.mc_pct is not None]
    return tuple((at.hours_since(rounds[0][0]), mc_pct) for at, mc_pct in rounds)


def laid_on(present: Assessment, curves: Iterable[EarlierCurve]) -> tuple[LaidOn, ...]:
    """Each where it stands behind the present charge; those that never met its moisture are left out."""
    points = control_points(present)
    first = next((one.at for one in present.rounds if one.control.mc_pct is not None), None)
    if first is None:
        return ()
    began_s = first.utc.timestamp()
    laid = []
    for curve in curves:
        by_h = moved_by_h(points, curve.points)
        if by_h is not None:
            moved = tuple((began_s + 3600 * (at_h + by_h), mc_pct) for at_h, mc_pct in curve.points)
            laid.append(LaidOn(curve.number, moved))
    return tuple(laid)


def moved_by_h(present: Points, earlier: Points) -> float | None:
    """How far an earlier curve is moved along the time axis [h] to meet the present one at equal moisture.

    None where they have no moisture in common yet: the present charge is wetter than the earlier one began,
    or began drier than the earlier one ended.
    """
    if not present or not earlier:
        return None
    meeting_pct = min(present[0][1], earlier[0][1])
    present_h, earlier_h = first_at(present, meeting_pct), first_at(earlier, meeting_pct)
    return None if present_h is None or earlier_h is None else present_h - earlier_h


def first_at(points: Points, mc_pct: float) -> float | None:
    """When a curve first came down to a moisture [h], straight between rounds; None where it never did."""
    if points and points[0][1] <= mc_pct:
        return points[0][0]
    for (before_h, before_pct), (after_h, after_pct) in pairwise(points):
        if after_pct <= mc_pct < before_pct:
            return before_h + (after_h - before_h) * (before_pct - mc_pct) / (before_pct - after_pct)
    return None

"""Doubts about the time of a weighing rather than its weight."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from statistics import median

from kilnlog.drying.doubt import Doubt
from kilnlog.drying.figures import Assessment, BoardFigures, PointKind
from kilnlog.drying.finding import Finding, Severity, Value
from kilnlog.records.moment import Moment
from kilnlog.records.weight import Weight

#: How far ahead of the machine's clock a weighing may be [h]: the clock on the wall is never quite the same.
CLOCK_TOLERANCE_H = 5 / 60
#: From how far away a weighing is asked about [h]; and how many usual intervals it must be away as well.
FAR_H, FAR_INTERVALS = 240.0, 4.0


def time_doubts(
    assessment: Assessment,
    figures: BoardFigures,
    weight: Weight,
    at: Moment,
    now: Moment,
    corrects: str | None,
) -> Iterator[Doubt]:
    """Doubts about ``at``, the gravest first.

    Args:
        assessment: The charge by all that is known.
        figures: The board weighed.
        weight: The weight typed.
        at: When the operator says it was weighed.
        now: What the machine's clock says.
        corrects: Entity of the row that the weight will correct, if any.
    """
    if at < figures.cut_at:
        early_h = figures.cut_at.hours_since(at)
        yield _impossible("before-cut", figures, at, cut_at=figures.cut_at, early_h=early_h)
        return
    if at.hours_since(now) > CLOCK_TOLERANCE_H:
        yield _impossible("in-future", figures, at, now=now, ahead_h=at.hours_since(now))
        return
    yield from _same_minute(figures, weight, at, corrects)
    yield from _clock_far(assessment, figures, at, now)


def _same_minute(figures: BoardFigures, weight: Weight, at: Moment, corrects: str | None) -> Iterator[Doubt]:
    """A second weighing of one board in one minute; the start weight typed again is none."""
    for point in reversed(figures.points):
        repeated_start = point.kind is PointKind.START and point.weight_g == weight.g
        counts = point.kind in (PointKind.START, PointKind.WEIGHING) and not repeated_start
        if counts and point.entity != corrects and _minute(point.at) == _minute(at):
            change_g = weight.g - point.weight_g
            yield _asked(
                "same-minute", figures, at, other_g=point.weight_g, other_at=point.at, change_g=change_g
            )
            return


def _clock_far(assessment: Assessment, figures: BoardFigures, at: Moment, now: Moment) -> Iterator[Doubt]:
    """A clock put back shows by entries ahead of it, a wrong date by its distance from all others."""
    rounds = [entry.at for entry in assessment.rounds]
    if rounds and rounds[-1].hours_since(now) > CLOCK_TOLERANCE_H:
        yield _asked(
            "clock-far", figures, at, last_at=rounds[-1], now=now, behind_h=rounds[-1].hours_since(now)
        )
        return
    known = [*rounds, figures.cut_at]
    if assessment.loaded_at is not None:
        known.append(assessment.loaded_at)
    nearest = min(known, key=lambda moment: abs(at.hours_since(moment)))
    usual_h = median([later.hours_since(earlier) for earlier, later in pairwise(rounds)] or [0.0])
    away_h = at.hours_since(nearest)
    if abs(away_h) > max(FAR_H, FAR_INTERVALS * usual_h):
        yield _asked("clock-far", figures, at, last_at=nearest, away_h=away_h, usual_h=usual_h or None)


def _impossible(code: str, figures: BoardFigures, at: Moment, **values: Value) -> Doubt:
    return Doubt(_finding(code, Severity.ACT, figures, at, values), possible=False)


def _asked(code: str, figures: BoardFigures, at: Moment, **values: Value) -> Doubt:
    return Doubt(_finding(code, Severity.LOOK, figures, at, values))


def _finding(
    code: str, severity: Severity, figures: BoardFigures, at: Moment, values: dict[str, Value]
) -> Finding:
    return Finding(code, severity, f"board {figures.board}", {"at": at, **values}, board=figures.entity)


def _minute(moment: Moment) -> int:
    return int(moment.utc.timestamp() // 60)

"""The figures of an assessment laid out as the arrays that are drawn. No sums: only what goes where."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from kilnlog.drying.facts_at import in_order
from kilnlog.drying.figures import Assessment, BoardFigures, PointKind
from kilnlog.logbook import figures
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.moment import Moment

Floats = NDArray[np.float64]

#: A board not weighed for so many times its usual interval, and at least so long, leaves a gap in its line.
GAP_TIMES, GAP_AT_LEAST_S = 3.0, 2.5 * 86400


_MARK_WORDS = {PointKind.RECUT: "recut", PointKind.BREAK: "piece off"}


@dataclass(frozen=True)
class BoardSeries:
    """One board's line."""

    entity: str
    label: str
    number: int  # in walking order, from 0
    feeds_control: bool
    at_s: Floats  # UTC seconds
    mc_pct: Floats
    joined: NDArray[np.bool_]  # whether a point is joined to the next; gaps are not
    first_at_s: Floats  # where a later recut re-based it: what was thought at first
    first_mc_pct: Floats
    marked_at_s: Floats  # recuts, breaks, the withdrawal
    marked_mc_pct: Floats
    marked_words: tuple[str, ...]


@dataclass(frozen=True)
class StepSpan:
    """A step of the schedule, from when it was taken to the next."""

    step: int
    from_s: float
    to_s: float | None


def seconds(moment: Moment) -> float:
    """The instant in UTC seconds."""
    return moment.utc.timestamp()


def board_series(board: BoardFigures, number: int) -> BoardSeries:
    """One board's points that have a moisture content."""
    points = [point for point in board.points if point.mc_pct is not None]
    at_s = np.array([seconds(point.at) for point in points])
    mc_pct = np.array([point.mc_pct for point in points], dtype=np.float64)
    first = [point for point in points if point.first_estimate_mc_pct is not None]
    marks = [
        (seconds(point.at), point.mc_pct, _MARK_WORDS[point.kind])
        for point in points
        if point.kind in _MARK_WORDS
    ]
    if board.withdrawn_at is not None and points:
        marks.append((seconds(board.withdrawn_at), points[-1].mc_pct, "withdrawn"))
    return BoardSeries(
        entity=board.entity,
        label=board.board,
        number=number,
        feeds_control=board.feeds_control,
        at_s=at_s,
        mc_pct=mc_pct,
        joined=_joined(at_s),
        first_at_s=np.array([seconds(point.at) for point in first]),
        first_mc_pct=np.array([point.first_estimate_mc_pct for point in first], dtype=np.float64),
        marked_at_s=np.array([at for at, _, _ in marks]),
        marked_mc_pct=np.array([mc for _, mc, _ in marks], dtype=np.float64),
        marked_words=tuple(words for _, _, words in marks),
    )


def control_series(assessment: Assessment) -> tuple[Floats, Floats]:
    """Round by round, the control figure."""
    rounds = [one for one in assessment.rounds if one.control.mc_pct is not None]
    at_s = np.array([seconds(one.at) for one in rounds])
    return at_s, np.array([one.control.mc_pct for one in rounds], dtype=np.float64)


def step_spans(taken: list[tuple[Moment, int]], loaded_at: Moment | None) -> list[StepSpan]:
    """The steps as they were taken; before the first one written down the charge was on step 1."""
    steps = sorted(taken)
    if loaded_at is not None and (not steps or steps[0][0] > loaded_at):
        steps.insert(0, (loaded_at, 1))
    spans = [StepSpan(step, seconds(at), seconds(end)) for (at, step), (end, _) in pairwise(steps)]
    if steps:
        spans.append(StepSpan(steps[-1][1], seconds(steps[-1][0]), None))
    return spans


@dataclass(frozen=True)
class MeterSeries:
    """What a moisture meter read on the boards: a series of its own, never a board's moisture."""

    at_s: Floats  # UTC seconds
    mc_pct: Floats  # corrected where it was, else as read
    words: tuple[str, ...]  # the board, and what was read where that was corrected


def meter_series(record: ChargeRecord, assessment: Assessment) -> MeterSeries:
    """Every reading by then, in order of time."""
    labels = {board.entity: board.board for board in assessment.boards}
    read = in_order(record.meter_check, assessment.at)
    told = []
    for seen in read:
        fact = seen.fact
        corrected = "" if fact.corrected_pct is None else f", read {figures.trimmed(fact.reading_pct, 1)}"
        told.append(f"meter on {labels.get(fact.board, figures.EMPTY)}{corrected}")
    values = [
        seen.fact.reading_pct if seen.fact.corrected_pct is None else seen.fact.corrected_pct for seen in read
    ]
    at_s = np.array([seconds(seen.at) for seen in read])
    return MeterSeries(at_s, np.array(values, dtype=np.float64), tuple(told))


def tinted(spans: list[StepSpan], end_s: float) -> list[tuple[float, float]]:
    """Every second step, which stands on a tinted ground [UTC s]."""
    return [(span.from_s, span.to_s if span.to_s is not None else end_s) for span in spans[1::2]]


def _joined(at_s: Floats) -> NDArray[np.bool_]:
    joined = np.ones(len(at_s), dtype=np.bool_)
    if len(at_s) > 2:
        apart = np.diff(at_s)
        joined[:-1] = apart <= max(GAP_TIMES * float(np.median(apart)), GAP_AT_LEAST_S)
    return joined

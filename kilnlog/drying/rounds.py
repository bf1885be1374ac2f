"""Weighing rounds: a charge's weights gathered by time, with the figures at each by all that is known now."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import timedelta
from operator import itemgetter

from kilnlog.drying.control import control_of, driest_of, mean_of, wettest_of
from kilnlog.drying.facts_at import BoardFacts, FactsAt
from kilnlog.drying.figures import Point, PointKind, RoundFigures
from kilnlog.drying.standing import Lots, counts_at
from kilnlog.records.moment import Moment
from kilnlog.records.words import ControlRule


@dataclass(slots=True)
class Round:
    """Weights with less than the round gap between neighbours."""

    at: Moment
    until: Moment
    points: dict[int, Point]  # by board, in walking order: its last of the round, with an MC if any has
    has_weighing: bool


def gather(boards: Sequence[Sequence[Point]], gap_h: float) -> list[Round]:
    """Gather the points of all boards into rounds, oldest first.

    Args:
        boards: Each board's points, oldest first, in walking order.
        gap_h: Weights this far apart [h] or further belong to two rounds.
    """
    gap = timedelta(hours=gap_h)
    weights = [(point.at.utc, number, point) for number, points in enumerate(boards) for point in points]
    weights.sort(key=itemgetter(0))
    rounds: list[Round] = []
    last = None
    for utc, number, point in weights:
        if last is None or utc - last >= gap:
            rounds.append(Round(point.at, point.at, {}, False))
        current = rounds[-1]
        current.until = point.at
        if point.mc_pct is not None or number not in current.points:
            current.points[number] = point
        current.has_weighing = current.has_weighing or point.kind is PointKind.WEIGHING
        last = utc
    return rounds


def latest_weighing(rounds: Sequence[Round]) -> Round | None:
    """The round a board can have missed: the last with a weighing in it.

    A board cut, recut or broken between two rounds makes a round of its own in the history, but nobody meant
    to weigh the others then.
    """
    return next((found for found in reversed(rounds) if found.has_weighing), None)


def round_figures(
    rounds: Sequence[Round],
    boards: Sequence[BoardFacts],
    has_basis: Sequence[bool],
    lots: Lots,
    facts: FactsAt,
) -> Iterator[RoundFigures]:
    """The figures at each round, oldest first.

    Args:
        rounds: As gathered.
        boards: In walking order.
        has_basis: Of each board, whether its oven-dry weight is known now.
        lots: The lots of the charge.
        facts: The charge.
    """
    labels = [board.label for board in boards]
    left = [lots.left_at(board.seen.fact.lot) for board in boards]
    latest: dict[int, float] = {}
    for found in rounds:
        for number, point in found.points.items():
            if point.mc_pct is not None:
                latest[number] = point.mc_pct
        until = found.until
        governing = lots.governing(until)
        usable, governs = [], []
        for number, board in enumerate(boards):
            if number in latest and has_basis[number] and counts_at(board, left[number], until):
                usable.append((number, latest[number]))
                if governing is None or board.seen.fact.lot in governing:
                    governs.append((labels[number], latest[number]))
        labelled = [(labels[number], mc) for number, mc in usable]
        yield RoundFigures(
            at=found.at,
            until=until,
            weighed=tuple(labels[number] for number in sorted(found.points)),
            carried=tuple(labels[number] for number, _ in usable if number not in found.points),
            mc_pct=dict(labelled),
            rate_pct_per_day={
                labels[number]: point.rate_pct_per_day
                for number, point in sorted(found.points.items())
                if point.rate_pct_per_day is not None
            },
            control=control_of(rule_at(facts, until), governs),
            wettest=wettest_of(labelled),
            driest=driest_of(labelled),
            mean_mc_pct=mean_of(labelled),
        )


def rule_at(facts: FactsAt, at: Moment) -> ControlRule:
    """The control rule in force at ``at``."""
    entry = facts.record.charge[0].at(at, particulars=True)
    return facts.charge.control_rule if entry is None else entry.fact.control_rule

"""Weighing rounds: a charge's weights gathered by time, with the figures at each by all that is known now."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import timedelta
from itertools import zip_longest
from operator import itemgetter

from kilnlog.drying.control import LabelledMC, control_of, driest_of, mean_of, wettest_of
from kilnlog.drying.facts_at import BoardFacts, FactsAt
from kilnlog.drying.figures import Point, PointKind, RoundFigures
from kilnlog.drying.remembered import Remembered
from kilnlog.drying.standing import Lots, counts_at
from kilnlog.records.board import Board
from kilnlog.records.charge import Charge
from kilnlog.records.lot import Lot
from kilnlog.records.moment import Moment
from kilnlog.records.version import Entry, History
from kilnlog.records.words import ControlRule


@dataclass(slots=True)
class Round:
    """Weights with less than the round gap between neighbours."""

    at: Moment
    until: Moment
    points: dict[int, Point]  # by board, in walking order: its last of the round, with an MC if any has
    has_weighing: bool


#: All that the figures of the rounds follow from, but for the weights: those are in the rounds.
_Setting = tuple[
    tuple[tuple[Entry[Board], Moment | None], ...],
    tuple[bool, ...],
    tuple[tuple[History[Lot], Lot], ...],
    History[Charge],
    Charge,
]
_KNOWN: Remembered[_Setting, tuple[tuple[Round, RoundFigures], ...]] = Remembered(most=50)  # charges


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
) -> tuple[RoundFigures, ...]:
    """The figures at each round, oldest first.

    Args:
        rounds: As gathered.
        boards: In walking order.
        has_basis: Of each board, whether its oven-dry weight is known now.
        lots: The lots of the charge.
        facts: The charge.
    """
    name = facts.record.entity
    setting = (
        tuple((board.seen, board.withdrawn_at) for board in boards),
        tuple(has_basis),
        lots.lines,
        facts.record.charge[0],
        facts.charge,
    )
    before = _KNOWN.find(name, setting) or ()
    latest: dict[int, float] = {}
    told: list[tuple[Round, RoundFigures]] = []
    as_before = True  # a round follows from those before it
    for found, known in zip_longest(rounds, before[: len(rounds)]):
        for number, point in found.points.items():
            if point.mc_pct is not None:
                latest[number] = point.mc_pct
        as_before = as_before and known is not None and known[0] == found
        told.append(known if as_before else (found, _figures(found, latest, boards, has_basis, lots, facts)))
    _KNOWN.keep(name, setting, tuple(told))
    return tuple(figures for _, figures in told)


def _figures(
    found: Round,
    latest: Mapping[int, float],
    boards: Sequence[BoardFacts],
    has_basis: Sequence[bool],
    lots: Lots,
    facts: FactsAt,
) -> RoundFigures:
    """The figures at one round, with the latest MC of each board by then."""
    until = found.until
    governing = lots.governing(until)
    usable: list[tuple[int, float]] = []
    governs: list[LabelledMC] = []
    for number, board in enumerate(boards):
        left_at = lots.left_at(board.seen.fact.lot)
        if number in latest and has_basis[number] and counts_at(board, left_at, until):
            usable.append((number, latest[number]))
            if governing is None or board.seen.fact.lot in governing:
                governs.append((board.label, latest[number]))
    labelled = [(boards[number].label, mc) for number, mc in usable]
    return RoundFigures(
        at=found.at,
        until=until,
        weighed=tuple(boards[number].label for number in sorted(found.points)),
        carried=tuple(boards[number].label for number, _ in usable if number not in found.points),
        mc_pct=dict(labelled),
        rate_pct_per_day={
            boards[number].label: point.rate_pct_per_day
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

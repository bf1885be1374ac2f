"""Every weight of a board in order of time, with what it means on the basis that governs."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import sqrt
from operator import attrgetter

from kilnlog.drying.bases import Chain, Cut, Piece
from kilnlog.drying.facts_at import BoardFacts, Seen
from kilnlog.drying.figures import Point, PointKind
from kilnlog.drying.moisture_content import HOURS_PER_DAY
from kilnlog.drying.uncertainty import Budget, reading_uncertainty_g
from kilnlog.records.moment import Moment
from kilnlog.records.weighing import Weighing


@dataclass(slots=True)
class _Weight:
    """A weight not yet understood."""

    entity: str
    at: Moment
    kind: PointKind
    gross_g: float
    net_g: float
    piece: Piece
    cut: Cut | None = None


def scale_division_g(board: BoardFacts) -> float:
    """Smallest step of the board's scale [g].

    As told, else the finest its weighings show: one typed as 4.5 beside 4.46 only lost its last nought. The
    start weight stands in until it is weighed again.
    """
    fact = board.seen.fact
    if fact.scale_division is not None:
        return fact.scale_division.g
    if not board.weighings:
        return float(fact.start_weight.step_g)
    return float(min(weighing.fact.weight.step_g for weighing in board.weighings))


def points_of(board: BoardFacts, chain: Chain, budget: Budget, division_g: float) -> tuple[Point, ...]:
    """The points of one board, oldest first, the start weight leading those of its moment."""
    reading_sq_g = reading_uncertainty_g(division_g) ** 2
    points: list[Point] = []
    # The point that a rate is counted from: the last one of an earlier moment that has an MC.
    earlier_at = at = None
    earlier_mc = mc = None
    # In order of time already, but for what is said to be from before the board was cut.
    for weight in sorted(_weights(board, chain), key=attrgetter("at.utc")):
        if at is None or weight.at.utc > at:
            earlier_at, earlier_mc = (at, mc) if mc is not None else (earlier_at, earlier_mc)
            mc = None
        at = weight.at.utc
        piece, net_g = weight.piece, weight.net_g
        dry_g = piece.dry_g
        uncertainty = first = rate = None
        this_mc = None
        if dry_g is not None and net_g > 0:  # lighter than its own end coats: no board weighs that
            # The same sums as in moisture_content.py, written out: this runs for every weight at a key press.
            this_mc = 100 * (net_g - dry_g) / dry_g
            uncertainty = _uncertainty(weight, chain, budget, this_mc, reading_sq_g)
            if piece.rebased and piece.first_g is not None:
                first = 100 * (net_g - piece.first_g) / piece.first_g
            if earlier_mc is not None and earlier_at is not None:
                hours = (at - earlier_at).total_seconds() / 3600
                rate = HOURS_PER_DAY * (earlier_mc - this_mc) / hours
            mc = this_mc
        points.append(
            Point(
                weight.entity,
                weight.at,
                weight.kind,
                weight.gross_g,
                net_g,
                dry_g,
                this_mc,
                uncertainty,
                first,
                rate,
            )
        )
    return tuple(points)


def _uncertainty(weight: _Weight, chain: Chain, budget: Budget, mc_pct: float, reading_sq_g: float) -> float:
    """Expanded uncertainty of one point's MC.

    Where the MC is that of the sections cut from this very piece at this moment, the weight cancels out.
    """
    piece = weight.piece
    if weight.kind is PointKind.START and not piece.rebased:
        return budget.expanded_pct(mc_pct, chain.start_mc_sq, 0.0)
    if weight.cut is not None:
        if weight.cut.mc_pct is not None:
            return budget.coverage * weight.cut.mc_uncertainty_pct
        return budget.expanded_pct(mc_pct, piece.dry_sq, weight.cut.before_sq)
    if weight.kind is PointKind.START:
        return budget.expanded_pct(mc_pct, piece.dry_sq, chain.start_sq)
    weight_sq = (reading_sq_g + piece.coats_sq_g) / (weight.net_g * weight.net_g)
    return budget.coverage * (100 + mc_pct) * sqrt(piece.dry_sq + weight_sq)


def _weights(board: BoardFacts, chain: Chain) -> Iterator[_Weight]:
    """The start weight, then the weighings with the whole board before each cut among them, by time."""
    start = board.seen
    pieces, cuts = chain.pieces, chain.cuts
    yield _Weight(start.entity, start.at, PointKind.START, chain.start_net_g, chain.start_net_g, pieces[0])
    number = 0
    for weighing in board.weighings:
        while number < len(cuts) and _comes_before(cuts[number], weighing):
            yield _before_cut(cuts[number], pieces[number])
            number += 1
        if _is_start_again(board, weighing):
            continue
        gross_g = float(weighing.fact.weight.grams)
        piece = pieces[number]
        yield _Weight(
            weighing.entity, weighing.at, PointKind.WEIGHING, gross_g, gross_g - piece.coats_g, piece
        )
    for rest in range(number, len(cuts)):
        yield _before_cut(cuts[rest], pieces[rest])


def _before_cut(cut: Cut, piece: Piece) -> _Weight:
    kind = PointKind.RECUT if cut.is_recut else PointKind.BREAK
    return _Weight(cut.entity, cut.at, kind, cut.before_g, cut.net_before_g, piece, cut)


def _comes_before(cut: Cut, weighing: Seen[Weighing]) -> bool:
    """Whether the board was cut before this weighing; at one moment, its weight tells which piece it was."""
    if cut.at.utc != weighing.at.utc:
        return cut.at.utc < weighing.at.utc
    gross_g = weighing.fact.weight.g
    return abs(gross_g - cut.after_g) < abs(gross_g - cut.before_g)


def _is_start_again(board: BoardFacts, weighing: Seen[Weighing]) -> bool:
    """Whether this is the start weight typed a second time within its minute."""
    start = board.seen
    return weighing.fact.weight.grams == start.fact.start_weight.grams and weighing.at.utc.replace(
        second=0, microsecond=0
    ) == start.at.utc.replace(second=0, microsecond=0)

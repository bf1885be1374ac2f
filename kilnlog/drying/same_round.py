"""The other boards of a round: what their weights say about the time since the round before."""

from __future__ import annotations

from dataclasses import dataclass
from math import exp, log
from statistics import median

from kilnlog.drying.expectation import Recent, RoundPace, drive, pace_between, recent_pace
from kilnlog.drying.figures import Assessment, BoardFigures, BoardState, PointKind
from kilnlog.drying.net_line import NetLine, as_typed, net_line
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.moment import Moment
from kilnlog.records.weight import Weight

#: Weighings of one round lie within this of each other [h].
ROUND_H = 2.0
#: A board says something about the pace only where its loss was to be seen on its scale [divisions].
TELLING_DIVISIONS = 3.0
#: Intervals this far apart in length are not compared.
LIKE_INTERVALS = 1.6
#: A board that is nearly dry says nothing about one with more than twice as far to go.
LIKE_DRIVE = 0.5
#: One odd board cannot drag the pace further than this.
LEAST_SHARE, MOST_SHARE = 0.05, 30.0
#: The least pace that is told to a board that has none of its own [1/day].
LEAST_PACE = 0.005


@dataclass(frozen=True, slots=True)
class Neighbour:
    """Another board of the charge in the same round."""

    figures: BoardFigures
    line: NetLine  # without its weight of this round
    weighed: Weight | None  # as typed in this round; None where it is still to be weighed
    order: int  # lines further down in walking order; negative above

    @property
    def net_g(self) -> float | None:
        """Net weight of this round [g]."""
        return None if self.weighed is None else self.weighed.g - self.line.coat_g


def neighbours(record: ChargeRecord, assessment: Assessment, board: str, at: Moment) -> tuple[Neighbour, ...]:
    """The other boards that are weighed in the round about ``at``, in walking order."""
    places = {figures.entity: place for place, figures in enumerate(assessment.boards)}
    found = []
    for figures in assessment.boards:
        out = figures.state in (BoardState.OUT, BoardState.WITHDRAWN)
        if figures.entity == board or out or figures.cut_at > at:
            continue
        here = next(
            (
                point
                for point in reversed(figures.points)
                if point.kind is PointKind.WEIGHING and abs(point.at.hours_since(at)) < ROUND_H
            ),
            None,
        )
        line = net_line(
            record,
            figures,
            here.at if here else at,
            assessment.loaded_at,
            without=here.entity if here else None,
        )
        weighed = as_typed(record, here.entity) if here else None
        found.append(Neighbour(figures, line, weighed, places[figures.entity] - places[board]))
    return tuple(found)


def round_pace(own: NetLine, others: tuple[Neighbour, ...]) -> RoundPace | None:
    """The pace that the boards already weighed in this round show since the round before."""
    if own.last is None:
        return None
    own_h = own.at.hours_since(own.last[0])
    own_dry_g = own.oven_dry_weight_g
    least_drive = 0.0 if own_dry_g is None else LIKE_DRIVE * drive(own.last[1], own_dry_g)
    shares: list[float] = []
    paces: list[float] = []
    for other in others:
        last, net_g, dry_g = other.line.last, other.net_g, other.line.oven_dry_weight_g
        if last is None or net_g is None or dry_g is None:
            continue
        hours = other.line.at.hours_since(last[0])
        like_intervals = own_h / LIKE_INTERVALS < hours < own_h * LIKE_INTERVALS
        if not like_intervals or drive(last[1], dry_g) < least_drive:
            continue
        pace = pace_between(last, (other.line.at, net_g), dry_g)
        if other.figures.lot_entity == own.figures.lot_entity:
            paces.append(max(pace, LEAST_PACE))
        before = [point for point in other.line.points if point[0] <= other.line.at]
        recent = recent_pace(before, dry_g, other.line.division_g)
        if recent.known and _is_telling(recent, last[1], dry_g, hours, other.line.division_g):
            shares.append(min(max(pace / recent.pace, LEAST_SHARE), MOST_SHARE))
    return RoundPace(
        against_recent=_shrunk(shares) if shares else None,
        boards=len(shares),
        scatter=median(abs(log(share / median(shares))) for share in shares) if shares else 0.0,
        pace=median(paces) if paces else None,
        paces=len(paces),
    )


def _is_telling(recent: Recent, last_g: float, dry_g: float, hours: float, division_g: float) -> bool:
    """Whether the loss to be expected could be seen on the scale at all."""
    return recent.pace * (last_g - dry_g) * hours / 24 >= TELLING_DIVISIONS * division_g


def _shrunk(shares: list[float]) -> float:
    """The middle share, drawn towards 1 as long as few boards speak for it."""
    return exp(log(median(shares)) * len(shares) / (len(shares) + 0.7))

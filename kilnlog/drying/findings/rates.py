"""Checks of how fast boards lose water, each against the limit of its own lot.

No finding stands that the scale's steps alone could explain: the rate is taken less what two divisions could
have added to it over its own time.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from kilnlog.drying.figures import BoardFigures, LotFigures, Point
from kilnlog.drying.finding import Finding, Severity
from kilnlog.drying.findings.case import Case, on_board
from kilnlog.drying.moisture_content import HOURS_PER_DAY
from kilnlog.records.moment import Moment

#: How many scale divisions the two weighings of a rate may be out by together.
DIVISIONS = 2
#: The practice limit of the MC above which a limit of the rate holds.
ABOVE = "rate_limit_above_mc_pct"


@dataclass(frozen=True, slots=True)
class Rate:
    """The last rate of a board."""

    rate_pct_per_day: float
    by_steps_pct_per_day: float  # what the scale's steps could have added to it or taken away
    since: Moment  # the point it is counted from
    from_mc_pct: float  # the MC there

    @property
    def certain_pct_per_day(self) -> float:
        """What is left of it once the scale's steps are taken off."""
        return self.rate_pct_per_day - self.by_steps_pct_per_day


def rate_at(points: tuple[Point, ...], number: int, per_division_pct: float) -> Rate | None:
    """The rate of one point, with what the scale leaves of it."""
    point = points[number]
    if point.rate_pct_per_day is None:
        return None
    known = (other for other in reversed(points[:number]) if other.mc_pct is not None)
    earlier = next((other for other in known if other.at < point.at), None)
    if earlier is None or earlier.mc_pct is None:
        return None
    hours = point.at.hours_since(earlier.at)
    by_steps = HOURS_PER_DAY * DIVISIONS * per_division_pct / hours
    return Rate(point.rate_pct_per_day, by_steps, earlier.at, earlier.mc_pct)


def _judged(case: Case) -> Iterator[tuple[BoardFigures, LotFigures, float, float, Rate]]:
    """Boards in use, the limit of their lot [points per day], what a division is worth, and their rate."""
    if not case.is_running:
        return
    for board in case.assessment.boards:
        lot = case.lot_of(board)
        if not board.usable or lot is None or lot.rate_limit_pct_per_day is None or not board.points:
            continue
        worth_pct = board.mc_per_division_pct
        if worth_pct is None:
            continue
        rate = rate_at(board.points, len(board.points) - 1, worth_pct)
        if rate is not None:
            yield board, lot, lot.rate_limit_pct_per_day, worth_pct, rate


def rate_over_limit(case: Case) -> Iterator[Finding]:
    """A board losing water faster than its lot stands, from so wet that it checks or honeycombs by it."""
    for board, lot, limit, worth_pct, rate in _judged(case):
        if rate.certain_pct_per_day > limit and _is_wet(case, rate):
            yield on_board(
                board,
                "rate-over-limit",
                Severity.ACT,
                _values(board, lot, limit, rate),
                source=lot.rate_limit_source,
                since=_over_since(board.points, limit, worth_pct),
            )


def rate_near_limit(case: Case) -> Iterator[Finding]:
    """A board that comes close to the limit of its lot without passing it for certain."""
    share = case.reference.limit("near_rate_limit_share")
    for board, lot, limit, worth_pct, rate in _judged(case):
        if share * limit < rate.certain_pct_per_day <= limit and _is_wet(case, rate):
            yield on_board(
                board,
                "rate-near-limit",
                Severity.LOOK,
                _values(board, lot, limit, rate),
                source=lot.rate_limit_source,
                since=_over_since(board.points, share * limit, worth_pct),
            )


def fast_when_dry(case: Case) -> Iterator[Finding]:
    """A board over its limit, too dry to be harmed by it: so fast a loss is rather a weight to look at."""
    reached_pct = case.reference.limit("rate_reached_mc_pct")
    for board, lot, limit, worth_pct, rate in _judged(case):
        if rate.certain_pct_per_day <= limit or _is_wet(case, rate):
            continue
        beyond = rate.from_mc_pct < reached_pct
        yield on_board(
            board,
            "fast-when-dry",
            Severity.LOOK if beyond else Severity.NOTE,
            {
                "rate_pct_per_day": rate.rate_pct_per_day,
                "limit_pct_per_day": limit,
                "species": lot.fact.species,
                "thickness": lot.fact.thickness,
                "began_mc_pct": rate.from_mc_pct,
                "harmless_below_mc_pct": case.reference.limit(ABOVE),
                "reached_mc_pct": reached_pct if beyond else None,
            },
            source=case.source("rate_reached_mc_pct" if beyond else ABOVE),
            since=_over_since(board.points, limit, worth_pct),
        )


def _is_wet(case: Case, rate: Rate) -> bool:
    """Whether the loss began in wood wet enough for its limit to hold."""
    return rate.from_mc_pct > case.reference.limit(ABOVE)


def _values(
    board: BoardFigures, lot: LotFigures, limit: float, rate: Rate
) -> dict[str, str | float | Moment | None]:
    return {
        "rate_pct_per_day": rate.rate_pct_per_day,
        "limit_pct_per_day": limit,
        "certain_rate_pct_per_day": rate.certain_pct_per_day,
        "lot": lot.lot,
        "species": lot.fact.species,
        "thickness": lot.fact.thickness,
        "mc_pct": board.mc_pct,
        "from_at": rate.since,
        "until_at": board.points[-1].at,
    }


def _over_since(points: tuple[Point, ...], limit: float, per_division_pct: float) -> Moment:
    """The first point of the unbroken run above the limit that ends with the last."""
    since = points[-1].at
    for number in range(len(points) - 1, -1, -1):
        rate = rate_at(points, number, per_division_pct)
        if rate is None or rate.certain_pct_per_day <= limit:
            break
        since = points[number].at
    return since

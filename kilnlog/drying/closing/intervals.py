"""What the pieces read allow to be said of those nobody read, or why it is not said."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from kilnlog.drying.closing.figures import (
    BoundFigures,
    IntervalFigures,
    IntervalKind,
    Limits,
    NoInterval,
    PackFigures,
    Withheld,
)
from kilnlog.drying.closing.tolerance import (
    fewest_for_free,
    free_confidence,
    one_sided_factor,
    two_sided_factor,
)


class Intervals(NamedTuple):
    """The intervals stated, those withheld, and the bound where pieces have one limit."""

    stated: tuple[IntervalFigures, ...]
    withheld: tuple[NoInterval, ...]
    bound: BoundFigures | None


def intervals_of(
    figures: PackFigures,
    limits: Limits,
    share_pct: float,
    confidence_pct: float,
    *,
    barred_by: Withheld | None = None,
) -> Intervals:
    """The normal and the distribution-free interval of a series.

    Args:
        figures: Of the whole series.
        limits: Where pieces have one limit, a bound on that side is stated as well.
        share_pct: The share of the pieces an interval is to hold [%].
        confidence_pct: How surely [%]. The distribution-free one states the confidence that it reaches.
        barred_by: Why the readings allow none at all.
    """
    if barred_by is None and figures.over:
        barred_by = Withheld.OVER
    if barred_by is not None:
        return Intervals((), tuple(NoInterval(kind, barred_by) for kind in IntervalKind), None)
    normal, bound = _normal(figures, limits, share_pct, confidence_pct)
    both: Sequence[IntervalFigures | NoInterval] = (normal, _free(figures, share_pct, confidence_pct))
    return Intervals(
        tuple(one for one in both if isinstance(one, IntervalFigures)),
        tuple(one for one in both if isinstance(one, NoInterval)),
        bound,
    )


def _normal(
    figures: PackFigures, limits: Limits, share_pct: float, confidence_pct: float
) -> tuple[IntervalFigures | NoInterval, BoundFigures | None]:
    kind, share, confidence = IntervalKind.NORMAL, share_pct / 100, confidence_pct / 100
    mean, sd = figures.mean_pct, figures.sd_pct
    if mean is None or sd is None:
        return NoInterval(kind, Withheld.FEW, 2), None
    if figures.lowest_pct == figures.highest_pct:
        return NoInterval(kind, Withheld.NO_SPREAD), None
    factor = two_sided_factor(figures.n, share, confidence)
    low, high = mean - factor * sd, mean + factor * sd
    if low < 0:
        return NoInterval(kind, Withheld.BELOW_ZERO), None
    interval = IntervalFigures(kind, low, high, share_pct, confidence_pct, factor)
    if (limits.low_pct is None) == (limits.high_pct is None):
        return interval, None
    is_upper = limits.high_pct is not None
    factor = one_sided_factor(figures.n, share, confidence)
    at = mean + factor * sd if is_upper else mean - factor * sd
    return interval, BoundFigures(is_upper, at, share_pct, confidence_pct, factor)


def _free(figures: PackFigures, share_pct: float, confidence_pct: float) -> IntervalFigures | NoInterval:
    kind, share = IntervalKind.FREE, share_pct / 100
    needs = fewest_for_free(share, confidence_pct / 100)
    low, high = figures.lowest_pct, figures.highest_pct
    if low is None or high is None or figures.n < needs:
        return NoInterval(kind, Withheld.FEW, needs)
    return IntervalFigures(kind, low, high, share_pct, 100 * free_confidence(figures.n, share), None)

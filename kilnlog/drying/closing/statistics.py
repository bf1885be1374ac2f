"""Counts and figures of a series and of its packs, readings over the range apart.

A reading is compared with a limit as it is shown, to 0.1 % MC, half to even: a piece shown as 8.0 counts as
8.0, so that a page never contradicts its own counts; what equals a limit lies inside. Results to 0.1 % are
those of EN 13183-1 (from memory).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from decimal import ROUND_HALF_EVEN, Decimal
from fractions import Fraction
from math import fsum, sqrt

from kilnlog.drying.closing.figures import Limits, PackFigures, ReadingFigures

_SHOWN_TO = Decimal("0.1")


def as_shown(mc_pct: float) -> Decimal:
    """A moisture content as it is shown and compared: to 0.1 %, half to even on its decimal value."""
    return Decimal(str(mc_pct)).quantize(_SHOWN_TO, rounding=ROUND_HALF_EVEN)


def side_of(mc_pct: float, low_pct: float | None, high_pct: float | None) -> int:
    """-1 below, 0 inside, 1 above the limits, as shown; a limit that is None is none."""
    shown = as_shown(mc_pct)
    if low_pct is not None and shown < Decimal(str(low_pct)):
        return -1
    return 1 if high_pct is not None and shown > Decimal(str(high_pct)) else 0


def pack_figures(readings: Sequence[ReadingFigures], limits: Limits, pack: str | None = None) -> PackFigures:
    """The figures of these readings; a reading over the range counts as above any limit, and in no mean."""
    known = [reading.mc_pct for reading in readings if reading.mc_pct is not None]
    over = len(readings) - len(known)
    sides = [side_of(mc_pct, limits.low_pct, limits.high_pct) for mc_pct in known]
    return PackFigures(
        pack=pack,
        n=len(readings),
        over=over,
        inside=sides.count(0) if limits.for_pieces else None,
        below=sides.count(-1) if limits.for_pieces else None,
        above=sides.count(1) + over if limits.for_pieces else None,
        mean_pct=fsum(known) / len(known) if known else None,
        sd_pct=sample_sd(known),
        lowest_pct=min(known, default=None),
        highest_pct=max(known, default=None),
    )


def packs_of(readings: Iterable[ReadingFigures], limits: Limits) -> Iterator[PackFigures]:
    """The figures of each pack, in the order they were first read; none where no pack is named.

    Two names are one pack's where they differ in capitals and blanks alone.
    """
    groups: dict[str, list[ReadingFigures]] = {}
    for reading in readings:
        groups.setdefault(same_name(reading.pack), []).append(reading)
    if set(groups) == {""}:
        return
    for name, group in groups.items():
        yield pack_figures(group, limits, group[0].pack if name else None)


def same_name(name: str | None) -> str:
    """A pack's or a piece's name as it is compared; empty for none."""
    return " ".join((name or "").casefold().split())


def sample_sd(values: Sequence[float]) -> float | None:
    """The sample standard deviation, n - 1; None of fewer than two."""
    if len(values) < 2:
        return None
    mean = fsum(values) / len(values)
    return sqrt(fsum((value - mean) ** 2 for value in values) / (len(values) - 1))


def average_inside(figures: PackFigures, limits: Limits) -> bool | None:
    """Whether the mean lies within the limits of the average; None without limits or mean.

    Pieces over the range are not in the mean, which they would raise: with any, it is None too.
    """
    low, high = limits.average_low_pct, limits.average_high_pct
    if figures.mean_pct is None or figures.over or (low is None and high is None):
        return None
    return side_of(figures.mean_pct, low, high) == 0


def share_reached(figures: PackFigures, limits: Limits) -> bool | None:
    """Whether as large a share of the pieces read lies inside as is asked for; None where none is."""
    if figures.inside is None or limits.share_pct is None:
        return None
    return Fraction(100 * figures.inside, figures.n) >= Fraction(str(limits.share_pct))

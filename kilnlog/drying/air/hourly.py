"""A line of readings thinned to an entry an hour, for a page that cannot show them all."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from kilnlog.drying.air.lines import AirLine, Reals

_HOUR_S = 3600


@dataclass(frozen=True, slots=True)
class HourOfAir:
    """The mean of the readings of one hour of UTC; None what none of them told."""

    at_s: float  # the middle of its readings [s since 1970-01-01 00:00 UTC]
    dry_c: float
    wet_c: float | None
    rh_pct: float | None
    emc_pct: float | None


def hourly(line: AirLine) -> tuple[HourOfAir, ...]:
    """One entry for each hour in which the dry bulb was read, in order of time."""
    read = np.isfinite(line.dry_c)
    at_s = line.at_s[read]
    if not len(at_s):
        return ()
    starts = np.flatnonzero(np.diff(at_s // _HOUR_S, prepend=-1.0))
    told = (line.at_s, line.dry_c, line.wet_c, line.rh_pct, line.emc_pct)
    columns = [_means(column[read], starts) for column in told]
    return tuple(
        HourOfAir(float(at), float(dry), _known(wet), _known(rh), _known(emc))
        for at, dry, wet, rh, emc in zip(*columns, strict=True)
    )


def _means(values: Reals, starts: NDArray[np.intp]) -> Reals:
    """The mean of the known values of each stretch; NaN where none is known."""
    known = np.isfinite(values)
    counts = np.add.reduceat(known.astype(np.float64), starts)
    sums = np.add.reduceat(np.where(known, values, 0.0), starts)
    return np.asarray(np.divide(sums, counts, out=np.full(len(starts), np.nan), where=counts > 0))


def _known(value: float) -> float | None:
    return None if np.isnan(value) else float(value)

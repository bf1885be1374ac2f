"""A sensor's line carried on by the readings that came since, quicker than laying out all of it anew."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from kilnlog.drying.air.lines import AROUND, AirLine, Hole, Reals, silent_after

_COLUMNS = ("dry_c", "wet_c", "rh_pct", "emc_pct")


def continued_lines(lines: Sequence[AirLine], more: AirLine) -> tuple[AirLine, ...]:
    """The lines with ``more`` at the end of its sensor's; as a line of its own where that has none.

    What is no later than the last reading there already is left out.
    """
    if all(line.sensor != more.sensor for line in lines):
        return (*lines, more)
    return tuple(_continued(line, more) if line.sensor == more.sensor else line for line in lines)


def _continued(line: AirLine, more: AirLine) -> AirLine:
    if not len(line.at_s):
        return more
    came = np.isin(more.at_s, [_middle(hole) for hole in more.holes], invert=True)
    came &= more.at_s > line.at_s[-1]
    at_s = more.at_s[came]
    if not len(at_s):
        return line
    before = _last_read(line)
    around = np.concatenate((before, at_s))
    breaks = silent_after(around)
    breaks = breaks[breaks >= len(before) - 1]  # further back it was told already
    holes = tuple(Hole(float(around[one]), float(around[one + 1])) for one in breaks)
    places = breaks - len(before) + 1
    dry_c, wet_c, rh_pct, emc_pct = (
        np.concatenate((getattr(line, name), np.insert(getattr(more, name)[came], places, np.nan)))
        for name in _COLUMNS
    )
    middles = [_middle(hole) for hole in holes]
    grown_s = np.concatenate((line.at_s, np.insert(at_s, places, middles)))
    return replace(
        line,
        at_s=grown_s,
        dry_c=dry_c,
        wet_c=wet_c,
        rh_pct=rh_pct,
        emc_pct=emc_pct,
        holes=(*line.holes, *holes),
    )


def _last_read(line: AirLine) -> Reals:
    """When it was last read, as often as it takes to tell what is usual there."""
    last = line.at_s[-3 * AROUND :]
    read = last[np.isin(last, [_middle(hole) for hole in line.holes[-2 * AROUND :]], invert=True)]
    return np.asarray(read)


def _middle(hole: Hole) -> float:
    return (hole.from_s + hole.until_s) / 2

"""What the foot of the register says of the lines shown."""

from __future__ import annotations

from collections.abc import Sequence

from kilnlog.drying.figures import ChargeState
from kilnlog.logbook import figures
from kilnlog.logbook.register import RegisterLine
from kilnlog.records.moment import Moment
from kilnlog.records.words import VolumeUnit


def register_summary(lines: Sequence[RegisterLine], now: Moment) -> str:
    """``12 charges, 14,340 bf since 2 January``: how many are shown, their volume, since the first loading.

    Board feet and cubic metres are told apart: a sum of both would be neither on anybody's paper. What was
    taken back does not count.
    """
    standing = [line for line in lines if line.state is not ChargeState.TAKEN_BACK]
    counted = figures.count(len(standing), "charge")
    loaded = [line for line in standing if line.loaded_at is not None]
    totals = {unit: _total(loaded, unit) for unit in VolumeUnit}
    told = " and ".join(figures.volume(total, unit) for unit, total in totals.items() if total is not None)
    if not told:
        return counted
    first = min(line.loaded_at for line in loaded if line.loaded_at is not None)
    return f"{counted}, {told} since {figures.day(first, now)}"


def _total(lines: Sequence[RegisterLine], unit: VolumeUnit) -> float | None:
    """The volume of the lines told in that unit; None where there is none."""
    volumes = [
        line.volume
        for line in lines
        if line.volume is not None and (line.volume_unit or VolumeUnit.BOARD_FEET) is unit
    ]
    return sum(volumes) if volumes else None

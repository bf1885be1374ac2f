"""What the foot of the register says of the lines shown."""

from __future__ import annotations

from collections.abc import Sequence

from kilnlog.logbook import figures
from kilnlog.logbook.register import RegisterLine
from kilnlog.records.measures import cubic_metres
from kilnlog.records.moment import Moment
from kilnlog.records.words import VolumeUnit


def register_summary(lines: Sequence[RegisterLine], now: Moment) -> str:
    """``12 charges, 14,340 bf since 2 January``: how many are shown, their volume, since the first loading.

    Volumes of both units are told in cubic metres.
    """
    counted = figures.count(len(lines), "charge")
    loaded = [line for line in lines if line.loaded_at is not None]
    volumes = [
        (line.volume, line.volume_unit or VolumeUnit.BOARD_FEET) for line in loaded if line.volume is not None
    ]
    if not volumes:
        return counted
    units = {unit for _, unit in volumes}
    if len(units) == 1:
        total = figures.volume(sum(volume for volume, _ in volumes), units.pop())
    else:
        total = figures.volume(
            sum(cubic_metres(volume, unit) for volume, unit in volumes), VolumeUnit.CUBIC_METRES
        )
    first = min(line.loaded_at for line in loaded if line.loaded_at is not None)
    return f"{counted}, {total} since {figures.day(first, now)}"

"""Whether the time of something at the kiln may be mistyped, or the charge be another: asked about first."""

from __future__ import annotations

from kilnlog.logbook.errors import DoubtfulReading
from kilnlog.records.charge import Charge
from kilnlog.records.moment import Moment

#: So long before loading nobody warms a kiln for a charge, and so long after unloading nobody tends its air
#: [h]. Common practice, no source; a year or a month mistyped lies far beyond both.
LONG_BEFORE_H, LONG_AFTER_H = 7 * 24.0, 24.0
_AHEAD_H = 1 / 60  # clocks of two machines


def time_doubt(charge: Charge, at: Moment, now: Moment) -> DoubtfulReading | None:
    """What is odd about ``at`` for this charge; None where nothing is."""
    if at.hours_since(now) > _AHEAD_H:
        return DoubtfulReading(why="in-future", at=at)
    loaded_at, unloaded_at = charge.loaded_at, charge.unloaded_at
    if loaded_at is not None and loaded_at.hours_since(at) > LONG_BEFORE_H:
        return DoubtfulReading(why="before-loading", at=at, charge=charge.charge, loaded_at=loaded_at)
    if unloaded_at is not None and at.hours_since(unloaded_at) > LONG_AFTER_H:
        return DoubtfulReading(why="after-unloading", at=at, charge=charge.charge, unloaded_at=unloaded_at)
    return None

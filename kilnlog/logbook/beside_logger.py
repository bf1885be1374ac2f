"""Whether a reading by hand is far from what the logger of the very same sensor showed then: asked about."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from kilnlog.logbook import figures
from kilnlog.logbook.errors import DoubtfulAir
from kilnlog.logbook.kiln_air_words import temperature
from kilnlog.logbook.typed_air import TypedAir
from kilnlog.records.moment import Moment
from kilnlog.records.temperature import celsius

if TYPE_CHECKING:
    from kilnlog.drying.air.lines import AirLine

#: A logger's reading so near in time is of the same air [minutes], and one sensor is then hardly so far off
#: itself [C degrees, % RH]. Common practice, no source.
NEAR_MIN = 10.0
APART_C, APART_RH_PCT = 5.0, 15.0


def beside_logger_doubt(
    lines: Iterable[AirLine], sensor: str | None, typed: TypedAir, at: Moment
) -> DoubtfulAir | None:
    """What is typed held against the logger's nearest reading of ``sensor``; None where they agree.

    Args:
        lines: What the loggers showed, a line for each sensor.
        sensor: What is read by hand; None where nobody said.
        typed: The reading.
        at: When it was read.
    """
    line = next((one for one in lines if sensor is not None and one.sensor == sensor), None)
    if line is None or sensor is None or not len(line.at_s):
        return None
    when_s = at.utc.timestamp()
    place = int(abs(line.at_s - when_s).argmin())
    seconds = float(line.at_s[place]) - when_s
    if abs(seconds) > 60 * NEAR_MIN:
        return None
    shown_at = figures.day_and_time(at.plus_hours(seconds / 3600), at)
    state, dry_c, wet_c = typed.state, float(line.dry_c[place]), float(line.wet_c[place])
    if typed.dry_bulb is not None and abs(celsius(typed.dry_bulb, typed.unit) - dry_c) > APART_C:
        shown = f"a dry bulb of {temperature(dry_c, typed.unit)}"
    elif state is not None and abs(float(state.wet_bulb_c) - wet_c) > APART_C:
        shown = f"a wet bulb of {temperature(wet_c, typed.unit)}"
    elif state is not None and abs(float(state.rh_pct) - float(line.rh_pct[place])) > APART_RH_PCT:
        shown = f"RH {figures.number(float(line.rh_pct[place]), 0)} %"
    else:  # also where the logger showed none of that: nothing is further from NaN than that
        return None
    return DoubtfulAir(why="beside-logger", sensor=sensor, shown=shown, shown_at=shown_at)

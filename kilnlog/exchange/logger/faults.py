"""What is set aside of a logger's rows before anything is kept: never averaged, always counted."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from kilnlog.exchange.logger.chunk import SetAside
from kilnlog.exchange.logger.format import LoggerFormat
from kilnlog.records.words import SecondReading, TemperatureUnit

Reals = NDArray[np.float64]
Whole = NDArray[np.int64]
Flags = NDArray[np.bool_]

#: The bounds of what the record takes at all.
TEMPERATURES = (-100.0, 600.0)
HUMIDITIES = (0.0, 100.0)

#: Values loggers write for a broken lead or a dead sensor, in either unit. Common practice, no source.
_SIGNS = (-9999.0, -999.9, -999.0, -127.0, -99.9, 850.0, 999.0, 999.9, 9999.0, 32767.0, -32768.0)
#: Another such sign, unless the kiln really is about that hot [C]. Common practice, no source.
_SIGN_IF_ALONE_C = 120.0
_NEAR_C = 15.0


def fault_signs(
    values: Reals, form: LoggerFormat, last_good: float | None, *, humidity: bool = False
) -> Flags:
    """Which values are a logger's sign for a fault.

    Args:
        values: Of one column.
        form: Tells the unit.
        last_good: What the column showed before the first of them.
        humidity: The column is RH [%].
    """
    signs: Flags = np.isin(values, _SIGNS)
    alone = values == _SIGN_IF_ALONE_C
    if humidity or not alone.any() or form.temperature_unit is not TemperatureUnit.CELSIUS:
        return np.logical_or(signs, alone) if humidity else signs
    good = np.flatnonzero(~(signs | alone | np.isnan(values)))
    for index in np.flatnonzero(alone).tolist():
        before = int(np.searchsorted(good, index)) - 1
        shown = float(values[good[before]]) if before >= 0 else last_good
        signs[index] = shown is None or abs(shown - _SIGN_IF_ALONE_C) > _NEAR_C
    return signs


def impossible(dry: Reals, second: Reals, form: LoggerFormat) -> dict[SetAside, Flags]:
    """Which rows the record would refuse, by reason."""
    is_rh = form.second is SecondReading.RH
    low, high = HUMIDITIES if is_rh else TEMPERATURES
    outside = (dry < TEMPERATURES[0]) | (dry > TEMPERATURES[1]) | (second < low) | (second > high)
    above = np.zeros(len(dry), dtype=bool) if is_rh else second > dry
    return {SetAside.RANGE: outside, SetAside.WET_ABOVE_DRY: above}

"""What is set aside of a logger's rows before anything is kept: never averaged, always counted."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from kilnlog.drying.air.moist_air import COLDEST_C, HOTTEST_C
from kilnlog.exchange.logger.chunk import SetAside
from kilnlog.exchange.logger.format import LoggerFormat
from kilnlog.records.temperature import difference_in_unit, in_unit
from kilnlog.records.words import SecondReading

Reals = NDArray[np.float64]
Whole = NDArray[np.int64]
Flags = NDArray[np.bool_]

#: No kiln for lumber is colder or hotter [C], nor do the relations of moist air hold there. What a broken
#: sensor shows beyond them would go into the mean of its hour.
TEMPERATURES_C = (COLDEST_C, HOTTEST_C)
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
    if humidity:
        signs |= values == _SIGN_IF_ALONE_C
        return signs
    unit = form.temperature_unit
    sign, near = in_unit(_SIGN_IF_ALONE_C, unit), difference_in_unit(_NEAR_C, unit)
    alone: Flags = values == sign
    good = np.flatnonzero(~(signs | alone | np.isnan(values)))
    for index in np.flatnonzero(alone).tolist():
        before = int(np.searchsorted(good, index)) - 1
        shown = float(values[good[before]]) if before >= 0 else last_good
        signs[index] = shown is None or abs(shown - sign) > near
    return signs


def impossible(dry: Reals, second: Reals, form: LoggerFormat) -> dict[SetAside, Flags]:
    """Which rows no kiln shows, or the record would refuse, by reason."""
    is_rh = form.second is SecondReading.RH
    coldest, hottest = (in_unit(each, form.temperature_unit) for each in TEMPERATURES_C)
    low, high = HUMIDITIES if is_rh else (coldest, hottest)
    outside = (dry < coldest) | (dry > hottest) | (second < low) | (second > high)
    above = np.zeros(len(dry), dtype=bool) if is_rh else second > dry
    return {SetAside.RANGE: outside, SetAside.WET_ABOVE_DRY: above}

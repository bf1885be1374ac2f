"""Temperatures in Celsius and Fahrenheit. A depression is a difference and knows no freezing point."""

from __future__ import annotations

from typing import TYPE_CHECKING, TypeVar

from kilnlog.records.words import TemperatureUnit

if TYPE_CHECKING:  # arrays pass through as well, but a status of typed weights should not load numpy
    import numpy as np
    from numpy.typing import NDArray

Number = TypeVar("Number", "float", "NDArray[np.float64]")

#: Exact by definition: a Fahrenheit degree is five ninths of a Celsius one, water freezes at 32 F.
_FREEZING_F = 32


def celsius(temperature: Number, unit: TemperatureUnit) -> Number:
    """A temperature in degrees Celsius.

    >>> celsius(212, TemperatureUnit.FAHRENHEIT)
    100.0
    """
    return temperature if unit is TemperatureUnit.CELSIUS else (temperature - _FREEZING_F) * 5 / 9


def in_unit(temperature_c: Number, unit: TemperatureUnit) -> Number:
    """A temperature given in degrees Celsius, in the unit."""
    return temperature_c if unit is TemperatureUnit.CELSIUS else temperature_c * 9 / 5 + _FREEZING_F


def difference_c(difference: Number, unit: TemperatureUnit) -> Number:
    """A difference of two temperatures (a depression, a tolerance) in Celsius degrees.

    >>> difference_c(9, TemperatureUnit.FAHRENHEIT)
    5.0
    """
    return difference if unit is TemperatureUnit.CELSIUS else difference * 5 / 9


def difference_in_unit(difference_c: Number, unit: TemperatureUnit) -> Number:
    """A difference given in Celsius degrees, in degrees of the unit."""
    return difference_c if unit is TemperatureUnit.CELSIUS else difference_c * 9 / 5

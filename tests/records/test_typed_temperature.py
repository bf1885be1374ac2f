"""A unit typed with a temperature is taken, as one typed with a weight is."""

from __future__ import annotations

import pytest

from kilnlog.records.errors import UnreadableNumber
from kilnlog.records.typed_temperature import temperature_from_text
from kilnlog.records.words import TemperatureUnit

C, F = TemperatureUnit.CELSIUS, TemperatureUnit.FAHRENHEIT


@pytest.mark.parametrize(
    ("typed", "value", "unit"),
    [
        ("110", 110, None),
        ("110F", 110, F),
        (" 110 f ", 110, F),
        ("43 C", 43, C),
        ("43.3°C", 43.3, C),
        ("43.3 ° c", 43.3, C),
        ("-3.5 °C", -3.5, C),
    ],
)
def test_with_and_without_its_unit(typed, value, unit):
    assert temperature_from_text(typed) == (value, unit)


def test_the_decimal_mark_is_that_of_the_place():
    assert temperature_from_text("43,3 C", decimal_mark=",") == (43.3, C)


@pytest.mark.parametrize("typed", ["C", "°F", "110 K", "110 FF", "11o F", "110\u2109", "43,3 C"])
def test_what_is_no_temperature_is_refused_as_it_was_typed(typed):
    with pytest.raises(UnreadableNumber) as refused:
        temperature_from_text(typed)
    assert refused.value.values["typed"] == typed


def test_a_difference_is_not_below_zero():
    with pytest.raises(UnreadableNumber):
        temperature_from_text("-4 F", negative=False)

"""Altitudes and air flows with the unit they are read in."""

from __future__ import annotations

import pytest

from kilnlog.records.errors import UnreadableNumber
from kilnlog.records.typed_measure import CUBIC_METRES_PER_H, METRES, measure_from_text, measure_text


@pytest.mark.parametrize(
    ("typed", "metres"), [("250", 250.0), ("820 ft", 249.936), ("820ft.", 249.936), ("250 m", 250.0)]
)
def test_an_altitude_in_feet(typed, metres):
    """1 ft = 0.3048 m exactly (NIST SP 811, appendix B)."""
    assert measure_from_text(typed, METRES) == metres


@pytest.mark.parametrize("typed", ["150 cfm", "150 CFM", "150 ft³/min", "150 ft3/min"])
def test_an_air_flow_in_cubic_feet_a_minute(typed):
    """1 ft³/min = 4.719474 E-4 m³/s (NIST SP 811, appendix B), so 1.699011 m³/h."""
    assert measure_from_text(typed, CUBIC_METRES_PER_H) == pytest.approx(150 * 4.719474e-4 * 3600, abs=1e-3)


def test_below_the_sea_and_with_a_comma():
    assert measure_from_text("-100 ft", METRES, negative=True) == -30.48
    assert measure_from_text("2,5 m", METRES, decimal_mark=",") == 2.5


@pytest.mark.parametrize("typed", ["820 yd", "ft", "820 ft 3"])
def test_what_is_no_such_unit_is_refused_as_typed(typed):
    with pytest.raises(UnreadableNumber) as refused:
        measure_from_text(typed, METRES)
    assert refused.value.values["typed"] == typed


@pytest.mark.parametrize(
    ("value", "shown"),
    [
        (365.76, "1200 ft"),
        (152.4, "500 ft"),
        (-30.48, "-100 ft"),
        (249.936, "820 ft"),
        (250.0, "250"),
        (0.0, "0"),
        (152.5, "152.5"),
        (None, ""),
    ],
)
def test_what_was_typed_in_feet_comes_back_in_feet(value, shown):
    """1 ft = 0.3048 m exactly (NIST SP 811, appendix B)."""
    assert measure_text(value, "ft", METRES["ft"]) == shown


def test_a_figure_of_the_fields_own_unit_comes_back_with_the_machines_mark():
    assert measure_text(152.5, "ft", METRES["ft"], decimal_mark=",") == "152,5"

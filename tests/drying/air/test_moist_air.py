"""Moist air against two independent libraries and printed figures.

CoolProp's HAPropsSI is a real-gas formulation (ASHRAE RP-1485); psychrolib carries the ASHRAE handbook
relations without the enhancement factor, written by others. The twelve pairs were worked out with both
(computed, not published).
"""

from __future__ import annotations

import numpy as np
import psychrolib
import pytest
from CoolProp.CoolProp import PropsSI
from CoolProp.HumidAirProp import HAPropsSI
from hypothesis import assume, given
from hypothesis import strategies as st

from kilnlog.drying.air.errors import ImpossibleAir
from kilnlog.drying.air.moist_air import (
    dry_bulb_from,
    from_depression,
    from_depression_and_rh,
    from_rh,
    from_wet_bulb,
    pressure_pa,
    saturated_air_pa,
    saturation_pressure_pa,
)

SEA, HIGH = 101325.0, 84556.0


@pytest.fixture(autouse=True, scope="module")
def metric():
    psychrolib.SetUnitSystem(psychrolib.SI)


# dry/wet [C], RH at sea level and at 1500 m [%] by the ASHRAE relations; computed with psychrolib 2.5.0
TWELVE = [
    (20, 15, 58.92, 61.27),
    (30, 25, 66.95, 68.26),
    (40, 35, 71.86, 72.61),
    (45, 40, 73.64, 74.23),
    (50, 45, 75.14, 75.60),
    (55, 45, 56.89, 57.61),
    (60, 50, 58.84, 59.42),
    (60, 40, 30.64, 31.76),
    (70, 60, 62.09, 62.46),
    (70, 45, 25.73, 26.64),
    (80, 65, 51.09, 51.46),
    (80, 50, 22.17, 22.89),
]


@pytest.mark.parametrize(("dry", "wet", "sea", "high"), TWELVE)
def test_the_twelve_pairs(dry, wet, sea, high):
    assert from_wet_bulb(float(dry), float(wet), SEA).rh_pct == pytest.approx(sea, abs=0.1)
    assert from_wet_bulb(float(dry), float(wet), pressure_pa(1500)).rh_pct == pytest.approx(high, abs=0.1)


def pairs(lowest, highest):
    for dry in np.arange(lowest, highest + 0.1, 5.0):
        # Not at 0 C itself: there one library has ice on the wick and the other water.
        for wet in np.arange(max(0.5, dry - 45), min(dry, 99.0) + 0.1, 2.5):
            yield float(dry), float(wet)


@pytest.mark.parametrize("pressure", [SEA, HIGH])
def test_humidity_agrees_with_coolprop_where_kilns_run(pressure):
    """Within 0.1 points from 20 to 85 C where the humidity is 10 % or more."""
    compared = 0
    for dry, wet in pairs(20, 85):
        theirs = coolprop_rh_pct(dry, wet, pressure)
        if theirs is None or theirs < 10:
            continue
        assert from_wet_bulb(dry, wet, pressure).rh_pct == pytest.approx(theirs, abs=0.1), (dry, wet)
        compared += 1
    assert compared > 150


@pytest.mark.parametrize("pressure", [SEA, HIGH])
def test_humidity_agrees_with_coolprop_elsewhere_less_closely(pressure):
    """Within 0.3 points over 0 to 110 C: there the ideal and the real gas part."""
    compared = 0
    for dry, wet in pairs(0, 110):
        theirs = coolprop_rh_pct(dry, wet, pressure)
        if theirs is None:
            continue
        assert from_wet_bulb(dry, wet, pressure).rh_pct == pytest.approx(theirs, abs=0.3), (dry, wet)
        compared += 1
    assert compared > 250


def coolprop_rh_pct(dry, wet, pressure):
    """Relative humidity [%], or None where the pair is outside what CoolProp solves."""
    try:
        found = 100 * HAPropsSI("R", "T", dry + 273.15, "B", wet + 273.15, "P", pressure)
    except ValueError:
        return None
    return found if 0 < found <= 100 else None


@given(st.floats(5, 95), st.floats(0.05, 1), st.sampled_from([SEA, HIGH]))
def test_humidity_agrees_with_psychrolib(dry, share, pressure):
    wet = psychrolib.GetTWetBulbFromRelHum(dry, share, pressure)
    wet = min(wet, dry)
    theirs = 100 * psychrolib.GetRelHumFromTWetBulb(dry, wet, pressure)
    # Up to 0.25 points apart, most in cold dry air: psychrolib leaves the enhancement factor out.
    assert from_wet_bulb(dry, wet, pressure).rh_pct == pytest.approx(theirs, abs=0.25)


@given(st.floats(-30, 98), st.floats(1, 100), st.sampled_from([SEA, HIGH]))
def test_wet_bulb_and_humidity_are_inverse(dry, rh, pressure):
    assume(saturated_air_pa(dry, pressure) * rh / 100 < pressure)  # else no air at that pressure
    air = from_rh(dry, rh, pressure)
    assert from_wet_bulb(dry, min(air.wet_bulb_c, dry), pressure).rh_pct == pytest.approx(rh, abs=1e-6)


@given(st.floats(5, 90), st.floats(5, 100))
def test_the_dry_bulb_comes_back_from_wet_bulb_and_humidity(dry, rh):
    air = from_rh(dry, rh, SEA)
    assert dry_bulb_from(air.wet_bulb_c, rh, SEA).dry_bulb_c == pytest.approx(dry, abs=1e-6)


@given(st.floats(5, 90), st.floats(5, 99.5), st.sampled_from([SEA, HIGH]))
def test_the_air_comes_back_from_depression_and_humidity(dry, rh, pressure):
    air = from_rh(dry, rh, pressure)
    assume(air.wet_bulb_c > 0.01)  # it is sought with a wick that is not frozen
    again = from_depression_and_rh(air.depression_c, rh, pressure)
    assert again.rh_pct == pytest.approx(rh, abs=1e-6)
    assert again.dry_bulb_c == pytest.approx(dry, abs=1e-6)


# Saturation pressure [Pa] by IAPWS-95, from CoolProp at the time of the test.
@pytest.mark.parametrize("temperature", [0.01, 20, 40, 60, 80, 100, 120])
def test_saturation_pressure_agrees_with_iapws(temperature):
    theirs = PropsSI("P", "T", temperature + 273.15, "Q", 0, "Water")
    assert saturation_pressure_pa(float(temperature)) == pytest.approx(theirs, rel=5e-4)


def test_saturation_pressure_at_300_kelvin_is_the_printed_one():
    """IAPWS-IF97, check table: 0.353658941e-2 MPa at 300 K."""
    assert saturation_pressure_pa(300 - 273.15) == pytest.approx(3536.58941, rel=5e-4)


# ASHRAE Fundamentals 2017, chapter 1, equation 3; computed
@pytest.mark.parametrize(
    ("altitude", "pascal"),
    [(0, 101325), (500, 95461), (1000, 89875), (1500, 84556), (2000, 79495), (2500, 74682), (3000, 70108)],
)
def test_barometric_pressure(altitude, pascal):
    assert pressure_pa(altitude) == pytest.approx(pascal, abs=1)


def fahrenheit(temperature):
    return (temperature - 32) * 5 / 9


def test_the_wood_handbooks_circulation_example():
    """Air at 130 F with a wet bulb of 117 F is at 67 % RH; cooled to 121 F at that wet bulb, at 88 %."""
    assert from_wet_bulb(fahrenheit(130), fahrenheit(117), SEA).rh_pct == pytest.approx(67, abs=0.5)
    assert from_wet_bulb(fahrenheit(121), fahrenheit(117), SEA).rh_pct == pytest.approx(88, abs=0.5)


def test_a_first_oak_step():
    """110 F dry, 106 F wet is 87 % RH (computed with the ASHRAE relations)."""
    assert from_wet_bulb(fahrenheit(110), fahrenheit(106), SEA).rh_pct == pytest.approx(87, abs=0.5)
    by_depression = from_depression(fahrenheit(110), 4 * 5 / 9, SEA)
    assert by_depression.rh_pct == pytest.approx(87, abs=0.5)


def test_altitude_left_out_puts_humidity_low():
    """At 1500 m and 20/15 C the sea-level pressure would read 2.4 points low (computed)."""
    low = from_wet_bulb(20.0, 15.0, SEA).rh_pct
    assert from_wet_bulb(20.0, 15.0, pressure_pa(1500)).rh_pct - low == pytest.approx(2.35, abs=0.05)


def test_arrays_and_floats_say_the_same():
    dry = np.array([20.0, 45.0, 60.0])
    wet = np.array([15.0, 40.0, 50.0])
    air = from_wet_bulb(dry, wet, SEA)
    assert air.rh_pct == pytest.approx(
        [from_wet_bulb(*pair, SEA).rh_pct for pair in zip(dry, wet, strict=True)]
    )
    assert from_rh(dry, air.rh_pct, SEA).wet_bulb_c == pytest.approx(wet, abs=1e-6)
    assert isinstance(from_wet_bulb(20.0, 15.0, SEA).rh_pct, float)


@pytest.mark.parametrize(
    ("why", "attempt"),
    [
        ("wet-above-dry", lambda: from_wet_bulb(40.0, 41.0, SEA)),
        ("wet-too-low", lambda: from_wet_bulb(60.0, 10.0, SEA)),
        ("boils", lambda: from_wet_bulb(110.0, 101.0, SEA)),
        ("boils", lambda: from_wet_bulb(110.0, 96.0, HIGH)),
        ("depression", lambda: from_depression(40.0, -1.0, SEA)),
        ("rh", lambda: from_rh(40.0, 100.1, SEA)),
        ("rh", lambda: from_rh(40.0, -0.1, SEA)),
        ("rh", lambda: from_rh(40.0, float("nan"), SEA)),
        ("too-hot", lambda: from_rh(120.0, 90.0, SEA)),
        ("temperature", lambda: from_wet_bulb(260.0, 90.0, SEA)),
        ("temperature", lambda: from_rh(float("nan"), 50.0, SEA)),
        ("rh", lambda: dry_bulb_from(40.0, 0.0, SEA)),
        ("depression", lambda: from_depression_and_rh(0.0, 100.0, SEA)),
        ("rh", lambda: from_depression_and_rh(5.0, 101.0, SEA)),
        ("no-such-air", lambda: from_depression_and_rh(5.0, 99.0, SEA)),
        ("no-such-air", lambda: from_depression_and_rh(250.0, 10.0, SEA)),
    ],
)
def test_impossible_air_is_refused_with_the_reason(why, attempt):
    with pytest.raises(ImpossibleAir) as refused:
        attempt()
    assert refused.value.values["why"] == why


def test_saturated_air_is_at_100_percent_and_not_a_rounding_above():
    for dry_c in np.linspace(-20, 80, 400):
        air = from_wet_bulb(float(dry_c), float(dry_c), pressure_pa(1500))
        assert air.rh_pct == pytest.approx(100)
        assert air.rh_pct <= 100
        assert isinstance(air.rh_pct, float)
        assert from_rh(float(dry_c), air.rh_pct, pressure_pa(1500)).wet_bulb_c == pytest.approx(dry_c)

"""Venting against figures worked out with psychrolib, and heats against CoolProp's steam."""

import psychrolib
import pytest
from CoolProp.CoolProp import PropsSI

from kilnlog.drying.air.moist_air import from_rh, from_wet_bulb, pressure_pa
from kilnlog.drying.air.venting import exhaust_share, heat_of_vaporisation_kj, venting, volume_m3

SEA = pressure_pa(0)

# Kiln dry/wet [C], outside [C, %], then per kg of water: dry air [kg], outside air [m3], warming it [kJ].
# Computed at sea level with psychrolib 2.5.0, which leaves the enhancement factor out: hence 1 %.
COMPUTED = [
    (45, 40, 15, 70, 25.5, 21.1, 780),
    (60, 50, 15, 70, 13.5, 11.2, 620),
    (75, 50, 15, 70, 14.9, 12.3, 914),
    (60, 50, 30, 80, 16.7, 14.8, 524),
]


def kiln_and_outside(dry, wet, out_c, out_pct):
    return from_wet_bulb(float(dry), float(wet), SEA), from_rh(float(out_c), float(out_pct), SEA)


@pytest.mark.parametrize(("dry", "wet", "out_c", "out_pct", "air_kg", "outside_m3", "heat_kj"), COMPUTED)
def test_air_and_heat_for_a_kilogram_of_water(dry, wet, out_c, out_pct, air_kg, outside_m3, heat_kj):
    takes = venting(*kiln_and_outside(dry, wet, out_c, out_pct))
    assert takes.dry_air_kg == pytest.approx(air_kg, rel=0.01)
    assert takes.outside_m3 == pytest.approx(outside_m3, rel=0.01)
    assert takes.warming_kj == pytest.approx(heat_kj, rel=0.01)


def test_a_published_exercise():
    """Lumber at 60/52 C losing 12.5 kg/h, outside 27 C and 80 %; computed: 167 kg/h, 2.44 m3/min."""
    takes = venting(*kiln_and_outside(60, 52, 27, 80))
    assert 12.5 * takes.dry_air_kg == pytest.approx(167, rel=0.01)
    assert 12.5 * takes.outside_m3 / 60 == pytest.approx(2.44, rel=0.01)


def test_the_volume_of_moist_air_agrees_with_psychrolib():
    psychrolib.SetUnitSystem(psychrolib.SI)
    air = from_wet_bulb(60.0, 50.0, SEA)
    theirs = psychrolib.GetMoistAirVolume(60.0, air.humidity_ratio, SEA)
    assert volume_m3(air) == pytest.approx(theirs, rel=1e-4)


@pytest.mark.parametrize("temperature", [5, 20, 40, 60, 80, 100])
def test_the_heat_of_vaporisation_agrees_with_coolprop(temperature):
    vapour, liquid = (PropsSI("H", "T", temperature + 273.15, "Q", quality, "Water") for quality in (1, 0))
    assert heat_of_vaporisation_kj(temperature) == pytest.approx((vapour - liquid) / 1000, rel=0.006)


def test_about_a_thousand_btu_a_pound():
    """USDA FPL, Torgeson on kiln air: about 1000 Btu per lb of water evaporated, 2.33 MJ/kg."""
    takes = venting(*kiln_and_outside(60, 50, 15, 70))
    assert takes.evaporating_kj == pytest.approx(2330, rel=0.03)


def test_outside_air_as_damp_as_the_kilns_carries_nothing_off():
    assert venting(*kiln_and_outside(25, 15, 30, 80)) is None
    same = from_rh(30.0, 50.0, SEA)
    assert venting(same, same) is None


def test_outside_air_warmer_than_the_kiln_takes_no_heat():
    assert venting(*kiln_and_outside(30, 28, 35, 20)).warming_kj == 0


def test_the_share_of_the_exhaust():
    """By hand: 10 kg/h at so many m3 of kiln air a kilogram, through an exhaust that moves 400 m3/h."""
    takes = venting(*kiln_and_outside(60, 50, 15, 70))
    assert exhaust_share(takes, 10, 400) == pytest.approx(10 * takes.kiln_m3 / 400)
    assert exhaust_share(takes, 10, 400) == pytest.approx(0.36, abs=0.005)

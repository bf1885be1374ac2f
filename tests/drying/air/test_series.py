"""Long records of dry and wet bulb say what single readings say."""

import numpy as np
import pytest

from kilnlog.drying.air.emc import emc_pct
from kilnlog.drying.air.errors import ImpossibleAir
from kilnlog.drying.air.moist_air import from_wet_bulb, pressure_pa
from kilnlog.drying.air.series import air_series

SEA = pressure_pa(0)


def one_by_one(dry, wet, pressure):
    told = []
    for dry_c, wet_c in zip(dry, wet, strict=True):
        try:
            rh = from_wet_bulb(float(dry_c), float(wet_c), pressure).rh_pct
            told.append((rh, emc_pct(float(dry_c), rh)))
        except ImpossibleAir:
            told.append((np.nan, np.nan))
    return np.array(told).T


@pytest.mark.parametrize("pressure", [SEA, pressure_pa(1500)])
@pytest.mark.parametrize("lowest", [0.1, -20.0])  # with a frozen wick among them it goes the exact way
def test_as_single_readings_do(lowest, pressure):
    random = np.random.default_rng(7)
    dry = random.uniform(lowest, 90, 2000)
    wet = np.maximum(dry - random.uniform(0, 10, 2000), lowest)
    wet[:50] = dry[:50]  # saturated
    series = air_series(dry, wet, pressure)
    rh, emc = one_by_one(dry, wet, pressure)
    assert np.isfinite(rh).sum() > 1000
    np.testing.assert_allclose(series.rh_pct, rh, atol=0.002)
    np.testing.assert_allclose(series.emc_pct, emc, atol=0.002)


def test_a_record_longer_than_one_helping():
    dry = np.linspace(20, 80, 150_001)
    series = air_series(dry, dry - 5, SEA)
    air = from_wet_bulb(dry, dry - 5, SEA)
    np.testing.assert_allclose(series.rh_pct, air.rh_pct, atol=0.002)
    np.testing.assert_allclose(series.emc_pct, emc_pct(dry, air.rh_pct), atol=0.002)


@pytest.mark.parametrize(
    ("dry", "wet"),
    [
        (40.0, 40.5),
        (60.0, 10.0),
        (np.nan, 20.0),
        (40.0, np.nan),
        (120.0, 105.0),
        (400.0, 90.0),
        (-999.0, 20.0),
    ],
)
def test_what_no_air_shows_is_left_empty_and_spoils_no_other(dry, wet):
    series = air_series(np.array([50.0, dry, 50.0]), np.array([45.0, wet, 45.0]), SEA)
    assert np.isnan(series.rh_pct).tolist() == [False, True, False]
    assert np.isnan(series.emc_pct).tolist() == [False, True, False]
    # Computed with psychrolib 2.5.0: 50/45 C is 75.14 %.
    assert series.rh_pct[[0, 2]] == pytest.approx([75.14, 75.14], abs=0.1)


def test_air_hotter_than_boiling_with_a_cooler_wick():
    series = air_series(np.array([110.0]), np.array([90.0]), SEA)
    assert series.rh_pct[0] == pytest.approx(from_wet_bulb(110.0, 90.0, SEA).rh_pct, abs=0.002)


def test_nothing_to_work_out():
    assert len(air_series(np.array([]), np.array([]), SEA).rh_pct) == 0


def test_too_hot_for_the_emc_equation_tells_the_humidity_alone():
    """Wood Handbook FPL-GTR-190, table 4-2 ends at 270 F (132.2 C); what stands beside is not spoilt."""
    series = air_series(np.array([50.0, 140.0, 132.2]), np.array([45.0, 90.0, 90.0]), SEA)
    assert series.rh_pct[1] == pytest.approx(from_wet_bulb(140.0, 90.0, SEA).rh_pct, abs=0.002)
    assert np.isnan(series.emc_pct).tolist() == [False, True, False]

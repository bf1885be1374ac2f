"""Readings laid out to be drawn: nothing is bridged that nobody read."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pytest

from kilnlog.drying.air.lines import hand_line, logger_lines
from kilnlog.drying.air.reading import AirPoint
from kilnlog.records.moment import Moment
from kilnlog.records.words import SecondReading, TemperatureUnit

SEA_LEVEL_PA = 101_325.0


@dataclass
class Logged:
    sensor: str
    at_s: np.ndarray
    dry: np.ndarray
    second: np.ndarray
    temperature_unit: TemperatureUnit = TemperatureUnit.FAHRENHEIT
    second_is: SecondReading | None = SecondReading.WET_BULB


def logged(at_s, dry=110.0, wet=106.0, **named):
    at_s = np.array(at_s, dtype=float)
    return Logged("entering", at_s, np.full(len(at_s), dry), np.full(len(at_s), wet), **named)


def test_a_logger_line_says_the_air_in_celsius_with_its_humidity():
    (line,) = logger_lines([logged([0, 60, 120])], SEA_LEVEL_PA)
    assert line.dry_c == pytest.approx([43.3333] * 3, abs=1e-3)
    # 110 F dry, 106 F wet: 87 % RH (Wood Handbook, table 4-2 as the schedules chapter uses it)
    assert line.rh_pct == pytest.approx([87.0] * 3, abs=0.5)
    assert line.has_wick
    assert line.holes == ()


def test_a_hole_breaks_the_line_and_is_told_with_its_length():
    (line,) = logger_lines([logged([0, 60, 120, 51_120, 51_180])], SEA_LEVEL_PA)
    assert [(hole.from_s, hole.until_s) for hole in line.holes] == [(120.0, 51_120.0)]
    assert line.holes[0].hours == pytest.approx(14 + 10 / 60)
    assert np.isnan(line.dry_c[3])
    assert 120 < line.at_s[3] < 51_120


def test_a_missed_reading_within_twice_the_interval_is_no_hole():
    (line,) = logger_lines([logged([0, 60, 120, 240, 300])], SEA_LEVEL_PA)
    assert line.holes == ()


def test_a_sensor_read_in_two_units_is_one_line_in_order_of_time():
    later = logged([180, 240], dry=45.0, wet=42.0, temperature_unit=TemperatureUnit.CELSIUS)
    (line,) = logger_lines([later, logged([0, 60, 120])], SEA_LEVEL_PA)
    assert line.at_s.tolist() == [0, 60, 120, 180, 240]
    assert line.dry_c[-1] == 45.0


def test_a_humidity_logger_has_no_wick():
    (line,) = logger_lines([logged([0, 60], wet=45.0, second_is=SecondReading.RH)], SEA_LEVEL_PA)
    assert not line.has_wick
    assert line.rh_pct.tolist() == [45.0, 45.0]


@pytest.mark.parametrize(("at_s", "found"), [(29, 0), (31, 1), (60 + 3 * 3600, None)])
def test_the_nearest_reading_is_told_only_where_there_was_one_near(at_s, found):
    (line,) = logger_lines([logged([0, 60])], SEA_LEVEL_PA)
    assert line.nearest(at_s, 2.0) == found


def test_the_nearest_reading_is_never_the_break_of_a_hole():
    (line,) = logger_lines([logged([0, 60, 120, 20_000])], SEA_LEVEL_PA)
    number = line.nearest(10_060, 24)
    assert number is not None
    assert not np.isnan(line.dry_c[number])


def test_readings_by_hand_far_apart_are_not_joined():
    times = ("2026-11-20 08:00", "2026-11-21 08:00", "2026-11-24 08:00")
    points = [
        AirPoint(Moment.from_text(at, "America/New_York"), 43.0, 41.0, 89.0, 19.0, 0.05) for at in times
    ]
    line = hand_line(None, points, hole_h=30)
    assert np.isnan(line.dry_c).tolist() == [False, False, True, False]


@pytest.mark.parametrize("paces", [(60, 600), (600, 60), (60, 3600, 60)])
def test_a_logger_set_to_another_pace_left_no_hole(paces):
    at_s = np.cumsum(np.concatenate([np.full(200 * 3600 // pace, pace) for pace in paces]))
    (line,) = logger_lines([logged(at_s)], SEA_LEVEL_PA)
    assert line.holes == ()
    assert np.isfinite(line.dry_c).all()
    without = np.delete(at_s, [50, 51, len(at_s) - 20, len(at_s) - 19])  # two readings each are a hole
    (line,) = logger_lines([logged(without)], SEA_LEVEL_PA)
    steps = (3 * paces[0], 3 * paces[-1])
    assert tuple(hole.until_s - hole.from_s for hole in line.holes) == steps


def test_air_hotter_than_the_emc_equation_holds_for_has_no_emc():
    """Wood Handbook FPL-GTR-190, table 4-2 ends at 270 F (132.2 C)."""
    for second, kind in ((200.0, SecondReading.WET_BULB), (20.0, SecondReading.RH)):
        (line,) = logger_lines([logged([0, 60], dry=290.0, wet=second, second_is=kind)], SEA_LEVEL_PA)
        assert np.isfinite(line.rh_pct).all()
        assert np.isnan(line.emc_pct).all()
        (line,) = logger_lines([logged([0, 60], dry=268.0, wet=second, second_is=kind)], SEA_LEVEL_PA)
        assert np.isfinite(line.emc_pct).all()


def test_a_humidity_beside_no_temperature_a_kiln_has_is_not_drawn():
    (line,) = logger_lines([logged([0, 60], dry=500.0, wet=20.0, second_is=SecondReading.RH)], SEA_LEVEL_PA)
    assert np.isnan(line.rh_pct).all()

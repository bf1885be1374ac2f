"""A line that is carried on is the line that would have been laid out anew."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pytest

from kilnlog.drying.air.continued import continued_lines
from kilnlog.drying.air.lines import logger_lines
from kilnlog.records.words import SecondReading, TemperatureUnit

SEA_LEVEL_PA = 101_325.0


@dataclass
class Readings:
    at_s: np.ndarray
    sensor: str = "fan side"
    temperature_unit: TemperatureUnit = TemperatureUnit.FAHRENHEIT
    second_is: SecondReading | None = SecondReading.WET_BULB

    @property
    def dry(self):
        return 110 + 5 * np.sin(self.at_s / 3000)

    @property
    def second(self):
        return 100 + 4 * np.cos(self.at_s / 4000)


def lines(at_s, **more):
    return logger_lines([Readings(np.array(at_s, dtype=np.float64), **more)], SEA_LEVEL_PA)


def assert_same(one, other):
    assert (one.sensor, one.holes, one.has_wick) == (other.sensor, other.holes, other.has_wick)
    for name in ("at_s", "dry_c", "wet_c", "rh_pct", "emc_pct"):
        np.testing.assert_array_equal(getattr(one, name), getattr(other, name))


@pytest.mark.parametrize(
    "at_s",
    [
        pytest.param([600.0 * n for n in range(40)], id="without a hole"),
        pytest.param([600.0 * n for n in range(40) if n not in (7, 8, 9)], id="a hole in what was there"),
        pytest.param([600.0 * n for n in range(40) if n not in (30, 31)], id="a hole in what came"),
        pytest.param([600.0 * n for n in range(40) if not 18 <= n < 24], id="a hole between the two"),
    ],
)
@pytest.mark.parametrize("till", [18, 20, 24])
def test_is_what_would_be_laid_out_anew(at_s, till):
    (whole,) = lines(at_s)
    (grown,) = continued_lines(lines(at_s[:till]), lines(at_s[till:])[0])
    assert_same(grown, whole)


def test_what_is_there_already_is_not_drawn_twice():
    at_s = [600.0 * n for n in range(40)]
    (whole,) = lines(at_s)
    (grown,) = continued_lines(lines(at_s[:20]), lines(at_s[15:])[0])
    assert_same(grown, whole)
    (same,) = continued_lines(lines(at_s), lines(at_s[30:])[0])
    assert_same(same, whole)


def test_another_sensor_is_a_line_of_its_own():
    at_s = [600.0 * n for n in range(10)]
    (door,) = lines(at_s, sensor="door side")
    assert [line.sensor for line in continued_lines(lines(at_s), door)] == ["fan side", "door side"]
    assert continued_lines((), door) == (door,)

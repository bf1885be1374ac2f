"""A reading by hand beside what the logger of the same sensor showed: far apart, it is asked about."""

from __future__ import annotations

import numpy as np
import pytest

from kilnlog.drying.air.lines import AirLine
from kilnlog.logbook.beside_logger import beside_logger_doubt
from kilnlog.logbook.typed_air import Second, read_air
from kilnlog.logbook.wording import worded
from kilnlog.records.words import TemperatureUnit
from tests.builders import moment

F = TemperatureUnit.FAHRENHEIT
NOW = moment("2024-03-09 08:00")
SEA_LEVEL_PA = 101325.0


def logged(minutes_ago=1.0, **changed):
    """140 F over 120 F: 60 C and 48.9 C, RH 55 % by the psychrometric tables, shown so long ago."""
    values = {"dry_c": 60.0, "wet_c": 48.89, "rh_pct": 55.0, "emc_pct": 8.0} | changed
    at_s = NOW.utc.timestamp() - 60 * np.array([minutes_ago + 60, minutes_ago])
    arrays = {name: np.array([20.0, value]) for name, value in values.items()}
    return AirLine("fan side", at_s, **arrays, holes=(), has_wick=True)


def asked(dry, second, *, sensor="fan side", line=None, which=Second.WET_BULB):
    typed = read_air(dry, second, which, F, SEA_LEVEL_PA)
    assert typed.wrong == {}
    return beside_logger_doubt([line or logged()], sensor, typed, NOW)


def test_a_reading_near_its_loggers_needs_no_question():
    assert asked("141", "121") is None
    assert asked("148", "128") is None  # 4.4 C degrees
    assert asked("140", "55", which=Second.RH) is None


@pytest.mark.parametrize(
    ("dry", "second", "shown"),
    [
        ("180", "160", "a dry bulb of 140 °F"),
        ("140", "135", "a wet bulb of 120 °F"),
        ("", "", None),
    ],
)
def test_a_reading_far_from_its_loggers_is_asked_about(dry, second, shown):
    found = asked(dry, second)
    if shown is None:
        assert found is None
        return
    assert (
        worded(found).what
        == f"The logger of “fan side” showed {shown} today, 07:59, far from that for one sensor."
    )


def test_a_humidity_far_from_the_loggers_is_asked_about():
    no_wick = logged(wet_c=np.nan)
    assert "showed RH 55 %" in worded(asked("140", "75", which=Second.RH, line=no_wick)).what
    assert asked("140", "65", which=Second.RH, line=no_wick) is None


def test_another_sensor_or_a_reading_long_ago_is_no_measure():
    assert asked("180", "160", sensor="door side") is None
    assert asked("180", "160", sensor=None) is None
    assert asked("180", "160", line=logged(minutes_ago=11)) is None
    assert asked("180", "160", line=logged(dry_c=np.nan, wet_c=np.nan, rh_pct=np.nan)) is None

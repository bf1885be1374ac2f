"""A logger's clock against zoneinfo: every ten minutes of years with and without changes of the clocks."""

from __future__ import annotations

from datetime import UTC, datetime

import numpy as np
import pytest

from kilnlog.exchange.logger.clock import ToUtc, changes_in, standard_offset_s
from kilnlog.records.words import LoggerClock
from tests.exchange.logger.files import shown

#: Both changes, none, half hours without and with, a change of half an hour, south of the line.
ZONES = (
    "America/New_York",
    "Europe/Vienna",
    "Asia/Tokyo",
    "Asia/Kolkata",
    "Australia/Adelaide",
    "Australia/Lord_Howe",
    "America/St_Johns",
)


def instants(begin: str, end: str, step_s: int = 600) -> np.ndarray:
    first, last = (int(datetime.fromisoformat(day).replace(tzinfo=UTC).timestamp()) for day in (begin, end))
    return np.arange(first, last, step_s)


def clock_of(at_s: np.ndarray, zone: str, clock: str = "local") -> np.ndarray:
    """What the clock shows, as seconds since 1970 by itself."""
    return np.array(
        [int(shown(at, zone, clock).replace(tzinfo=UTC).timestamp()) for at in at_s.tolist()], dtype=np.int64
    )


@pytest.mark.parametrize("zone", ZONES)
@pytest.mark.parametrize("step_s", [600, 1800])
def test_two_years_of_a_local_clock(zone, step_s):
    at_s = instants("2025-01-01", "2027-01-01", step_s)
    found, never = ToUtc(zone, LoggerClock.LOCAL, interval_s=step_s)(clock_of(at_s, zone))
    assert (found == at_s).all()
    assert not never.any()


@pytest.mark.parametrize("zone", ZONES)
def test_two_years_in_small_pieces_are_the_same(zone):
    at_s = instants("2026-01-01", "2027-01-01", 900)
    to_utc = ToUtc(zone, LoggerClock.LOCAL)
    pieces = np.array_split(clock_of(at_s, zone), 1237)
    assert (np.concatenate([to_utc(piece)[0] for piece in pieces]) == at_s).all()


@pytest.mark.parametrize("zone", ZONES)
def test_a_year_of_standard_time(zone):
    at_s = instants("2026-01-02", "2027-01-01", 1800)
    found, never = ToUtc(zone, LoggerClock.STANDARD)(clock_of(at_s, zone, "standard"))
    assert (found == at_s).all()
    assert not never.any()


def test_standard_time_is_the_winters_where_the_law_has_it_otherwise():
    assert standard_offset_s("Europe/Dublin", 2026) == 0


def test_utc_stays_as_it_is():
    at_s = instants("2026-03-28", "2026-03-31")
    assert (ToUtc("Europe/Vienna", LoggerClock.UTC)(at_s)[0] == at_s).all()


def test_changes_are_those_of_the_zone():
    spring, autumn = changes_in("America/New_York", 2026)  # 8 March and 1 November, at 2 in the morning
    assert datetime.fromtimestamp(spring.at_s, UTC) == datetime(2026, 3, 8, 7, tzinfo=UTC)
    assert datetime.fromtimestamp(autumn.at_s, UTC) == datetime(2026, 11, 1, 6, tzinfo=UTC)
    assert (autumn.before_s, autumn.after_s) == (-4 * 3600, -5 * 3600)
    assert changes_in("Asia/Kolkata", 2026) == ()


def seconds(*times: str) -> np.ndarray:
    return np.array([int(datetime.fromisoformat(each).replace(tzinfo=UTC).timestamp()) for each in times])


def test_both_half_past_ones_of_autumn():
    twice = seconds("2026-11-01 00:30", "2026-11-01 01:30", "2026-11-01 01:30", "2026-11-01 02:30")
    found, _ = ToUtc("America/New_York", LoggerClock.LOCAL)(twice)
    assert np.diff(found).tolist() == [3600, 3600, 3600]


def test_the_same_stamp_again_of_a_quick_logger_is_no_second_hour():
    twice = seconds("2026-11-01 01:20", "2026-11-01 01:30", "2026-11-01 01:30", "2026-11-01 01:40")
    found, _ = ToUtc("America/New_York", LoggerClock.LOCAL, interval_s=600)(twice)
    assert np.diff(found).tolist() == [600, 0, 600]


def test_what_was_read_before_decides_the_hour_shown_twice():
    again = seconds("2026-11-01 01:30")
    before = seconds("2026-11-01 05:50")[0]  # 01:50 in summer time
    first, _ = ToUtc("America/New_York", LoggerClock.LOCAL)(again)
    second, _ = ToUtc("America/New_York", LoggerClock.LOCAL, last_s=int(before))(again)
    assert (second - first).tolist() == [3600]


def test_the_hour_skipped_in_spring_never_was():
    times = seconds("2026-03-08 01:59", "2026-03-08 02:00", "2026-03-08 02:59", "2026-03-08 03:00")
    found, never = ToUtc("America/New_York", LoggerClock.LOCAL)(times)
    assert never.tolist() == [False, True, True, False]
    assert found[3] - found[0] == 60

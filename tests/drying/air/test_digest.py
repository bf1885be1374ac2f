"""A logger's readings reduced to what an assessment needs, held against the plain sums over every reading."""

from __future__ import annotations

from dataclasses import dataclass
from time import perf_counter

import numpy as np
import pytest

from kilnlog.drying.air.digest import (
    AirDigest,
    highest_dry_bulb_c,
    hotter_than,
    logger_digest,
    lowest_emc_pct,
    recent_mean,
    warm_and_damp,
    with_hand,
)
from kilnlog.drying.air.emc import emc_pct
from kilnlog.drying.air.moist_air import from_wet_bulb, pressure_pa
from kilnlog.drying.air.series import air_series
from kilnlog.drying.air.trace import AirSource
from kilnlog.drying.facts_at import Seen
from kilnlog.records.air_reading import AirReading
from kilnlog.records.moment import Moment
from kilnlog.records.words import SecondReading, TemperatureUnit
from kilnlog.reference.tables import load
from tests.builders import moment

BEGAN = moment("2024-03-01 08:00")
C, F = TemperatureUnit.CELSIUS, TemperatureUnit.FAHRENHEIT
SEA = pressure_pa(0)
WET, RH = SecondReading.WET_BULB, SecondReading.RH


@dataclass(frozen=True)
class Readings:
    """What the store hands out for one sensor."""

    sensor: str
    at_s: np.ndarray
    dry: np.ndarray
    second: np.ndarray
    temperature_unit: TemperatureUnit = C
    second_is: SecondReading | None = WET


def readings(hours, dry, second=None, *, sensor="middle", each_min=10, unit=C, second_is=WET):
    """Every ten minutes; dry and second are numbers, or functions of the hours since the first reading."""
    at_h = np.arange(0, hours, each_min / 60)
    told = [
        np.full(len(at_h), np.nan) if one is None else one(at_h) if callable(one) else np.full(len(at_h), one)
        for one in (dry, second)
    ]
    return Readings(sensor, BEGAN.utc.timestamp() + at_h * 3600, *told, unit, second_is)


def wavy(mean, swing=0.5):
    return lambda at_h: np.round(mean + swing * np.sin(at_h * 5), 1)


def digest(*series, at_h=1000.0):
    return logger_digest(series, BEGAN.plus_hours(at_h), SEA, load())


def trace(*series, at_h=1000.0):
    (one,) = digest(*series, at_h=at_h).traces
    return one


def test_the_latest_reading_is_the_logger_s_own_and_not_a_mean():
    one = trace(readings(3, lambda h: 50 + h, lambda h: 40 + h))
    assert one.latest.at == BEGAN.plus_hours(3 - 1 / 6)
    assert one.latest.dry_bulb_c == pytest.approx(53 - 1 / 6)
    expected = from_wet_bulb(53 - 1 / 6, 43 - 1 / 6, SEA)
    assert one.latest.rh_pct == pytest.approx(expected.rh_pct)
    assert one.latest.emc_pct == pytest.approx(emc_pct(53 - 1 / 6, expected.rh_pct))
    assert one.latest.humidity_ratio == pytest.approx(expected.humidity_ratio)


def test_nothing_read_later_counts():
    assert trace(readings(9, lambda h: 50 + h, 40.0), at_h=4).latest.dry_bulb_c == pytest.approx(54)
    assert digest(readings(9, 50.0, 40.0), at_h=-1).traces == ()


def test_each_hour_is_the_mean_of_its_readings_and_what_is_missing_is_no_nought():
    dry = np.array([50.0, np.nan, 52.0, 60.0, np.nan, np.nan])
    at_s = BEGAN.utc.timestamp() + np.array([0, 600, 1200, 3600, 4200, 7200])
    one = trace(Readings("a", at_s, dry, np.array([40.0, 41.0, np.nan, 50.0, 50.0, 45.0])))
    assert one.dry_c[:2] == pytest.approx([51, 60])
    assert np.isnan(one.dry_c[2])
    assert one.highest_dry_c[:2] == pytest.approx([52, 60])
    assert one.rh_pct[0] == pytest.approx(from_wet_bulb(51.0, 40.5, SEA).rh_pct, abs=0.01)
    assert np.isnan(one.rh_pct[2])
    # The last reading lacks its dry bulb: the last whole one is told.
    assert (one.latest.dry_bulb_c, one.latest.wet_bulb_c) == (60, 50)


def test_fahrenheit_and_humidity_are_taken_as_they_are_written():
    one = trace(readings(2, 110.0, 87.4, unit=F, second_is=RH))
    assert one.latest.dry_bulb_c == pytest.approx((110 - 32) * 5 / 9)
    assert one.latest.wet_bulb_c == pytest.approx((106 - 32) * 5 / 9, abs=0.05)
    assert np.isnan(one.depression_c).all()
    assert trace(readings(2, 110.0, 106.0, unit=F)).latest.rh_pct == pytest.approx(87.4, abs=0.1)


def test_a_dry_bulb_alone_tells_no_humidity():
    one = trace(readings(2, 50.0, None, second_is=None))
    assert (one.latest.dry_bulb_c, one.latest.rh_pct) == (50, None)
    assert recent_mean(one, 1) is None


def test_the_recent_mean_is_that_of_the_last_hours():
    one = trace(readings(10, lambda h: np.where(h < 6, 40.0, 60.0), lambda h: np.where(h < 6, 35.0, 45.0)))
    mean = recent_mean(one, 3)
    assert mean.dry_bulb_c == pytest.approx(60)
    assert mean.rh_pct == pytest.approx(from_wet_bulb(60.0, 45.0, SEA).rh_pct, abs=0.01)
    assert mean.entries == 4  # the clock hours that the last three reach into


def test_the_highest_dry_bulb_since_a_moment():
    one = trace(readings(10, lambda h: np.where(h == 2, 71.0, 40 + h), 35.0))
    assert highest_dry_bulb_c(one, BEGAN) == 71
    assert highest_dry_bulb_c(one, BEGAN.plus_hours(5)) == pytest.approx(50 - 1 / 6)
    assert highest_dry_bulb_c(one, BEGAN.plus_hours(50)) is None


def test_warm_and_damp_stretches_end_where_it_dries_or_nobody_saw():
    damp = lambda h: np.where((h >= 10) & (h < 15), 25.0, 29.0)  # noqa: E731  # one expression, used once
    whole = readings(40, 30.0, damp)
    found = list(warm_and_damp(trace(whole), 15, 40, 80))
    assert [round(span.hours) for span in found] == [10, 25]
    assert [span.reaches_latest for span in found] == [False, True]
    hole = ~((whole.at_s > whole.at_s[0] + 20 * 3600) & (whole.at_s < whole.at_s[0] + 30 * 3600))
    holed = Readings("middle", whole.at_s[hole], whole.dry[hole], whole.second[hole])
    assert [round(span.hours) for span in warm_and_damp(trace(holed), 15, 40, 80)] == [10, 5, 10]
    assert not list(warm_and_damp(trace(readings(40, 45.0, 44.0)), 15, 40, 80))


def test_hot_stretches_since_a_moment():
    one = trace(readings(20, lambda h: np.where((h >= 4) & (h < 8), 60.0, 50.0), 40.0))
    (span,) = hotter_than(one, 55, BEGAN)
    assert (span.begun_at, span.highest_dry_c) == (BEGAN.plus_hours(4), 60)
    assert not span.reaches_latest
    assert not list(hotter_than(one, 55, BEGAN.plus_hours(9)))


def test_the_lowest_emc_is_told_only_where_the_air_was_seen_throughout():
    one = trace(readings(20, 50.0, lambda h: np.where((h >= 4) & (h < 8), 35.0, 45.0)))
    dry, damp = (emc_pct(50.0, from_wet_bulb(50.0, wet, SEA).rh_pct) for wet in (35.0, 45.0))
    assert lowest_emc_pct(one, BEGAN, BEGAN.plus_hours(20)) == pytest.approx(dry, abs=0.01)
    assert lowest_emc_pct(one, BEGAN.plus_hours(9), BEGAN.plus_hours(20)) == pytest.approx(damp, abs=0.01)
    assert lowest_emc_pct(one, BEGAN, BEGAN.plus_hours(40)) is None
    assert lowest_emc_pct(one, BEGAN.plus_hours(-20), BEGAN.plus_hours(5)) is None


@pytest.mark.parametrize(("hours", "told"), [(5.9, 0), (6.3, 1)])
def test_a_wick_that_stays_the_same_while_the_dry_bulb_moves_is_frozen(hours, told):
    found = trace(readings(hours, wavy(50, swing=1), 40.0)).frozen
    assert len(found) == told
    if told:
        assert (found[0].figure, found[0].value, found[0].begun_at) == ("wet bulb", 40.0, BEGAN)


def test_steady_air_is_frozen_only_after_a_day_and_not_across_a_hole():
    assert trace(readings(20, 50.0, 40.0)).frozen == ()
    figures = [span.figure for span in trace(readings(30, 50.0, 40.0)).frozen]
    assert figures == ["dry bulb", "wet bulb"]
    whole = readings(30, 50.0, 40.0)
    kept = (whole.at_s < whole.at_s[0] + 10 * 3600) | (whole.at_s > whole.at_s[0] + 17 * 3600)
    assert trace(Readings("a", whole.at_s[kept], whole.dry[kept], whole.second[kept])).frozen == ()


def test_one_step_of_the_last_digit_is_no_movement():
    barely = lambda h: np.where(h % 2 < 1, 50.0, 50.1)  # noqa: E731  # one expression, used once
    assert trace(readings(12, barely, 40.0)).frozen == ()


def seen(at_h, **told):
    reading = AirReading("charge", **{"temperature_unit": C} | told)
    return Seen(f"air-{at_h}", BEGAN.plus_hours(at_h), reading)


def by_hand(*readings_by_hand, loggers=None):
    return with_hand(loggers, readings_by_hand, SEA, load())


def test_readings_by_hand_stand_beside_the_loggers():
    both = by_hand(seen(30, dry_bulb=50, depression=10), loggers=digest(readings(20, 45.0, 40.0)))
    assert [one.source for one in both.traces] == [AirSource.LOGGER, AirSource.HAND]
    assert both.latest(None).wet_bulb_c == pytest.approx(40)
    assert both.latest("middle").dry_bulb_c == 45
    assert both.latest("nowhere") is None


def test_readings_by_hand_a_day_apart_hang_together():
    daily = [seen(24 * day, dry_bulb=30, wet_bulb=29) for day in range(4)]
    (one,) = by_hand(*daily).traces
    assert [span.hours for span in warm_and_damp(one, 15, 40, 80)] == [72]
    (one,) = by_hand(*daily, seen(24 * 3 + 31, dry_bulb=30, wet_bulb=29)).traces
    assert [span.hours for span in warm_and_damp(one, 15, 40, 80)] == [72, 0]


def test_what_no_air_can_show_leaves_its_dry_bulb():
    (one,) = by_hand(seen(1, dry_bulb=60, wet_bulb=5)).traces
    assert (one.latest.dry_bulb_c, one.latest.rh_pct) == (60, None)


def test_a_humidity_beyond_what_the_relations_hold_for_tells_nothing():
    (one,) = by_hand(seen(1, dry_bulb=250, rh_pct=5)).traces
    assert np.isnan(one.emc_pct).all()
    assert one.latest.rh_pct is None
    assert np.isnan(trace(readings(2, 250.0, 5.0, second_is=RH)).rh_pct).all()


def test_any_two_figures_tell_the_air():
    whole = by_hand(seen(1, dry_bulb=60, wet_bulb=50)).traces[0].latest
    for told in (
        {"dry_bulb": 60, "depression": 10},
        {"dry_bulb": 60, "rh_pct": whole.rh_pct},
        {"wet_bulb": 50, "depression": 10},
        {"wet_bulb": 50, "rh_pct": whole.rh_pct},
        {"depression": 10, "rh_pct": whole.rh_pct},
    ):
        again = by_hand(seen(1, **told)).traces[0].latest
        assert again.dry_bulb_c == pytest.approx(60, abs=1e-6)
        assert again.emc_pct == pytest.approx(whole.emc_pct, abs=1e-6)
    alone = by_hand(seen(1, rh_pct=60, temperature_unit=None)).traces[0].latest
    assert (alone.dry_bulb_c, alone.rh_pct) == (None, None)


def test_the_entering_air_stands_for_the_kiln():
    into, out = (readings(20, 50.0, wet, sensor=name) for name, wet in (("in", 40.0), ("out", 44.0)))
    late = by_hand(seen(30, dry_bulb=48, rh_pct=50), loggers=digest(into, out))
    assert late.kiln_trace("in", "out", 30).sensor == "in"
    assert late.kiln_trace(None, "out", 30).sensor is None  # the latest of those that do not leave the load
    assert digest(out).kiln_trace("in", "out", 30).sensor == "out"
    assert AirDigest(()).kiln_trace("in", "out", 30) is None
    long_dead = by_hand(seen(51, dry_bulb=48, rh_pct=50), loggers=digest(into, out))
    assert long_dead.kiln_trace("in", "out", 30).sensor is None  # the entering one fell silent a day before
    dry_only = readings(20, 50.0, None, sensor="in", second_is=None)
    assert digest(dry_only, out).kiln_trace("in", "out", 30).sensor == "out"  # a dry bulb alone tells no EMC


def a_million() -> Readings:
    at_s = BEGAN.utc.timestamp() + np.arange(1_000_000) * 60.0
    hours = np.arange(1_000_000) / 60
    dry = np.round(50 + 5 * np.sin(hours / 7) + np.sin(hours * 11), 1)
    return Readings("middle", at_s, dry, np.round(dry - 8 + np.cos(hours * 5), 1))


def digest_ms(series: Readings, repeats: int = 7) -> float:
    """The least of several runs [ms]."""
    at = Moment(BEGAN.utc, BEGAN.zone).plus_hours(1_000_000 / 60)
    times = []
    for _ in range(repeats):
        began = perf_counter()
        logger_digest([series], at, SEA, load())
        times.append((perf_counter() - began) * 1000)
    return min(times)


def test_a_million_readings_take_about_as_long_as_their_humidity():
    """Against ``air_series``, itself held against psychrolib, over the same readings in the same run."""
    series = a_million()
    assert len(trace(series, at_h=1e6).dry_c) > 16_000
    humidity_ms, ours_ms = [], []
    for _ in range(8):  # by turns, so that a busy machine slows both
        began = perf_counter()
        air_series(series.dry, series.second, SEA)
        humidity_ms.append((perf_counter() - began) * 1000)
        ours_ms.append(digest_ms(series, repeats=1))
    assert min(ours_ms) < 5 * min(humidity_ms)


if __name__ == "__main__":
    print(f"a million readings: {digest_ms(a_million()):.0f} ms")


@pytest.mark.parametrize(("second", "second_is"), [(90.0, WET), (20.0, RH)])
def test_an_hour_too_hot_for_the_emc_equation_has_none(second, second_is):
    air = trace(
        readings(
            3,
            lambda at_h: np.where(at_h < 1, 60.0, 140.0),
            second if second_is is RH else (lambda at_h: np.where(at_h < 1, 50.0, second)),
            second_is=second_is,
        )
    )
    assert np.isnan(air.emc_pct).tolist() == [False, True, True]
    assert np.isfinite(air.rh_pct).all()
    assert air.latest.emc_pct is None

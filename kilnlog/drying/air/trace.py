"""What one sensor showed, thinned to what the checks need: an entry an hour, or one for each reading by hand.

The thinning is what makes a million readings cheap: from here on there are thousands at most.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import UTC, datetime
from enum import StrEnum
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from kilnlog.drying.air.emc import known_emcs_pct
from kilnlog.drying.air.moist_air import COLDEST_C, HOTTEST_C
from kilnlog.drying.air.reading import AirPoint, PlainTerms, point_of
from kilnlog.drying.air.series import air_series
from kilnlog.drying.facts_at import Seen
from kilnlog.records.air_reading import AirReading
from kilnlog.records.moment import Moment
from kilnlog.records.temperature import celsius, difference_c
from kilnlog.records.words import SecondReading, TemperatureUnit

Reals = NDArray[np.float64]

_HOUR_S = 3600.0
_LAST = 500  # readings


class AirSource(StrEnum):
    """Who read the air."""

    HAND = "read by hand"
    LOGGER = "logger"


class Series(Protocol):
    """A logger's readings of one sensor, rising in time; NaN where it wrote nothing."""

    @property
    def sensor(self) -> str:
        """Its name."""
        ...

    @property
    def at_s(self) -> Reals:
        """When [s since 1970-01-01 00:00 UTC]."""
        ...

    @property
    def dry(self) -> Reals:
        """Dry bulb [temperature_unit]."""
        ...

    @property
    def second(self) -> Reals:
        """Wet bulb [temperature_unit] or RH [%], as ``second_is`` says."""
        ...

    @property
    def temperature_unit(self) -> TemperatureUnit:
        """Of the dry bulb and the wet one."""
        ...

    @property
    def second_is(self) -> SecondReading | None:
        """None where nothing was measured beside the dry bulb."""
        ...


@dataclass(frozen=True, slots=True)
class FrozenSpan:
    """A figure that stayed the same to its last digit."""

    figure: str  # "dry bulb", "wet bulb", "rh"
    value: float  # as the logger wrote it
    begun_at: Moment
    until: Moment
    readings: int


@dataclass(frozen=True)
class Trace:
    """One sensor by one source, rising in time. Arrays run alongside; NaN what is not known.

    Attributes:
        sensor: Its name; None where readings by hand named none.
        source: Who read it.
        from_s: When each entry begins [s since 1970-01-01 00:00 UTC]: its first reading.
        until_s: Its last reading.
        dry_c: Mean dry bulb [C].
        highest_dry_c: Highest dry bulb [C].
        depression_c: Depression of the means [C degrees], where a wet bulb was read.
        rh_pct: RH of the mean readings [%].
        emc_pct: EMC of the mean readings [%].
        latest: The last reading, itself: the last whole one where the sensor told one lately.
        frozen: Figures that stayed the same for long, oldest first.
        hole_h: Entries further apart than this [h] do not hang together.
    """

    sensor: str | None
    source: AirSource
    from_s: Reals
    until_s: Reals
    dry_c: Reals
    highest_dry_c: Reals
    depression_c: Reals
    rh_pct: Reals
    emc_pct: Reals
    latest: AirPoint
    frozen: tuple[FrozenSpan, ...]
    hole_h: float

    def runs(self, holds: NDArray[np.bool_]) -> Iterator[tuple[int, int]]:
        """First and last entry of every unbroken run for which something holds; a hole breaks a run."""
        at = np.flatnonzero(holds)
        if not len(at):
            return
        apart = (np.diff(at) > 1) | (self.from_s[at[1:]] - self.until_s[at[:-1]] > self.hole_h * _HOUR_S)
        ends = np.flatnonzero(apart)
        yield from zip(
            at[np.concatenate(([0], ends + 1))].tolist(),
            at[np.concatenate((ends, [len(at) - 1]))].tolist(),
            strict=True,
        )

    def moment(self, at_s: float) -> Moment:
        """A time of the trace."""
        return _moment(at_s, self.latest.at.zone)


@dataclass(frozen=True, slots=True)
class FrozenLimits:
    """When a figure that stays the same is told (practice limits of the same names)."""

    frozen_h: float  # while the other figure moved
    frozen_alone_h: float  # whatever the other did
    other_moved_c: float
    other_moved_rh: float


def hand_traces(readings: Iterable[Seen[AirReading]], pressure_pa: float, hole_h: float) -> Iterator[Trace]:
    """A trace for each sensor read by hand; readings are in order of time."""
    by_sensor: dict[str | None, list[Seen[AirReading]]] = {}
    for seen in readings:
        by_sensor.setdefault(seen.fact.sensor, []).append(seen)
    for sensor, found in by_sensor.items():
        at_s = np.array([seen.at.utc.timestamp() for seen in found])
        dry_c, wet_c, read_rh_pct = np.array([_terms_c(seen, pressure_pa) for seen in found]).T
        by_wick = air_series(dry_c, wet_c, pressure_pa).rh_pct.astype(np.float64)
        rh_pct, emc = by_hygrometer(dry_c, np.where(np.isnan(read_rh_pct), by_wick, read_rh_pct))
        yield Trace(
            sensor=sensor,
            source=AirSource.HAND,
            from_s=at_s,
            until_s=at_s,
            dry_c=dry_c,
            highest_dry_c=dry_c,
            depression_c=dry_c - wet_c,
            rh_pct=rh_pct,
            emc_pct=emc,
            latest=point_of(found[-1].fact, found[-1].at, pressure_pa),
            frozen=(),  # a few figures a day that are alike say nothing
            hole_h=hole_h,
        )


def _terms_c(seen: Seen[AirReading], pressure_pa: float) -> tuple[float, float, float]:
    """Dry and wet bulb [C] and RH [%] as read, NaN what was not: plain sums, as a charge has hundreds."""
    fact, nan = seen.fact, float("nan")
    unit = fact.temperature_unit or TemperatureUnit.CELSIUS
    dry_c = nan if fact.dry_bulb is None else celsius(fact.dry_bulb, unit)
    wet_c = nan if fact.wet_bulb is None else celsius(fact.wet_bulb, unit)
    if fact.depression is not None:
        apart_c = difference_c(fact.depression, unit)
        if fact.dry_bulb is None and fact.wet_bulb is not None:
            dry_c = wet_c + apart_c
        elif fact.wet_bulb is None:
            wet_c = dry_c - apart_c
    if fact.rh_pct is None or not 0 <= fact.rh_pct <= 100:
        return dry_c, wet_c, nan
    if fact.dry_bulb is None:  # rare: the humidity and the wick or its depression, from which the dry bulb
        return (point_of(fact, seen.at, pressure_pa).dry_bulb_c or nan), nan, fact.rh_pct
    return dry_c, wet_c, fact.rh_pct if fact.wet_bulb is None and fact.depression is None else nan


def logger_trace(
    series: Series, at: Moment, pressure_pa: float, hole_h: float, limits: FrozenLimits
) -> Trace | None:
    """What a logger showed until ``at``; None where that is nothing."""
    until = int(np.searchsorted(series.at_s, at.utc.timestamp(), side="right"))
    if until == 0:
        return None
    at_s, dry, second = series.at_s[:until], series.dry[:until], series.second[:until]
    hours = np.floor(at_s / _HOUR_S)
    starts = np.concatenate(([0], np.flatnonzero(hours[1:] != hours[:-1]) + 1))
    ends = np.concatenate((starts[1:], [until])) - 1
    unit, is_wick = series.temperature_unit, series.second_is is SecondReading.WET_BULB
    dry_c = celsius(_means(dry, starts, ends), unit)
    second_mean = _means(second, starts, ends)
    second_mean_c = celsius(second_mean, unit) if is_wick else np.full(len(dry_c), np.nan)
    rh_pct, emc = _humidity(dry_c, second_mean, unit, series.second_is, pressure_pa)
    return Trace(
        sensor=series.sensor,
        source=AirSource.LOGGER,
        from_s=at_s[starts],
        until_s=at_s[ends],
        dry_c=dry_c,
        highest_dry_c=celsius(np.fmax.reduceat(dry, starts), unit),
        depression_c=dry_c - second_mean_c,
        rh_pct=rh_pct,
        emc_pct=emc,
        latest=_latest(at_s, dry, second, series, at.zone, pressure_pa, hole_h),
        frozen=tuple(_frozen(at_s, dry, second, series, at.zone, hole_h, limits)),
        hole_h=hole_h,
    )


@dataclass(frozen=True, slots=True)
class _Part:
    """Some of a series."""

    sensor: str
    at_s: Reals
    dry: Reals
    second: Reals
    temperature_unit: TemperatureUnit
    second_is: SecondReading | None


def last_readings(series: Series, at: Moment) -> Series:
    """The last few readings until ``at``: enough to tell the latest whole one, past some half written."""
    until = int(np.searchsorted(series.at_s, at.utc.timestamp(), side="right"))
    part = slice(max(0, until - _LAST), until)
    return _Part(
        series.sensor,
        series.at_s[part],
        series.dry[part],
        series.second[part],
        series.temperature_unit,
        series.second_is,
    )


def _means(values: Reals, starts: NDArray[np.int64], ends: NDArray[np.int64]) -> Reals:
    """Means of what was written from each start to its end; NaN where nothing was."""
    missing = np.isnan(values)
    if not missing.any():
        return np.asarray(np.add.reduceat(values, starts) / (ends - starts + 1))
    count = np.add.reduceat((~missing).astype(np.float64), starts)
    total = np.add.reduceat(np.where(missing, 0.0, values), starts)
    means: Reals = np.full(len(starts), np.nan)
    np.divide(total, count, out=means, where=count > 0)
    return means


def _humidity(
    dry_c: Reals, second: Reals, unit: TemperatureUnit, second_is: SecondReading | None, pressure_pa: float
) -> tuple[Reals, Reals]:
    if second_is is SecondReading.WET_BULB:
        air = air_series(dry_c, celsius(second, unit), pressure_pa)
        return air.rh_pct.astype(np.float64), air.emc_pct.astype(np.float64)
    return by_hygrometer(dry_c, second)


def by_hygrometer(dry_c: Reals, rh_pct: Reals) -> tuple[Reals, Reals]:
    """RH and EMC, NaN at temperatures that the relations do not hold for."""
    told = np.where((dry_c >= COLDEST_C) & (dry_c <= HOTTEST_C), rh_pct, np.nan)
    return told, known_emcs_pct(dry_c, told)


def _latest(
    at_s: Reals, dry: Reals, second: Reals, series: Series, zone: str, pressure_pa: float, hole_h: float
) -> AirPoint:
    """The last reading that says all the logger says, if it hangs together with the last of all; else that.

    A wick that broke off must not make the dry bulb of now pass for one of days ago.
    """
    told = np.isnan(dry) if series.second_is is None else np.isnan(dry) | np.isnan(second)
    last = len(at_s) - 1
    if told[last]:
        whole = np.flatnonzero(~told & (at_s >= at_s[last] - hole_h * _HOUR_S))
        last = int(whole[-1]) if len(whole) else last
    dry_bulb, beside = (None if np.isnan(one[last]) else float(one[last]) for one in (dry, second))
    is_wick = series.second_is is SecondReading.WET_BULB
    wet, rh_pct = (beside, None) if is_wick else (None, beside)
    terms = PlainTerms(dry_bulb, wet, None, rh_pct, series.temperature_unit)
    return point_of(terms, _moment(float(at_s[last]), zone), pressure_pa)


def _frozen(
    at_s: Reals, dry: Reals, second: Reals, series: Series, zone: str, hole_h: float, limits: FrozenLimits
) -> Iterator[FrozenSpan]:
    moved_t = limits.other_moved_c * (1.8 if series.temperature_unit is TemperatureUnit.FAHRENHEIT else 1.0)
    is_wick = series.second_is is SecondReading.WET_BULB
    pairs = [("dry bulb", dry, second, moved_t if is_wick else limits.other_moved_rh)]
    if series.second_is is not None:
        pairs.append((series.second_is.value, second, dry, moved_t))
    found = []
    for figure, values, other, moved in pairs:
        for first, last in _same(at_s, values, hole_h, limits.frozen_h):
            lasted_h = (at_s[last] - at_s[first]) / _HOUR_S
            beside = other[first : last + 1]
            beside = beside[~np.isnan(beside)]
            if lasted_h < limits.frozen_alone_h and (not len(beside) or np.ptp(beside) < moved):
                continue
            begun_at, until = _moment(float(at_s[first]), zone), _moment(float(at_s[last]), zone)
            found.append(FrozenSpan(figure, float(values[first]), begun_at, until, last - first + 1))
    yield from sorted(found, key=lambda span: span.until)


def _same(at_s: Reals, values: Reals, hole_h: float, least_h: float) -> Iterator[tuple[int, int]]:
    """First and last reading of every stretch that keeps one value at least so long; a hole ends it."""
    if len(values) < 2:
        return
    changes = np.flatnonzero((values[1:] != values[:-1]) | (np.diff(at_s) > hole_h * _HOUR_S)) + 1
    starts = np.concatenate(([0], changes))
    ends = np.concatenate((changes, [len(values)])) - 1
    for number in np.flatnonzero(at_s[ends] - at_s[starts] >= least_h * _HOUR_S):
        yield int(starts[number]), int(ends[number])


def _moment(at_s: float, zone: str) -> Moment:
    return Moment(datetime.fromtimestamp(at_s, UTC), zone)

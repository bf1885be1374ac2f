"""What a kiln's sensors showed, reading by reading, laid out to be drawn: broken where they fell silent."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from kilnlog.drying.air.reading import AirPoint
from kilnlog.drying.air.series import air_series
from kilnlog.drying.air.trace import Series, by_hygrometer
from kilnlog.records.temperature import celsius
from kilnlog.records.words import SecondReading

Reals = NDArray[np.float64]

#: A logger silent for longer than so many of its usual intervals left a hole.
HOLE_INTERVALS = 2.0
#: So many steps on either side say what is usual there, as where a file is read.
AROUND = 4


@dataclass(frozen=True)
class Hole:
    """A stretch without a reading [s since 1970-01-01 00:00 UTC], between two that were."""

    from_s: float
    until_s: float

    @property
    def hours(self) -> float:
        """How long [h]."""
        return (self.until_s - self.from_s) / 3600


@dataclass(frozen=True)
class AirLine:
    """The readings of one sensor, rising in time. Arrays run alongside; NaN what is not known.

    Inside every hole stands one entry of NaN, so that a line drawn through finite values is broken there.

    Attributes:
        sensor: Its name; None where readings by hand named none.
        at_s: When [s since 1970-01-01 00:00 UTC].
        dry_c: Dry bulb [C].
        wet_c: Wet bulb [C], where one was read.
        rh_pct: RH [%].
        emc_pct: EMC [%].
        holes: Where the sensor was silent.
        has_wick: A wet bulb was read; else a humidity, or nothing beside the dry bulb.
    """

    sensor: str | None
    at_s: Reals
    dry_c: Reals
    wet_c: Reals
    rh_pct: Reals
    emc_pct: Reals
    holes: tuple[Hole, ...]
    has_wick: bool

    def nearest(self, at_s: float, within_h: float) -> int | None:
        """The entry read nearest to an instant; None where none was read within so many hours of it."""
        if not len(self.at_s):
            return None
        after = int(np.searchsorted(self.at_s, at_s))
        beside = [number for number in range(after - 2, after + 2) if 0 <= number < len(self.at_s)]
        read = [number for number in beside if not np.isnan(self.dry_c[number])]
        read = [number for number in read if abs(self.at_s[number] - at_s) <= within_h * 3600]
        return min(read, key=lambda number: abs(float(self.at_s[number]) - at_s), default=None)


def logger_lines(series: Iterable[Series], pressure_pa: float) -> tuple[AirLine, ...]:
    """A line for each sensor that loggers read, at a barometric pressure [Pa].

    A sensor that was read in two units, or with two kinds of second figure, is one line.
    """
    by_sensor: dict[str, list[Series]] = {}
    for one in series:
        by_sensor.setdefault(one.sensor, []).append(one)
    return tuple(_joined(sensor, parts, pressure_pa) for sensor, parts in by_sensor.items())


def hand_line(sensor: str | None, points: Sequence[AirPoint], hole_h: float) -> AirLine:
    """A line of readings by hand, in order of time; further apart than ``hole_h`` [h] they are not joined."""
    at_s = np.array([point.at.utc.timestamp() for point in points], dtype=np.float64)
    columns = [
        _array([getattr(point, name) for point in points])
        for name in ("dry_bulb_c", "wet_bulb_c", "rh_pct", "emc_pct")
    ]
    breaks = np.flatnonzero(np.diff(at_s) > hole_h * 3600) if len(at_s) > 1 else np.array([], dtype=np.intp)
    at_s, columns = _broken(at_s, columns, breaks)
    dry_c, wet_c, rh_pct, emc = columns
    return AirLine(sensor, at_s, dry_c, wet_c, rh_pct, emc, (), bool(np.isfinite(wet_c).any()))


def _joined(sensor: str, parts: list[Series], pressure_pa: float) -> AirLine:
    told = [_celsius_and_air(part, pressure_pa) for part in parts]
    at_s = np.concatenate([part.at_s for part in parts])
    columns = [np.concatenate([one[number] for one in told]) for number in range(4)]
    if len(parts) > 1:
        order = np.argsort(at_s, kind="stable")
        at_s, columns = at_s[order], [column[order] for column in columns]
    breaks = silent_after(at_s)
    holes = tuple(Hole(float(at_s[one]), float(at_s[one + 1])) for one in breaks)
    at_s, columns = _broken(at_s, columns, breaks)
    has_wick = any(part.second_is is SecondReading.WET_BULB for part in parts)
    dry_c, wet_c, rh_pct, emc = columns
    return AirLine(sensor, at_s, dry_c, wet_c, rh_pct, emc, holes, has_wick)


def _celsius_and_air(part: Series, pressure_pa: float) -> tuple[Reals, Reals, Reals, Reals]:
    dry_c = np.asarray(celsius(part.dry, part.temperature_unit), dtype=np.float64)
    unknown = np.full(len(dry_c), np.nan)
    if part.second_is is SecondReading.WET_BULB:
        wet_c = np.asarray(celsius(part.second, part.temperature_unit), dtype=np.float64)
        air = air_series(dry_c, wet_c, pressure_pa)
        return dry_c, wet_c, air.rh_pct.astype(np.float64), air.emc_pct.astype(np.float64)
    if part.second_is is SecondReading.RH:
        return dry_c, unknown, *by_hygrometer(dry_c, part.second)
    return dry_c, unknown, unknown, unknown


def silent_after(at_s: Reals) -> NDArray[np.intp]:
    """The entries after which the sensor was silent, by how often it was read around them.

    A logger that was set to another pace half-way was silent at neither.
    """
    if len(at_s) < 3:
        return np.array([], dtype=np.intp)
    apart = np.diff(at_s)
    long = np.flatnonzero(apart > HOLE_INTERVALS * apart.min())  # no shorter step is a hole anywhere
    usual = np.fmax(_usual(apart, long, -1), _usual(apart, long, 1))
    return long[apart[long] > HOLE_INTERVALS * usual]


def _usual(apart: Reals, at: NDArray[np.intp], side: int) -> Reals:
    """The lower median of the steps on one side of each; NaN where there are none."""
    beside = at[:, None] + side * np.arange(1, AROUND + 1)
    there = (beside >= 0) & (beside < len(apart))
    lengths = np.sort(np.where(there, apart[beside.clip(0, len(apart) - 1)], np.nan), axis=1)
    middle = (there.sum(axis=1) - 1) // 2
    median: Reals = lengths[np.arange(len(at)), middle]
    return median


def _broken(at_s: Reals, columns: list[Reals], breaks: NDArray[np.intp]) -> tuple[Reals, list[Reals]]:
    if not len(breaks):
        return at_s, columns
    middle = (at_s[breaks] + at_s[breaks + 1]) / 2
    return (
        np.insert(at_s, breaks + 1, middle),
        [np.insert(column, breaks + 1, np.nan) for column in columns],
    )


def _array(values: Sequence[float | None]) -> Reals:
    return np.array([np.nan if value is None else value for value in values], dtype=np.float64)

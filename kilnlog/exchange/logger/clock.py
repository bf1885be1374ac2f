"""What a logger's clock showed, as UTC: each hour of the year, the one shown twice and the one skipped."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from kilnlog.records.moment import zone_named
from kilnlog.records.words import LoggerClock

Whole = NDArray[np.int64]
Flags = NDArray[np.bool_]

_DAY_S = 86400


@dataclass(frozen=True, slots=True)
class Change:
    """The clocks of a zone are put forward or back."""

    at_s: int  # [s since 1970-01-01 00:00 UTC]
    before_s: int  # offset from UTC until then [s]
    after_s: int  # and from then on


def offset_s(zone: str, at_s: int) -> int:
    """How far the clocks of ``zone`` stand before UTC at an instant [s]."""
    offset = datetime.fromtimestamp(at_s, UTC).astimezone(zone_named(zone)).utcoffset()
    return int((offset or timedelta()).total_seconds())


@lru_cache(maxsize=256)
def changes_in(zone: str, year: int) -> tuple[Change, ...]:
    """The changes of the clocks of ``zone`` in a year of UTC, in order."""
    begin = int(datetime(year, 1, 1, tzinfo=UTC).timestamp())
    found = []
    for start in range(begin, begin + 367 * _DAY_S, _DAY_S):
        before, after = offset_s(zone, start), offset_s(zone, start + _DAY_S)
        if before == after:
            continue
        low, high = start, start + _DAY_S
        while high - low > 1:
            middle = (low + high) // 2
            low, high = (middle, high) if offset_s(zone, middle) == before else (low, middle)
        if datetime.fromtimestamp(high, UTC).year == year:
            found.append(Change(high, before, after))
    return tuple(found)


@lru_cache(maxsize=256)
def standard_offset_s(zone: str, year: int) -> int:
    """The offset of local standard time in a year [s]: the smallest the clocks show, daylight saving off.

    Zones are recorded in which winter is the exception by law (Ireland); a logger's "standard time" means
    the winter's there as well.
    """
    shown = [offset_s(zone, int(datetime(year, 1, 1, tzinfo=UTC).timestamp()))]
    shown += [change.after_s for change in changes_in(zone, year)]
    return min(shown)


class ToUtc:
    """Turns stamps, in the order of the file, into UTC; keeps in mind where the last piece ended.

    By a local clock, a time the clock showed twice is the earlier until the stamps go back; one that was
    skipped never was, and is flagged.

    Args:
        zone: IANA name.
        clock: What the stamps show.
        interval_s: Usual time between readings: where it is shorter than the hour shown twice, the same
            stamp directly again is the same reading twice, not the hour's second turn.
        last_s: The instant of the reading before the first, where the file is read on from there.
    """

    def __init__(
        self, zone: str, clock: LoggerClock, interval_s: int | None = None, last_s: int | None = None
    ) -> None:
        self._zone, self._clock, self._interval_s = zone, clock, interval_s
        self.last_s = last_s

    def __call__(self, shown: Whole) -> tuple[Whole, Flags]:
        """UTC [s] of each stamp, and which of them the clock never showed."""
        never = np.zeros(len(shown), dtype=bool)
        if not len(shown):
            return shown, never
        match self._clock:
            case LoggerClock.UTC:
                at_s = shown
            case LoggerClock.STANDARD:
                at_s = self._by_standard(shown)
            case LoggerClock.LOCAL:
                at_s = self._by_local(shown, never)
        self.last_s = int(at_s[-1])
        return at_s, never

    def _by_standard(self, shown: Whole) -> Whole:
        at_s = shown.copy()
        for year in _years(shown):
            begin, end = (int(datetime(each, 1, 1, tzinfo=UTC).timestamp()) for each in (year, year + 1))
            within = (shown >= begin) & (shown < end)
            at_s[within] -= standard_offset_s(self._zone, year)
        return at_s

    def _by_local(self, shown: Whole, never: Flags) -> Whole:
        low, high = int(shown.min()), int(shown.max())
        at_s: Whole = shown - offset_s(self._zone, low - 2 * _DAY_S)
        twice: list[tuple[Flags, Change]] = []
        for change in self._changes(low - 2 * _DAY_S, high + 2 * _DAY_S):
            before, after = change.at_s + change.before_s, change.at_s + change.after_s
            since = shown >= max(before, after)
            at_s[since] = shown[since] - change.after_s
            if after < before:
                twice.append(((shown >= after) & (shown < before), change))
            else:
                never |= (shown >= before) & (shown < after)
        for within, change in twice:
            self._put_in_order(at_s, shown, np.flatnonzero(within).tolist(), change)
        return at_s

    def _put_in_order(self, at_s: Whole, shown: Whole, within: list[int], change: Change) -> None:
        """Of two turns of a time, the first, unless that does not come after the reading before."""
        again_s = change.before_s - change.after_s
        is_dense = self._interval_s is not None and self._interval_s < again_s
        for index in within:
            earlier = int(shown[index]) - change.before_s
            last_s = int(at_s[index - 1]) if index else self.last_s
            is_same = last_s == earlier and is_dense
            came_before = last_s is None or earlier > last_s or is_same
            at_s[index] = earlier if came_before else earlier + again_s

    def _changes(self, low_s: int, high_s: int) -> Iterator[Change]:
        years = range(datetime.fromtimestamp(low_s, UTC).year, datetime.fromtimestamp(high_s, UTC).year + 1)
        for year in years:
            for change in changes_in(self._zone, year):
                if low_s <= change.at_s <= high_s:
                    yield change


def _years(shown: Whole) -> range:
    first, last = (datetime.fromtimestamp(int(each), UTC).year for each in (shown.min(), shown.max()))
    return range(first, last + 1)

"""What the logbook has of a sensor already, to lay a file's readings beside."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from kilnlog.exchange.logger.chunk import Chunk, Flags
from kilnlog.exchange.logger.figures import Reals, values_of
from kilnlog.records.words import SecondReading, TemperatureUnit

if TYPE_CHECKING:
    from kilnlog.store.logger_readings import LoggerSeries

#: One reading told in °C and in °F, each to a tenth, differs by no more than this in either.
_CONVERTED = 0.12
_EQUAL = 1e-9


@dataclass(frozen=True)
class KnownReadings:
    """One sensor's readings, rising in time, in the unit of the file that is compared.

    Attributes:
        at_s: When [s since 1970-01-01 00:00 UTC].
        dry, second: What it read; NaN where nothing.
        off_by: How far a reading may be off and still be the same.
        has_second: Whether the second reading is of the file's kind, so that it can be compared.
    """

    at_s: Reals
    dry: Reals
    second: Reals
    off_by: Reals
    has_second: Flags

    @classmethod
    def of(
        cls, series: Sequence[LoggerSeries], unit: TemperatureUnit, second_is: SecondReading | None
    ) -> KnownReadings:
        """The readings of these series, to be compared with a file of that unit and kind."""
        parts = [_part(one, unit, second_is) for one in series]
        if not parts:
            none = np.empty(0)
            return cls(none, none, none, none, np.empty(0, dtype=bool))
        columns = [np.concatenate(column) for column in zip(*parts, strict=True)]
        if len(parts) > 1:
            _, first = np.unique(columns[0], return_index=True)
            columns = [column[first] for column in columns]
        at_s, dry, second, off_by, has_second = columns
        return cls(at_s, dry, second, off_by, has_second.astype(bool))

    def beside(self, chunk: Chunk) -> tuple[Flags, Flags]:
        """Which readings have one at the same instant here; which of those read the same."""
        if not len(self.at_s) or not len(chunk.at_s):
            none = np.zeros(len(chunk.at_s), dtype=bool)
            return none, none
        at = self.at_s.searchsorted(chunk.at_s).clip(max=len(self.at_s) - 1)
        there = self.at_s[at] == chunk.at_s
        if not there.any():
            return there, there
        same = _same(self.dry[at], values_of(chunk.dry), self.off_by[at])
        same &= _same(self.second[at], values_of(chunk.second), self.off_by[at]) | ~self.has_second[at]
        return there, there & same


def _part(one: LoggerSeries, unit: TemperatureUnit, second_is: SecondReading | None) -> tuple[Reals, ...]:
    dry, second, off_by = one.dry, one.second, _EQUAL
    if one.temperature_unit is not unit:
        off_by, dry = _CONVERTED, _in(unit, dry)
        second = _in(unit, second) if second_is is SecondReading.WET_BULB else second
    length = len(one.at_s)
    comparable = np.full(length, float(one.second_is is second_is))
    return one.at_s, dry, second, np.full(length, off_by), comparable


def _in(unit: TemperatureUnit, degrees: Reals) -> Reals:
    """Degrees of the other unit in this one."""
    return (degrees - 32) / 1.8 if unit is TemperatureUnit.CELSIUS else degrees * 1.8 + 32


def _same(one: Reals, other: Reals, off_by: Reals) -> Flags:
    same: Flags = (np.abs(one - other) <= off_by) | (np.isnan(one) & np.isnan(other))
    return same

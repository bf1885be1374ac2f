"""The stamps of a logger's rows as seconds by its own clock; texts of days and times are read once each."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from datetime import date

import numpy as np
from numpy.typing import NDArray

from kilnlog.exchange.logger.format import DateOrder, LoggerFormat

Whole = NDArray[np.int64]

#: Stands for a stamp that is none.
NO_STAMP = -(10**15)
_BAD = NO_STAMP * 4  # so that it stays below any sum of a day and a time

_EPOCH = date(1970, 1, 1).toordinal()
_YEARS = range(1970, 2200)  # a clock that was never set begins at 1970 or 2000
_MOST_KEPT = 200_000  # texts of times; a logger that writes fractions makes new ones all the time

_NUMBERS = re.compile(r"(\d{1,4})([-/. ])\s?(\d{1,2})\2\s?(\d{1,4})\.?", re.ASCII)
_COMPACT = re.compile(r"(\d{4})(\d{2})(\d{2})", re.ASCII)
_NAMED = re.compile(r"(?:[^\W\d]+,?\s+)?(\d{1,2})[-/. ]+([^\W\d]{3,})[-/., ]+(\d{2,4})")
_NAMED_FIRST = re.compile(r"(?:[^\W\d]+,?\s+)?([^\W\d]{3,})[-/. ]+(\d{1,2}),?[-/ ]+(\d{2,4})")
_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
_TIME = re.compile(
    r"(\d{1,2}):(\d{2})(?::(\d{2})(?:[.,]\d+)?)?\s*([AaPp])?(?(4)\.?[Mm]\.?)\s*"
    r"(?P<offset>Z|z|UTC|GMT|[+-]\d{2}:?\d{2})?",
    re.ASCII,
)
_STAMP = re.compile(r"(?P<day>.*?\d)(?:\s*[T,;]\s*|\s+)(?P<time>\d{1,2}:\d{2}.*)", re.ASCII)


def split_stamp(text: str) -> tuple[str, str] | None:
    """Day and time of a cell that holds both; None where it does not."""
    match = _STAMP.fullmatch(text.strip())
    return None if match is None else (match["day"], match["time"])


def day_numbers(text: str) -> tuple[int, int, int] | None:
    """The three numbers of a date in figures, as they stand; None where it is no such date."""
    text = text.strip()
    if match := _NUMBERS.fullmatch(text):
        return int(match[1]), int(match[3]), int(match[4])
    if match := _COMPACT.fullmatch(text):
        return int(match[1]), int(match[2]), int(match[3])
    return None


def day_of(text: str, order: DateOrder) -> date | None:
    """A date as a logger writes it; None where it is none. A month written out needs no order."""
    text = text.strip()
    if numbers := day_numbers(text):
        first, second, third = numbers
        match order:
            case DateOrder.YEAR_FIRST:
                return _date(first, second, third)
            case DateOrder.DAY_FIRST:
                return _date(third, second, first)
            case DateOrder.MONTH_FIRST:
                return _date(third, first, second)
    if match := _NAMED.fullmatch(text):
        return _date(int(match[3]), _month(match[2]), int(match[1]))
    if match := _NAMED_FIRST.fullmatch(text):
        return _date(int(match[3]), _month(match[1]), int(match[2]))
    return None


def _month(word: str) -> int:
    word = word[:3].lower()
    return _MONTHS.index(word) + 1 if word in _MONTHS else 0


def _date(year: int, month: int, day: int) -> date | None:
    year += 2000 if year < 100 else 0
    if year not in _YEARS:
        return None
    try:
        return date(year, month, day)
    except ValueError:
        return None


def time_of(text: str) -> tuple[int, int | None] | None:
    """Seconds of the day, and the offset from UTC [s] where one is written; None where it is no time."""
    match = _TIME.fullmatch(text.strip())
    if match is None:
        return None
    hour, minute, second = int(match[1]), int(match[2]), int(match[3] or 0)
    if match[4]:
        if not 1 <= hour <= 12:
            return None
        hour = hour % 12 + (12 if match[4] in "Pp" else 0)
    if hour > 23 or minute > 59 or second > 59:
        return None
    return hour * 3600 + minute * 60 + second, _offset_s(match["offset"])


def _offset_s(text: str | None) -> int | None:
    if text is None:
        return None
    if text[0] not in "+-":
        return 0
    seconds = int(text[1:3]) * 3600 + int(text[-2:]) * 60
    return -seconds if text[0] == "-" else seconds


class _Known(dict[str, int]):
    """Texts and what they mean, worked out when first met; emptied where they never come again."""

    def __init__(self, read: Callable[[str], int]) -> None:
        super().__init__()
        self._read = read

    def __missing__(self, text: str) -> int:
        if len(self) >= _MOST_KEPT:
            self.clear()
        value = self[text] = self._read(text)
        return value


class Stamps:
    """Reads the stamps of one file, as its format says."""

    def __init__(self, form: LoggerFormat) -> None:
        self._form = form
        self._days = _Known(self._day_s)
        self._times = _Known(self._time_s)

    def _day_s(self, text: str) -> int:
        day = day_of(text, self._form.date_order)
        return _BAD if day is None else (day.toordinal() - _EPOCH) * 86400

    def _time_s(self, text: str) -> int:
        found = time_of(text)
        if found is None:
            return _BAD
        seconds, offset_s = found
        if not self._form.has_offset:
            return seconds
        return _BAD if offset_s is None else seconds - offset_s  # which clock that one shows, nobody knows

    def read(self, stamps: Sequence[str], times: Sequence[str] | None) -> Whole:
        """Seconds since 1970 by the clock of the stamps; below ``NO_STAMP`` where one is none.

        Args:
            stamps: Date and time, or the date alone.
            times: The times, where they stand in a column of their own.
        """
        days, clock = self._days, self._times
        if times is not None:
            told = [days[day] + clock[time] for day, time in zip(stamps, times, strict=True)]
            return np.array(told, dtype=np.int64)
        mark = "T" if stamps and stamps[0][10:11] == "T" else " "
        halves = [text.partition(mark) for text in stamps]
        found: Whole = np.array([days[day] + clock[time] for day, _, time in halves], dtype=np.int64)
        for index in np.flatnonzero(found <= NO_STAMP).tolist():
            if parted := split_stamp(stamps[index]):  # a date with blanks in it, or blanks around it
                found[index] = days[parted[0]] + clock[parted[1]]
        return found

"""Days on paper: where they stand and which of them are named, on the clock of the charge."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta, tzinfo
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from kilnlog.exchange.papers.options import PaperOptions
from kilnlog.exchange.papers.page import EDGE, INK2, SMALL, Paper
from kilnlog.exchange.papers.words import moment_of, short_day

_STEPS_DAYS = (1, 2, 7, 14, 28, 56, 112, 224)


@dataclass(frozen=True)
class TimeAxis:
    """From the first moment to the last, by true elapsed time."""

    first: datetime
    last: datetime
    zone: tzinfo

    @classmethod
    def over(cls, moments: Iterable[str], zone: str) -> TimeAxis | None:
        """The axis that holds all of them; None where there is none. An unknown zone: as the moments say."""
        known = [moment_of(text) for text in moments]
        if not known:
            return None
        first, last = min(known), max(known)
        try:
            clock: tzinfo | None = ZoneInfo(zone)
        except (ZoneInfoNotFoundError, ValueError):
            clock = first.tzinfo
        assert clock is not None  # moments of the contents have an offset
        return cls(first, max(last, first + timedelta(hours=1)), clock)

    def at(self, moment: datetime, left: float, width: float) -> float:
        """Where a moment stands [pt]."""
        whole = (self.last - self.first).total_seconds()
        return left + (moment - self.first).total_seconds() / whole * width

    def midnights(self, most: int) -> list[datetime]:
        """Midnights evenly apart, ``most`` of them at the most; a short time has none."""
        begin = self.first.astimezone(self.zone).date() + timedelta(days=1)
        end = self.last.astimezone(self.zone).date()
        number = (end - begin).days + 1
        step = next((step for step in _STEPS_DAYS if number / step <= most), _STEPS_DAYS[-1])
        return [self._midnight(begin + timedelta(days=day)) for day in range(step - 1, number, step)]

    def _midnight(self, day: date) -> datetime:
        return datetime(day.year, day.month, day.day, tzinfo=self.zone)

    def draw(self, paper: Paper, left: float, y: float, width: float, options: PaperOptions) -> None:
        """The line, the day it begins with, then days by number; the month again where it is another."""
        paper.line(left, y, left + width, y, EDGE, 0.9)
        begin = self.first.astimezone(self.zone)
        paper.line(left, y, left, y + 3, EDGE, 0.8)
        paper.text(left, y + 12.5, short_day(begin, options), SMALL, INK2)
        month, free_from = begin.month, left + 44
        for midnight in self.midnights(max(1, int(width // 62))):
            x = self.at(midnight, left, width)
            paper.line(x, y, x, y + 3, EDGE, 0.8)
            label = str(midnight.day) if midnight.month == month else short_day(midnight, options)
            if free_from <= x <= left + width - 8:
                paper.text(x, y + 12.5, label, SMALL, INK2, "centre")
                month = midnight.month

"""A time typed beside one that is shown: whole, as the window writes it, or the clock alone."""

from __future__ import annotations

import re
from datetime import date

from kilnlog.records.errors import UnreadableTime
from kilnlog.records.moment import Moment

_TIME = r"(?P<hour>\d{1,2}):(?P<minute>\d{1,2})"
_CLOCK = re.compile(_TIME, re.ASCII)
_DAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
#: Nobody types a time so far ahead without its year.
_TO_COME_DAYS = 60
#: ``Tue 24 Nov, 18:00``, ``24 Nov 2026 18:00``: as ``figures`` writes them; comma and weekday may be
#: left out.
_WRITTEN = re.compile(
    rf"(?:(?P<weekday>{'|'.join(_DAYS)})\s+)?(?P<day>\d{{1,2}})\s+(?P<month>{'|'.join(_MONTHS)})"
    rf"(?:\s+(?P<year>\d{{4}}))?\s*,?\s+{_TIME}",
    re.ASCII | re.IGNORECASE,
)


def time_from_text(text: str, zone: str, day: Moment | None) -> Moment:
    """Read ``YYYY-MM-DD HH:MM``, ``24 Nov 18:00``, or ``HH:MM`` of the day that is shown.

    Args:
        text: As typed. A day without its year is in that of the day shown, as the window writes it, and in
            the year before where it would be long to come: one types in January what was read in December.
        zone: Whose clock it is.
        day: The moment that stood where this is typed; None: none stood there, and a day is needed.

    Raises:
        UnreadableTime, as ``Moment.from_text`` does; also where a weekday is not that of its day.
    """
    typed = text.strip()
    clock, written = _CLOCK.fullmatch(typed), _WRITTEN.fullmatch(typed)
    if clock is not None and day is not None:
        shown = Moment(day.utc, zone).local
        text = f"{shown:%Y-%m-%d} {_clock(clock)}"
    elif written is not None and (day is not None or written["year"]):
        text = f"{_day(written, text, zone, day):%Y-%m-%d} {_clock(written)}"
    return Moment.from_text(text, zone)


def _clock(match: re.Match[str]) -> str:
    return f"{int(match['hour']):02}:{int(match['minute']):02}"


def _day(match: re.Match[str], text: str, zone: str, shown: Moment | None) -> date:
    month = _MONTHS.index(match["month"].lower()) + 1
    if match["year"] or shown is None:
        chosen = _on_calendar(int(match["year"]), month, int(match["day"]))
    else:
        beside = Moment(shown.utc, zone).local.date()
        chosen = _on_calendar(beside.year, month, int(match["day"]))
        if chosen is None or (chosen - beside).days > _TO_COME_DAYS:
            chosen = _on_calendar(beside.year - 1, month, int(match["day"]))
    weekday = match["weekday"]
    if chosen is None or (weekday and _DAYS.index(weekday.lower()) != chosen.weekday()):
        raise UnreadableTime(typed=text, zone=zone, why="no-such-date")
    return chosen


def _on_calendar(year: int, month: int, day: int) -> date | None:
    try:
        return date(year, month, day)
    except ValueError:
        return None

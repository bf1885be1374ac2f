"""How many days each kiln was in use in a period: by where the charges stood, day by day of the calendar."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from itertools import pairwise

from kilnlog.logbook import figures
from kilnlog.logbook.kiln_stays import InKiln, names_of_kilns, stays_of
from kilnlog.logbook.session import Logbook
from kilnlog.records.charge_record import closings_in_force
from kilnlog.records.errors import UnreadableTime
from kilnlog.records.moment import Moment, zone_named
from kilnlog.records.version import current_entries, histories

#: Kilns are older than logbooks, but no logbook reaches further; and a longer period would take seconds.
_YEARS = range(1950, 2150)
_DAY = re.compile(r"\d{4}-\d{2}-\d{2}", re.ASCII)

#: From one instant to another [UTC].
Span = tuple[datetime, datetime]


@dataclass(frozen=True, slots=True)
class Period:
    """Whole days of a calendar, both named days among them, by the clock of one zone."""

    first: date
    last: date
    zone: str

    @property
    def days(self) -> int:
        """How many days it has."""
        return (self.last - self.first).days + 1

    def spans(self) -> list[Span]:
        """Each day from its midnight to the next; one of 23 or 25 hours where the clock was changed."""
        edges = [_midnight(self.first + timedelta(days=number), self.zone) for number in range(self.days + 1)]
        return list(pairwise(edges))


@dataclass(frozen=True, slots=True)
class KilnUse:
    """One kiln in a period. A day counts by the share of it in which the kiln was in use."""

    kiln: str  # its name
    days: float
    shared_days: float  # of those, days in which two charges are written down for it at once
    charges: tuple[tuple[str, float, bool], ...]  # number, days, whether it is still there; first come first


def day_from_text(text: str, zone: str) -> date:
    """Read ``YYYY-MM-DD``; raises ``UnreadableTime`` where it is no day of the calendar."""
    typed = text.strip()
    if _DAY.fullmatch(typed) is None:
        raise UnreadableTime(typed=typed, zone=zone, why="day")
    try:
        day = date.fromisoformat(typed)
    except ValueError as error:
        raise UnreadableTime(typed=typed, zone=zone, why="no-such-date") from error
    if day.year not in _YEARS:
        raise UnreadableTime(typed=typed, zone=zone, why="year")
    return day


def period_from_text(first: str, last: str, zone: str) -> Period:
    """A period of two typed days; raises ``UnreadableTime``, also where the last lies before the first."""
    begins, ends = day_from_text(first, zone), day_from_text(last, zone)
    if ends < begins:
        raise UnreadableTime(typed=last.strip(), zone=zone, why="backwards")
    return Period(begins, ends, zone)


def usual_periods(today: date) -> dict[str, tuple[date, date]]:
    """The periods one asks for most, by their words; the first is offered."""
    year = date(today.year, 1, 1)
    return {
        "this year so far": (year, today),
        "last year": (date(today.year - 1, 1, 1), year - timedelta(days=1)),
        "the last 30 days": (today - timedelta(days=29), today),
        "the last 365 days": (today - timedelta(days=364), today),
    }


def kiln_use(
    stays: Iterable[InKiln], kilns: Mapping[str, str], period: Period, now: Moment
) -> tuple[KilnUse, ...]:
    """Each kiln's days in use, the busiest first; a kiln that stood empty has 0.

    Args:
        stays: Which charge stood where; one that is still there is counted until ``now``.
        kilns: Entity uid of each kiln to its name.
        period: What is asked about; days to come are in it and not in use.
        now: The present.
    """
    days = period.spans()
    by_kiln: dict[str, list[InKiln]] = {kiln: [] for kiln in kilns}
    for stay in stays:
        by_kiln.setdefault(stay.kiln, []).append(stay)
    return tuple(
        sorted(
            (_use(kilns.get(kiln, figures.EMPTY), there, days, now) for kiln, there in by_kiln.items()),
            key=lambda use: (-use.days, use.kiln.casefold()),
        )
    )


def use_of_kilns(book: Logbook, period: Period, now: Moment) -> tuple[KilnUse, ...]:
    """The same, of a logbook; a kiln that was taken back is told of only where a charge stood in it."""
    charges = book.file.charges()
    closings = closings_in_force(book.file.entries("closing"))
    lines = histories(book.file.entries("kiln"))
    stays = stays_of(charges, histories(book.file.entries("stay")), closings)
    used = {stay.kiln for stay in stays}
    names = names_of_kilns(entry for line in lines for entry in line.entries)
    there = {line.entity: names[line.entity] for line in lines if not line.is_void or line.entity in used}
    return kiln_use(stays, there, period, now)


def first_day(book: Logbook, zone: str) -> date | None:
    """The day the first charge of the logbook was loaded; None where none was."""
    loaded = [
        entry.fact.loaded_at
        for entry in current_entries(book.file.charges())
        if entry.fact.loaded_at is not None
    ]
    return min(loaded).utc.astimezone(zone_named(zone)).date() if loaded else None


def _use(kiln: str, stays: Sequence[InKiln], days: Sequence[Span], now: Moment) -> KilnUse:
    spans = [
        (stay, (stay.since.utc, min(stay.until.utc if stay.until else now.utc, now.utc))) for stay in stays
    ]
    spans = sorted((one for one in spans if one[1][0] < one[1][1]), key=lambda one: one[1][0])
    told: dict[str, tuple[str, float, bool]] = {}
    for stay, span in spans:
        counted = _days([span], days)
        before = told.get(stay.charge)
        here = stay.until is None or stay.until > now
        if counted or before:
            told[stay.charge] = (
                stay.number,
                counted + (before[1] if before else 0.0),
                here or (before is not None and before[2]),
            )
    whole = [span for _, span in spans]
    return KilnUse(
        kiln, _days(_merged(whole), days), _days(_merged(_doubled(spans)), days), tuple(told.values())
    )


def _days(spans: Sequence[Span], days: Sequence[Span]) -> float:
    """How many days these spans fill, each day by its own length."""
    return sum(
        max(timedelta(0), min(until, midnight) - max(since, morning)) / (midnight - morning)
        for since, until in spans
        for morning, midnight in days
        if since < midnight and until > morning
    )


def _merged(spans: Iterable[Span]) -> list[Span]:
    """The same time, no instant of it twice."""
    merged: list[Span] = []
    for since, until in sorted(spans):
        if merged and since <= merged[-1][1]:
            merged[-1] = (merged[-1][0], max(merged[-1][1], until))
        else:
            merged.append((since, until))
    return merged


def _doubled(spans: Sequence[tuple[InKiln, Span]]) -> list[Span]:
    """Where two charges stood at once."""
    doubled = []
    for number, (one, (since, until)) in enumerate(spans):
        for other, (from_utc, to_utc) in spans[number + 1 :]:
            if other.charge != one.charge and max(since, from_utc) < min(until, to_utc):
                doubled.append((max(since, from_utc), min(until, to_utc)))
    return doubled


def _midnight(day: date, zone: str) -> datetime:
    """The instant a day begins by that zone's clock; where the clock skips midnight, the instant it skips."""
    return datetime.combine(day, time(0), zone_named(zone)).astimezone(UTC)

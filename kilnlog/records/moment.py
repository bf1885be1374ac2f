"""A point in time as the operator's clock showed it: a UTC instant plus the zone's name."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from functools import lru_cache
from zoneinfo import ZoneInfo

from kilnlog.records.errors import UnknownZone, UnreadableTime

_LOCAL = re.compile(
    r"(?P<date>\d{4}-\d{2}-\d{2})[ T](?P<time>\d{2}:\d{2}(?::\d{2})?)(?P<offset>Z|[+-]\d{2}:\d{2})?", re.ASCII
)


@lru_cache(maxsize=64)
def zone_named(zone: str) -> ZoneInfo:
    """The time zone of that IANA name; raises ``UnknownZone``."""
    try:
        return ZoneInfo(zone)
    except (KeyError, ValueError, OSError) as error:
        raise UnknownZone(zone=zone) from error


@dataclass(frozen=True, slots=True, order=True)
class Moment:
    """A UTC instant and the zone it was read in. Ordered by the instant; durations come from UTC only."""

    utc: datetime
    zone: str = field(compare=False)

    def __post_init__(self) -> None:
        if self.utc.tzinfo is not UTC:
            raise ValueError("Moment.utc must carry datetime.UTC")
        zone_named(self.zone)

    @property
    def local(self) -> datetime:
        """The clock on the wall, with its offset. Never subtract two of these: see ``hours_since``."""
        return self.utc.astimezone(zone_named(self.zone))

    def hours_since(self, earlier: Moment) -> float:
        """True elapsed time since ``earlier`` [h]."""
        return (self.utc - earlier.utc).total_seconds() / 3600

    def plus_hours(self, hours: float) -> Moment:
        """The moment ``hours`` [h] of true time later."""
        return Moment(self.utc + timedelta(hours=hours), self.zone)

    def text(self) -> str:
        """``YYYY-MM-DD HH:MM``, with seconds only where there are some, with the offset only where needed."""
        local = self.local
        written = local.strftime("%Y-%m-%d %H:%M:%S" if local.second else "%Y-%m-%d %H:%M")
        if _is_ambiguous(local.replace(tzinfo=None), self.zone):
            offset = local.strftime("%z")
            written += f"{offset[:3]}:{offset[3:]}"
        return written

    def iso(self) -> str:
        """ISO 8601 local time with offset, to the second."""
        return self.local.isoformat(timespec="seconds")

    @classmethod
    def from_text(cls, text: str, zone: str) -> Moment:
        """Read ``YYYY-MM-DD HH:MM[:SS]`` in ``zone``.

        Raises ``UnreadableTime`` where the text is no such time, where the clock skipped it (spring) or
        where it occurred twice (autumn) and no offset (``01:30-05:00``) says which.
        """
        match = _LOCAL.fullmatch(text.strip())
        if match is None:
            raise UnreadableTime(typed=text, zone=zone, why="form")
        try:
            naive = datetime.fromisoformat(f"{match['date']}T{match['time']}")
        except ValueError as error:
            raise UnreadableTime(typed=text, zone=zone, why="no-such-date") from error
        if match["offset"]:
            offset = match["offset"].replace("Z", "+00:00")
            return cls(datetime.fromisoformat(f"{naive.isoformat()}{offset}").astimezone(UTC), zone)
        if _is_ambiguous(naive, zone):
            raise UnreadableTime(typed=text, zone=zone, why="twice")
        utc = naive.replace(tzinfo=zone_named(zone)).astimezone(UTC)
        if utc.astimezone(zone_named(zone)).replace(tzinfo=None) != naive:
            raise UnreadableTime(typed=text, zone=zone, why="skipped")
        return cls(utc, zone)


def _is_ambiguous(naive: datetime, zone: str) -> bool:
    """Whether the clock of ``zone`` showed this time twice."""
    earlier = naive.replace(tzinfo=zone_named(zone), fold=0)
    later = naive.replace(tzinfo=zone_named(zone), fold=1)
    if earlier.utcoffset() == later.utcoffset():
        return False
    return all(
        reading.astimezone(UTC).astimezone(zone_named(zone)).replace(tzinfo=None) == naive
        for reading in (earlier, later)
    )

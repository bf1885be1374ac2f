"""Files as loggers write them, made from instants in UTC; what the wall shows then is zoneinfo's."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo


@dataclass(frozen=True)
class Reading:
    """One reading as the logger took it."""

    at_s: int
    dry: str
    second: str


def readings(begin: str, hours: float, step_s: int = 600) -> list[Reading]:
    """Readings of a kiln that warms and cools, from a time in UTC on; no two beside each other are alike."""
    first = int(datetime.fromisoformat(begin).replace(tzinfo=UTC).timestamp())
    return [
        Reading(first + n * step_s, f"{52 + 6 * math.sin(n / 7):.2f}", f"{41 + 4 * math.sin(n / 5):.1f}")
        for n in range(int(hours * 3600 / step_s) + 1)
    ]


def shown(at_s: int, zone: str, clock: str = "local") -> datetime:
    """What the logger's clock shows at an instant."""
    if clock == "utc":
        return datetime.fromtimestamp(at_s, UTC)
    local = datetime.fromtimestamp(at_s, ZoneInfo(zone))
    if clock == "standard":
        local -= local.dst() or timedelta()
    return local


@dataclass(frozen=True)
class Style:
    """How a logger writes."""

    heading: str | None = "Date/Time,Temperature (°C),Wet bulb (°C)"
    stamp: str = "%Y-%m-%d %H:%M:%S"
    delimiter: str = ","
    decimal_mark: str = "."
    line_end: str = "\n"
    encoding: str = "utf-8"
    above: tuple[str, ...] = ()
    below: tuple[str, ...] = ()
    newest_first: bool = False

    def lines(self, taken: list[Reading], zone: str, clock: str = "local") -> Iterator[str]:
        for each in reversed(taken) if self.newest_first else taken:
            figures = [each.dry.replace(".", self.decimal_mark), each.second.replace(".", self.decimal_mark)]
            yield self.delimiter.join([shown(each.at_s, zone, clock).strftime(self.stamp), *figures])

    def text(self, taken: list[Reading], zone: str, clock: str = "local", *, ended: bool = True) -> bytes:
        """The whole file; not ``ended`` its last line has no line end."""
        heading = [] if self.heading is None else [self.heading]
        lines = [*self.above, *heading, *self.lines(taken, zone, clock), *self.below]
        return (self.line_end.join(lines) + self.line_end * ended).encode(self.encoding)


PLAIN = Style()
SEMICOLON = Style("Datum;Temperatur °C;Luftfeuchte %", "%d.%m.%Y %H:%M", ";", ",", "\r\n")
MONTH_FIRST = Style("Date Time,Dry bulb (°F),Wet bulb (°F)", "%m/%d/%Y %I:%M:%S %p")

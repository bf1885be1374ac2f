"""The machine's clock and zone: the only place that asks the machine what time it is."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import suppress
from datetime import UTC, datetime
from pathlib import Path

from kilnlog.records.errors import UnknownZone
from kilnlog.records.moment import zone_named


def machine_clock() -> datetime:
    """Now, in UTC, to the second: finer than anybody reads a scale, and it survives every file."""
    return datetime.now(UTC).replace(microsecond=0)


def machine_zone() -> str:
    """The IANA name of the machine's zone, ``UTC`` where it names none we know."""
    for name in _names_given():
        try:
            zone_named(name)
        except UnknownZone:
            continue
        return name
    return "UTC"


def _names_given(etc: Path = Path("/etc")) -> Iterator[str]:
    """The zone's names the machine gives, the most telling first."""
    if setting := os.environ.get("TZ", "").removeprefix(":"):
        yield _after_zoneinfo(setting) or setting
    with suppress(OSError, ValueError):
        yield (etc / "timezone").read_text(encoding="ascii").strip()
    with suppress(OSError):
        yield _after_zoneinfo(os.readlink(etc / "localtime"))


def _after_zoneinfo(path: str) -> str:
    """``America/New_York`` out of ``/usr/share/zoneinfo/America/New_York``; empty where there is none."""
    return path.partition("zoneinfo/")[2]

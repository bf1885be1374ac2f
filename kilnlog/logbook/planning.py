"""What is asked before a charge is written: its number, and whether its kiln is free."""

from __future__ import annotations

import re
from collections.abc import Iterable

from kilnlog.drying.finding import Finding
from kilnlog.logbook.kiln_stays import clashes, names_of_kilns
from kilnlog.logbook.session import Logbook, new_uid
from kilnlog.records.charge import Charge
from kilnlog.records.charge_record import closings_in_force
from kilnlog.records.moment import Moment
from kilnlog.records.version import Entry, History, Version, VersionKind, histories

_COUNTED = re.compile(r"(?P<before>.*?)(?P<count>\d+)", re.ASCII | re.DOTALL)


def next_number(numbers: Iterable[str], now: Moment) -> str:
    """The number after this year's highest, in the manner of the last: ``2026-14`` leads to ``2026-15``.

    A new year begins with 1 where the numbers carry the year; the first of all is ``2026-01``.
    """
    year = f"{now.local.year}"
    known = [match for number in numbers if (match := _COUNTED.fullmatch(number.strip())) is not None]
    this_year = [match for match in known if match["before"].startswith(year)]
    plain = [match for match in known if not re.match(r"\d{4}\D", match["before"])]
    for group in (this_year, plain):
        if group:
            last = max(group, key=lambda match: int(match["count"]))
            return f"{last['before']}{int(last['count']) + 1:0{len(last['count'])}d}"
    return f"{year}-01"


def clashes_if_kept(book: Logbook, fact: Charge, entity: str | None, now: Moment) -> tuple[Finding, ...]:
    """What would stand in the same kiln at the same time if ``fact`` were kept.

    Args:
        book: The logbook.
        fact: The charge as it would be written.
        entity: The charge it succeeds, None for a new one.
        now: The present.
    """
    uid = entity or new_uid()
    at = fact.loaded_at or now
    version = Version(uid, uid, None, VersionKind.FIRST, None, at, now.utc, book.who)
    planned: History[Charge] = History((Entry(version, fact),))
    charges = [planned, *(line for line in book.file.charges() if line.entity != uid)]
    closings = closings_in_force(book.file.entries("closing"))
    found = clashes(
        charges,
        histories(book.file.entries("stay")),
        closings,
        names_of_kilns(book.file.entries("kiln")),
        max(at, now),
    )
    return found.get(uid, ())

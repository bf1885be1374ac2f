"""Reading a logger's file into a charge: all of what is new in it, or nothing."""

from __future__ import annotations

import hashlib
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime
from itertools import chain
from math import inf
from pathlib import Path
from typing import TYPE_CHECKING, Any

from kilnlog.exchange.logger.chunk import Chunk, Hole, SetAside, day_text
from kilnlog.exchange.logger.format import LoggerFormat
from kilnlog.exchange.logger.rows import read_rows
from kilnlog.exchange.logger.text import opened
from kilnlog.logbook.changes import Changes
from kilnlog.logbook.logger_settings import remembering
from kilnlog.logbook.session import Logbook
from kilnlog.logbook.writing import first_entry
from kilnlog.records.charge import Charge
from kilnlog.records.logger_batch import LoggerBatch, LoggerDay
from kilnlog.records.moment import Moment
from kilnlog.records.version import Entry
from kilnlog.records.words import LoggerClock

if TYPE_CHECKING:
    from kilnlog.logbook.known_readings import KnownReadings

#: A logger may be put in the day before loading and taken out the day after unloading.
_GRACE_H = 24.0


@dataclass(frozen=True, slots=True)
class LoggerHole:
    """A stretch without readings, longer than twice the usual interval there."""

    from_at: Moment  # the last reading before
    to_at: Moment  # the first after

    @property
    def hours(self) -> float:
        """How long [h]."""
        return self.to_at.hours_since(self.from_at)


@dataclass(frozen=True)
class LoggerReading:
    """What became of a logger's file.

    Attributes:
        changes: The rows written: the batch, and how the logger is read where that is new. Empty where the
            logbook held all of it.
        sensor: Whose readings they are.
        rows: Rows of the file; each is kept, set aside, already there or differing.
        kept: Readings that are new.
        set_aside: How many were set aside, by reason; never averaged.
        already_there: Readings the logbook held, and which read the same.
        differing: Readings at instants at which the logbook has another of this sensor; not kept.
        outside_stay: How many of those kept lie more than a day before loading or after unloading.
        first, last: The first and last reading in the file that were not set aside; None where there is none.
        holes: Where the file has no readings to be kept, oldest first.
    """

    changes: Changes
    sensor: str
    rows: int
    kept: int
    set_aside: Mapping[SetAside, int]
    already_there: int
    differing: int
    outside_stay: int
    first: Moment | None
    last: Moment | None
    holes: tuple[LoggerHole, ...]

    def figures(self) -> dict[str, Any]:
        """Plain data, as ``kilnlog read-logger --json`` gives it; times in UTC."""
        return {
            "rows": self.rows,
            "kept": self.kept,
            "set_aside": sum(self.set_aside.values()),
            "already_there": self.already_there,
            "first_utc": _utc(self.first),
            "last_utc": _utc(self.last),
            "gaps": [
                {"from_utc": _utc(hole.from_at), "to_utc": _utc(hole.to_at), "hours": hole.hours}
                for hole in self.holes
            ],
            "differing": self.differing,
            "outside_stay": self.outside_stay,
        }


def read_logger(
    book: Logbook,
    charge: str,
    source: Path,
    form: LoggerFormat,
    *,
    sensor: str,
    progress: Callable[[float], None] = lambda fraction: None,
    cancelled: Callable[[], bool] = lambda: False,
) -> LoggerReading:
    """Read the file at ``source`` into a charge, in one transaction.

    What the sensor has a reading for already is left out, so the same file again adds nothing; where that
    reads otherwise, it is counted apart: it may be another sensor's. How the file was read is remembered for
    the sensor.

    Args:
        book: The logbook in hand.
        charge: The charge's entity; its zone is that of the logger's clock.
        source: The file.
        form: How it is read, every question answered: see ``logger_settings.suggestion``.
        sensor: The name its readings carry.
        progress: Told how far it is, 0 to 1.
        cancelled: Asked now and then; True raises ``LoggerCancelled`` and keeps nothing.

    Raises:
        LoggerUnclear, LoggerCancelled, SourceMissing, SourceUnreadable, ChargeClosed: Nothing was kept.
    """
    zone = zone_of(book, charge)
    digest, size = _hashed(source)
    batch = batch_of(charge, sensor, source.name, digest, form)
    chunks = read_rows(source, form, zone, progress, cancelled, size=size)
    with book.file.immediate():
        sift = Sift(known_readings(book, charge, sensor, form), stay=stay_of(book, charge))
        written = list(keep(book, batch, sift, chunks, zone))
        if written and (row := remembering(book, sensor, form)) is not None:
            written.append(book.file.insert(row))
    return sift.reading(Changes.of(written), sensor, zone)


def zone_of(book: Logbook, charge: str) -> str:
    """The zone a charge's times are told in."""
    zone: str = book.file.history("charge", charge).newest.fact.zone
    return zone


def known_readings(book: Logbook, charge: str, sensor: str, form: LoggerFormat) -> KnownReadings:
    """What the logbook has of a sensor, to be compared with a file read so."""
    from kilnlog.logbook.known_readings import KnownReadings  # noqa: PLC0415  # it loads numpy

    if form.placed_in is None:
        series = book.file.logger_series(charge, sensor)
    else:
        probes = book.file.probe_series(charge, sensor)
        series = tuple(one for one in probes if one.placed_in is form.placed_in)
    return KnownReadings.of(
        series,
        form.temperature_unit,
        form.second if form.second_column is not None else None,
    )


def stay_of(book: Logbook, charge: str) -> tuple[float, float]:
    """From when to when readings belong to the charge, a day's grace on either side [s since 1970, UTC]."""
    fact: Charge = book.file.history("charge", charge).newest.fact
    first, last = fact.loaded_at, fact.unloaded_at
    return (
        -inf if first is None else first.plus_hours(-_GRACE_H).utc.timestamp(),
        inf if last is None else last.plus_hours(_GRACE_H).utc.timestamp(),
    )


def batch_of(charge: str, sensor: str, file_name: str, digest: str, form: LoggerFormat) -> LoggerBatch:
    """The particulars of an import."""
    clock = LoggerClock.UTC if form.has_offset else form.clock
    return LoggerBatch(
        charge,
        sensor,
        file_name,
        digest,
        clock,
        form.temperature_unit,
        form.second,
        placed_in=form.placed_in,
    )


def keep(
    book: Logbook, batch: LoggerBatch, sift: Sift, chunks: Iterable[Chunk], zone: str
) -> Iterator[Entry[Any]]:
    """Write what is new, inside ``immediate()``; nothing where nothing is. One day at a time is held."""
    days = sift.days(chunks)
    if (first := next(days, None)) is not None:
        entry = first_entry(book, batch, book.now(zone))
        yield book.file.insert_logger_batch(entry, chain([first], days))


@dataclass
class Sift:
    """Leaves out what is already there, and counts what passes."""

    known: KnownReadings | None = None
    stay: tuple[float, float] = (-inf, inf)  # see ``stay_of``
    rows: int = 0
    kept: int = 0
    already_there: int = 0
    differing: int = 0
    outside_stay: int = 0
    set_aside: Counter[SetAside] = field(default_factory=Counter)
    holes: list[Hole] = field(default_factory=list)
    first_s: int | None = None
    last_s: int | None = None

    def days(self, chunks: Iterable[Chunk]) -> Iterator[LoggerDay]:
        """The new readings, day by day of UTC, as they are kept."""
        number, texts = 0, list[str]()
        for chunk in chunks:
            for day, more in self._new(chunk).days():
                if texts and day != number:
                    yield day_text(number, texts)
                    texts = []
                number = day
                texts += more
        if texts:
            yield day_text(number, texts)

    def _new(self, chunk: Chunk) -> Chunk:
        self.rows += chunk.rows
        self.set_aside.update(chunk.set_aside)
        self.holes += chunk.holes
        if not len(chunk.at_s):
            return chunk
        self.first_s = int(chunk.at_s[0]) if self.first_s is None else self.first_s
        self.last_s = int(chunk.at_s[-1])
        if self.known is not None:
            there, same = self.known.beside(chunk)
            self.already_there += int(same.sum())
            self.differing += int((there & ~same).sum())
            chunk = chunk.only(~there)
        self.kept += len(chunk.at_s)
        begin, end = self.stay
        self.outside_stay += int(((chunk.at_s < begin) | (chunk.at_s > end)).sum())
        return chunk

    def reading(self, changes: Changes, sensor: str, zone: str) -> LoggerReading:
        """What was counted."""
        return LoggerReading(
            changes=changes,
            sensor=sensor,
            rows=self.rows,
            kept=self.kept,
            set_aside=dict(self.set_aside),
            already_there=self.already_there,
            differing=self.differing,
            outside_stay=self.outside_stay,
            first=None if self.first_s is None else _moment(self.first_s, zone),
            last=None if self.last_s is None else _moment(self.last_s, zone),
            holes=tuple(
                LoggerHole(_moment(hole.from_s, zone), _moment(hole.to_s, zone)) for hole in self.holes
            ),
        )


def _hashed(source: Path) -> tuple[str, int]:
    """SHA-256 of the file in hex, and how many bytes it had then."""
    with opened(source) as file:
        digest = hashlib.file_digest(file, "sha256").hexdigest()  # type: ignore[arg-type]  # any binary file
        return digest, file.tell()


def _moment(at_s: int, zone: str) -> Moment:
    return Moment(datetime.fromtimestamp(at_s, UTC), zone)


def _utc(moment: Moment | None) -> str | None:
    return None if moment is None else moment.utc.isoformat(timespec="seconds")

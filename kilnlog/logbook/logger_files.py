"""The loggers' files a charge holds readings of: told in a line each, and taken back as a whole."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from kilnlog.logbook import figures
from kilnlog.logbook.changes import Changes
from kilnlog.logbook.errors import ReasonMissing
from kilnlog.logbook.session import Logbook
from kilnlog.logbook.writing import history, successor
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.logger_batch import LoggerBatch
from kilnlog.records.moment import Moment
from kilnlog.records.version import Entry, VersionKind, current_entries


@dataclass(frozen=True)
class LoggerFile:
    """What counts of one sensor out of one file, however many times it was looked at."""

    file_name: str
    sensor: str
    rows: int
    first_at: Moment | None
    last_at: Moment | None
    read_at: Moment  # when the last of it was read in, by the machine's clock
    batches: tuple[str, ...]  # entities

    @property
    def name(self) -> str:
        """``kiln.csv, sensor fan side: 4,320 readings``."""
        return f"{self.file_name}, sensor {self.sensor}: {figures.count(self.rows, 'reading')}"


def logger_files(record: ChargeRecord) -> tuple[LoggerFile, ...]:
    """Every file with its readings, the one read last first."""
    found: dict[tuple[str, str], list[Entry[LoggerBatch]]] = {}
    for entry in current_entries(record.logger_batch):
        found.setdefault((entry.fact.file_name, entry.fact.sensor), []).append(entry)
    files = [_file(name, sensor, entries) for (name, sensor), entries in found.items()]
    return tuple(sorted(files, key=lambda one: (one.last_at is not None, one.last_at), reverse=True))


def file_line(file: LoggerFile, now: Moment) -> str:
    """One file in a line of a list."""
    read = f"read in {'last ' if len(file.batches) > 1 else ''}{figures.day_and_time(file.read_at, now)}"
    if file.first_at is None or file.last_at is None:
        return f"{file.name}; {read}"
    first, last = (figures.day_and_time(one, now) for one in (file.first_at, file.last_at))
    return f"{file.name}, {first} to {last}; {read}"


def files_remark(record: ChargeRecord) -> str:
    """What loggers wrote, beside the readings by hand; empty where there is none."""
    files = logger_files(record)
    if not files:
        return ""
    readings = figures.count(sum(file.rows for file in files), "reading")
    return (
        f"Read by hand. Loggers wrote {readings} besides, out of {figures.count(len(files), 'file')}: "
        "see “Loggers' files read in…” in the Air menu."
    )


def take_back_file(book: Logbook, batches: Sequence[str], reason: str) -> Changes:
    """Take back all that counts of a file, in one transaction; it stays there to be read.

    Raises ``ReasonMissing``.
    """
    if not reason.strip():
        raise ReasonMissing(what="taking back")
    written = []
    with book.file.immediate():
        for entity in batches:
            line = history(book, "logger_batch", entity)
            if line.current is None:
                continue  # taken back already
            newest = line.newest
            row = successor(book, newest, newest.fact, VersionKind.VOID, reason.strip(), newest.at)
            written.append(book.file.insert(row))
    return Changes.of(written)


def _file(name: str, sensor: str, entries: Sequence[Entry[LoggerBatch]]) -> LoggerFile:
    firsts = [entry.fact.first_at for entry in entries if entry.fact.first_at is not None]
    lasts = [entry.fact.last_at for entry in entries if entry.fact.last_at is not None]
    read = max(entries, key=lambda entry: entry.version.entered_utc)
    return LoggerFile(
        name,
        sensor,
        sum(entry.fact.rows for entry in entries),
        min(firsts, default=None),
        max(lasts, default=None),
        Moment(read.version.entered_utc, read.at.zone),
        tuple(entry.entity for entry in entries),
    )

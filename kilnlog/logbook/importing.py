"""Bringing in files: a folder of CSV files or a workbook, all of it or nothing."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

from kilnlog import __version__
from kilnlog.exchange.errors import ReadingsDiffer
from kilnlog.exchange.from_files import entries_from
from kilnlog.exchange.logger_readings import readings_from
from kilnlog.exchange.read_source import read
from kilnlog.logbook.changes import Changes
from kilnlog.logbook.clock import machine_clock
from kilnlog.logbook.errors import Cancelled
from kilnlog.logbook.sealing import sealed_text
from kilnlog.logbook.session import Clock, Logbook, new_logbook, new_uid, open_logbook
from kilnlog.records.closing import Closing
from kilnlog.records.facts import Fact
from kilnlog.records.logger_batch import LoggerBatch, LoggerDay
from kilnlog.records.version import Entry, VersionKind
from kilnlog.reference.tables import load
from kilnlog.store.errors import READINGS_REFUSED, RefusedByRecord

Report = Callable[[float], None]
Asked = Callable[[], bool]

#: Reading and checking the files takes about as long as writing the rows.
_READ, _CHECKED = 0.2, 0.5
_TOLD_EVERY = 200  # rows


def import_into(
    book: Logbook,
    source: Path,
    progress: Report = lambda fraction: None,
    cancelled: Asked = lambda: False,
) -> Changes:
    """Read ``source`` into the logbook in one transaction.

    A charge that the files call closed is closed with its final figures sealed, unless they bring a seal.

    Args:
        book: The logbook in hand.
        source: A folder or a workbook.
        progress: Told how far it is, 0 to 1.
        cancelled: Asked now and then; True raises ``Cancelled`` and keeps nothing.
    """
    raw = read(source)
    progress(_READ)
    with book.file.immediate():
        entries = entries_from(
            raw, book.file.everything(), new_uid=new_uid, now=book.clock(), who=book.who, zone=book.zone
        )
        batches = [*book.file.entries("logger_batch"), *_batches(entries)]
        readings = readings_from(raw, batches)
        progress(_CHECKED)
        return Changes.of(_written(book, entries, readings, progress, cancelled))


def import_file(source: Path, into: Path, clock: Clock = machine_clock) -> Changes:
    """Read ``source`` into the logbook at ``into``, made if it is not there and unmade if that fails."""
    is_new = not into.exists()
    book = new_logbook(into, clock=clock) if is_new else open_logbook(into, clock=clock)
    try:
        changes = import_into(book, source)
    except BaseException:
        book.close()
        if is_new:
            into.unlink()
        raise
    book.close()
    return changes


def _batches(entries: Iterable[Entry[Fact]]) -> Iterator[Entry[Any]]:
    return (entry for entry in entries if isinstance(entry.fact, LoggerBatch))


def _written(
    book: Logbook,
    entries: list[Entry[Fact]],
    readings: Mapping[str, tuple[LoggerDay, ...]],
    progress: Report,
    cancelled: Asked,
) -> Iterable[Entry[Any]]:
    for done, entry in enumerate(entries):
        if done % _TOLD_EVERY == 0:
            if cancelled():
                raise Cancelled(what="import")
            progress(_CHECKED + (1 - _CHECKED) * done / len(entries))
        if isinstance(entry.fact, Closing):
            yield book.file.close_charge(_sealed(book, entry, entry.fact))
        elif isinstance(entry.fact, LoggerBatch) and entry.version.kind is VersionKind.FIRST:
            yield _batch_written(book, entry, entry.fact, readings.get(entry.entity, ()))
        else:
            yield book.file.insert(entry)
    progress(1.0)


def _batch_written(
    book: Logbook, entry: Entry[Any], batch: LoggerBatch, days: tuple[LoggerDay, ...]
) -> Entry[LoggerBatch]:
    """Write a batch with its readings; they must be those its row was written for."""
    differ = ReadingsDiffer(sensor=batch.sensor, file_name=batch.file_name, batch=entry.entity)
    try:
        written = book.file.insert_logger_batch(entry, days)
    except RefusedByRecord as error:
        if error.values["why"] not in READINGS_REFUSED:
            raise
        raise differ from error
    if (written.fact.rows, written.fact.digest) != (batch.rows, batch.digest):
        raise differ
    return written


def _sealed(book: Logbook, entry: Entry[Fact], closing: Closing) -> Entry[Closing]:
    """The closing with the final figures of its charge, worked out from the rows just written."""
    if closing.sealed_text is not None or closing.reopened:
        return Entry(entry.version, closing)
    record = book.file.charge_record(closing.charge)
    text = sealed_text(book, record, load(), entry.at, lot=closing.lot, reason=closing.closing_reason)
    return Entry(entry.version, replace(closing, sealed_text=text, program_version=__version__))

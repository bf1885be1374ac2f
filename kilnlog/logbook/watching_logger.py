"""Following a file that a logger is still writing: each look keeps what was appended since."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from kilnlog.exchange.logger.chunk import Chunk
from kilnlog.exchange.logger.figures import values_of
from kilnlog.exchange.logger.format import LoggerFormat
from kilnlog.exchange.logger.watched import WatchedFile
from kilnlog.logbook.changes import Changes
from kilnlog.logbook.reading_logger import LoggerReading, Sift, batch_of, keep, known_readings, zone_of
from kilnlog.logbook.session import Logbook
from kilnlog.records.logger_batch import LoggerBatch
from kilnlog.records.version import Entry
from kilnlog.store.errors import RefusedByRecord
from kilnlog.store.logger_readings import LoggerSeries

if TYPE_CHECKING:
    from kilnlog.logbook.known_readings import KnownReadings


class LoggerWatch:
    """One watched file of one charge. All calls on the thread of the logbook.

    Every batch is a row of the record, so a logger of many readings is better kept some minutes at a time;
    what waits until then is lost to nothing, since the file still holds it.

    Args:
        book: The logbook in hand.
        charge: The charge's entity.
        source: The file the logger appends to; it need not be there yet.
        form: How it is read, every question answered.
        sensor: The name its readings carry.
        keep_every_s: Readings wait until they span so long [s]; 0: every look keeps what it finds.
    """

    def __init__(
        self,
        book: Logbook,
        charge: str,
        source: Path,
        form: LoggerFormat,
        *,
        sensor: str,
        keep_every_s: float = 0.0,
    ) -> None:
        self.charge, self.source, self.form, self.sensor = charge, Path(source), form, sensor
        self.is_behind = False  # more stands in the file already: look again without waiting
        self.found = False  # the last look found a line that was not there before
        self._keep_every_s = keep_every_s
        self._zone = zone_of(book, charge)
        self._file = WatchedFile(self.source, form, self._zone)
        self._known: KnownReadings | None = None
        self._waiting: list[Chunk] = []

    def look(self, book: Logbook, *, keep_now: bool = False) -> LoggerReading:
        """Read what was appended since the last look, and keep what waits, as one batch, once it is due.

        Args:
            book: The logbook in hand.
            keep_now: Keep what waits, due or not: the watch ends, or somebody asks.

        Returns:
            What was kept and counted with it; nothing at all while it waits.

        Raises:
            SourceUnreadable, or the store's refusals: what was read waits for the next look.
        """
        found = self._file.poll()
        self.is_behind = found.is_behind
        self.found = bool(found.chunk.rows)
        if found.chunk.rows:
            self._waiting.append(found.chunk)
        if not (keep_now or self._is_due()):
            return Sift().reading(Changes.of(()), self.sensor, self._zone)
        try:
            reading = self._kept(book)
        except RefusedByRecord as error:
            if error.values["why"] != "reading-twice" or self._known is None:
                raise
            self._known = None  # the same readings came in by another way meanwhile
            reading = self._kept(book)
        self._waiting = []
        return reading

    @property
    def waiting(self) -> LoggerSeries | None:
        """What was read and not kept yet, to be drawn; None where nothing waits."""
        at_s = [at for chunk in self._waiting for at in chunk.at_s.tolist()]
        if not at_s:
            return None
        dry = [text for chunk in self._waiting for text in chunk.dry]
        second = [text for chunk in self._waiting for text in chunk.second]
        form = self.form
        order = np.argsort(at_s, kind="stable")
        return LoggerSeries(
            self.sensor,
            np.array(at_s, dtype=np.float64)[order],
            values_of(dry)[order],
            values_of(second)[order],
            form.temperature_unit,
            form.second,
            form.placed_in,
        )

    def close(self) -> None:
        """Let go of the file. What waits is not kept: ``look(book, keep_now=True)`` comes first."""
        self._file.close()

    def _is_due(self) -> bool:
        spans = [chunk.at_s for chunk in self._waiting if len(chunk.at_s)]
        return not spans or int(spans[-1][-1]) - int(spans[0][0]) >= self._keep_every_s

    def _kept(self, book: Logbook) -> LoggerReading:
        """Write what waits; only what was set aside is counted where there is nothing else."""
        sift, written = Sift(), list[Entry[LoggerBatch]]()
        if any(len(chunk.at_s) for chunk in self._waiting):
            if self._known is None:  # asked once: later readings of this file are new to the logbook as well
                self._known = known_readings(book, self.charge, self.sensor, self.form)
            sift.known = self._known
            batch = batch_of(self.charge, self.sensor, self.source.name, self._file.file_sha256, self.form)
            with book.file.immediate():
                written = list(keep(book, batch, sift, self._waiting, self._zone))
        else:
            list(sift.days(self._waiting))
        return sift.reading(Changes.of(written), self.sensor, self._zone)

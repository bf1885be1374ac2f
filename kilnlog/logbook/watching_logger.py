"""Following a file that a logger is still writing: each look keeps what was appended since."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from kilnlog.exchange.logger.chunk import Chunk
from kilnlog.exchange.logger.format import LoggerFormat
from kilnlog.exchange.logger.watched import WatchedFile
from kilnlog.logbook.changes import Changes
from kilnlog.logbook.reading_logger import LoggerReading, Sift, batch_of, keep, zone_of
from kilnlog.logbook.session import Logbook
from kilnlog.records.logger_batch import LoggerBatch
from kilnlog.records.version import Entry
from kilnlog.store.errors import RefusedByRecord

if TYPE_CHECKING:
    from kilnlog.logbook.reading_logger import Instants


class LoggerWatch:
    """One watched file of one charge. All calls on the thread of the logbook.

    Args:
        book: The logbook in hand.
        charge: The charge's entity.
        source: The file the logger appends to; it need not be there yet.
        form: How it is read, every question answered.
        sensor: The name its readings carry.
    """

    def __init__(self, book: Logbook, charge: str, source: Path, form: LoggerFormat, *, sensor: str) -> None:
        self.charge, self.source, self.form, self.sensor = charge, Path(source), form, sensor
        self._zone = zone_of(book, charge)
        self._file = WatchedFile(self.source, form, self._zone)
        self._known: Instants | None = None
        self._unkept: Chunk | None = None
        self.is_behind = False  # more stands in the file already: look again without waiting

    def look(self, book: Logbook) -> LoggerReading:
        """Keep what was appended since the last look, as one batch; writes nothing where nothing was.

        Raises ``SourceUnreadable`` or the store's refusals; what could not be kept is kept at the next look.
        """
        if self._unkept is None:
            found = self._file.poll()
            self._unkept, self.is_behind = found.chunk, found.is_behind
        chunk = self._unkept
        try:
            reading = self._kept(book, chunk)
        except RefusedByRecord as error:
            if error.values["why"] != "reading-twice" or self._known is None:
                raise
            self._known = None  # the same readings came in by another way meanwhile
            reading = self._kept(book, chunk)
        self._unkept = None
        return reading

    def _kept(self, book: Logbook, chunk: Chunk) -> LoggerReading:
        written: list[Entry[LoggerBatch]] = []
        sift = Sift()
        if len(chunk.at_s):
            if self._known is None:  # asked once: later readings of this file are new to the logbook as well
                self._known = book.file.logger_instants(self.charge, self.sensor)
            sift.known = self._known
            batch = batch_of(self.charge, self.sensor, self.source.name, self._file.file_sha256, self.form)
            with book.file.immediate():
                written = list(keep(book, batch, sift, [chunk], self._zone))
        else:
            list(sift.days([chunk]))  # counts what was set aside
        return sift.reading(Changes.of(written), self.sensor, self._zone)

    def close(self) -> None:
        """Let go of the file."""
        self._file.close()

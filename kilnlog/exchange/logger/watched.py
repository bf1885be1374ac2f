"""A file a logger is still writing: polled, it gives what was appended since."""

from __future__ import annotations

import os
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path
from typing import IO

import numpy as np

from kilnlog.exchange.errors import SourceUnreadable
from kilnlog.exchange.logger.chunk import Chunk
from kilnlog.exchange.logger.format import LoggerFormat
from kilnlog.exchange.logger.rows import RowReader
from kilnlog.exchange.logger.text import text_of

#: Read in one poll [bytes]; a file that was long already is caught up with in several.
MOST_BYTES = 1 << 22
#: So much of what was read before is read again, to see that the file still is the one it was [bytes].
_REREAD = 256
#: The clock goes back by no more than this in autumn [s].
_HOUR_S = 3600

_NOTHING = Chunk(np.empty(0, dtype=np.int64), [], [])


@dataclass(frozen=True, slots=True)
class Appended:
    """What one poll found.

    Attributes:
        chunk: The new readings, rising, all after those given before.
        began_anew: The file was cut short, written anew or replaced by another since the last poll.
        is_behind: More stands there already: poll again without waiting.
    """

    chunk: Chunk
    began_anew: bool = False
    is_behind: bool = False


class WatchedFile:
    """Follows one path. Call ``poll`` now and then, always on the same thread; it never waits.

    - A last line without its line end is left for next time.
    - A file that was moved away is read to its end first, then the new one of its name from the beginning.
    - A file cut short or written anew is read from the beginning; what was given before is not given again.
    - While there is no file, nothing is found and nothing is refused.

    Sensors that are stuck are not set aside here, since that shows hours later only.

    Args:
        path: The file the logger appends to; the newest reading is its last.
        form: How it is read, every question answered.
        zone: The zone of the logger's clock (IANA name).
        after_s: Only readings after this are given [s since 1970-01-01 00:00 UTC].
    """

    def __init__(self, path: Path, form: LoggerFormat, zone: str, after_s: int | None = None) -> None:
        self.path, self.form, self.zone = Path(path), form, zone
        self._latest_s = after_s
        self._file: IO[bytes] | None = None
        self._reader = RowReader(form, zone, waits=False)
        self._head = ""  # the first row of the file last read
        self._begin()

    def _begin(self) -> None:
        self._offset = 0
        self._hash = sha256()
        self._before = b""  # the bytes just before the offset
        self._is_met = False  # whether the first row was seen

    @property
    def file_sha256(self) -> str:
        """SHA-256 of the file as far as it was read, in hex."""
        return self._hash.hexdigest()

    def poll(self) -> Appended:
        """The readings appended since the last poll.

        Raises ``SourceUnreadable`` where the file is there but cannot be read; the next poll tries again.
        """
        try:
            return self._polled()
        except FileNotFoundError:
            return Appended(_NOTHING)  # between the old file's going and the new one's coming
        except OSError as error:
            self.close()
            raise SourceUnreadable(path=str(self.path), why=error.strerror or str(error)) from error

    def close(self) -> None:
        """Let go of the file; a later poll opens it again and goes on."""
        if self._file is not None:
            self._file.close()
            self._file = None

    def _polled(self) -> Appended:
        if self._file is not None and self._was_moved():
            rest, is_behind = self._appended(self._file, ends=True)
            if not is_behind:
                self.close()
                self._begin()
            return Appended(rest, began_anew=not is_behind, is_behind=True)
        file = self._file or self.path.open("rb")
        try:
            began_anew = not self._is_the_same(file)
            if began_anew:
                self._begin()
            chunk, is_behind = self._appended(file)
        finally:
            self._hold(file)
        return Appended(chunk, began_anew, is_behind)

    def _hold(self, file: IO[bytes]) -> None:
        """Keep the file open, to reach its end once it was moved; on Windows that would forbid the moving."""
        if os.name == "posix":
            self._file = file
        else:
            file.close()

    def _was_moved(self) -> bool:
        """Whether another file bears the name by now; while none does, the old one may still be in use."""
        assert self._file is not None
        mine, now = os.fstat(self._file.fileno()), self.path.stat()
        return (mine.st_dev, mine.st_ino) != (now.st_dev, now.st_ino)

    def _is_the_same(self, file: IO[bytes]) -> bool:
        """Whether what was read before still stands there."""
        file.seek(self._offset - len(self._before))
        return file.read(len(self._before)) == self._before

    def _appended(self, file: IO[bytes], *, ends: bool = False) -> tuple[Chunk, bool]:
        """The readings in the whole lines after the offset, and whether there is more.

        Args:
            file: Open for reading.
            ends: Nothing more will be appended to it.
        """
        file.seek(self._offset)
        data = file.read(MOST_BYTES)
        whole = data[: _end_of_lines(data, self.form.encoding)]
        is_behind = len(data) == MOST_BYTES
        if is_behind and not whole:
            whole = data  # no line is as long as that: what a power cut leaves behind
        if not whole:
            return self._new(self._reader.take([], ends=ends)), False
        lines = text_of(whole, self.form.encoding).split("\n")
        if not self._is_met:
            self._meet(lines)
        self._offset += len(whole)
        self._hash.update(whole)
        self._before = (self._before + whole)[-_REREAD:]
        return self._new(self._reader.take(lines, ends=ends and not is_behind)), is_behind

    def _meet(self, lines: list[str]) -> None:
        """Find the first row of a file: does it go on from the file before, or tell again what that told?

        What goes on is read with the last reading in mind, which decides in the hour shown twice.
        """
        for line in lines:
            probe = RowReader(self.form, self.zone, waits=False)
            found = probe.take([line])
            if not found.rows:
                continue
            is_old = (
                len(found.at_s) and self._latest_s is not None and found.at_s[0] + _HOUR_S < self._latest_s
            )
            if line == self._head or is_old:
                self._reader = RowReader(self.form, self.zone, waits=False)
            self._head, self._is_met = line, True
            return

    def _new(self, chunk: Chunk) -> Chunk:
        """The readings not given before."""
        if self._latest_s is not None:
            chunk = chunk.only(chunk.at_s > self._latest_s)
        if len(chunk.at_s):
            self._latest_s = int(chunk.at_s[-1])
        return chunk


def _end_of_lines(data: bytes, encoding: str) -> int:
    """Where the last whole line ends."""
    line_end = "\n".encode(encoding)
    found = data.rfind(line_end)
    while found > 0 and found % len(line_end):  # across two letters of two bytes each
        found = data.rfind(line_end, 0, found + len(line_end) - 1)
    return found + len(line_end) if found >= 0 else 0

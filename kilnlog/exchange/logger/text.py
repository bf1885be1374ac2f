"""A logger's file as text: its encoding told from its first bytes, its lines given in blocks."""

from __future__ import annotations

import codecs
import csv
from collections.abc import Iterator
from pathlib import Path
from typing import IO

from kilnlog.exchange.errors import SourceMissing, SourceUnreadable

#: Read at once [bytes]: a block's rows are some megabytes of objects, whatever the size of the file.
BLOCK_BYTES = 1 << 20

_MARKS = (
    (codecs.BOM_UTF8, "utf-8"),
    (codecs.BOM_UTF16_LE, "utf-16-le"),
    (codecs.BOM_UTF16_BE, "utf-16-be"),
)
_BYTE_ORDER_MARK = "\ufeff"


def encoding_of(sample: bytes) -> str:
    """The codec of a file by its first bytes: a mark, else noughts between the letters, else UTF-8.

    What is no UTF-8 is read as Windows' western code page, in which the degree sign of old loggers stands.
    """
    for mark, name in _MARKS:
        if sample.startswith(mark):
            return name
    head = sample[:1000]
    even, odd = head[::2].count(0), head[1::2].count(0)
    if odd > len(head) / 4 and not even:
        return "utf-16-le"
    if even > len(head) / 4 and not odd:
        return "utf-16-be"
    try:
        codecs.getincrementaldecoder("utf-8")().decode(sample)
    except UnicodeDecodeError:
        return "cp1252"
    return "utf-8"


def text_of(sample: bytes, encoding: str) -> str:
    """A piece of the file as text, line ends made alike; what cannot be decoded shows as �."""
    return _alike(sample.decode(encoding, errors="replace").removeprefix(_BYTE_ORDER_MARK))


def opened(path: Path) -> IO[bytes]:
    """The file, open for reading; raises ``SourceMissing`` or ``SourceUnreadable``."""
    try:
        return Path(path).open("rb")
    except FileNotFoundError as error:
        raise SourceMissing(path=str(path), why="logger") from error
    except OSError as error:
        raise SourceUnreadable(path=str(path), why=error.strerror or str(error)) from error


def whole_lines(file: IO[bytes], encoding: str, size: int) -> Iterator[tuple[list[str], int]]:
    """The lines of the first ``size`` bytes, block by block, each with the bytes read so far."""
    decoder = codecs.getincrementaldecoder(encoding)(errors="replace")
    rest, at_start, read = "", True, 0
    while block := file.read(min(BLOCK_BYTES, size - read)):
        read += len(block)
        text = rest + decoder.decode(block)
        if at_start and text:
            text, at_start = text.removeprefix(_BYTE_ORDER_MARK), False
        # a carriage return at the very end may be half of a line end
        cut = max(text.rfind("\n"), text.rfind("\r", 0, len(text) - 1)) + 1
        rest = text[cut:]
        if cut:
            yield _alike(text[:cut]).split("\n")[:-1], read
    if rest := rest + decoder.decode(b"", final=True):
        yield _alike(rest).removesuffix("\n").split("\n"), read


def _alike(text: str) -> str:
    """With line feeds alone, and without the noughts that a power cut leaves in a file."""
    return text.replace("\r\n", "\n").replace("\r", "\n").replace("\0", "")


def cells_of(lines: list[str], delimiter: str) -> list[list[str]]:
    """The lines divided into cells, quotes taken off."""
    return [_unquoted(line, delimiter) if '"' in line else line.split(delimiter) for line in lines]


def _unquoted(line: str, delimiter: str) -> list[str]:
    """Each line for itself, since a quote that never closes would swallow the lines after it."""
    try:
        return next(csv.reader([line], delimiter=delimiter), [])
    except csv.Error:
        return line.split(delimiter)

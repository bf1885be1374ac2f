"""What a logger's file would give, read off its two ends before anything is kept."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from kilnlog.exchange.logger.chunk import Chunk
from kilnlog.exchange.logger.figures import NOTHING
from kilnlog.exchange.logger.format import LoggerFormat
from kilnlog.exchange.logger.recognise import sample_of
from kilnlog.exchange.logger.rows import RowReader
from kilnlog.exchange.logger.text import text_of
from kilnlog.records.moment import Moment

_SHOWN = 5


@dataclass(frozen=True, slots=True)
class PreviewRow:
    """One reading as it would be kept; None where the logger wrote nothing."""

    at: Moment
    dry: str | None
    second: str | None


@dataclass(frozen=True, slots=True)
class Preview:
    """The first and the last readings of a file, oldest first.

    Attributes:
        first: The oldest reading's moment; None where no row can be read so.
        last: The newest reading's.
        first_rows: The oldest readings.
        last_rows: The newest; none besides where the file is that short.
        set_aside: Rows of the sample that would not be kept.
    """

    first: Moment | None
    last: Moment | None
    first_rows: tuple[PreviewRow, ...]
    last_rows: tuple[PreviewRow, ...]
    set_aside: int


def preview(path: Path, form: LoggerFormat, zone: str) -> Preview:
    """What the file gives when read so; the format may still hold questions, its suggestions count then.

    Raises ``SourceMissing`` or ``SourceUnreadable``.
    """
    head, tail = sample_of(path)
    begin = text_of(head, form.encoding).split("\n")[form.heading_lines :]
    pieces = [begin[:-1], text_of(tail, form.encoding).split("\n")[1:]] if tail else [begin]
    if form.newest_first:
        pieces = [piece[::-1] for piece in reversed(pieces)]
    chunks = [RowReader(form, zone, waits=False).take(piece, ends=True) for piece in pieces]
    rows = [list(_rows(chunk, zone)) for chunk in chunks]
    known = [row for piece in rows for row in piece]
    if not known:
        return Preview(None, None, (), (), sum(sum(chunk.set_aside.values()) for chunk in chunks))
    shown = known[:_SHOWN]
    return Preview(
        first=known[0].at,
        last=known[-1].at,
        first_rows=tuple(shown),
        last_rows=tuple(known[len(shown) :][-_SHOWN:]),
        set_aside=sum(sum(chunk.set_aside.values()) for chunk in chunks),
    )


def _rows(chunk: Chunk, zone: str) -> list[PreviewRow]:
    return [
        PreviewRow(
            Moment(datetime.fromtimestamp(at_s, UTC), zone),
            None if dry == NOTHING else dry,
            None if second == NOTHING else second,
        )
        for at_s, dry, second in zip(chunk.at_s.tolist(), chunk.dry, chunk.second, strict=True)
    ]

"""Recognises a logger's file by a sample of it: what is plain is taken, what is not is marked to be asked."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from statistics import median_low

import numpy as np

from kilnlog.exchange.logger.date_order import date_order
from kilnlog.exchange.logger.errors import LoggerUnrecognised
from kilnlog.exchange.logger.format import LoggerFormat, Unsure
from kilnlog.exchange.logger.headings import Kind, kind_of, says_utc, unit_in
from kilnlog.exchange.logger.layout import DELIMITERS, Layout, decimal_mark_of, layout_of
from kilnlog.exchange.logger.stamps import NO_STAMP, Stamps, time_of
from kilnlog.exchange.logger.text import encoding_of, opened, text_of
from kilnlog.records.words import LoggerClock, SecondReading, TemperatureUnit

#: Read from either end of a file to recognise it [bytes]; even, for encodings of two bytes.
SAMPLE_BYTES = 1 << 16

_MOST_LINES = 1500
_PACKED = (b"PK\x03\x04", b"\xd0\xcf\x11\xe0", b"%PDF", b"\x1f\x8b", b"SQLite")


def recognise_file(path: Path, delimiter: str | None = None) -> LoggerFormat:
    """How the file at ``path`` is read, by its first and last lines; divided by ``delimiter`` where given.

    Raises ``LoggerUnrecognised``, ``SourceMissing`` or ``SourceUnreadable``.
    """
    head, tail = sample_of(path)
    try:
        return recognise(head, tail, delimiter)
    except LoggerUnrecognised as error:
        raise LoggerUnrecognised(why=error.values["why"], file=Path(path).name) from error


def sample_of(path: Path) -> tuple[bytes, bytes]:
    """The beginning of a file and, where that is not all of it, its end."""
    with opened(path) as file:
        head = file.read(SAMPLE_BYTES)
        size = file.seek(0, 2)
        if size <= len(head):
            return head, b""
        begin = max(len(head), size - SAMPLE_BYTES)
        file.seek(begin + begin % 2)
        return head, file.read(SAMPLE_BYTES)


def recognise(head: bytes, tail: bytes = b"", delimiter: str | None = None) -> LoggerFormat:
    """How a logger's file is read.

    Args:
        head: Its first bytes, some dozens of rows at least; or all of it.
        tail: Its last bytes, so that the whole span of dates is seen.
        delimiter: What divides its columns, where somebody knows better than the file shows.

    Returns:
        The format; ``unsure`` names what the file does not tell. What stands for it then is a suggestion.

    Raises:
        LoggerUnrecognised: Nothing in it looks like rows of a time and figures.
    """
    encoding = encoding_of(head)
    if not head.strip(b"\x00 \r\n\t"):
        raise LoggerUnrecognised(why="empty")
    if head.startswith(_PACKED):
        raise LoggerUnrecognised(why="binary")
    lines = text_of(head, encoding).split("\n")
    layout = layout_of(lines[:_MOST_LINES], DELIMITERS if delimiter is None else (delimiter,))
    if layout is None:
        raise LoggerUnrecognised(why="no-rows")
    end = text_of(tail, encoding).split("\n")[1:] if tail else []
    columns = _columns(layout)
    last = _last_rows(end, layout)
    days = [day for day, _ in layout.stamps()]
    order, is_certain = date_order([*days, *(day for day, _ in last)])
    preamble = [layout.delimiter.join(row) for row in layout.above]
    temperatures = [each for each in columns.temperatures if each is not None]
    unit = unit_in(
        [columns.headings[each] for each in temperatures],
        preamble,
        [cell for each in temperatures for cell in layout.column(each)[:20]],
    )
    unsure = set(columns.unsure)
    if not is_certain:
        unsure.add(Unsure.DATE_ORDER)
    if unit is None and temperatures:
        unsure.add(Unsure.UNIT)
    figures = [cell for each in layout.figure_columns() for cell in layout.column(each)]
    form = LoggerFormat(
        encoding=encoding,
        delimiter=layout.delimiter,
        decimal_mark=decimal_mark_of(figures) if layout.delimiter != "," or _quoted(lines) else ".",
        heading_lines=layout.first_row,
        headings=columns.headings,
        stamp_column=layout.stamp_column,
        time_column=layout.time_column,
        date_order=order,
        dry_column=columns.dry,
        second_column=columns.second,
        second=columns.second_is,
        temperature_unit=unit or TemperatureUnit.CELSIUS,
    )
    return _with_clock(form, layout, unsure, preamble)


@dataclass(frozen=True)
class _Columns:
    headings: tuple[str, ...]
    dry: int | None
    second: int | None
    second_is: SecondReading | None
    unsure: tuple[Unsure, ...]

    @property
    def temperatures(self) -> tuple[int | None, ...]:
        return (self.dry, self.second if self.second_is is SecondReading.WET_BULB else None)


def _columns(layout: Layout) -> _Columns:
    """Which columns are the dry bulb and the second reading, by their headings."""
    headings = _headings(layout)
    figures = layout.figure_columns()
    kinds = {each: kind_of(headings[each]) for each in figures}
    told = {kind: [each for each in figures if kinds[each] is kind] for kind in Kind}
    warm = [*told[Kind.DRY], *told[Kind.TEMPERATURE]]
    unclear = (Unsure.DRY,) if len(told[Kind.DRY] or told[Kind.TEMPERATURE]) > 1 else ()
    for kind, is_a in ((Kind.WET, SecondReading.WET_BULB), (Kind.RH, SecondReading.RH)):
        if told[kind]:
            asked = (*unclear, Unsure.SECOND) if len(told[kind]) > 1 else unclear
            return _Columns(headings, warm[0] if warm else None, told[kind][0], is_a, asked)
    if told[Kind.DRY] and len(warm) == 1:
        return _Columns(headings, warm[0], None, None, ())
    rest = [*warm, *told[Kind.UNKNOWN]]
    if not rest:
        raise LoggerUnrecognised(why="no-figures")
    if len(rest) == 1:
        return _Columns(headings, rest[0], None, None, () if warm else (Unsure.DRY,))
    unsure = (Unsure.SECOND,) if len(rest) == 2 else (Unsure.DRY, Unsure.SECOND)
    return _Columns(headings, rest[0], rest[1], SecondReading.WET_BULB, unsure)


def _headings(layout: Layout) -> tuple[str, ...]:
    """What stands over each column: the last lines above the rows that have a cell for each."""
    width = layout.width
    over = [row for row in layout.above if len(row) >= width][-2:]
    return tuple(" ".join(cell for row in over if (cell := row[each].strip())) for each in range(width))


def _last_rows(lines: Sequence[str], layout: Layout) -> list[tuple[str, str]]:
    found = layout_of(lines[-_MOST_LINES:], (layout.delimiter,))
    if found is None or found.stamp_column != layout.stamp_column:
        return []
    return found.stamps()


def _quoted(lines: Sequence[str]) -> bool:
    return any('"' in line for line in lines[:_MOST_LINES])


def _with_clock(
    form: LoggerFormat,
    layout: Layout,
    unsure: set[Unsure],
    preamble: Sequence[str],
) -> LoggerFormat:
    """The format with what the stamps themselves show: offsets, order and usual interval."""
    stamps = layout.stamps()
    offsets = [found is not None and found[1] is not None for found in (time_of(time) for _, time in stamps)]
    over = [form.headings[each] for each in (form.stamp_column, form.time_column) if each is not None]
    is_utc = says_utc(over, preamble)
    if not (all(offsets) or is_utc):
        unsure.add(Unsure.CLOCK)
    shown = Stamps(form).read([day for day, _ in stamps], [time for _, time in stamps])
    steps = np.diff(shown[shown > NO_STAMP])
    sizes = [abs(step) for step in steps.tolist() if step]
    return replace(
        form,
        clock=LoggerClock.UTC if is_utc or all(offsets) else LoggerClock.LOCAL,
        has_offset=all(offsets),
        newest_first=int(np.sign(steps).sum()) < 0,
        interval_s=median_low(sizes) if sizes else None,
        unsure=frozenset(unsure),
    )

"""The rows of a logger's file, from its lines to readings that can be kept."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from kilnlog.exchange.logger.chunk import Chunk, Hole, SetAside
from kilnlog.exchange.logger.clock import ToUtc
from kilnlog.exchange.logger.errors import LoggerCancelled, LoggerUnclear
from kilnlog.exchange.logger.faults import fault_signs, impossible
from kilnlog.exchange.logger.figures import NO_FIGURE, NOTHING, Figures, values_of
from kilnlog.exchange.logger.format import LoggerFormat
from kilnlog.exchange.logger.holes import HoleFinder
from kilnlog.exchange.logger.stamps import NO_STAMP, Stamps
from kilnlog.exchange.logger.stuck import StuckSensor
from kilnlog.exchange.logger.text import cells_of, opened, whole_lines
from kilnlog.records.words import LoggerClock, SecondReading

Reals = NDArray[np.float64]
Whole = NDArray[np.int64]
Flags = NDArray[np.bool_]

_DAY_S = 86400
_BEFORE_ALL = np.iinfo(np.int64).min
#: Lines worked on at once where a file stands newest first and had to be read whole.
_LINES = 20_000
#: So many rows together may have a clock gone wrong, and those after them still count. Common practice, no
#: source.
_LEAPING = 50


def read_rows(
    path: Path,
    form: LoggerFormat,
    zone: str,
    progress: Callable[[float], None] = lambda fraction: None,
    cancelled: Callable[[], bool] = lambda: False,
    *,
    size: int | None = None,
) -> Iterator[Chunk]:
    """The readings of a file, some thousands at a time, so that memory stays flat.

    Only a file that stands newest first has its lines held in memory while it is read.

    Args:
        path: The file.
        form: How it is read, every question answered.
        zone: The zone whose clock the stamps were made by (IANA name).
        progress: Told how much is read, 0 to 1.
        cancelled: Asked for each piece; True raises ``LoggerCancelled``.
        size: Only so many bytes are read, of a file that may be growing; None: all of it.

    Raises:
        LoggerUnclear: A question of the format was not answered.
        SourceMissing, SourceUnreadable, LoggerCancelled.
    """
    if form.to_ask:
        raise LoggerUnclear(why=str(form.to_ask[0]), file=Path(path).name)
    reader = RowReader(form, zone)
    for lines, done in _lines_in_order(path, form, size):
        if cancelled():
            raise LoggerCancelled(path=str(path))
        chunk = reader.take(lines)
        progress(done)
        yield replace(chunk, done=done)
    yield replace(reader.finish(), done=1.0)


def _lines_in_order(path: Path, form: LoggerFormat, size: int | None) -> Iterator[tuple[list[str], float]]:
    """The lines below the headings, oldest first, with the part of the file that is read."""
    skip, held = form.heading_lines, []
    with opened(path) as file:
        size = max(Path(path).stat().st_size if size is None else size, 1)
        for lines, read in whole_lines(file, form.encoding, size):
            below, skip = lines[skip:], max(skip - len(lines), 0)
            if form.newest_first:
                held += below
            else:
                yield below, min(read / size, 1.0)
    held.reverse()
    for begin in range(0, len(held), _LINES):
        yield held[begin : begin + _LINES], min((begin + _LINES) / len(held), 1.0)


class RowReader:
    """Reads lines in the order of time; what later lines depend on is kept in mind between pieces.

    Args:
        form: How the lines are read.
        zone: The zone of the logger's clock (IANA name).
        last_s: The last reading before the first line [s since 1970, UTC], where it is read on from there.
        waits: Whether readings wait until it is known that no sensor was stuck, as ``finish`` needs.
    """

    def __init__(
        self, form: LoggerFormat, zone: str, *, last_s: int | None = None, waits: bool = True
    ) -> None:
        self._form = form
        self._stamps, self._figures = Stamps(form), Figures(form.decimal_mark, form.temperature_unit)
        clock = LoggerClock.UTC if form.has_offset else form.clock
        self._to_utc = ToUtc(zone, clock, form.interval_s, last_s)
        self._latest_s = _BEFORE_ALL if last_s is None else last_s
        self._last_good: tuple[float | None, float | None] = (None, None)
        self._held: list[list[str]] = []  # last rows far ahead of those before: what follows will tell
        self._patience = _LEAPING if waits else 1
        self._shown_last_s: int | None = None  # the last stamp by the logger's clock
        self._has_begun, self._odd = False, 0  # rows without a time that were seen since the last reading
        self._stuck = StuckSensor() if waits else None
        self._holes = HoleFinder(form.interval_s)
        self._waiting = Chunk(np.empty(0, dtype=np.int64), [], [])
        columns = (form.stamp_column, form.time_column, form.dry_column, form.second_column)
        self._needed = max(column for column in columns if column is not None) + 1

    def take(self, lines: list[str], *, ends: bool = False) -> Chunk:
        """The readings of these lines, as far as they are decided.

        A last row that leaps ahead by more than a day waits for the next ones, which tell a wrong digit from
        a logger that stood still; unless the file ``ends`` with it. Without ``waits`` it waits for one.
        """
        return self._taken(lines, ends=ends, to_end=False)

    def _taken(self, lines: list[str], *, ends: bool, to_end: bool) -> Chunk:
        set_aside: Counter[SetAside] = Counter()
        cells, broken = self._whole_rows([line for line in lines if line])
        set_aside[SetAside.UNREADABLE] += broken
        cells, self._held = self._held + cells, []
        form = self._form
        shown = self._shown(cells)
        is_stamp = shown > NO_STAMP
        if self._odd or not (self._has_begun and is_stamp.all()):
            set_aside[SetAside.TIME] += self._between_readings(cells, is_stamp)
        if not is_stamp.all():
            lost = [cells[index] for index in np.flatnonzero(~is_stamp).tolist()]
            set_aside[SetAside.TIME] += sum(map(self._begins_with_digit, lost))
            cells = [cells[index] for index in np.flatnonzero(is_stamp).tolist()]
            shown = shown[is_stamp]
        begin = len(shown) if ends else self._ahead_from(shown)
        self._held, cells, shown = cells[begin:], cells[:begin], shown[:begin]
        if len(shown):
            self._shown_last_s = int(shown[-1])
        rows = len(cells) + set_aside.total()
        dry, second = (self._literals(cells, column) for column in (form.dry_column, form.second_column))
        at_s, aside = self._placed(shown)
        aside |= self._faulty(dry, second)
        kept = np.ones(len(at_s), dtype=bool)
        for reason, flags in aside.items():
            set_aside[reason] += int((flags & kept).sum())
            kept &= ~flags
        chunk = Chunk(at_s, dry, second).only(kept)
        self._remember(chunk)
        return self._decided(chunk, rows, set_aside, to_end=to_end)

    def finish(self) -> Chunk:
        """The readings that still waited."""
        return self._taken([], ends=True, to_end=True)

    def _ahead_from(self, shown: Whole) -> int:
        """Where the last stamps begin that leapt ahead and may go back yet; else past the last."""
        before = [] if self._shown_last_s is None else [self._shown_last_s]
        all_s = np.concatenate((np.array(before, dtype=np.int64), shown))
        since = max(len(all_s) - self._patience, 1)
        for at in (np.flatnonzero(np.diff(all_s[since - 1 :]) > _DAY_S) + since).tolist():
            if all_s[at:].min() == all_s[at]:
                return at - len(before)
        return len(shown)

    def _whole_rows(self, lines: list[str]) -> tuple[list[list[str]], int]:
        """The lines with enough cells, divided; and how many of the others began like a row."""
        cells = cells_of(lines, self._form.delimiter)
        if not cells or min(map(len, cells)) >= self._needed:
            return cells, 0
        short = [row for row in cells if len(row) < self._needed]
        stamped = (self._form.stamp_column, self._form.time_column or 0)
        broken = [row for row in short if len(row) > max(stamped)]
        begun = int((self._shown(broken) > NO_STAMP).sum())
        return [row for row in cells if len(row) >= self._needed], begun

    def _begins_with_digit(self, row: list[str]) -> bool:
        return row[self._form.stamp_column].strip()[:1].isdigit()

    def _between_readings(self, cells: list[list[str]], is_stamp: Flags) -> int:
        """How many rows there are with a figure but no sign of a time, up to the last that has a time.

        Above all readings they are headings, and below all of them the logger's summary: Average,52.0,41.0.
        """
        form, stamped = self._form, np.flatnonzero(is_stamp)
        begin = -1 if self._has_begun else int(stamped[0]) if len(stamped) else len(cells)
        end = int(stamped[-1]) if len(stamped) else -1
        columns = [column for column in (form.dry_column, form.second_column) if column is not None]
        odd = [
            index
            for index in np.flatnonzero(~is_stamp).tolist()
            if index > begin
            and not self._begins_with_digit(cells[index])
            and not {NOTHING, NO_FIGURE}.issuperset(
                self._figures.literals([cells[index][column] for column in columns])
            )
        ]
        before = sum(index < end for index in odd) + (self._odd if len(stamped) else 0)
        self._odd = len(odd) + self._odd - before
        self._has_begun |= len(stamped) > 0
        return before

    def _shown(self, cells: list[list[str]]) -> Whole:
        stamp, time = self._form.stamp_column, self._form.time_column
        times = None if time is None else [row[time] for row in cells]
        return self._stamps.read([row[stamp] for row in cells], times)

    def _literals(self, cells: list[list[str]], column: int | None) -> list[str]:
        if column is None:
            return [NOTHING] * len(cells)
        return self._figures.literals([row[column] for row in cells])

    def _placed(self, shown: Whole) -> tuple[Whole, dict[SetAside, Flags]]:
        """UTC of each stamp; which of them never were, stand twice or go back."""
        at_s, never = self._to_utc(shown)
        counts, lost = at_s.copy(), never | _leaps(at_s, self._latest_s)
        counts[lost] = _BEFORE_ALL
        before = np.maximum.accumulate(np.concatenate(([self._latest_s], counts)))
        self._latest_s = int(before[-1])
        twice, back = (counts == before[:-1]) & ~lost, (counts < before[:-1]) | lost
        return at_s, {SetAside.SKIPPED: never, SetAside.TWICE: twice, SetAside.ORDER: back}

    def _faulty(self, dry: list[str], second: list[str]) -> dict[SetAside, Flags]:
        form = self._form
        read, beside = values_of(dry), values_of(second)
        none = np.array([NO_FIGURE in (one, other) for one, other in zip(dry, second, strict=True)])
        is_rh = form.second is SecondReading.RH
        # Where there is no dry bulb in the file at all, its wet bulbs go with another sensor's.
        is_alone = np.isnan(read) & (not is_rh and form.dry_column is not None)
        signs = fault_signs(read, form, self._last_good[0])
        signs |= fault_signs(beside, form, self._last_good[1], humidity=is_rh)
        return {
            SetAside.UNREADABLE: none.astype(bool),
            SetAside.EMPTY: np.isnan(read) & np.isnan(beside),
            SetAside.FAULT: signs,
            **impossible(read, beside, form),
            SetAside.WET_ALONE: is_alone,
        }

    def _remember(self, chunk: Chunk) -> None:
        """The last figures that counted, against which a lonely sign for a fault is held."""
        if len(chunk.at_s):
            dry, second = values_of([chunk.dry[-1]])[0], values_of([chunk.second[-1]])[0]
            self._last_good = (
                self._last_good[0] if np.isnan(dry) else float(dry),
                self._last_good[1] if np.isnan(second) else float(second),
            )

    def _decided(self, chunk: Chunk, rows: int, set_aside: Counter[SetAside], *, to_end: bool) -> Chunk:
        """What is known to be kept of the readings that waited and these, with what was noticed."""
        if self._stuck is not None:
            dry, second = values_of(chunk.dry), values_of(chunk.second)
            kept = self._stuck.take(chunk.at_s, dry, second)
            if to_end:
                kept = np.concatenate((kept, self._stuck.finish()))
            waited = _joined(self._waiting, chunk)
            self._waiting = _part(waited, len(kept), len(waited.at_s))
            set_aside[SetAside.STUCK] += int((~kept).sum())
            chunk = _part(waited, 0, len(kept)).only(kept)
        holes: tuple[Hole, ...] = self._holes.take(chunk.at_s)
        if to_end:
            holes += self._holes.finish()
        return replace(chunk, rows=rows, set_aside=+set_aside, holes=holes)


def _leaps(at_s: Whole, latest_s: int) -> Flags:
    """Stamps more than a day ahead of those on either side: a clock gone wrong, not the end of the order."""
    is_first = latest_s == _BEFORE_ALL
    at_s = at_s if is_first else np.concatenate(([latest_s], at_s))
    leaps = np.zeros(len(at_s), dtype=bool)
    if len(at_s) > 2:
        leaps[0] = is_first and at_s[0] - at_s[1] > _DAY_S and at_s[2] > at_s[1]
        for at in (np.flatnonzero(np.diff(at_s) > _DAY_S) + 1).tolist():
            back = np.flatnonzero(at_s[at + 1 : at + 1 + _LEAPING] < at_s[at])
            if len(back) and at_s[end := at + 1 + int(back[0])] > at_s[at - 1]:
                leaps[at:end] = True
    return leaps if is_first else leaps[1:]


def _joined(one: Chunk, other: Chunk) -> Chunk:
    if not len(one.at_s):
        return other
    at_s = np.concatenate((one.at_s, other.at_s))
    return Chunk(at_s, one.dry + other.dry, one.second + other.second)


def _part(chunk: Chunk, begin: int, end: int) -> Chunk:
    return Chunk(chunk.at_s[begin:end], chunk.dry[begin:end], chunk.second[begin:end])

"""Following the file a logger still writes: looked at twice a second, what came is kept and shown."""

from __future__ import annotations

import time
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QObject, QTimer, Signal

from kilnlog.exchange.errors import SourceUnreadable
from kilnlog.exchange.logger.format import LoggerFormat
from kilnlog.logbook import figures
from kilnlog.logbook.changes import Changes
from kilnlog.logbook.charge_in_hand import waiting_line
from kilnlog.logbook.errors import OtherLogbook
from kilnlog.logbook.logger_settings import remembering
from kilnlog.logbook.logger_words import aside_words
from kilnlog.logbook.session import Logbook
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.errors import KilnlogError
from kilnlog.records.moment import Moment
from kilnlog.records.version import Entry
from kilnlog.store.errors import ChargeClosed, ReadOnlyLogbook
from kilnlog.ui.desk import Desk
from kilnlog.ui.kiln_air.errors import FollowedFileGone, FollowingStopped, LookFailed

if TYPE_CHECKING:
    from kilnlog.drying.air.lines import AirLine
    from kilnlog.logbook.reading_logger import LoggerReading
    from kilnlog.logbook.watching_logger import LoggerWatch

LOOK_EVERY_MS = 500
#: While more stands in the file already; not at once, so that the window can close in between.
BEHIND_MS = 10
#: A logger that begins a new file takes the old one away first: only then is it missed.
GONE_AFTER_S = 5.0
#: Each look that keeps something writes a row of the ledger; of a logger quicker than this the readings wait
#: until they span as long [s], drawn meanwhile.
KEPT_AT_ONCE_FROM_S = 60

#: After these no look will ever succeed.
_FINAL = (OtherLogbook, ChargeClosed, ReadOnlyLogbook)


@dataclass
class _Followed:
    """One file for one charge of one logbook. ``watch`` belongs to the worker's thread."""

    source: Path
    form: LoggerFormat
    sensor: str
    record: ChargeRecord  # of its charge, as last in hand
    logbook: Path | None
    watch: LoggerWatch | None = None
    rows: list[Entry[Any]] = field(default_factory=list)  # written, and not handed on yet
    drawn: bool = False  # what waits of it is in the curve in hand
    aside: Counter[str] = field(default_factory=Counter)  # rows set aside, by reason
    last: Moment | None = None
    missed_since: float | None = None  # by the monotonic clock [s]
    trouble: str = ""
    #: The troubles that were told and are not over, by code.
    told: dict[str, KilnlogError] = field(default_factory=dict)

    @property
    def charge(self) -> str:
        """The entity of its charge."""
        return self.record.entity

    @property
    def number(self) -> str:
        """What its charge is called."""
        return self.record.particulars.charge


@dataclass(frozen=True)
class _Looked:
    """What one look brought."""

    changes: Changes
    aside: Mapping[str, int]
    waiting: AirLine | None  # what this look found and did not keep, with what waited before
    nothing_waits: bool
    last: Moment | None
    is_there: bool
    is_behind: bool


class Watching(QObject):
    """Follows at most one file; every look runs on the worker, one at a time.

    It goes on for the charge it began with, whichever is in hand; another logbook ends it, and the charge's
    closing.

    changed: it began, ended, or ``text`` is another.
    """

    changed = Signal()

    def __init__(self, desk: Desk, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self._followed: _Followed | None = None
        self._shown = ""
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.timeout.connect(self._look)
        desk.record_changed.connect(self._stop_where_it_no_longer_fits)

    @property
    def is_following(self) -> bool:
        """Whether a file is followed now."""
        return self._followed is not None

    @property
    def text(self) -> str:
        """What is followed and how far, for the foot of the window; empty where nothing is."""
        one = self._followed
        if one is None:
            return ""
        what = f"following {one.source.name} for {one.number}"
        if one.trouble:
            return f"{what}: {one.trouble}{aside_words(one.aside)}"
        last = "no reading yet" if one.last is None else f"last reading {_clock(one.last, self._desk.now())}"
        return f"{what}, {last}{aside_words(one.aside)}"

    def follow(self, source: Path, form: LoggerFormat, sensor: str) -> None:
        """Follow this file for the charge in hand, in place of any other; it need not be there yet."""
        self.stop()
        record = self._desk.record
        if record is None or not self._desk.can_write:
            return
        self._followed = _Followed(source, form, sensor, record, self._desk.path)
        self._tell()
        self._look()

    def stop(self) -> None:
        """Follow nothing any more; what was read and waits is kept first."""
        one = self._let_go()
        if one is None:
            return

        def failed(error: KilnlogError) -> None:
            if one.watch is not None:
                one.watch.close()
            if not isinstance(error, _FINAL):
                self._desk.refused.emit(error)

        self._desk.run(lambda book: _ended(book, one), self._take_up, failed)

    def _let_go(self) -> _Followed | None:
        """Look no more, and tell no more that a file is looked for."""
        one, self._followed = self._followed, None
        self._timer.stop()
        if one is not None:
            self._no_longer(one, *one.told)
            self._tell()
        return one

    def _look(self) -> None:
        one = self._followed
        if one is None:
            return

        now, draws_all = self._desk.now(), not one.drawn

        def done(found: _Looked) -> None:
            try:
                self._take_up(found.changes)
                if self._followed is one:
                    self._show_waiting(one, found)
                    self._went_well(one, found)
                    self._timer.start(BEHIND_MS if found.is_behind else LOOK_EVERY_MS)
            except Exception:
                self._failed(one)
                raise

        def failed(error: KilnlogError) -> None:
            if isinstance(error, LookFailed):
                self._failed(one)
                raise error  # a defect of the program: reported as any other
            if self._followed is one:
                self._went_wrong(one, error)

        self._desk.run(lambda book: _looked(book, one, now, draws_all=draws_all), done, failed)

    def _failed(self, one: _Followed) -> None:
        """The program failed in a look: say so, and say no longer that the file is followed."""
        if self._followed is one:
            self._let_go()
            if one.watch is not None:
                one.watch.close()  # no look is on the worker now
            self._desk.refused.emit(FollowingStopped(why="failed", file=one.source.name, charge=one.number))

    def _show_waiting(self, one: _Followed, found: _Looked) -> None:
        """Draw what waits; what was kept leaves the drawing only once the views have it from the file."""
        record = self._desk.record
        one.drawn = record is not None and record.entity == one.charge
        if not one.drawn:
            return
        drawn = self._desk.air.waiting
        if found.waiting is not None or (found.nothing_waits and drawn and not found.changes.entries):
            self._desk.show_waiting(found.waiting)

    def _take_up(self, changes: Changes) -> None:
        if changes.entries:
            self._desk.follow(changes)

    def _went_well(self, one: _Followed, found: _Looked) -> None:
        one.last = found.last or one.last
        one.trouble = ""
        one.aside.update(found.aside)
        self._no_longer(one, *(code for code in one.told if code != FollowedFileGone.code))
        if found.is_there:
            one.missed_since = None
            self._no_longer(one, *one.told)
        elif self._is_missed(one):
            one.trouble = "the file is not there"
            self._tell_once(one, FollowedFileGone(path=str(one.source)))
        self._tell()

    def _is_missed(self, one: _Followed) -> bool:
        if one.missed_since is None:
            one.missed_since = time.monotonic()
        return time.monotonic() - one.missed_since >= GONE_AFTER_S

    def _went_wrong(self, one: _Followed, error: KilnlogError) -> None:
        if isinstance(error, _FINAL):
            self._give_up("charge-closed" if isinstance(error, ChargeClosed) else "other-logbook")
            return
        unread = isinstance(error, SourceUnreadable)
        one.trouble = "it cannot be read" if unread else "what came cannot be kept"
        self._tell_once(one, error)
        self._tell()
        self._timer.start(LOOK_EVERY_MS)

    def _tell_once(self, one: _Followed, error: KilnlogError) -> None:
        if error.code not in one.told:
            one.told[error.code] = error
            self._desk.refused.emit(error)

    def _no_longer(self, one: _Followed, *codes: str) -> None:
        """These troubles are over; that a file is looked for in vain is then no longer true either."""
        for code in codes:
            error = one.told.pop(code)
            if isinstance(error, FollowedFileGone | SourceUnreadable):
                self._desk.over.emit(error)

    def _stop_where_it_no_longer_fits(self, _: object) -> None:
        one, desk = self._followed, self._desk
        if one is None:
            return
        if desk.path != one.logbook:
            self._give_up("other-logbook")
        elif desk.record is None or desk.record.entity != one.charge:
            one.drawn = False
        elif not desk.can_write:
            self._give_up("charge-closed")
        else:
            one.record = desk.record

    def _give_up(self, why: str) -> None:
        """Stop, and say why nothing more comes."""
        one = self._followed
        if one is not None:
            self.stop()
            self._desk.refused.emit(FollowingStopped(why=why, file=one.source.name, charge=one.number))

    def _tell(self) -> None:
        if (text := self.text) != self._shown:
            self._shown = text
            self.changed.emit()


def _looked(book: Logbook, one: _Followed, now: Moment, *, draws_all: bool) -> _Looked:
    """One look, on the worker's thread; what is no refusal is a defect, and known as such here."""
    try:
        return _look_at(book, one, now, draws_all=draws_all)
    except KilnlogError:
        raise
    except Exception as error:
        raise LookFailed(file=one.source.name) from error


def _look_at(book: Logbook, one: _Followed, now: Moment, *, draws_all: bool) -> _Looked:
    """The first look opens the watch and remembers how the file is read."""
    _check(book, one)
    if one.watch is None:
        from kilnlog.logbook.watching_logger import LoggerWatch  # noqa: PLC0415  # loads numpy, on the worker

        is_quick = one.form.interval_s is not None and one.form.interval_s < KEPT_AT_ONCE_FROM_S
        keep_every_s = KEPT_AT_ONCE_FROM_S if is_quick else 0
        watch = LoggerWatch(
            book, one.charge, one.source, one.form, sensor=one.sensor, keep_every_s=keep_every_s
        )
        with book.file.immediate():
            if (row := remembering(book, one.sensor, one.form)) is not None:
                one.rows.append(book.file.insert(row))
        one.watch = watch
    reading = one.watch.look(book)
    rows = (*one.rows, *reading.changes.entries)
    one.rows.clear()
    is_new = one.watch.found or draws_all
    waiting = waiting_line(one.watch.waiting, one.record, now) if is_new else None
    last = _last(one, reading, waiting)
    none_waits = one.watch.waiting is None
    aside = {str(reason): number for reason, number in reading.set_aside.items()}
    is_there = one.source.exists()
    return _Looked(Changes.of(rows), aside, waiting, none_waits, last, is_there, one.watch.is_behind)


def _last(one: _Followed, reading: LoggerReading, waiting: AirLine | None) -> Moment | None:
    """The last reading that was found: kept, or waiting to be."""
    if reading.last is not None or waiting is None:
        return reading.last
    return Moment(datetime.fromtimestamp(float(waiting.at_s[-1]), UTC), one.record.particulars.zone)


def _ended(book: Logbook, one: _Followed) -> Changes:
    """The last look, on the worker's thread."""
    _check(book, one)
    if one.watch is None:
        return Changes.of(())
    try:
        return Changes.of((*one.rows, *one.watch.look(book, keep_now=True).changes.entries))
    finally:
        one.watch.close()


def _check(book: Logbook, one: _Followed) -> None:
    """Another logbook may be open by the time a look has its turn: it must not get these readings."""
    if one.logbook is not None and book.file.path != one.logbook:
        raise OtherLogbook(name=one.logbook.name)


def _clock(last: Moment, now: Moment) -> str:
    """The time alone where it is today's."""
    return figures.day_and_time(last, now).removeprefix("today, ")

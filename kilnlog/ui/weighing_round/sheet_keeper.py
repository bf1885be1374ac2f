"""The sheet the round is read from, its time, and what stands typed on its lines."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import QObject, QTimer, Signal

from kilnlog.logbook.changes import Changes
from kilnlog.logbook.round_sheet import RoundLine, RoundSheet, round_sheet
from kilnlog.records.decision import Decision
from kilnlog.records.errors import KilnlogError
from kilnlog.records.moment import Moment
from kilnlog.records.version import Entry, VersionKind
from kilnlog.records.weighing import Weighing
from kilnlog.ui.desk import Desk
from kilnlog.ui.weighing_round.round_time import RoundTime
from kilnlog.ui.weighing_round.typed import StandingTyped, Typed, TypedState

#: While boards are weighed the clock is followed by a timer; after a longer rest the sheet may be of another
#: round, and is drawn up anew before anything is kept.
REST_H = 1 / 3


class SheetKeeper(QObject):
    """Follows the charge in hand and the clock.

    ``changed()``: the sheet, or what stands typed on a line, is new.
    """

    changed = Signal()

    def __init__(self, desk: Desk, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.desk = desk
        self.sheet: RoundSheet | None = None
        self.last_kept: str | None = None
        self.is_answering = False  # a reason is being typed: the round stays as it is meanwhile
        # By logbook and charge: another one in hand drops nothing, and a copy of a logbook is another one.
        self._standing: dict[tuple[str, str], StandingTyped] = {}
        self._labels: dict[str, tuple[str, str]] = {}  # of charge and board
        self._home: dict[str, StandingTyped] = {}  # of which charge a board is
        desk.record_changed.connect(self._follow)
        self._minute = QTimer(self)
        self._minute.setInterval(20_000)
        self._minute.timeout.connect(self.follow_clock)
        self._minute.start()
        self._draw_up(before_still_holds=False)

    @property
    def at(self) -> Moment:
        """When the weights being typed were read: the chosen time, else the present minute.

        A closed charge is weighed no more: it shows its last round.
        """
        record, assessment = self.desk.record, self.desk.assessment
        is_closed = record is not None and record.is_closed
        if self.time.chosen is None and is_closed and assessment is not None and assessment.rounds:
            return assessment.rounds[-1].until
        return self.time.at

    @property
    def time(self) -> RoundTime:
        """The time of the charge in hand; each keeps its own."""
        return self._here.time

    def choose_time(self, at: Moment | None) -> None:
        """Let the round be that of ``at``; None follows the clock. What is typed is to be offered anew."""
        self.time.choose(at)
        self._here.put_back()
        self.last_kept = None
        self._draw_up(before_still_holds=False)

    def time_unread(self, error: KilnlogError | None) -> None:
        """The time field holds what is no time, or no longer: until then no weight can be kept."""
        self.time.unread = error

    @property
    def _here(self) -> StandingTyped:
        record = self.desk.record
        key = (str(self.desk.path), record.entity if record is not None else "")
        if key not in self._standing:
            self._standing[key] = StandingTyped(RoundTime(self.desk.now))
        return self._standing[key]

    def stands(self, entity: str) -> Typed | None:
        """What stands typed on the line of a board and is not kept."""
        return self._here.of(entity)

    def unkept(self) -> tuple[str, ...]:
        """The boards whose typed weights nobody has kept, with their charge where it is not in hand."""
        here = self._here
        told = []
        for standing in self._standing.values():
            for board, text in standing.unkept().items():
                charge, label = self._labels[board]
                told.append(
                    f"{label} ({text})" if standing is here else f"{label} of charge {charge} ({text})"
                )
        return tuple(told)

    def is_saving(self, entity: str) -> bool:
        """Whether the file is about to hold a weight of that board."""
        return self._here.is_saving(entity)

    def is_here(self, entity: str) -> bool:
        """Whether the line of a board is one of the charge in hand."""
        return self.line(entity) is not None

    def line(self, entity: str) -> RoundLine | None:
        """The line of one board."""
        lines = self.sheet.lines if self.sheet is not None else ()
        return next((line for line in lines if line.entity == entity), None)

    def hold(self, entity: str, text: str) -> None:
        """The line was left with digits in it: they wait there for their Enter."""
        home = self._home.get(entity)
        if home is None:
            return
        if text.strip():
            time = home.time
            home.half[entity] = Typed(text, TypedState.HALF, read_at=time.at, late=time.is_late)
        elif home.half.pop(entity, None) is None:
            return
        self.changed.emit()

    def look_elsewhere(self) -> None:
        """The operator went to another line by hand: what was last kept is no longer spoken of."""
        self.last_kept = None

    def leave(self, entity: str) -> None:
        """Drop what stands typed on a line; what is kept, or is being kept, is untouched."""
        if self._here.drop(entity):
            self.changed.emit()

    def _set(self, entity: str, typed: Typed) -> None:
        self._here.offered[entity] = typed
        self.changed.emit()

    def _follow(self, changes: Changes | None) -> None:
        if changes is None:
            self.last_kept = None
        else:
            for entry in changes.entries:
                if isinstance(entry.fact, Weighing):
                    self._here.end_saving(entry.fact.board, entry.fact.weight, entry.at)
                    self.last_kept = entry.fact.board
        self._draw_up(before_still_holds=changes is not None and self._only_this_round(changes))

    def _only_this_round(self, changes: Changes) -> bool:
        """Whether what was known before the round is untouched by these rows."""
        return self.sheet is not None and all(
            isinstance(entry.fact, Weighing | Decision) and self._was_since_before(entry)
            for entry in changes.entries
        )

    def _was_since_before(self, entry: Entry[Any]) -> bool:
        """Whether a row, and whatever it succeeds, is of this round."""
        record, sheet = self.desk.record, self.sheet
        if record is None or sheet is None or entry.at <= sheet.before.at:
            return False
        if entry.version.kind is VersionKind.FIRST:
            return True
        line = next((line for line in record.weighing if line.entity == entry.entity), None)
        return line is not None and all(one.at > sheet.before.at for one in line.entries)

    def _draw_up(self, *, before_still_holds: bool) -> None:
        record, assessment = self.desk.record, self.desk.assessment
        if record is None or assessment is None:
            self.sheet = None
        else:
            holds = before_still_holds and self._is_at_sheet()
            before = self.sheet.before if self.sheet is not None and holds else None
            self.sheet = round_sheet(record, self.desk.reference, assessment, self.at, before)
            charge = record.particulars.charge
            self._home.update((line.entity, self._here) for line in self.sheet.lines)
            self._labels.update((line.entity, (charge, line.board)) for line in self.sheet.lines)
        self.changed.emit()

    def _is_at_sheet(self) -> bool:
        """Whether the sheet is of about this time."""
        return self.sheet is not None and abs(self.at.hours_since(self.sheet.at)) < REST_H

    def follow_clock(self) -> None:
        """Draw the sheet up anew where the present minute is another one; a timer does so as time goes by."""
        if not self.is_answering and self.time.lapse():
            self._here.put_back()
            self.last_kept = None
            self._draw_up(before_still_holds=False)
        elif self.time.chosen is None and self.sheet is not None and self.at != self.sheet.at:
            self._draw_up(before_still_holds=self.sheet.begun_at is not None)

    def _catch_up(self) -> None:
        """The timer stands still while the machine sleeps."""
        if not self._is_at_sheet() or self.time.chosen is not None:
            self.follow_clock()

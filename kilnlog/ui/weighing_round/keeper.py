"""What happens to a typed weight: read, doubted or not, kept; and the sheet the round is read from."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtCore import QLocale, QObject, QTimer, Signal

from kilnlog.drying.plausibility import Doubt, doubts
from kilnlog.logbook import figures
from kilnlog.logbook.changes import Changes
from kilnlog.logbook.errors import TimeLapsed, WeightNotKept
from kilnlog.logbook.round_sheet import RoundLine, RoundSheet, round_sheet, weighing_in_round
from kilnlog.logbook.weighing_round import keep_weight
from kilnlog.logbook.wording import worded
from kilnlog.records.decision import Decision
from kilnlog.records.errors import AmbiguousNumber, KilnlogError
from kilnlog.records.moment import Moment
from kilnlog.records.typed_weight import weight_from_reading, weight_from_text
from kilnlog.records.version import Entry
from kilnlog.records.weighing import Weighing
from kilnlog.records.weight import Weight
from kilnlog.ui.desk import Desk
from kilnlog.ui.weighing_round.round_time import RoundTime
from kilnlog.ui.weighing_round.typed import StandingTyped, Typed, TypedState

LATE_SOURCE = "sheet"
#: While boards are weighed the clock is followed by a timer; after a longer rest the sheet may be of another
#: round, and is drawn up anew before anything is kept.
REST_H = 1 / 3


class RoundKeeper(QObject):
    """Takes what is typed on a line through to the file.

    ``changed()``: the sheet, or what stands typed on a line, is new.
    ``kept(str)``: the file holds the weight of that board.
    ``refused(str, WeightNotKept)``: the weight of that board was not kept; its line says why, and where that
        line is not to be seen, the error does.
    """

    changed = Signal()
    kept = Signal(str)
    refused = Signal(str, object)

    def __init__(self, desk: Desk, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.desk = desk
        self.sheet: RoundSheet | None = None
        self.last_kept: str | None = None
        self.time = RoundTime(desk.now)
        self._standing: dict[str, StandingTyped] = {}  # by charge: another charge in hand drops nothing
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
        return self._standing.setdefault(record.entity if record is not None else "", StandingTyped())

    def stands(self, entity: str) -> Typed | None:
        """What stands typed on the line of a board and is not kept."""
        return self._here.of(entity)

    def unkept(self) -> tuple[str, ...]:
        """The boards whose typed weights nobody has kept, with their charge where it is not in hand."""
        here = self._here
        return tuple(
            self._labels[board][1] if standing is here else "{1} of charge {0}".format(*self._labels[board])
            for standing in self._standing.values()
            for board in standing.unkept()
        )

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
            home.half[entity] = text
        elif home.half.pop(entity, None) is None:
            return
        self.changed.emit()

    def look_elsewhere(self) -> None:
        """The operator went to another line by hand: what was last kept is no longer spoken of."""
        self.last_kept = None

    def offer(self, entity: str, text: str) -> bool:
        """Read ``text`` as the weight of a board; True if it is on its way into the file.

        Nothing happens while an earlier weight of that board is still being kept.
        """
        self._catch_up()
        line = self.line(entity)
        if line is None or self._here.is_saving(entity):
            return False
        self._here.half.pop(entity, None)
        if line.kept is not None and text == line.kept.fact.weight.text:
            self.leave(entity)
            return True
        if (barred := self._barred()) is not None:
            self._set(entity, Typed(text, TypedState.REFUSED, error=barred, can_retry=True))
            return False
        try:
            weight = weight_from_text(text, line.unit, decimal_mark=QLocale().decimalPoint())
        except AmbiguousNumber as error:
            readings = tuple(str(reading) for reading in error.values["readings"])  # type: ignore[attr-defined]
            self._set(entity, self._read_now(Typed(text, TypedState.ASKED, readings=readings, error=error)))
            return False
        except KilnlogError as error:
            self._set(entity, Typed(text, TypedState.REFUSED, error=error))
            return False
        return self._weigh_up(line, weight, self._read_now(Typed(text, TypedState.ASKED, weight)))

    def take_reading(self, entity: str, reading: str) -> bool:
        """Settle a text that can be read in two ways; it is kept as typed, with the value chosen."""
        line, typed = self.line(entity), self._here.offered.get(entity)
        if line is None or typed is None or reading not in typed.readings:
            return False
        return self._weigh_up(line, weight_from_reading(typed.text, reading, line.unit), typed)

    def take_likely(self, entity: str) -> bool:
        """Keep the likely truth; what was typed stays beside it."""
        typed = self._answerable(entity)
        if typed is None or typed.likely is None:
            return False
        return self._keep(entity, typed.likely, typed, typed_first=typed.text)

    def insist(self, entity: str, reason: str) -> bool:
        """Keep the weight as typed, with the operator's reason."""
        typed = self._answerable(entity)
        if typed is None or typed.weight is None or not typed.can_insist or not reason.strip():
            return False
        return self._keep(entity, typed.weight, typed, insisted=typed.doubts, reason=reason.strip())

    def leave(self, entity: str) -> None:
        """Drop what stands typed on a line; what is kept, or is being kept, is untouched."""
        if self._here.drop(entity):
            self.changed.emit()

    def _barred(self) -> KilnlogError | None:
        """Why no weight can be kept now; that the chosen time was dropped is told once."""
        if self.time.unread is not None:
            return self.time.unread
        if self.time.lapsed is not None:
            error = TimeLapsed(chosen=self.time.lapsed, at=self.at)
            self.time.told_lapsed()
            return error
        return None

    def _read_now(self, typed: Typed) -> Typed:
        self.time.use()
        return replace(typed, read_at=self.at, late=self.time.is_late)

    def _kept_version(self, entity: str, at: Moment) -> Entry[Weighing] | None:
        record = self.desk.record
        if record is None:
            return None
        return weighing_in_round(record, self.desk.reference, entity, at)

    def _answerable(self, entity: str) -> Typed | None:
        """The asked weight whose answer can be kept; asked anew where that of the round changed since."""
        typed, line = self._here.offered.get(entity), self.line(entity)
        if typed is None or typed.read_at is None or line is None or typed.state is TypedState.SAVING:
            return None
        kept = self._kept_version(entity, typed.read_at)
        if typed.weight is not None and typed.over != (kept.version.uid if kept is not None else None):
            self._weigh_up(line, typed.weight, typed)
            return None
        return typed

    def _weigh_up(self, line: RoundLine, weight: Weight, typed: Typed) -> bool:
        record, assessment = self.desk.record, self.desk.assessment
        if record is None or assessment is None or typed.read_at is None:
            return False
        # The sheet is of the round of the present time; an answer may come when that is another one.
        is_of_sheet = self.sheet is not None and typed.read_at == self.sheet.at
        kept = line.kept if is_of_sheet else self._kept_version(line.entity, typed.read_at)
        corrects = kept.entity if kept is not None else None
        doubted = doubts(
            record, assessment, line.entity, weight, typed.read_at, self.desk.now(), corrects=corrects
        )
        over = kept.version.uid if kept is not None else None
        typed = replace(typed, state=TypedState.ASKED, weight=weight, readings=(), error=None, over=over)
        if not doubted:
            return self._keep(line.entity, weight, typed)
        likely = next((doubt.likely for doubt in doubted if doubt.likely is not None), None)
        self._set(line.entity, replace(typed, doubts=doubted, likely=likely))
        return False

    def _keep(
        self,
        entity: str,
        weight: Weight,
        typed: Typed,
        *,
        typed_first: str | None = None,
        insisted: tuple[Doubt, ...] = (),
        reason: str | None = None,
    ) -> bool:
        line, record = self.line(entity), self.desk.record
        if line is None or record is None or typed.read_at is None:
            return False
        kept_before = self._kept_version(entity, typed.read_at) if typed.over is not None else None
        standing, board, charge = self._here, line.board, record.particulars.charge
        self._set(entity, replace(typed, state=TypedState.SAVING, weight=weight))

        def refused(error: KilnlogError) -> None:
            standing.offered[entity] = Typed(
                typed.text, TypedState.REFUSED, weight, error=error, can_retry=True
            )
            self.changed.emit()
            told = {"board": board, "charge": charge, "typed": typed.text}
            self.refused.emit(entity, WeightNotKept(reason=worded(error).text, **told))

        def kept(_: Changes) -> None:
            standing.end_saving(entity)
            self.kept.emit(entity)

        self.desk.do(
            keep_weight,
            record.entity,
            entity,
            weight,
            typed.read_at,
            late_from=LATE_SOURCE if typed.late else None,
            typed_first=typed_first,
            insisted=insisted,
            reason=reason,
            corrects=kept_before.entity if kept_before is not None else None,
            saying=f"Board {board}, {_told(weight)}",
            done=kept,
            failed=refused,
        )
        return True

    def _set(self, entity: str, typed: Typed) -> None:
        self._here.offered[entity] = typed
        self.changed.emit()

    def _follow(self, changes: Changes | None) -> None:
        if changes is None:
            self.last_kept = None
            self.time.choose(None)
        else:
            for entry in changes.entries:
                if isinstance(entry.fact, Weighing):
                    self._here.end_saving(entry.fact.board)
                    self.last_kept = entry.fact.board
        self._draw_up(before_still_holds=changes is not None and self._only_this_round(changes))

    def _only_this_round(self, changes: Changes) -> bool:
        """Whether what was known before the round is untouched by these rows."""
        return self.sheet is not None and all(
            isinstance(entry.fact, Weighing | Decision) and entry.at > self.sheet.before.at
            for entry in changes.entries
        )

    def _draw_up(self, *, before_still_holds: bool) -> None:
        record, assessment = self.desk.record, self.desk.assessment
        if record is None or assessment is None:
            self.sheet = None
        else:
            before = self.sheet.before if self.sheet is not None and before_still_holds else None
            self.sheet = round_sheet(record, self.desk.reference, assessment, self.at, before)
            charge = record.particulars.charge
            self._home.update((line.entity, self._here) for line in self.sheet.lines)
            self._labels.update((line.entity, (charge, line.board)) for line in self.sheet.lines)
        self.changed.emit()

    def follow_clock(self) -> None:
        """Draw the sheet up anew where the present minute is another one; a timer does so as time goes by."""
        if self.time.lapse():
            self._here.put_back()
            self.last_kept = None
            self._draw_up(before_still_holds=False)
        elif self.time.chosen is None and self.sheet is not None and self.at != self.sheet.at:
            rested = abs(self.at.hours_since(self.sheet.at)) >= REST_H
            self._draw_up(before_still_holds=self.sheet.begun_at is not None and not rested)

    def _catch_up(self) -> None:
        """The timer stands still while the machine sleeps."""
        rested = self.sheet is not None and abs(self.at.hours_since(self.sheet.at)) >= REST_H
        if rested or self.time.chosen is not None:
            self.follow_clock()


def _told(weight: Weight) -> str:
    named = any(letter.isalpha() for letter in weight.text)
    return weight.text if named else f"{figures.grouped(weight)} {weight.unit}"

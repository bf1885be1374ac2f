"""What happens to a typed weight: read, doubted or not, kept; and the sheet the round is read from."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime
from enum import StrEnum

from PySide6.QtCore import QLocale, QObject, QTimer, Signal

from kilnlog.drying.plausibility import Doubt, doubts
from kilnlog.logbook import figures
from kilnlog.logbook.changes import Changes
from kilnlog.logbook.round_sheet import RoundLine, RoundSheet, round_sheet
from kilnlog.logbook.weighing_round import keep_weight
from kilnlog.records.decision import Decision
from kilnlog.records.errors import AmbiguousNumber, KilnlogError
from kilnlog.records.moment import Moment
from kilnlog.records.typed_weight import weight_from_reading, weight_from_text
from kilnlog.records.weighing import Weighing
from kilnlog.records.weight import Weight
from kilnlog.ui.desk import Desk

#: A time further back than this was not typed at the scale but copied from a sheet.
LATE_AFTER_H = 0.5
LATE_SOURCE = "sheet"


class TypedState(StrEnum):
    """Where a typed weight stands on its way into the file."""

    SAVING = "saving"
    ASKED = "asked"
    REFUSED = "refused"


@dataclass(frozen=True)
class Typed:
    """A weight typed on a line and not kept yet."""

    text: str
    state: TypedState
    weight: Weight | None = None
    doubts: tuple[Doubt, ...] = ()
    readings: tuple[str, ...] = ()  # where the text can be read in two ways
    error: KilnlogError | None = None
    likely: Weight | None = field(default=None)

    @property
    def can_insist(self) -> bool:
        """Whether the operator may keep it as typed."""
        return self.weight is not None and all(doubt.possible for doubt in self.doubts)


class RoundKeeper(QObject):
    """Takes what is typed on a line through to the file.

    ``changed()``: the sheet, or what stands typed on a line, is new.
    ``kept(str)``: the file holds the weight of that board.
    ``refused(str)``: the weight of that board was not kept; its line says why.
    """

    changed = Signal()
    kept = Signal(str)
    refused = Signal(str)

    def __init__(self, desk: Desk, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.desk = desk
        self.sheet: RoundSheet | None = None
        self.typed: dict[str, Typed] = {}
        self.last_kept: str | None = None
        self._chosen_at: Moment | None = None
        desk.record_changed.connect(self._follow)
        self._minute = QTimer(self)
        self._minute.setInterval(20_000)
        self._minute.timeout.connect(self._tick)
        self._minute.start()
        self._draw_up(before_still_holds=False)

    @property
    def at(self) -> Moment:
        """When the weights being typed were read: the chosen time, else the present minute.

        A closed charge is weighed no more: it shows its last round.
        """
        if self._chosen_at is not None:
            return self._chosen_at
        record, assessment = self.desk.record, self.desk.assessment
        if record is not None and record.is_closed and assessment is not None and assessment.rounds:
            return assessment.rounds[-1].until
        return _to_the_minute(self.desk.now())

    @property
    def is_late(self) -> bool:
        """Whether the weights are copied from a sheet rather than typed at the scale."""
        return self._chosen_at is not None and self.desk.now().hours_since(self._chosen_at) > LATE_AFTER_H

    def choose_time(self, at: Moment | None) -> None:
        """Let the round be that of ``at``; None follows the clock again."""
        self._chosen_at = at
        self.typed.clear()
        self.last_kept = None
        self._draw_up(before_still_holds=False)

    def line(self, entity: str) -> RoundLine | None:
        """The line of one board."""
        lines = self.sheet.lines if self.sheet is not None else ()
        return next((line for line in lines if line.entity == entity), None)

    def offer(self, entity: str, text: str) -> bool:
        """Read ``text`` as the weight of a board; True if it is on its way into the file."""
        line = self.line(entity)
        if line is None:
            return False
        if line.kept is not None and text == line.kept.fact.weight.text:
            self.leave(entity)
            return True
        try:
            weight = weight_from_text(text, line.unit, decimal_mark=QLocale().decimalPoint())
        except AmbiguousNumber as error:
            readings = tuple(str(reading) for reading in error.values["readings"])  # type: ignore[attr-defined]
            self._set(entity, Typed(text, TypedState.ASKED, readings=readings, error=error))
            return False
        except KilnlogError as error:
            self._set(entity, Typed(text, TypedState.REFUSED, error=error))
            return False
        return self._weigh_up(line, text, weight)

    def take_reading(self, entity: str, reading: str) -> bool:
        """Settle a text that can be read in two ways; it is kept as typed, with the value chosen."""
        line = self.line(entity)
        typed = self.typed.get(entity)
        if line is None or typed is None or reading not in typed.readings:
            return False
        return self._weigh_up(line, typed.text, weight_from_reading(typed.text, reading, line.unit))

    def take_likely(self, entity: str) -> bool:
        """Keep the likely truth; what was typed stays beside it."""
        typed = self.typed.get(entity)
        if typed is None or typed.likely is None:
            return False
        return self._keep(entity, typed.likely, typed.text, typed_first=typed.text)

    def insist(self, entity: str, reason: str) -> bool:
        """Keep the weight as typed, with the operator's reason."""
        typed = self.typed.get(entity)
        if typed is None or typed.weight is None or not typed.can_insist or not reason.strip():
            return False
        return self._keep(entity, typed.weight, typed.text, insisted=typed.doubts, reason=reason.strip())

    def leave(self, entity: str) -> None:
        """Drop what stands typed on a line; what is kept is untouched."""
        if self.typed.pop(entity, None) is not None:
            self.changed.emit()

    def _weigh_up(self, line: RoundLine, text: str, weight: Weight) -> bool:
        record, assessment = self.desk.record, self.desk.assessment
        if record is None or assessment is None:
            return False
        corrects = line.kept.entity if line.kept is not None else None
        doubted = doubts(record, assessment, line.entity, weight, self.at, self.desk.now(), corrects=corrects)
        if not doubted:
            return self._keep(line.entity, weight, text)
        likely = next((doubt.likely for doubt in doubted if doubt.likely is not None), None)
        self._set(line.entity, Typed(text, TypedState.ASKED, weight, doubted, likely=likely))
        return False

    def _keep(
        self,
        entity: str,
        weight: Weight,
        text: str,
        *,
        typed_first: str | None = None,
        insisted: tuple[Doubt, ...] = (),
        reason: str | None = None,
    ) -> bool:
        line, record = self.line(entity), self.desk.record
        if line is None or record is None:
            return False
        self._set(entity, Typed(text, TypedState.SAVING, weight))

        def refused(error: KilnlogError) -> None:
            self._set(entity, Typed(text, TypedState.REFUSED, weight, error=error))
            self.refused.emit(entity)

        def kept(_: Changes) -> None:
            self.kept.emit(entity)

        self.desk.do(
            keep_weight,
            record.entity,
            entity,
            weight,
            self.at,
            late_from=LATE_SOURCE if self.is_late else None,
            typed_first=typed_first,
            insisted=insisted,
            reason=reason,
            corrects=line.kept.entity if line.kept is not None else None,
            saying=f"Board {line.board}, {_told(weight)}",
            done=kept,
            failed=refused,
        )
        return True

    def _set(self, entity: str, typed: Typed) -> None:
        self.typed[entity] = typed
        self.changed.emit()

    def _follow(self, changes: Changes | None) -> None:
        if changes is None:
            self.typed.clear()
            self.last_kept = None
            self._chosen_at = None
        else:
            for entry in changes.entries:
                if isinstance(entry.fact, Weighing):
                    typed = self.typed.get(entry.fact.board)
                    if typed is not None and typed.state is TypedState.SAVING:
                        del self.typed[entry.fact.board]
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
        self.changed.emit()

    def _tick(self) -> None:
        """Follow the clock while no time was chosen and nothing stands half typed."""
        if self._chosen_at is None and not self.typed and self.sheet is not None:
            still = self.sheet.begun_at is not None and self.at.hours_since(self.sheet.at) < 1
            if self.at != self.sheet.at:
                self._draw_up(before_still_holds=still)


def _to_the_minute(moment: Moment) -> Moment:
    utc: datetime = moment.utc.replace(second=0, microsecond=0)
    return Moment(utc, moment.zone)


def _told(weight: Weight) -> str:
    named = any(letter.isalpha() for letter in weight.text)
    return weight.text if named else f"{figures.grouped(weight)} {weight.unit}"

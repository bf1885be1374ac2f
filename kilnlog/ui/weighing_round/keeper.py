"""What happens to a typed weight: read, asked about or not, kept."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtCore import QLocale, Signal

from kilnlog.drying.plausibility import doubts
from kilnlog.logbook import figures
from kilnlog.logbook.changes import Changes
from kilnlog.logbook.errors import TimeLapsed, WeighedAgain, WeightNotKept, WhenRead
from kilnlog.logbook.round_sheet import RoundLine, weighing_in_round
from kilnlog.logbook.weighing_round import keep_weight
from kilnlog.logbook.wording import worded
from kilnlog.records.errors import AmbiguousNumber, KilnlogError
from kilnlog.records.moment import Moment
from kilnlog.records.typed_weight import weight_from_reading, weight_from_text
from kilnlog.records.version import Entry
from kilnlog.records.weighing import Weighing
from kilnlog.records.weight import Weight
from kilnlog.ui.weighing_round.sheet_keeper import SheetKeeper
from kilnlog.ui.weighing_round.typed import Attempt, Typed, TypedState, Way

LATE_SOURCE = "sheet"
#: What was typed so long ago may be of then or of now.
OTHER_TIME_H = 1.0
#: A weight of the same board so much later is hardly the one kept, typed again.
AGAIN_AFTER_H = 0.5


class RoundKeeper(SheetKeeper):
    """Takes what is typed on a line through to the file.

    ``kept(str)``: the file holds the weight of that board.
    ``refused(str, WeightNotKept)``: the weight of that board was not kept; its line says why, and where that
        line is not to be seen, the error does.
    """

    kept = Signal(str)
    refused = Signal(str, object)

    def offer(self, entity: str, text: str, *, edited: bool = True, stayed: bool = False) -> bool:
        """Read ``text`` as the weight of a board; True if it is on its way into the file.

        Where the line only ``stayed`` in hand, its weight kept, it is asked whether that board is meant.

        Nothing happens while an earlier weight of that board is still being kept, nor where the weight that
        is kept was not ``edited``.
        """
        self._catch_up()
        line = self.line(entity)
        if line is None or self._here.is_saving(entity):
            return False
        stood = self._here.of(entity)
        self._here.half.pop(entity, None)
        if line.kept is not None and not edited and text == line.kept.fact.weight.text:
            self.leave(entity)
            return True
        if (barred := self._barred()) is not None:
            self._set(entity, Typed(text, TypedState.REFUSED, error=barred, can_retry=True))
            return False
        self.time.use()
        typed = Typed(text, TypedState.ASKED, read_at=self.at, late=self.time.is_late, stayed=stayed)
        then = stood.read_at if stood is not None and stood.text == text else None
        if stood is not None and then is not None and abs(self.at.hours_since(then)) >= OTHER_TIME_H:
            self._ask_when(entity, typed, then, late=stood.late)
            return False
        return self._read(line, typed)

    def retry(self, entity: str) -> bool:
        """Offer a refused weight once more, as it was about to be kept, for the time it was read."""
        typed = self._here.offered.get(entity)
        if typed is None or not typed.can_retry:
            return False
        if typed.attempt is None:
            return self.offer(entity, typed.text)
        if self._answerable(entity) is None:
            return False
        return self._keep(entity, typed, typed.attempt)

    def take_reading(self, entity: str, reading: str) -> bool:
        """Settle a text that can be read in two ways; it is kept as typed, with the value chosen."""
        line, typed = self.line(entity), self._here.offered.get(entity)
        if line is None or typed is None or reading not in typed.readings:
            return False
        return self._weigh_up(line, weight_from_reading(typed.text, reading, line.unit), typed)

    def take_way(self, entity: str, number: int) -> bool:
        """Settle of which time, or of which weighing, a typed weight is."""
        line, typed = self.line(entity), self._here.offered.get(entity)
        if line is None or typed is None or number >= len(typed.ways):
            return False
        way = typed.ways[number]
        typed = replace(typed, ways=(), error=None, read_at=way.read_at, late=way.late, anew=way.anew)
        if typed.weight is not None:
            return self._weigh_up(line, typed.weight, typed)
        return self._read(line, typed)

    def take_likely(self, entity: str) -> bool:
        """Keep the likely truth; what was typed stays beside it."""
        typed = self._answerable(entity)
        if typed is None or typed.likely is None:
            return False
        return self._keep(entity, typed, Attempt(typed.likely, typed_first=typed.text))

    def insist(self, entity: str, reason: str) -> bool:
        """Keep the weight as typed, with the operator's reason."""
        typed = self._answerable(entity)
        if typed is None or typed.weight is None or not typed.can_insist or not reason.strip():
            return False
        attempt = Attempt(typed.weight, insisted=typed.doubts, reason=reason.strip())
        return self._keep(entity, typed, attempt)

    def _barred(self) -> KilnlogError | None:
        """Why no weight can be kept now; that the chosen time was dropped is told once."""
        if self.time.unread is not None:
            return self.time.unread
        if self.time.lapsed is not None:
            error = TimeLapsed(chosen=self.time.lapsed, at=self.at)
            self.time.told_lapsed()
            return error
        return None

    def _ask_when(self, entity: str, typed: Typed, then: Moment, *, late: bool) -> None:
        """It was typed long ago and never kept: of then, or of now?"""
        ways = (
            Way(f"Read {figures.weekday_date_and_time(then)}", then, late),
            Way(f"Read {figures.weekday_date_and_time(self.at)}", self.at, self.time.is_late),
        )
        error = WhenRead(typed=typed.text, read_at=then)
        self._set(entity, replace(typed, ways=ways, error=error))

    def _read(self, line: RoundLine, typed: Typed) -> bool:
        try:
            weight = weight_from_text(typed.text, line.unit, decimal_mark=QLocale().decimalPoint())
        except AmbiguousNumber as error:
            readings = tuple(str(reading) for reading in error.values["readings"])  # type: ignore[attr-defined]
            self._set(line.entity, replace(typed, readings=readings, error=error))
            return False
        except KilnlogError as error:
            self._set(line.entity, Typed(typed.text, TypedState.REFUSED, error=error))
            return False
        return self._weigh_up(line, weight, typed)

    def _kept_in_round(self, entity: str, at: Moment) -> Entry[Weighing] | None:
        record = self.desk.record
        return weighing_in_round(record, self.desk.reference, entity, at) if record is not None else None

    def _answerable(self, entity: str) -> Typed | None:
        """The weight whose answer can be kept; asked anew where that of the round changed since."""
        typed, line = self._here.offered.get(entity), self.line(entity)
        if typed is None or typed.read_at is None or line is None or typed.state is TypedState.SAVING:
            return None
        kept = None if typed.anew else self._kept_in_round(entity, typed.read_at)
        if typed.weight is not None and typed.over != (kept.version.uid if kept is not None else None):
            self._weigh_up(line, typed.weight, replace(typed, anew=None))
            return None
        return typed

    def _weigh_up(self, line: RoundLine, weight: Weight, typed: Typed) -> bool:
        record, assessment, read_at = self.desk.record, self.desk.assessment, typed.read_at
        if record is None or assessment is None or read_at is None:
            return False
        kept = None if typed.anew else self._kept_in_round(line.entity, read_at)
        over = kept.version.uid if kept is not None else None
        typed = replace(
            typed, state=TypedState.ASKED, weight=weight, readings=(), error=None, attempt=None, over=over
        )
        is_later = kept is not None and abs(read_at.hours_since(kept.at)) > AGAIN_AFTER_H
        if kept is not None and typed.anew is None and (typed.stayed or is_later):
            self._ask_again(line, typed, read_at, kept)
            return False
        doubted = doubts(
            record,
            assessment,
            line.entity,
            weight,
            read_at,
            self.desk.now(),
            corrects=kept.entity if kept is not None else None,
        )
        if not doubted:
            return self._keep(line.entity, typed, Attempt(weight))
        likely = next((doubt.likely for doubt in doubted if doubt.likely is not None), None)
        self._set(line.entity, replace(typed, doubts=doubted, likely=likely))
        return False

    def _ask_again(self, line: RoundLine, typed: Typed, read_at: Moment, kept: Entry[Weighing]) -> None:
        """The round has a weight of this board, but of long before: does this one correct it?"""
        ways = [Way(f"It corrects {kept.at.local:%H:%M}", kept.at, typed.late, anew=False)]
        if abs(read_at.hours_since(kept.at)) > AGAIN_AFTER_H:
            ways.append(Way(f"Weighed again {read_at.local:%H:%M}", read_at, typed.late, anew=True))
        error = WeighedAgain(board=line.board, kept_at=kept.at, weight=kept.fact.weight)
        self._set(line.entity, replace(typed, ways=tuple(ways), error=error))

    def _keep(self, entity: str, typed: Typed, attempt: Attempt) -> bool:
        line, record = self.line(entity), self.desk.record
        if line is None or record is None or typed.read_at is None:
            return False
        kept_before = self._kept_in_round(entity, typed.read_at) if typed.over is not None else None
        standing, board, charge = self._here, line.board, record.particulars.charge
        typed = replace(typed, state=TypedState.SAVING, weight=attempt.weight, attempt=attempt)
        self._set(entity, typed)

        def refused(error: KilnlogError) -> None:
            standing.offered[entity] = replace(
                typed, state=TypedState.REFUSED, error=error, doubts=(), likely=None, can_retry=True
            )
            self.changed.emit()
            told = {"board": board, "charge": charge, "typed": typed.text}
            self.refused.emit(entity, WeightNotKept(reason=worded(error).text, **told))

        def kept(_: Changes) -> None:
            if standing.offered.get(entity) is typed:  # the charge went out of hand meanwhile
                del standing.offered[entity]
                self.changed.emit()
            self.kept.emit(entity)

        self.desk.do(
            keep_weight,
            record.entity,
            entity,
            attempt.weight,
            typed.read_at,
            late_from=LATE_SOURCE if typed.late else None,
            typed_first=attempt.typed_first,
            insisted=attempt.insisted,
            reason=attempt.reason,
            corrects=kept_before.entity if kept_before is not None else None,
            saying=f"Board {board}, {_told(attempt.weight)}",
            done=kept,
            failed=refused,
        )
        return True


def _told(weight: Weight) -> str:
    named = any(letter.isalpha() for letter in weight.text)
    return weight.text if named else f"{figures.grouped(weight)} {weight.unit}"

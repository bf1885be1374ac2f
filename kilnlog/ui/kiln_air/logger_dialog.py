"""A logger's file before it is kept: how it is read, what that gives, and then all of it or nothing."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QProgressBar, QWidget

from kilnlog.exchange.logger.format import LoggerFormat
from kilnlog.logbook import figures
from kilnlog.logbook.session import Logbook
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.errors import KilnlogError
from kilnlog.ui.desk import Desk
from kilnlog.ui.kiln_air.logger_fields import Ask, LoggerFields
from kilnlog.ui.kiln_air.logger_preview import (
    AS_SUGGESTED,
    PreviewPart,
    Recognised,
    Remark,
    previewed,
    read_twice,
    recognised,
    remarks,
)
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.form import Form
from kilnlog.ui.look.labels import Wrapped
from kilnlog.ui.look.sizes import GAP_4, GAP_12, Role
from kilnlog.ui.operations import Progress

if TYPE_CHECKING:
    from kilnlog.exchange.logger.preview import Preview
    from kilnlog.logbook.reading_logger import LoggerReading

KEEP, FOLLOW = "Keep these readings", "Follow this file"
READING = "reading, {done} %; Esc stops it and keeps nothing"
LOOKING = "looking at the file…"
STILL_LOOKING = "The file is still being looked at as it is to be read now. Try once more when that is done."
OTHER_CHARGE = "Another charge is in hand by now. Leave, take the one that is meant in hand, and begin anew."
OTHER_SENSOR = "read the file again and choose or type the other sensor"
OTHER_CLOCK = "take this back (Ctrl Z) and read the file by standard time all year"
NO_COLUMN = "Choose a column for the dry bulb, or one beside it."
SAME_COLUMN = "The dry bulb stands in that column already."
NAME_IT = "Type the sensor's name."
NOT_ANSWERED = "It has to be chosen first."

Follow = Callable[[Path, LoggerFormat, str], None]


class LoggerDialog(Form):
    """One page: recognised on the worker, changed here, previewed at each change, kept by the main button.

    While it reads, leaving it stops the reading, and nothing is kept.

    Args:
        source: The file; it is only read.
        follow: What to do where the file is to be followed: called with file, format and sensor.
        to_follow: The main button follows the file; otherwise it keeps what stands in it now.
    """

    def __init__(
        self,
        parent: QWidget,
        desk: Desk,
        appearance: Appearance,
        record: ChargeRecord,
        source: Path,
        follow: Follow,
        *,
        to_follow: bool = False,
    ) -> None:
        title = "Follow a logger's file" if to_follow else "Read a logger's file"
        super().__init__(parent, appearance, title, source.name, width=720)
        self._desk, self._record, self._source, self._follow = desk, record, source, follow
        self._found: Recognised | None = None
        self._looks = 0  # at the file: only the last one counts
        self._looking = False
        self._asked = 0  # previews asked for: only the last one is shown
        self._progress: Progress | None = None
        self.fields = LoggerFields(self, self._changed, self._recognise, self._placed)
        self.section("As it would be kept")
        self.preview = PreviewPart(appearance)
        self.column.addWidget(self.preview)
        self._bar = QProgressBar()
        self._bar.setTextVisible(False)
        self._bar.setFixedHeight(10)
        self._bar.setAccessibleName("How much of the file is read")
        self._bar.hide()
        self.page.body.insertWidget(self.page.body.count() - 1, self._bar)
        self._bar.setContentsMargins(GAP_12, GAP_4, GAP_12, 0)
        pairs = ((KEEP, self.keep), (FOLLOW, self.follow))
        main, other = reversed(pairs) if to_follow else pairs
        self.finish(*main, other)
        self.fields.enable(False, delimiter=False)
        self._enable(False)
        self._recognise(first=True)

    # recognised

    def _placed(self) -> None:
        self._recognise(is_placed=True)

    def _recognise(self, *, first: bool = False, is_placed: bool = False) -> None:
        """Have the worker look at the file; sensor and delimiter count once they were chosen here."""
        delimiter = self.fields.delimiter if Ask.DELIMITER in self.fields.touched else None
        keeps_sensor = not (first or is_placed) and self._found is not None
        sensor = self.fields.sensor_text or None if keeps_sensor else None
        charge, source, read_as = self._record.entity, self._source, self.fields.read_as

        self._looks += 1
        look, self._looking = self._looks, True

        def is_last() -> bool:
            if not self.is_here or look != self._looks:
                return False
            self._looking = False
            return True

        def done(found: Recognised) -> None:
            if is_last():
                self._take(found, first=first)

        def failed(error: KilnlogError) -> None:
            if is_last():
                self._not_recognised(error, first=first)

        self.said.setText(LOOKING)
        self._desk.run(
            lambda book: recognised(book, charge, source, delimiter, sensor, read_as), done, failed
        )

    def _take(self, found: Recognised, *, first: bool) -> None:
        self._found = found
        self.said.setText(self._source.name)
        self.tell("")
        self.fields.fill(found.suggested, found.by_itself, found.columns)
        self._enable(True)
        if first:
            questions = self.fields.open_questions()
            if questions:
                self.fields.focus(questions[0])
            else:
                self.fields.sensor.setFocus()
        self._renew_preview()

    def _not_recognised(self, error: KilnlogError, *, first: bool) -> None:
        self._found = None
        self.preview.forget()
        self.said.setText(self._source.name)
        self.fields.enable(False)
        self._enable(False)
        self.refuse(error)
        if first:
            self.fields.focus(Ask.DELIMITER)

    def _enable(self, enabled: bool) -> None:
        for button in (self.main, *self.others):
            if button is not None:
                button.setEnabled(enabled)

    # previewed

    def _changed(self, ask: Ask) -> None:
        self.tell("")
        if ask is Ask.DELIMITER:
            self.fields.touched -= {Ask.DRY, Ask.SECOND_COLUMN, Ask.SECOND, Ask.MARK}
            self._recognise()
        else:
            self._renew_preview()

    def _renew_preview(self) -> None:
        """Show what the file gives as the fields stand; open questions count as suggested."""
        if self._found is None:
            return
        form = self._found.suggested.form.answered(**self.fields.answers())
        self._asked += 1
        asked, source, zone = self._asked, self._source, self._record.particulars.zone

        def done(found: Preview) -> None:
            if self.is_here and asked == self._asked:
                odd = remarks(found, form, self._record.particulars, self._desk.now())
                odd = (*self._read_twice(form), *odd)
                if self.fields.open_questions():
                    odd = (Remark(AS_SUGGESTED), *odd)
                self.preview.show_preview(found, form, odd)
                if asked == 1:
                    QTimer.singleShot(0, self, self._fit)  # once the rows have found their height

        def failed(error: KilnlogError) -> None:
            if self.is_here and asked == self._asked:
                self.preview.forget()
                self.refuse(error)

        self._desk.run(lambda _: previewed(source, form, zone), done, failed)

    def _read_twice(self, form: LoggerFormat) -> tuple[Remark, ...]:
        return () if self._found is None else read_twice(form, self._found.columns, self.fields.sensor_text)

    # kept

    def _answered(self) -> tuple[LoggerFormat, str] | None:
        """How the file is read and whose it is; None where something is still to be answered here."""
        if self._looking:
            self.tell(STILL_LOOKING)
        if self._looking or self._found is None:
            return None
        for row in self.rows.values():
            row.clear()
        if questions := self.fields.open_questions():
            for ask in questions:
                self.rows[ask].refuse(NOT_ANSWERED)
            self.go_to(self.rows[questions[0]])
            return None
        form = self._found.suggested.form.answered(**self.fields.answers())
        if form.dry_column is None and form.second_column is None:
            self._refuse_field(Ask.DRY, NO_COLUMN)
        elif form.dry_column == form.second_column:
            self._refuse_field(Ask.SECOND_COLUMN, SAME_COLUMN)
        elif not (sensor := self.fields.sensor_text):
            self._refuse_field("sensor_name", NAME_IT)
        else:
            return form, sensor
        return None

    def _refuse_field(self, column: str, why: str) -> None:
        self.rows[column].refuse(why)
        self.go_to(self.rows[column])

    def follow(self) -> None:
        """Hand it over to be followed, and close."""
        answered, in_hand = self._answered(), self._desk.record
        if answered is not None and (in_hand is None or in_hand.entity != self._record.entity):
            self.tell(OTHER_CHARGE)
        elif answered is not None:
            self.accept()
            self._follow(self._source, *answered)

    def keep(self) -> None:
        """Read all of the file on the worker; what became of it is told on a page of its own."""
        answered = self._answered()
        if answered is None:
            return
        form, sensor = answered
        charge, source = self._record.entity, self._source

        def work(book: Logbook, progress: Progress) -> LoggerReading:
            from kilnlog.logbook.reading_logger import read_logger  # noqa: PLC0415  # loads numpy

            report, cancelled = progress.report, progress.cancelled
            return read_logger(
                book, charge, source, form, sensor=sensor, progress=report, cancelled=cancelled
            )

        def ended(outcome: Any) -> None:
            self._end_progress()
            self._follow_up(outcome)
            if self.is_here:
                parent = self.parentWidget() or self
                self.accept()
                LoggerSummary(parent, self.appearance, outcome, form, source.name).open()

        def failed(error: KilnlogError) -> None:
            self._end_progress()
            not_kept(error)

        kept, not_kept = self.hold(self._desk, ended, self._follow_up)
        self.tell("")
        self._bar.setValue(0)
        self._bar.show()
        self._told(0.0)
        if self.leave is not None:
            self.leave.setText("Stop")
        self._progress = self._desk.run_long(work, self._told, kept, failed)

    def _follow_up(self, outcome: LoggerReading) -> None:
        if outcome.changes.entries:
            saying = f"{figures.count(outcome.kept, 'reading')} of {outcome.sensor} kept"
            self._desk.follow(outcome.changes, saying, can_undo=True)

    def _told(self, fraction: float) -> None:
        if self.is_here and self.is_keeping:
            self._bar.setValue(round(fraction * 100))
            self.said.setText(READING.format(done=round(fraction * 100)))

    def _end_progress(self) -> None:
        self._progress = None
        if self.is_here:
            self._bar.hide()
            if self.leave is not None:
                self.leave.setText("Leave")
                self.leave.setEnabled(True)

    def reject(self) -> None:
        """Leave; while the file is read, stop that first and stay to say so."""
        if self._progress is None:
            super().reject()
        else:
            self._progress.cancel()
            self.said.setText("stopping…")
            if self.leave is not None:
                self.leave.setEnabled(False)


class LoggerSummary(Form):
    """What became of a file: new, set aside by reason, there already, and the holes."""

    def __init__(
        self,
        parent: QWidget,
        appearance: Appearance,
        outcome: LoggerReading,
        form: LoggerFormat,
        file_name: str,
    ) -> None:
        from kilnlog.logbook.logger_words import reading_text  # noqa: PLC0415  # loads numpy

        super().__init__(parent, appearance, "Logger's file read", file_name, width=640)
        self.text = reading_text(outcome, form, file_name, OTHER_CLOCK, OTHER_SENSOR)
        for number, line in enumerate(self.text.split("\n")):
            role = Role.BODY if number else Role.STRONG
            self.column.addWidget(Wrapped(line, appearance, role))
        if outcome.changes.entries:
            self.remark("Ctrl Z takes all of it back; the file itself was not changed.")
        self.close_only()

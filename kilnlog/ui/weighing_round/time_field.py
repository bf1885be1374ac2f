"""When the round's weights were read: follows the clock until somebody types another time."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent

from kilnlog.logbook import figures
from kilnlog.logbook.typed_time import time_from_text
from kilnlog.records.errors import KilnlogError
from kilnlog.records.moment import Moment
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.fields import TextField, is_wrong, set_wrong
from kilnlog.ui.look.sizes import Role

_WIDEST = [(day, month) for day in ("Mon", "Wed") for month in ("Mar", "May", "Nov")]
ROUND_IT = 24  # px: the frame, its padding, and the cursor behind the last digit


class TimeField(TextField):
    """Shows ``Wed 25 Nov 2026, 07:44``; while typed in, ``2026-11-25 07:44``
    or ``07:44`` of the day shown.

    chosen(Moment | None): a time was typed, or the field was emptied to follow the clock again.
    refused(KilnlogError): why the typed text is no time; it stays as typed, and so does the trouble.
    dropped(): what was typed is gone, the time is what it was.
    left(): the keyboard goes back to the weights.
    """

    chosen = Signal(object)
    refused = Signal(object)
    dropped = Signal()
    left = Signal()

    def __init__(self, appearance: Appearance) -> None:
        super().__init__(appearance, role=Role.BODY)
        self._at: Moment | None = None
        appearance.changed.connect(self._measure)
        self._measure()
        self.setAccessibleName("When these weights were read")
        self.setAccessibleDescription(
            "hour:minute of the day shown, or year-month-day hour:minute; empty follows the clock"
        )

    def show_time(self, at: Moment | None) -> None:
        """Show a moment, unless one is being typed or what was typed is none."""
        self._at = at
        if not self.isModified():
            self.setText(self._written())

    def refuse(self, error: KilnlogError) -> None:
        """What was typed is a time, but none that can be."""
        self.setModified(True)
        set_wrong(self, True)
        self.refused.emit(error)

    def drop(self) -> None:
        """Let go of what is typed."""
        self.setModified(False)
        set_wrong(self, False)
        self.setText(self._written())
        self.dropped.emit()

    def _measure(self) -> None:
        """Room for the widest day, in the fonts of the text size."""
        self.ensurePolished()
        metrics = self.fontMetrics()
        widest = max(metrics.horizontalAdvance(f"{day} 28 {month} 2028, 08:48") for day, month in _WIDEST)
        self.setFixedWidth(widest + 2 * metrics.averageCharWidth() + ROUND_IT)

    def _written(self) -> str:
        if self._at is None:
            return ""
        return self._at.text() if self.hasFocus() else figures.weekday_date_and_time(self._at)

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Turn to the form that can be typed."""
        super().focusInEvent(event)
        if not self.isModified():
            self.setText(self._written())
        self.selectAll()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Take what was typed, and turn back to the form that is read."""
        super().focusOutEvent(event)
        if self.isModified():
            self._take()
        else:
            self.setText(self._written())

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter takes the time and goes to the weights, Esc drops it."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            if self._take():
                self.left.emit()
        elif event.key() == Qt.Key.Key_Escape:
            self.drop()
            self.left.emit()
        else:
            super().keyPressEvent(event)

    def _take(self) -> bool:
        if not self.isModified() or self._at is None:
            return True
        try:
            typed = self.text().strip()
            at = time_from_text(typed, self._at.zone, self._at) if typed else None
        except KilnlogError as error:
            set_wrong(self, True)
            self.refused.emit(error)
            return False
        self.setModified(False)
        self.chosen.emit(at)
        return not is_wrong(self)

"""When the round's weights were read: follows the clock until somebody types another time."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent

from kilnlog.logbook import figures
from kilnlog.logbook.wording import worded
from kilnlog.records.errors import KilnlogError
from kilnlog.records.moment import Moment
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.fields import TextField, set_wrong
from kilnlog.ui.look.sizes import Role


class TimeField(TextField):
    """Shows ``Wed 25 Nov 2026, 07:44``; while typed in, ``2026-11-25 07:44``.

    chosen(Moment | None): a time was typed, or the field was emptied to follow the clock again.
    refused(str): why the typed text is no time; it stays as typed.
    left(): the keyboard goes back to the weights.
    """

    chosen = Signal(object)
    refused = Signal(str)
    left = Signal()

    def __init__(self, appearance: Appearance) -> None:
        super().__init__(appearance, role=Role.BODY)
        self._at: Moment | None = None
        self.setAccessibleName("When these weights were read")
        self.setAccessibleDescription("year-month-day hour:minute; empty follows the clock")

    def show_time(self, at: Moment | None) -> None:
        """Show a moment, unless somebody is typing one."""
        self._at = at
        if not (self.hasFocus() and self.isModified()):
            self.setText(self._written())
            width = self.fontMetrics().horizontalAdvance("Wed 28 Nov 2028, 08:48") + 32
            self.setFixedWidth(width)

    def _written(self) -> str:
        if self._at is None:
            return ""
        return self._at.text() if self.hasFocus() else figures.weekday_date_and_time(self._at)

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Turn to the form that can be typed."""
        super().focusInEvent(event)
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
            self.setModified(False)
            set_wrong(self, False)
            self.left.emit()
        else:
            super().keyPressEvent(event)

    def _take(self) -> bool:
        if not self.isModified() or self._at is None:
            return True
        try:
            at = Moment.from_text(self.text(), self._at.zone) if self.text().strip() else None
        except KilnlogError as error:
            set_wrong(self, True)
            self.refused.emit(worded(error).text)
            return False
        self.setModified(False)
        self.chosen.emit(at)
        return True

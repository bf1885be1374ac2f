"""The field a weight is typed into: it lies over the line in hand and hears the keys of the round."""

from __future__ import annotations

from PySide6.QtCore import QEvent, Qt, Signal
from PySide6.QtGui import QKeyEvent, QKeySequence
from PySide6.QtWidgets import QLineEdit, QWidget

from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.fields import is_for_window
from kilnlog.ui.look.sizes import Role

_WAYS = (Qt.Key.Key_F3, Qt.Key.Key_F5)
_ENTER = (Qt.Key.Key_Return, Qt.Key.Key_Enter)


class EntryField(QLineEdit):
    """Digits and Enter. Every other key of the round is a signal.

    entered(): Enter. moved(int): up or down by so many lines. escaped(): what is typed is to be dropped.
    take_likely(), insist(): F7 and F8. choose(int): F3 and F5.
    barred(): a digit was typed where nothing can be written.
    """

    entered = Signal()
    moved = Signal(int)
    escaped = Signal()
    take_likely = Signal()
    insist = Signal()
    choose = Signal(int)
    barred = Signal()

    def __init__(self, appearance: Appearance, parent: QWidget) -> None:
        super().__init__(parent)
        self._appearance = appearance
        self.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        self.setMaxLength(40)
        appearance.changed.connect(self._dress)
        self._dress()

    def _dress(self) -> None:
        self.setFont(self._appearance.sizes.font(Role.ENTRY))

    def event(self, event: QEvent) -> bool:
        """Ctrl Z takes back what was kept last; it, Ctrl E and the like are the window's, not a field's."""
        undo = isinstance(event, QKeyEvent) and event.matches(QKeySequence.StandardKey.Undo)
        if event.type() == QEvent.Type.ShortcutOverride and (undo or is_for_window(event)):
            event.ignore()
            return False
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """The keys of the round, before those of a field."""
        key = event.key()
        if key in _ENTER:
            if not event.isAutoRepeat():  # a key held down is not meant for the next line as well
                self.entered.emit()
        elif key == Qt.Key.Key_Up:
            self.moved.emit(-1)
        elif key == Qt.Key.Key_Down:
            self.moved.emit(1)
        elif key == Qt.Key.Key_PageUp:
            self.moved.emit(-10)
        elif key == Qt.Key.Key_PageDown:
            self.moved.emit(10)
        elif key == Qt.Key.Key_Escape:
            self.escaped.emit()
        elif key == Qt.Key.Key_F7:
            self.take_likely.emit()
        elif key == Qt.Key.Key_F8:
            self.insist.emit()
        elif key in _WAYS:
            self.choose.emit(_WAYS.index(key))
        elif self.isReadOnly() and event.text().isdigit():
            self.barred.emit()
        else:
            super().keyPressEvent(event)

"""A line under the menu row: what was refused and why, or that the logbook is open for reading only."""

from __future__ import annotations

from PySide6.QtCore import QRectF, Qt, Signal
from PySide6.QtGui import QPainter, QPaintEvent, QPalette
from PySide6.QtWidgets import QHBoxLayout, QWidget

from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.buttons import QuietButton
from kilnlog.ui.look.labels import Wrapped
from kilnlog.ui.look.painting import Mark, draw_mark
from kilnlog.ui.look.sizes import GAP_8, GAP_12, Role


class _Shape(QWidget):
    """The mark at the left."""

    def __init__(self, appearance: Appearance, mark: Mark) -> None:
        super().__init__()
        self._appearance = appearance
        self._mark = mark
        self.setFixedSize(18, 18)

    def paintEvent(self, event: QPaintEvent) -> None:
        """The mark."""
        draw_mark(QPainter(self), QRectF(self.rect()), self._mark, self._appearance.tokens)


#: More than this push the window's pages off the screen.
MOST_UNREAD = 4


class Notice(QWidget):
    """A sentence or two across the window. dismissed: sent when the operator has read it."""

    dismissed = Signal()

    def __init__(self, appearance: Appearance, mark: Mark, ground: str, *, dismissable: bool = True) -> None:
        super().__init__()
        self._appearance = appearance
        self._ground = ground
        self._lines: list[str] = []
        self._is_passing = False
        row = QHBoxLayout(self)
        row.setContentsMargins(GAP_12 + 8, GAP_8 - 2, GAP_12, GAP_8 - 2)
        row.setSpacing(GAP_12)
        row.addWidget(_Shape(appearance, mark), 0, Qt.AlignmentFlag.AlignTop)
        self._text = Wrapped("", appearance, Role.BODY, "ink")
        row.addWidget(self._text, 1)
        self._close = QuietButton("&Understood", appearance)
        self._close.setVisible(dismissable)
        self._close.clicked.connect(self.dismiss)
        row.addWidget(self._close, 0, Qt.AlignmentFlag.AlignVCenter)
        self.setAutoFillBackground(True)
        appearance.changed.connect(self._dress)
        self._dress()
        self.hide()

    def tell(self, text: str, *, passing: bool = False) -> None:
        """Show this under what nobody has read yet; only the operator hides it, or ``hide_passing``.

        ``passing``: nothing is lost by it, and it goes with the next thing that is kept.
        """
        unread = [] if self._is_passing or self.isHidden() else self._lines
        self._lines = [*(line for line in unread if line != text), text][-MOST_UNREAD:]
        self._is_passing = passing and not unread
        self._text.setText("\n".join(self._lines))
        self.setAccessibleName(self._text.text())
        self.show()

    def withdraw(self, text: str) -> None:
        """Take away what is true no longer; the rest stays until it is read."""
        if text not in self._lines:
            return
        self._lines = [line for line in self._lines if line != text]
        self._text.setText("\n".join(self._lines))
        self.setAccessibleName(self._text.text())
        if not self._lines:
            self.hide()

    def hide_passing(self) -> None:
        """Take away what was only of the moment."""
        if self._is_passing:
            self.hide()

    @property
    def text(self) -> str:
        """What stands there, or nothing."""
        return "" if self.isHidden() else self._text.text()

    def dismiss(self) -> None:
        """Take it away."""
        self.hide()
        self.dismissed.emit()

    def _dress(self) -> None:
        palette = self.palette()
        palette.setColor(QPalette.ColorRole.Window, self._appearance.tokens.colour(self._ground))
        self.setPalette(palette)

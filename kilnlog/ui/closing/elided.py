"""A text of one line that is cut with dots where the page is too narrow, and stands in full in its tip."""

from __future__ import annotations

from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QFontMetricsF, QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy

from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.labels import Text
from kilnlog.ui.look.sizes import Role

_LEAST_W = 48  # px


class Elided(Text):
    """As wide as its words where there is room."""

    def __init__(self, appearance: Appearance, role: Role, colour: str, least_w: int = _LEAST_W) -> None:
        """``least_w``: so many pixels it keeps whatever else there is in its line."""
        super().__init__("", appearance, role, colour)
        self._ink, self._least_w = colour, least_w
        self.setSizePolicy(QSizePolicy.Policy.Maximum, QSizePolicy.Policy.Preferred)

    def setText(self, text: str) -> None:
        """The words, and the tip that has them in full."""
        super().setText(text)
        self.setToolTip(text)
        self.setVisible(bool(text))

    def sizeHint(self) -> QSize:
        """All of it."""
        metrics = QFontMetricsF(self.font())
        return QSize(round(metrics.horizontalAdvance(self.text()) + 2), round(metrics.height()))

    def minimumSizeHint(self) -> QSize:
        """A word of it."""
        return QSize(min(self._least_w, self.sizeHint().width()), self.sizeHint().height())

    def paintEvent(self, event: QPaintEvent) -> None:
        """As much as finds room."""
        painter = QPainter(self)
        painter.setFont(self.font())
        painter.setPen(self._appearance.tokens.colour(self._ink))
        shown = QFontMetricsF(self.font()).elidedText(self.text(), Qt.TextElideMode.ElideRight, self.width())
        painter.drawText(
            QRectF(self.rect()), int(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter), shown
        )

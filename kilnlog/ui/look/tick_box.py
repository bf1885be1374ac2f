"""A box to tick whose edge is seen in both modes: the style's own is black on black in the dark."""

from __future__ import annotations

from PySide6.QtCore import QRectF
from PySide6.QtGui import QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QCheckBox, QStyle, QStyleOptionButton

from kilnlog.ui.look.appearance import Appearance


class TickBox(QCheckBox):
    """One sentence that is so or not."""

    def __init__(self, text: str, appearance: Appearance) -> None:
        super().__init__(text)
        self._appearance = appearance

    def paintEvent(self, event: QPaintEvent) -> None:
        """The style draws box, tick and words; the edge is ours."""
        super().paintEvent(event)
        option = QStyleOptionButton()
        self.initStyleOption(option)
        box = self.style().subElementRect(QStyle.SubElement.SE_CheckBoxIndicator, option, self)
        painter = QPainter(self)
        painter.setPen(QPen(self._appearance.tokens.colour("edge"), 1))
        painter.drawRect(QRectF(box).adjusted(0.5, 0.5, -0.5, -0.5))

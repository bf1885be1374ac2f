"""The headings of the register's columns."""

from __future__ import annotations

from PySide6.QtCore import QLineF, QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QFontMetricsF, QPainter, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QHeaderView, QWidget

from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.sizes import GAP_12, Role
from kilnlog.ui.register.model import RIGHT_ALIGNED, Column, RegisterModel

LEFT = int(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
RIGHT = int(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)


class Headings(QHeaderView):
    """Labels above the columns, a rule under them, a small triangle where sorted."""

    def __init__(self, appearance: Appearance, model: RegisterModel, parent: QWidget) -> None:
        super().__init__(Qt.Orientation.Horizontal, parent)
        self._appearance = appearance
        self._register = model
        self.setSectionsClickable(True)
        self.setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        self.setMinimumSectionSize(8)
        self.setHighlightSections(False)
        self.viewport().setAutoFillBackground(False)
        self.setToolTip("Sort")

    def sizeHint(self) -> QSize:
        """The label with a little room."""
        height = QFontMetricsF(self._appearance.sizes.font(Role.LABEL)).height()
        return QSize(100, round(height + 9))

    def paintEvent(self, event: QPaintEvent) -> None:
        """All labels in one go."""
        tokens = self._appearance.tokens
        painter = QPainter(self.viewport())
        font = self._appearance.sizes.font(Role.LABEL)
        metrics = QFontMetricsF(font)
        painter.setFont(font)
        for section in range(1, self.count()):
            column = Column(section)
            if self.isSectionHidden(section):
                continue
            left, width = self.sectionViewportPosition(section), self.sectionSize(section)
            right = column in RIGHT_ALIGNED
            box = QRectF(left + GAP_12 - 1, 2, width - GAP_12 + 1 - (10 if right else 4), self.height() - 4)
            text = str(self._register.headerData(section, Qt.Orientation.Horizontal))
            painter.setPen(tokens.colour("ink2"))
            painter.drawText(box, RIGHT if right else LEFT, text)
            if self._register.sorted_by is column:
                wide = metrics.horizontalAdvance(text)
                x = box.right() - wide - 11 if right else box.left() + wide + 4
                self._triangle(painter, x, box.center().y())
        painter.setPen(QPen(tokens.colour("rule"), 1))
        y = self.height() - 0.5
        painter.drawLine(QLineF(self._appearance.sizes.margin_w + 1, y, self.width(), y))

    def _triangle(self, painter: QPainter, x: float, y: float) -> None:
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(self._appearance.tokens.colour("ink2"))
        tip = 4 if self._register.downwards else -4
        corners = [QPointF(x, y - tip / 2), QPointF(x + 7, y - tip / 2), QPointF(x + 3.5, y + tip / 2)]
        painter.drawPolygon(QPolygonF(corners))
        painter.restore()

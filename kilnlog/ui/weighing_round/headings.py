"""The headings over the columns of the round."""

from __future__ import annotations

from PySide6.QtCore import QRect, QRectF, Qt
from PySide6.QtGui import QPainter
from PySide6.QtWidgets import QHeaderView, QWidget

from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.sizes import Role
from kilnlog.ui.weighing_round.line_painter import PAD
from kilnlog.ui.weighing_round.model import Column


class Headings(QHeaderView):
    """Labels over the columns, a rule beneath; nothing to click."""

    def __init__(self, appearance: Appearance, parent: QWidget) -> None:
        super().__init__(Qt.Orientation.Horizontal, parent)
        self._appearance = appearance
        self.setSectionsClickable(False)
        self.setHighlightSections(False)

    def paintSection(self, painter: QPainter, rect: QRect, logical_index: int) -> None:
        """A heading, aligned as its column is."""
        column = Column(logical_index)
        tokens = self._appearance.tokens
        box = QRectF(rect)
        if column is not Column.MARGIN:
            painter.setPen(tokens.colour("rule"))
            painter.drawLine(rect.bottomLeft(), rect.bottomRight())
        left = column in (Column.BOARD, Column.PLACE, Column.SAYS)
        inner = box.adjusted(PAD if column in (Column.BOARD, Column.SAYS) else 0, 0, -PAD, 0)
        side = Qt.AlignmentFlag.AlignLeft if left else Qt.AlignmentFlag.AlignRight
        painter.setFont(self._appearance.sizes.font(Role.LABEL))
        painter.setPen(tokens.colour("ink2"))
        text = str(self.model().headerData(logical_index, Qt.Orientation.Horizontal) or "")
        painter.drawText(inner, int(side | Qt.AlignmentFlag.AlignVCenter), text)

"""The lines of the round painted as a page: those asked for, then the spare ones, ruled and empty."""

from __future__ import annotations

from PySide6.QtCore import QRect
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QTableView

from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.sizes import GAP_12
from kilnlog.ui.weighing_round.line_painter import LinePainter, Lying
from kilnlog.ui.weighing_round.model import Column


def paint_page(view: QTableView, lines: LinePainter, appearance: Appearance, event: QPaintEvent) -> None:
    """Paint what ``event`` asks for.

    Qt's own way, a call for every cell, takes twice as long, and a weight's answer waits for it.
    """
    painter = QPainter(view.viewport())
    right = view.viewport().width()
    columns = [
        Lying(column, view.columnViewportPosition(column), view.columnWidth(column))
        for column in Column
        if not view.isColumnHidden(column)
    ]
    asked = event.region()
    bottom = 0
    for row in range(view.model().rowCount()):
        top, height = view.rowViewportPosition(row), view.rowHeight(row)
        bottom = top + height
        # For a changed line Qt asks for one pixel of the next: there are no words in that.
        has_words = asked.intersects(QRect(0, top + 1, right, height - 1))
        if has_words or asked.intersects(QRect(0, top, right, 1)):
            lines.paint_ground(painter, row, top, height, right)
        if has_words:
            lines.paint_words(painter, row, top, columns)
    if event.rect().bottom() >= bottom:
        sizes = appearance.sizes
        painter.setPen(appearance.tokens.colour("rule"))
        for y in range(bottom + sizes.line_h - 1, view.viewport().height() - GAP_12, sizes.line_h):
            painter.drawLine(sizes.margin_w + 1, y, right, y)

"""At the foot of what scrolls, a line that would be cut through is not shown."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QLineF, QObject, QPoint, Qt
from PySide6.QtGui import QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QScrollArea, QWidget

from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.lines_table import LinesTable
from kilnlog.ui.look.page import Page


class WholeLines(QWidget):
    """Lies on the page over the end of its scroll area, as high as the part of a line that shows there."""

    def __init__(self, page: Page, area: QScrollArea, appearance: Appearance) -> None:
        super().__init__(page)
        self._page, self._area, self._appearance = page, area, appearance
        self.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self.hide()
        area.verticalScrollBar().valueChanged.connect(lambda _: self.fit())
        area.verticalScrollBar().rangeChanged.connect(lambda *_: self.fit())
        area.viewport().installEventFilter(self)
        appearance.changed.connect(self.update)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Another height, another line is cut."""
        if event.type() == QEvent.Type.Resize:
            self.fit()
        return False

    def fit(self) -> None:
        """Cover what is cut now, or nothing."""
        cut = self.cut
        self.setVisible(cut > 0)
        if cut > 0:
            view = self._area.viewport()
            corner = view.mapTo(self._page, QPoint(0, view.height() - cut))
            self.setGeometry(1, corner.y(), corner.x() + view.width() - 1, cut)
            self.raise_()

    @property
    def cut(self) -> int:
        """How much of a line shows at the end [px]; 0 where the end falls between two."""
        content = self._area.widget()
        if content is None:
            return 0
        end = self._area.verticalScrollBar().value() + self._area.viewport().height()
        shown = [
            child
            for child in content.findChildren(QWidget, options=Qt.FindChildOption.FindDirectChildrenOnly)
            if child.isVisibleTo(content) and child.y() < end < child.y() + child.height()
        ]
        return max((_shown_of(child, end - child.y()) for child in shown), default=0)

    def paintEvent(self, event: QPaintEvent) -> None:
        """The sheet, with its margin line."""
        tokens = self._appearance.tokens
        painter = QPainter(self)
        painter.fillRect(self.rect(), tokens.colour("sheet2" if self._page.is_sealed else "sheet"))
        painter.setPen(QPen(tokens.colour("margin"), 1))
        x = self._page.margin_x + 0.5 - self.x()
        painter.drawLine(QLineF(x, 0, x, self.height()))


def _shown_of(child: QWidget, upper: int) -> int:
    """Of the upper part of a widget that shows, what belongs to the line cut through."""
    if not isinstance(child, LinesTable):
        return upper
    headings = child.horizontalHeader().height()
    if upper <= headings or not child.lines:
        return upper
    return (upper - headings) % child.rowHeight(0)

"""What stands above the lines of a page and gives way to them where the window is low."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, QSize, Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QFrame, QScrollArea, QSizePolicy, QVBoxLayout, QWidget

#: So much of it stays in sight [px].
_LEAST_H = 60


class GivingWay(QScrollArea):
    """As high as its widgets ask; where there is less room they roll, and the window need not grow."""

    def __init__(self) -> None:
        super().__init__()
        content = QWidget()
        self.column = QVBoxLayout(content)
        self.column.setContentsMargins(0, 0, 0, 0)
        self.column.setSpacing(0)
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.viewport().setAutoFillBackground(False)
        self.setWidget(content)
        content.setAutoFillBackground(False)  # setWidget turns it on
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Maximum)

    def sizeHint(self) -> QSize:
        """All of it, at this width."""
        return QSize(200, self.column.totalHeightForWidth(self.width()))

    def minimumSizeHint(self) -> QSize:
        """A little of it."""
        return QSize(0, min(_LEAST_H, self.sizeHint().height()))

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Other texts ask for another height."""
        if event.type() == QEvent.Type.LayoutRequest:
            self.updateGeometry()
        return super().eventFilter(watched, event)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """At another width texts have other lines."""
        super().resizeEvent(event)
        if event.size().width() != event.oldSize().width():
            self.updateGeometry()

    def roll(self, by: int) -> None:
        """Move up (-1) or down (1) by a page."""
        bar = self.verticalScrollBar()
        bar.setValue(bar.value() + by * bar.pageStep())

"""A page of the notebook: sheet, margin line, and the marks that stand in the margin."""

from __future__ import annotations

from PySide6.QtCore import QLineF, QRectF, Qt
from PySide6.QtGui import QBrush, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QFrame, QHBoxLayout, QScrollArea, QVBoxLayout, QWidget

from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.labels import Text
from kilnlog.ui.look.painting import WORDS, Mark, draw_mark
from kilnlog.ui.look.sizes import GAP_12, PAGE_RADIUS, Role


class Page(QWidget):
    """A sheet on the desk. ``body`` is laid out right of the margin line, its widgets from line to edge.

    A widget in the body that wants its text on the page's text edge keeps ``GAP_12`` to its left itself, so
    that rules can run from the margin line to the page's edge.
    """

    def __init__(self, appearance: Appearance, *, margin: bool = True, inset: bool = True) -> None:
        """Without ``inset`` the body reaches into the margin, for a table whose marks stand there."""
        super().__init__()
        self._appearance = appearance
        self._margin = margin
        self._inset = inset
        self._sealed = False
        self.body = QVBoxLayout(self)
        self.body.setSpacing(0)
        appearance.changed.connect(self._lay_out)
        self._lay_out()

    @property
    def margin_x(self) -> int:
        """Where the margin line stands, from the page's left edge; 0 without one."""
        return self._appearance.sizes.margin_w if self._margin else 0

    @property
    def is_sealed(self) -> bool:
        """Whether it lies on the darker sheet."""
        return self._sealed

    def set_sealed(self, sealed: bool) -> None:
        """A sealed or read-only page lies on the darker sheet."""
        if sealed != self._sealed:
            self._sealed = sealed
            self.update()

    def _lay_out(self) -> None:
        left = self.margin_x + 1 if self._inset else 0
        self.body.setContentsMargins(left, 1, 1, GAP_12 - 1)
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        """The sheet, its hairline edge, the margin line."""
        tokens = self._appearance.tokens
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(QPen(tokens.colour("rule"), 1))
        painter.setBrush(QBrush(tokens.colour("sheet2" if self._sealed else "sheet")))
        sheet = QRectF(self.rect()).adjusted(0.5, 0.5, -0.5, -0.5)
        painter.drawRoundedRect(sheet, PAGE_RADIUS, PAGE_RADIUS)
        if self._margin:
            painter.setPen(QPen(tokens.colour("margin"), 1))
            x = self.margin_x + 0.5
            painter.drawLine(QLineF(x, 1, x, self.height() - 1))


class MarginMark(QWidget):
    """A mark standing in the margin beside a widget of the page; give it the line's geometry by hand."""

    def __init__(self, appearance: Appearance, mark: Mark, parent: QWidget) -> None:
        super().__init__(parent)
        self._appearance = appearance
        self._mark = mark
        self.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self.setAccessibleName(WORDS[mark])
        appearance.changed.connect(self.update)

    def paintEvent(self, event: QPaintEvent) -> None:
        """The mark in the middle."""
        size = self._appearance.sizes.mark
        box = QRectF(0, 0, size, size)
        box.moveCenter(QRectF(self.rect()).center())
        draw_mark(QPainter(self), box, self._mark, self._appearance.tokens)


def title_row(title: Text, *others: QWidget, right: QWidget | None = None) -> QHBoxLayout:
    """A page's title line: the title, what belongs beside it, and a remark at the right edge."""
    row = QHBoxLayout()
    row.setContentsMargins(GAP_12, GAP_12 - 4, GAP_12, 0)
    row.setSpacing(GAP_12)
    row.addWidget(title, 0, Qt.AlignmentFlag.AlignVCenter)
    for other in others:
        row.addWidget(other, 0, Qt.AlignmentFlag.AlignVCenter)
    row.addStretch(1)
    if right is not None:
        row.addWidget(right, 0, Qt.AlignmentFlag.AlignVCenter)
    return row


def page_title(text: str, appearance: Appearance) -> Text:
    """A title in the page's serif."""
    return Text(text, appearance, Role.PAGE_TITLE, "ink")


def section_title(text: str, appearance: Appearance) -> Text:
    """A section's title."""
    return Text(text, appearance, Role.SECTION_TITLE, "ink")


def scrolling(content: QWidget) -> QScrollArea:
    """What is higher than its page moves up and down on it; the page itself shows through."""
    area = QScrollArea()
    area.setWidgetResizable(True)
    area.setFrameShape(QFrame.Shape.NoFrame)
    area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
    area.viewport().setAutoFillBackground(False)
    area.setWidget(content)
    content.setAutoFillBackground(False)  # setWidget turns it on, and would hide the margin line
    area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
    return area

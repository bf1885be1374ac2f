"""Texts on a page: ink for what was typed, pencil for what was worked out."""

from __future__ import annotations

import re

from PySide6.QtCore import QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QFocusEvent,
    QFontMetricsF,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPalette,
    QResizeEvent,
)
from PySide6.QtWidgets import QLabel, QSizePolicy, QWidget

from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.painting import draw_dotted_underline, draw_focus_ring
from kilnlog.ui.look.sizes import Role

_FIGURE_AND_UNIT = re.compile(r"(?<=\d) (?=(?:%|g|kg|lb|oz|bf|m³)(?!\w))")


class Text(QLabel):
    """A text in one role and one colour; follows the appearance."""

    def __init__(self, text: str, appearance: Appearance, role: Role, colour: str = "ink") -> None:
        super().__init__(text)
        self._appearance = appearance
        self._role = role
        self._colour = colour
        self.setTextFormat(Qt.TextFormat.PlainText)  # what was typed is never markup
        appearance.changed.connect(self._dress)
        self._dress()

    def set_colour(self, colour: str) -> None:
        """Turn to the colour of that token."""
        if colour != self._colour:
            self._colour = colour
            self._dress()

    def set_role(self, role: Role) -> None:
        """Turn to another role."""
        if role != self._role:
            self._role = role
            self._dress()

    def _dress(self) -> None:
        self.setFont(self._appearance.sizes.font(self._role))
        palette = self.palette()
        palette.setColor(QPalette.ColorRole.WindowText, self._appearance.tokens.colour(self._colour))
        self.setPalette(palette)


class Wrapped(Text):
    """A text of several lines, as high as its width asks."""

    def __init__(self, text: str, appearance: Appearance, role: Role, colour: str = "ink") -> None:
        super().__init__(_together(text), appearance, role, colour)
        self.setWordWrap(True)
        policy = QSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Minimum)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)

    def sizeHint(self) -> QSize:
        """Qt guesses a width of its own for wrapped text; the height that counts is the one at this width."""
        hint = super().sizeHint()
        return QSize(hint.width(), self.heightForWidth(self.width())) if self.width() > 0 else hint

    def minimumSizeHint(self) -> QSize:
        """No narrower limit than a word or two."""
        return QSize(60, self.sizeHint().height())

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Nested layouts ask for the height once; another width asks again."""
        super().resizeEvent(event)
        if event.size().width() != event.oldSize().width():
            self.updateGeometry()

    def text(self) -> str:
        """What was set: how its lines break is this label's own affair."""
        return super().text().replace("\u00a0", " ")

    def setText(self, text: str) -> None:
        """The height follows the new text."""
        super().setText(_together(text))
        self.updateGeometry()


def _together(text: str) -> str:
    """The text with a figure and its unit on one line."""
    return _FIGURE_AND_UNIT.sub("\u00a0", text)


def label(text: str, appearance: Appearance, role: Role = Role.LABEL, colour: str = "ink2") -> Text:
    """A label in ``ink2``, or what is asked for."""
    return Text(text, appearance, role, colour)


class Typed(Text):
    """A figure somebody typed: ink."""

    def __init__(self, appearance: Appearance, role: Role = Role.FIGURE_TYPED, text: str = "") -> None:
        super().__init__(text, appearance, role, "ink")


class Computed(QWidget):
    """A figure the program worked out: pencil, dotted underline. Click, F2, Enter or space asks how.

    asked: sent when the operator wants to see the working.
    """

    asked = Signal()

    def __init__(self, appearance: Appearance, role: Role = Role.FIGURE, name: str = "") -> None:
        super().__init__()
        self._appearance = appearance
        self._role = role
        self._name = name
        self._figure = "–"
        self._unit = ""
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        appearance.changed.connect(self._measure)
        self._tell()

    def set_value(self, figure: str | None, unit: str = "") -> None:
        """Show ``figure`` with its unit in label size; None shows a dash."""
        self._figure = figure if figure is not None else "–"
        self._unit = unit
        self._tell()
        self._measure()

    def set_name(self, name: str) -> None:
        """What the figure is, for who cannot see the label above it."""
        self._name = name
        self._tell()

    @property
    def value(self) -> str:
        """The figure as shown."""
        return self._figure

    def _tell(self) -> None:
        self.setAccessibleName(" ".join(part for part in (self._name, self._figure, self._unit) if part))
        self.setAccessibleDescription("worked out; press F2 to see how")

    def _measure(self) -> None:
        self.updateGeometry()
        self.update()

    def _widths(self) -> tuple[float, float]:
        sizes = self._appearance.sizes
        figure = QFontMetricsF(sizes.font(self._role)).horizontalAdvance(self._figure)
        unit = QFontMetricsF(sizes.font(self._unit_role)).horizontalAdvance(self._unit) if self._unit else 0.0
        return figure, unit

    @property
    def _unit_role(self) -> Role:
        return Role.BODY if self._role in (Role.BIG_FIGURE, Role.ALOUD) else Role.TINY

    def sizeHint(self) -> QSize:
        """The figure, its unit and the dotted line."""
        figure, unit = self._widths()
        height = QFontMetricsF(self._appearance.sizes.font(self._role)).height()
        return QSize(round(figure + (5 + unit if unit else 0) + 2), round(height + 2))

    def paintEvent(self, event: QPaintEvent) -> None:
        """Figure, dotted underline, unit; the ring where the focus is."""
        tokens, sizes = self._appearance.tokens, self._appearance.sizes
        painter = QPainter(self)
        figure, unit = self._widths()
        metrics = QFontMetricsF(sizes.font(self._role))
        baseline = metrics.ascent()
        painter.setFont(sizes.font(self._role))
        painter.setPen(tokens.colour("pencil"))
        painter.drawText(0, round(baseline), self._figure)
        if self._figure != "–":
            draw_dotted_underline(painter, 0, figure, min(baseline, self.height() - 6), tokens)
        if unit:
            painter.setFont(sizes.font(self._unit_role))
            painter.setPen(tokens.colour("ink2"))
            painter.drawText(round(figure + 5), round(baseline), self._unit)
        if self.hasFocus():
            draw_focus_ring(painter, QRectF(self.rect()), tokens)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """A click asks."""
        if event.button() == Qt.MouseButton.LeftButton:
            self.asked.emit()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """F2, Enter and space ask."""
        if event.key() in (Qt.Key.Key_F2, Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Space):
            self.asked.emit()
        else:
            super().keyPressEvent(event)

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Show the ring."""
        super().focusInEvent(event)
        self.update()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Take the ring away."""
        super().focusOutEvent(event)
        self.update()

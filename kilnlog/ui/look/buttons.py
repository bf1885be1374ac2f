"""Buttons and key caps, painted flat: one main button a page at most."""

from __future__ import annotations

from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QBrush, QFontMetricsF, QKeyEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QAbstractButton, QSizePolicy, QWidget

from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.painting import draw_focus_ring
from kilnlog.ui.look.sizes import RADIUS, Role

_PAD = 15
_WITH_CTRL = Qt.KeyboardModifier.ControlModifier


class _Button(QAbstractButton):
    """A flat button with an optional key cap at its right."""

    def __init__(self, text: str, appearance: Appearance, key_hint: str | None = None) -> None:
        super().__init__()
        self._appearance = appearance
        self.setText(text)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        self.setAttribute(Qt.WidgetAttribute.WA_Hover)
        if key_hint:
            self.setAccessibleDescription(f"key {key_hint}")
            self.setToolTip(key_hint)
        appearance.changed.connect(self._measure)

    def _measure(self) -> None:
        self.updateGeometry()
        self.update()

    def sizeHint(self) -> QSize:
        """The text with room at both sides."""
        sizes = self._appearance.sizes
        width = QFontMetricsF(sizes.font(Role.BODY)).horizontalAdvance(self._shown)
        return QSize(round(width + 2 * _PAD), sizes.control_h)

    @property
    def _shown(self) -> str:
        return self.text().replace("&&", "\0").replace("&", "").replace("\0", "&")

    def _colours(self) -> tuple[str, str, str]:
        """Ground, border and text, by token."""
        raise NotImplementedError

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter presses it too, not space alone."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and not event.modifiers() & _WITH_CTRL:
            self.click()
        else:
            super().keyPressEvent(event)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Ground, border, text, ring."""
        tokens = self._appearance.tokens
        ground, border, text = self._colours()
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(QPen(tokens.colour(border), 1))
        painter.setBrush(QBrush(tokens.colour(ground)))
        box = QRectF(self.rect()).adjusted(0.5, 0.5, -0.5, -0.5)
        painter.drawRoundedRect(box, RADIUS, RADIUS)
        painter.setFont(self._appearance.sizes.font(Role.BODY))
        painter.setPen(tokens.colour(text))
        painter.drawText(self.rect(), int(Qt.AlignmentFlag.AlignCenter), self._shown)
        if self.hasFocus():
            draw_focus_ring(painter, QRectF(self.rect()), tokens)


class MainButton(_Button):
    """What the page is for: cloth."""

    def _colours(self) -> tuple[str, str, str]:
        if not self.isEnabled():
            return "sheet2", "rule", "ink2"
        if self._appearance.mode == "dark":
            return ("cloth2" if self.underMouse() or self.isDown() else "cloth"), "edge", "on_cloth"
        ground = "cloth2" if self.underMouse() or self.isDown() else "cloth"
        return ground, ground, "on_cloth"


class QuietButton(_Button):
    """Everything else: an edge on the sheet."""

    def _colours(self) -> tuple[str, str, str]:
        if not self.isEnabled():
            return "sheet", "rule", "edge"
        if self.underMouse() or self.isDown():
            return "sheet2", "ink2", "ink"
        return "sheet", "edge", "ink"


class KeyHint(QWidget):
    """A key cap with what the key does beside it."""

    def __init__(self, keycaps: str, appearance: Appearance, text: str = "") -> None:
        super().__init__()
        self._appearance = appearance
        self._caps = keycaps
        self._text = text
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        self.setAccessibleName(f"{keycaps}: {text}" if text else keycaps)
        appearance.changed.connect(self._measure)

    def _measure(self) -> None:
        self.updateGeometry()
        self.update()

    def _widths(self) -> tuple[float, float]:
        metrics = QFontMetricsF(self._appearance.sizes.font(Role.TINY))
        cap = max(metrics.horizontalAdvance(self._caps) + 12, metrics.height())
        return cap, metrics.horizontalAdvance(self._text) if self._text else 0.0

    def sizeHint(self) -> QSize:
        """The cap, and the text beside it."""
        cap, text = self._widths()
        height = QFontMetricsF(self._appearance.sizes.font(Role.TINY)).height() + 2
        return QSize(round(cap + (6 + text if text else 0) + 1), round(height))

    def paintEvent(self, event: QPaintEvent) -> None:
        """The cap, and the text beside it."""
        tokens = self._appearance.tokens
        cap, _ = self._widths()
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setFont(self._appearance.sizes.font(Role.TINY))
        painter.setPen(QPen(tokens.colour("edge"), 1))
        box = QRectF(0.5, 0.5, cap - 1, self.height() - 1)
        painter.drawRoundedRect(box, 3, 3)
        painter.setPen(tokens.colour("ink2"))
        painter.drawText(box, int(Qt.AlignmentFlag.AlignCenter), self._caps)
        if self._text:
            rest = QRectF(cap + 6, 0, self.width() - cap - 6, self.height())
            painter.drawText(
                rest, int(Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft), self._text
            )

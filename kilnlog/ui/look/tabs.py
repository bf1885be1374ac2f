"""Filter tabs: a row of words, the chosen one strong and underlined in ``now``."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QRectF, QSize, Qt, Signal
from PySide6.QtGui import QFontMetricsF, QKeyEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QAbstractButton, QButtonGroup, QHBoxLayout, QSizePolicy, QWidget

from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.painting import draw_focus_ring
from kilnlog.ui.look.sizes import Role


class _Tab(QAbstractButton):
    """One word of the row."""

    def __init__(self, text: str, appearance: Appearance) -> None:
        super().__init__()
        self._appearance = appearance
        self.setText(text)
        self.setCheckable(True)
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        self.setAttribute(Qt.WidgetAttribute.WA_Hover)
        appearance.changed.connect(self.renew)

    def renew(self) -> None:
        """Measure and paint anew."""
        self.updateGeometry()
        self.update()

    def sizeHint(self) -> QSize:
        """Room for the strong form, so that choosing moves nothing."""
        sizes = self._appearance.sizes
        metrics = QFontMetricsF(sizes.font(Role.STRONG))
        return QSize(round(metrics.horizontalAdvance(self.text()) + 18), round(metrics.height() + 14))

    def paintEvent(self, event: QPaintEvent) -> None:
        """The word; the line beneath where chosen."""
        tokens, sizes = self._appearance.tokens, self._appearance.sizes
        painter = QPainter(self)
        chosen = self.isChecked()
        painter.setFont(sizes.font(Role.STRONG if chosen else Role.BODY))
        painter.setPen(tokens.colour("ink" if chosen or self.underMouse() else "ink2"))
        words = QRectF(0, 0, self.width(), self.height() - 3)
        painter.drawText(words, int(Qt.AlignmentFlag.AlignCenter), self.text())
        if chosen:
            painter.fillRect(QRectF(0, self.height() - 2, self.width(), 2), tokens.colour("now"))
        if self.hasFocus():
            draw_focus_ring(painter, QRectF(self.rect()), tokens)


class FilterTabs(QWidget):
    """The row. Left and right choose; ``chosen`` is sent with the key.

    chosen: sent when another tab was chosen, by whatever means.
    """

    chosen = Signal(str)

    def __init__(self, appearance: Appearance, tabs: Sequence[tuple[str, str]], name: str) -> None:
        super().__init__()
        self._keys = [key for key, _ in tabs]
        self._group = QButtonGroup(self)
        self.setAccessibleName(name)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(4)
        self._tabs: dict[str, _Tab] = {}
        for number, (key, text) in enumerate(tabs):
            tab = _Tab(text, appearance)
            self._tabs[key] = tab
            self._group.addButton(tab, number)
            row.addWidget(tab)
        self._tabs[self._keys[0]].setChecked(True)
        self._group.idToggled.connect(self._toggled)

    @property
    def key(self) -> str | None:
        """The key of the chosen tab; None where none is."""
        number = self._group.checkedId()
        return self._keys[number] if number >= 0 else None

    def choose(self, key: str) -> None:
        """Choose the tab of that key."""
        self._tabs[key].setChecked(True)

    def choose_none(self) -> None:
        """What is shown is none of them."""
        self._group.setExclusive(False)
        for tab in self._tabs.values():
            tab.setChecked(False)
        self._group.setExclusive(True)

    def set_text(self, key: str, text: str) -> None:
        """Give a tab another text, a new count say."""
        tab = self._tabs[key]
        if tab.text() != text:
            tab.setText(text)
            tab.renew()

    def _toggled(self, number: int, on: bool) -> None:
        if on:
            self.chosen.emit(self._keys[number])

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Left and right go along the row."""
        step = {Qt.Key.Key_Left: -1, Qt.Key.Key_Right: 1}.get(Qt.Key(event.key()))
        if step is None:
            super().keyPressEvent(event)
            return
        number = min(len(self._keys) - 1, max(0, self._group.checkedId() + step))
        self.choose(self._keys[number])
        self._tabs[self._keys[number]].setFocus()

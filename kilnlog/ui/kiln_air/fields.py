"""What Air now is made of: fields for the figures and their time, the choice of the second, what follows."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QEvent, QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QFocusEvent, QFontMetricsF, QKeyEvent, QKeySequence, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QAbstractButton, QSizePolicy

from kilnlog.logbook import figures
from kilnlog.logbook.typed_air import SECOND_NAMES, Second
from kilnlog.records.moment import Moment
from kilnlog.records.words import TemperatureUnit
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.fields import TextField
from kilnlog.ui.look.labels import Computed
from kilnlog.ui.look.painting import draw_focus_ring
from kilnlog.ui.look.sizes import Role
from kilnlog.ui.weighing_round.time_field import ROUND_IT, TimeField

_ENTER = (Qt.Key.Key_Return, Qt.Key.Key_Enter)
_MODIFIED = Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.AltModifier
_ANGLE_W = 16
_TYPED_TIME = "2028-08-28 08:48"
#: Letters of the longest figure anybody reads off.
_WIDEST_FIGURE = "−188.88"


class FigureField(TextField):
    """One figure. entered(): Enter. moved(int): up or down. escaped(): Esc. working_asked(): F2."""

    entered = Signal()
    moved = Signal(int)
    escaped = Signal()
    working_asked = Signal()

    def __init__(self, appearance: Appearance) -> None:
        super().__init__(appearance, role=Role.FIGURE_TYPED)
        self.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        self.setMaxLength(24)
        appearance.changed.connect(self._measure)
        self._measure()

    def _measure(self) -> None:
        self.ensurePolished()
        self.setFixedWidth(round(self.fontMetrics().horizontalAdvance(_WIDEST_FIGURE)) + ROUND_IT)

    def event(self, event: QEvent) -> bool:
        """Ctrl Z takes back what was kept last, as in the weighing round; F2 is this field's own."""
        if event.type() == QEvent.Type.ShortcutOverride and isinstance(event, QKeyEvent):
            if event.matches(QKeySequence.StandardKey.Undo):
                event.ignore()
                return False
            if event.key() == Qt.Key.Key_F2:
                event.accept()
                return True
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """The keys of the entry, before those of a field; a key held down is pressed once."""
        key = event.key()
        if event.modifiers() & _MODIFIED:
            super().keyPressEvent(event)
        elif key in _ENTER:
            if not event.isAutoRepeat():
                self.entered.emit()
        elif key in (Qt.Key.Key_Up, Qt.Key.Key_Down):
            self.moved.emit(-1 if key == Qt.Key.Key_Up else 1)
        elif key == Qt.Key.Key_Escape:
            self.escaped.emit()
        elif key == Qt.Key.Key_F2:
            self.working_asked.emit()
        else:
            super().keyPressEvent(event)


class AirFigure(Computed):
    """A figure worked out, with its name in front; F2 is its own."""

    def event(self, event: QEvent) -> bool:
        """No menu takes F2 while it has the keys."""
        override = event.type() == QEvent.Type.ShortcutOverride and isinstance(event, QKeyEvent)
        if override and isinstance(event, QKeyEvent) and event.key() == Qt.Key.Key_F2:
            event.accept()
            return True
        return super().event(event)


class NowField(TimeField):
    """The time of the reading: ``07:46`` while it follows the clock, with the day where another was typed."""

    def __init__(self, appearance: Appearance, now: Callable[[], Moment]) -> None:
        self.follows = True
        self._now = now
        super().__init__(appearance)
        self.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        self.setAccessibleName("When the air was read")

    def show_time(self, at: Moment | None) -> None:
        """As wide as what it shows."""
        super().show_time(at)
        self._measure()

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Room for a time as it is typed."""
        super().focusInEvent(event)
        self._measure()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """As wide as what it shows."""
        super().focusOutEvent(event)
        self._measure()

    def _measure(self) -> None:
        self.ensurePolished()
        shown = _TYPED_TIME if self.hasFocus() or self.isModified() else self.text() or "08:48"
        metrics = self.fontMetrics()
        self.setFixedWidth(metrics.horizontalAdvance(shown) + metrics.averageCharWidth() + ROUND_IT)

    def _written(self) -> str:
        if self._at is None:
            return ""
        if self.hasFocus():
            return self._at.text()[:16]
        return f"{self._at.local:%H:%M}" if self.follows else figures.day_and_time(self._at, self._now())


class SecondChoice(QAbstractButton):
    """What the second figure is, standing above its field: a click, space, or the arrows take the next.

    chosen(Second): another one.
    """

    chosen = Signal(object)

    def __init__(self, appearance: Appearance) -> None:
        super().__init__()
        self._appearance = appearance
        self._which, self._unit = Second.WET_BULB, TemperatureUnit.FAHRENHEIT
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        self.setAttribute(Qt.WidgetAttribute.WA_Hover)
        self.setToolTip("wet bulb, depression or RH: ↑ ↓ in the field")
        self.clicked.connect(lambda: self.move_on(1))
        appearance.changed.connect(self._measure)
        self.show_choice(self._which, self._unit)

    def show_choice(self, which: Second, unit: TemperatureUnit) -> None:
        """Show what the second figure is and its unit."""
        self._which, self._unit = which, unit
        self.setText(second_title(which, unit))
        self.setAccessibleName(f"The second figure is the {SECOND_NAMES[which]}")
        self.setAccessibleDescription("space or the arrows take wet bulb, depression or RH")
        self.update()

    def move_on(self, by: int) -> None:
        """Take the next, or the one before."""
        order = list(Second)
        self.chosen.emit(order[(order.index(self._which) + by) % len(order)])

    def _measure(self) -> None:
        self.updateGeometry()
        self.update()

    def sizeHint(self) -> QSize:
        """Room for the longest, so that nothing moves when another is chosen."""
        metrics = QFontMetricsF(self._appearance.sizes.font(Role.LABEL))
        widest = max(metrics.horizontalAdvance(second_title(one, self._unit)) for one in Second)
        return QSize(round(widest) + _ANGLE_W + 4, round(metrics.height()) + 2)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """The arrows go round."""
        by = {Qt.Key.Key_Up: -1, Qt.Key.Key_Down: 1}.get(Qt.Key(event.key()))
        if by is None:
            super().keyPressEvent(event)
        else:
            self.move_on(by)

    def paintEvent(self, event: QPaintEvent) -> None:
        """The words, an open angle, the ring where the focus is."""
        tokens = self._appearance.tokens
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        font = self._appearance.sizes.font(Role.LABEL)
        painter.setFont(font)
        painter.setPen(tokens.colour("ink" if self.underMouse() else "ink2"))
        metrics = QFontMetricsF(font)
        painter.drawText(QPointF(0, 1 + metrics.ascent()), self.text())
        painter.setPen(QPen(tokens.colour("ink2"), 1.4))
        x, y = metrics.horizontalAdvance(self.text()) + 9, self.height() / 2 + 1
        painter.drawPolyline([QPointF(x - 3.5, y - 1.75), QPointF(x, y + 1.75), QPointF(x + 3.5, y - 1.75)])
        if self.hasFocus():
            draw_focus_ring(painter, QRectF(self.rect()), tokens)


def second_title(which: Second, unit: TemperatureUnit) -> str:
    """``Wet bulb, °F``."""
    name = SECOND_NAMES[which]
    sign = "%" if which is Second.RH else f"°{unit.value}"
    return f"{name[0].upper()}{name[1:]}, {sign}"

"""The strip above the views: the charge in hand at a glance."""

from __future__ import annotations

from collections import Counter

from PySide6.QtCore import QLineF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QFontMetricsF, QPainter, QPaintEvent, QPalette, QPen, QResizeEvent
from PySide6.QtWidgets import QAbstractButton, QHBoxLayout, QSizePolicy, QVBoxLayout, QWidget

from kilnlog.drying.finding import Severity
from kilnlog.logbook.charge_words import ChargeWords, charge_words
from kilnlog.ui.desk import Desk
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.labels import Text
from kilnlog.ui.look.painting import Mark, draw_focus_ring, draw_mark
from kilnlog.ui.look.sizes import GAP_8, GAP_12, GAP_16, Role

_MARKS = {Severity.ACT: Mark.ACT, Severity.LOOK: Mark.LOOK, Severity.NOTE: Mark.NOTE}


class FindingCount(QAbstractButton):
    """How many findings of one kind nobody answered yet; a press shows them."""

    def __init__(self, severity: Severity, appearance: Appearance) -> None:
        super().__init__()
        self._appearance = appearance
        self.severity = severity
        self._count = 0
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        self.setAttribute(Qt.WidgetAttribute.WA_Hover)
        appearance.changed.connect(self._measure)
        self.hide()

    def set_count(self, count: int) -> None:
        """Show this many; nothing where there are none."""
        self._count = count
        self.setVisible(count > 0)
        self.setAccessibleName(
            f"{count} to {self.severity}" if self.severity == "act" else f"{count} {self.severity}"
        )
        self.setAccessibleDescription("findings; shows them")
        self._measure()

    def _measure(self) -> None:
        self.updateGeometry()
        self.update()

    def sizeHint(self) -> QSize:
        """Mark, count, word."""
        sizes = self._appearance.sizes
        count = QFontMetricsF(sizes.font(Role.STRONG)).horizontalAdvance(str(self._count))
        word = QFontMetricsF(sizes.font(Role.BODY)).horizontalAdvance(self.severity)
        return QSize(round(6 + sizes.mark + 5 + count + 5 + word + 6), sizes.control_h - 4)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Mark, count, word."""
        tokens, sizes = self._appearance.tokens, self._appearance.sizes
        painter = QPainter(self)
        if self.underMouse():
            painter.fillRect(self.rect(), tokens.colour("cloth2"))
        size = sizes.mark
        box = QRectF(6, (self.height() - size) / 2, size, size)
        draw_mark(painter, box, _MARKS[self.severity], tokens, on_cloth=True)
        middle = int(Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft)
        x = box.right() + 5
        painter.setFont(sizes.font(Role.STRONG))
        painter.setPen(tokens.colour("on_cloth"))
        painter.drawText(QRectF(x, 0, self.width(), self.height()), middle, str(self._count))
        x += QFontMetricsF(sizes.font(Role.STRONG)).horizontalAdvance(str(self._count)) + 5
        painter.setFont(sizes.font(Role.BODY))
        painter.setPen(tokens.colour("on_cloth2"))
        painter.drawText(QRectF(x, 0, self.width(), self.height()), middle, self.severity)
        if self.hasFocus():
            draw_focus_ring(painter, QRectF(self.rect()), tokens, colour="on_cloth")


class _Item(QWidget):
    """A label over a value, with the hairline at its left."""

    def __init__(self, appearance: Appearance, name: str, *, line: bool = True) -> None:
        super().__init__()
        self._appearance = appearance
        self._line = line
        column = QVBoxLayout(self)
        column.setContentsMargins(GAP_16, 0, GAP_16 + 3, 0)
        column.setSpacing(1)
        self.name = Text(name, appearance, Role.LABEL, "on_cloth2")
        self.value = Text("", appearance, Role.STRONG, "on_cloth")
        column.addStretch(1)
        column.addWidget(self.name)
        column.addWidget(self.value)
        column.addStretch(1)

    def show_value(self, value: str, name: str | None = None) -> None:
        """Show it, or nothing at all where there is nothing."""
        if name is not None:
            self.name.setText(name)
        self.value.setText(value)
        self.setVisible(bool(value))

    def paintEvent(self, event: QPaintEvent) -> None:
        """The hairline."""
        if self._line:
            painter = QPainter(self)
            painter.setPen(QPen(self._appearance.tokens.colour("cloth2"), 1))
            painter.drawLine(QLineF(0.5, 14, 0.5, self.height() - 16))


class _Control(QWidget):
    """The controlling moisture content, large, with its rule beside it."""

    def __init__(self, appearance: Appearance) -> None:
        super().__init__()
        self._appearance = appearance
        row = QHBoxLayout(self)
        row.setContentsMargins(GAP_16, 0, GAP_16 + 3, 0)
        row.setSpacing(GAP_12 - 1)
        self.figure = Text("", appearance, Role.STRIP_FIGURE, "on_cloth")
        row.addWidget(self.figure)
        column = QVBoxLayout()
        column.setSpacing(0)
        self._first = Text("controlling MC", appearance, Role.TINY, "on_cloth2")
        self._rule = Text("", appearance, Role.TINY, "on_cloth2")
        column.addStretch(1)
        column.addWidget(self._first)
        column.addWidget(self._rule)
        column.addStretch(1)
        row.addLayout(column)

    def show_value(self, figure: str, rule: str) -> None:
        """The figure with its unit, and the rule by name."""
        self.figure.setText(figure)
        self._rule.setText(rule)
        self.figure.setAccessibleName(f"controlling moisture content {figure}, {rule}")
        self.setVisible(bool(figure))

    def paintEvent(self, event: QPaintEvent) -> None:
        """The hairline."""
        painter = QPainter(self)
        painter.setPen(QPen(self._appearance.tokens.colour("cloth2"), 1))
        painter.drawLine(QLineF(0.5, 14, 0.5, self.height() - 16))


class Strip(QWidget):
    """Number, kiln, what, day, controlling figure, step; findings by kind at the right.

    findings_asked: sent with the kind whose count was pressed.
    """

    findings_asked = Signal(str)

    def __init__(self, desk: Desk, appearance: Appearance) -> None:
        super().__init__()
        self._desk = desk
        self._appearance = appearance
        self._words: ChargeWords | None = None
        self.setAccessibleName("Charge in hand")
        self._number = Text("", appearance, Role.STRIP_NUMBER, "on_cloth")
        self._number.setContentsMargins(GAP_8, 0, GAP_16 + 6, 0)
        self._kiln = _Item(appearance, "Kiln")
        self._what = _Item(appearance, "Charge")
        self._what.value.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
        self._day = _Item(appearance, "Drying")
        self._control = _Control(appearance)
        self._step = _Item(appearance, "Step")
        self._row = QHBoxLayout(self)
        self._row.setContentsMargins(GAP_12, 0, GAP_12, 0)
        self._row.setSpacing(0)
        for widget in (self._number, self._kiln, self._what, self._day, self._control, self._step):
            self._row.addWidget(widget)
        self._row.addStretch(1)
        self.counts = {severity: FindingCount(severity, appearance) for severity in Severity}
        for severity, button in self.counts.items():
            button.clicked.connect(lambda _=False, kind=severity: self.findings_asked.emit(kind))
            self._row.addWidget(button, 0, Qt.AlignmentFlag.AlignVCenter)
            self._row.addSpacing(GAP_8)
        self.setAutoFillBackground(True)
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        desk.record_changed.connect(lambda _: self.renew())
        desk.register_changed.connect(self.renew)
        appearance.changed.connect(self._dress)
        self._dress()
        self.renew()

    def renew(self) -> None:
        """Follow the charge in hand."""
        record, assessment = self._desk.record, self._desk.assessment
        if record is None or assessment is None:
            self._number.setText("No charge in hand")
            for item in (self._kiln, self._what, self._day, self._step):
                item.show_value("")
            self._control.show_value("", "")
            for button in self.counts.values():
                button.set_count(0)
            return
        words = charge_words(record, assessment, self._desk.now())
        self._words = words
        self._number.setText(words.number)
        self._kiln.show_value(words.kiln)
        self._day.show_value(words.day, words.day_of)
        self._control.show_value(words.control, words.rule)
        self._step.show_value(words.step)
        line = next((line for line in self._desk.lines if line.entity == record.entity), None)
        findings = line.findings if line is not None and record.is_closed else assessment.findings
        kinds = Counter(finding.severity for finding in findings if not finding.answered)
        for severity, button in self.counts.items():
            button.set_count(kinds[severity])
        self._fit()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """The description gives way first."""
        super().resizeEvent(event)
        self._fit()

    def _fit(self) -> None:
        """Give the description what the others leave, elided; it stands in full on the particulars page."""
        if self._words is None or self._desk.record is None:
            return
        metrics = QFontMetricsF(self._appearance.sizes.font(Role.STRONG))
        others = (self._number, self._kiln, self._day, self._control, self._step, *self.counts.values())
        taken = sum(widget.sizeHint().width() for widget in others if not widget.isHidden())
        room = self.width() - taken - 2 * GAP_16 - 60 - 3 * GAP_8
        shown = metrics.elidedText(self._words.what, Qt.TextElideMode.ElideRight, max(60, room))
        self._what.show_value(shown)
        self._what.value.setToolTip(self._words.what if shown != self._words.what else "")
        self._what.setFixedWidth(round(metrics.horizontalAdvance(shown)) + 2 * GAP_16 + 5)
        # At once: a start may hold up the next turn of the loop, and what is painted before would overlap.
        self._row.activate()

    def _dress(self) -> None:
        palette = self.palette()
        palette.setColor(QPalette.ColorRole.Window, self._appearance.tokens.colour("cloth"))
        self.setPalette(palette)
        self.setFixedHeight(self._appearance.sizes.strip_h)
        self._fit()

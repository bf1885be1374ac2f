"""The headings at the left: a mark, a name, one line of how far it is."""

from __future__ import annotations

from PySide6.QtCore import QLineF, QRectF, QSize, Qt, QTimer, Signal
from PySide6.QtGui import QFontMetricsF, QKeyEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QAbstractButton, QSizePolicy, QVBoxLayout, QWidget

from kilnlog.logbook.close_out_steps import CloseOut, Step, StepLine, StepState
from kilnlog.logbook.close_out_words import TITLES, step_line
from kilnlog.records.moment import Moment
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.labels import Text, Wrapped
from kilnlog.ui.look.page import Page, page_title, scrolling, title_row
from kilnlog.ui.look.painting import WORDS, Mark, draw_focus_ring, draw_mark
from kilnlog.ui.look.sizes import GAP_8, GAP_12, Role

STAYS = "You may leave at any point; what is here stays."
#: Of the page [px], at the regular size.
WIDTH = 252

_MARKS = {
    StepState.DONE: Mark.TICK,
    StepState.NONE_FOUND: Mark.TICK,
    StepState.OPEN: Mark.LOOK,
    StepState.LEFT_OUT: Mark.DASH,
    StepState.OPTIONAL: Mark.DASH,
    StepState.WAITING: Mark.DASH,
}
_QUIET = (StepState.LEFT_OUT, StepState.OPTIONAL, StepState.WAITING)


class StepButton(QAbstractButton):
    """One heading."""

    def __init__(self, step: Step, appearance: Appearance) -> None:
        super().__init__()
        self.step = step
        self._appearance = appearance
        self._state = StepState.WAITING
        self._said = ""
        self._chosen = False
        self.setText(TITLES[step])
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAttribute(Qt.WidgetAttribute.WA_Hover)
        appearance.changed.connect(self.updateGeometry)

    def show_line(self, line: StepLine, said: str, *, chosen: bool) -> None:
        """Show how far it is."""
        self._state, self._said, self._chosen = line.state, said, chosen
        in_hand = "in hand" if chosen else ""
        told = (TITLES[self.step], said or line.state.value, WORDS[self.mark], in_hand)
        self.setAccessibleName(", ".join(part for part in told if part))
        self.updateGeometry()
        self.update()

    @property
    def said(self) -> str:
        """What stands under the name."""
        return self._said

    @property
    def mark(self) -> Mark:
        """The mark of its state."""
        if self.step is Step.SEAL and self._state is StepState.DONE:
            return Mark.SEALED
        return _MARKS[self._state]

    def sizeHint(self) -> QSize:
        """Two lines where there is something to say, else one."""
        sizes = self._appearance.sizes
        name = QFontMetricsF(sizes.font(Role.STRONG)).height()
        under = QFontMetricsF(sizes.font(Role.TINY)).height()
        # Larger text takes the room that smaller text leaves between the lines.
        tight = 4 if self._appearance.size_name == "largest" else 0
        return QSize(200, round(name + (under + 11 - tight if self._said else 18 - 2 * tight)))

    def paintEvent(self, event: QPaintEvent) -> None:
        """Ground, mark, name, line, rule; the ring where the focus is."""
        tokens, sizes = self._appearance.tokens, self._appearance.sizes
        painter = QPainter(self)
        left = sizes.margin_w + 1
        room = QRectF(left, 0, self.width() - left, self.height() - 1)
        if self._chosen or self.underMouse():
            painter.fillRect(room, tokens.colour("chosen" if self._chosen else "sheet2"))
        square = QRectF(0, 0, sizes.mark, sizes.mark)
        square.moveCenter(QRectF(0, 0, sizes.margin_w, self.height()).center())
        draw_mark(painter, square, Mark.HERE if self._chosen else self.mark, tokens)
        quiet = self._state in _QUIET and not self._chosen
        name_font, said_font = sizes.font(Role.STRONG if self._chosen else Role.BODY), sizes.font(Role.TINY)
        name, under = QFontMetricsF(name_font), QFontMetricsF(said_font)
        height = name.height() + (under.height() if self._said else 0)
        top = (self.height() - 1 - height) / 2
        text = room.adjusted(GAP_12, 0, -GAP_8, 0)
        painter.setFont(name_font)
        painter.setPen(tokens.colour("ink2" if quiet else "ink"))
        align = int(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
        painter.drawText(QRectF(text.x(), top, text.width(), name.height()), align, self.text())
        if self._said:
            painter.setFont(said_font)
            painter.setPen(tokens.colour("look" if self._state is StepState.OPEN else "ink2"))
            box = QRectF(text.x(), top + name.height(), text.width(), under.height())
            said = under.elidedText(self._said, Qt.TextElideMode.ElideRight, text.width())
            painter.drawText(box, align, said)
        painter.setPen(QPen(tokens.colour("rule"), 1))
        painter.drawLine(QLineF(left, self.height() - 0.5, self.width(), self.height() - 0.5))
        if self.hasFocus():
            draw_focus_ring(painter, room, tokens)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Arrows go along the headings, Enter takes one in hand."""
        key = event.key()
        if key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.click()
        elif key == Qt.Key.Key_Up:
            self.focusPreviousChild()
        elif key == Qt.Key.Key_Down:
            self.focusNextChild()
        else:
            super().keyPressEvent(event)


class StepsColumn(Page):
    """chosen(Step): a heading was taken in hand."""

    chosen = Signal(object)

    def __init__(self, appearance: Appearance) -> None:
        super().__init__(appearance, inset=False)
        self._appearance = appearance
        self._title = page_title("Closing", appearance)
        self._of = Text("", appearance, Role.SAID, "ink2")
        self._head = title_row(self._title, right=self._of)
        self.body.addLayout(self._head)
        self.body.addSpacing(2)
        self.buttons = {step: StepButton(step, appearance) for step in Step}
        content = QWidget()
        column = QVBoxLayout(content)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        for step, button in self.buttons.items():
            column.addWidget(button)
            button.clicked.connect(lambda _=False, step=step: self.chosen.emit(step))
        column.addStretch(1)
        self._stays = Wrapped(STAYS, appearance, Role.SAID, "ink2")
        column.addWidget(self._stays)
        # It rolls where the window is low: held open by its headings, the window outgrew the screen.
        self._area = scrolling(content)
        self.body.addWidget(self._area, 1)
        appearance.changed.connect(self._fit)
        self._fit()

    def _fit(self) -> None:
        left = self.margin_x + GAP_12 - 1
        self._head.setContentsMargins(left, GAP_8 + 2, GAP_12, 0)
        self._stays.setContentsMargins(left, 0, GAP_12, 0)

    def show_close_out(
        self, close_out: CloseOut, in_hand: Step, now: Moment, of: str, *, sealed: bool
    ) -> None:
        """How far each heading is, and which is in hand."""
        self._of.setText(of)
        for line in close_out.lines:
            said = step_line(line, now, sealed=sealed)
            self.buttons[line.step].show_line(line, said, chosen=line.step is in_hand)
        QTimer.singleShot(0, self, lambda: self._area.ensureWidgetVisible(self.buttons[in_hand], 0, 0))

"""What to do now: the findings, most urgent first, each with what, why, what to do and its source."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, QRectF, Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QMouseEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QHBoxLayout, QScrollArea, QSizePolicy, QVBoxLayout, QWidget

from kilnlog.drying.finding import Finding, Severity
from kilnlog.logbook import figures
from kilnlog.logbook.units import weight_unit_of
from kilnlog.logbook.wording import Worded, worded_finding
from kilnlog.logbook.writing import write
from kilnlog.records.decision import Decision
from kilnlog.records.step_taken import StepTaken
from kilnlog.ui.desk import Desk
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.buttons import MainButton, QuietButton
from kilnlog.ui.look.fields import TextField
from kilnlog.ui.look.labels import Wrapped
from kilnlog.ui.look.page import Page, page_title, title_row
from kilnlog.ui.look.painting import WORDS, Mark, draw_focus_ring, draw_margin_bar, draw_mark
from kilnlog.ui.look.sizes import GAP_2, GAP_4, GAP_8, GAP_12, GAP_16, Role

MARKS = {Severity.ACT: Mark.ACT, Severity.LOOK: Mark.LOOK, Severity.NOTE: Mark.NOTE}
STEP_DUE = "step-due"
NOTHING = "Nothing stands out. Weigh the boards when their round is due."
NOTHING_CLOSED = "This charge is closed, and nothing stood out at the end."


class FindingItem(QWidget):
    """One finding: its headline, and opened its reason, remedy, source and answers.

    opened(FindingItem): it was opened; the others close. led(Finding): go to what it is about.
    """

    opened = Signal(object)
    led = Signal(object)

    def __init__(self, finding: Finding, words: Worded, desk: Desk, appearance: Appearance) -> None:
        super().__init__()
        self.finding = finding
        self._desk = desk
        self._appearance = appearance
        self._open = False
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Minimum)
        self.setAccessibleName(f"{WORDS[self.mark]}: {words.headline}")
        self.setAccessibleDescription(f"{words.why} {words.do}".strip())
        self._headline = Wrapped(
            words.headline, appearance, Role.STRONG, "ink2" if finding.answered else "ink"
        )
        self._why = Wrapped(words.why, appearance, Role.BODY, "ink2")
        self._do = Wrapped(words.do, appearance, Role.BODY, "ink")
        self._source = Wrapped(words.source or "", appearance, Role.SAID, "ink2")
        since = f"since {figures.day_and_time(finding.since, desk.now())}" if finding.since else ""
        self._since = Wrapped(since, appearance, Role.TINY, "ink2")
        self._note = TextField(appearance, "Why not; Enter keeps it")
        self._note.setAccessibleName("Why you see it otherwise")
        self._buttons = QWidget()
        row = QHBoxLayout(self._buttons)
        row.setContentsMargins(0, GAP_4, 0, 0)
        row.setSpacing(GAP_8)
        self.main_button: QuietButton | MainButton | None = None
        if finding.code == STEP_DUE:
            self.main_button = MainButton("I have stepped", appearance)
            self.main_button.clicked.connect(self._stepped)
            row.addWidget(self.main_button)
        self._answer = QuietButton(
            "Not yet…" if finding.code == STEP_DUE else "I see it otherwise…", appearance
        )
        self._answer.clicked.connect(self.ask_note)
        row.addWidget(self._answer)
        row.addStretch(1)
        self._column = QVBoxLayout(self)
        self._column.setSpacing(GAP_2)
        for content in (
            self._headline,
            self._why,
            self._do,
            self._source,
            self._since,
            self._buttons,
            self._note,
        ):
            self._column.addWidget(content)
        self._note.installEventFilter(self)
        appearance.changed.connect(self._lay_out)
        self._lay_out()
        self.set_open(False)

    @property
    def mark(self) -> Mark:
        """Its mark in the margin."""
        return Mark.STRUCK_RING if self.finding.answered else MARKS[self.finding.severity]

    def _lay_out(self) -> None:
        self._column.setContentsMargins(self._appearance.sizes.margin_w + GAP_12, GAP_12, GAP_16, GAP_12)

    def set_open(self, opened: bool) -> None:
        """Show all of it, or the headline and for the urgent a line of why."""
        self._open = opened
        brief = self.finding.severity is not Severity.NOTE and not self.finding.answered
        self._why.setVisible(bool(self._why.text()) and (opened or brief))
        self._do.setVisible(opened and bool(self._do.text()))
        self._source.setVisible(opened and bool(self._source.text()))
        self._since.setVisible(opened and bool(self._since.text()))
        self._buttons.setVisible(opened and self._desk.can_write and not self.finding.answered)
        self._note.hide()
        self.update()

    def toggle(self) -> None:
        """Enter: open it; opened, lead to the board or moment it is about."""
        if self._open:
            self.led.emit(self.finding)
        else:
            self.opened.emit(self)

    def _stepped(self) -> None:
        record, step = self._desk.record, self.finding.values.get("due_step")
        if record is not None and isinstance(step, int):
            fact = StepTaken(record.entity, step)
            self._desk.do(write, fact, self._desk.now(), saying=f"Step {step} taken")

    def ask_note(self) -> None:
        """Open the line in which the operator says why it is otherwise."""
        self._note.show()
        self._note.setFocus()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Enter in the note keeps the decision, Esc drops it."""
        if watched is self._note and isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress:
            if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
                self._keep_note()
                return True
            if event.key() == Qt.Key.Key_Escape:
                self._note.hide()
                self.setFocus()
                return True
        return False

    def _keep_note(self) -> None:
        record, note = self._desk.record, self._note.text().strip()
        if record is not None and note:
            decision = Decision(record.entity, self.finding.code, self.finding.subject, note)
            self._desk.do(write, decision, self._desk.now(), saying="Decision kept")

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter and space open, and lead on; up and down go through the list."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Space):
            self.toggle()
        elif event.key() == Qt.Key.Key_Down:
            self.focusNextChild()
        elif event.key() == Qt.Key.Key_Up:
            self.focusPreviousChild()
        else:
            super().keyPressEvent(event)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """A click does as Enter."""
        self.setFocus()
        self.toggle()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Mark, bar for what must be acted on, the rule beneath."""
        tokens, sizes = self._appearance.tokens, self._appearance.sizes
        painter = QPainter(self)
        painter.setPen(tokens.colour("rule"))
        painter.drawLine(sizes.margin_w + 1, self.height() - 1, self.width(), self.height() - 1)
        box = QRectF(0, 0, sizes.mark, sizes.mark)
        box.moveCenter(QRectF(0, GAP_12, sizes.margin_w, sizes.px(Role.STRONG) * 1.4).center())
        draw_mark(painter, box, self.mark, tokens)
        if self.finding.severity is Severity.ACT and not self.finding.answered:
            draw_margin_bar(painter, sizes.margin_w + 0.5, 0, self.height() - 1, tokens.colour("act"))
        if self.hasFocus():
            ring = QRectF(sizes.margin_w + 4, 2, self.width() - sizes.margin_w - 6, self.height() - 5)
            draw_focus_ring(painter, ring, tokens)

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Show the ring."""
        super().focusInEvent(event)
        self.update()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Take the ring away."""
        super().focusOutEvent(event)
        self.update()


class WhatToDoPage(Page):
    """The findings of the charge in hand, in order.

    led(Finding): the operator asked to be led to what it is about.
    """

    led = Signal(object)

    def __init__(self, desk: Desk, appearance: Appearance) -> None:
        super().__init__(appearance)
        self._desk = desk
        self._items: list[FindingItem] = []
        self._shown: tuple[Finding, ...] | None = None
        self._title = title_row(page_title("What to do now", appearance))
        self._none = Wrapped("", appearance, Role.SAID, "ink2")
        self._list = QWidget()
        self._column = QVBoxLayout(self._list)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(0)
        self._none_row = QHBoxLayout()
        self._none_row.addWidget(self._none)
        self._column.addLayout(self._none_row)
        self._column.addStretch(1)
        area = QScrollArea()
        area.setWidget(self._list)
        area.setWidgetResizable(True)
        area.setFrameShape(QScrollArea.Shape.NoFrame)
        area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        area.setStyleSheet("QScrollArea { background: transparent; }")
        area.viewport().setAutoFillBackground(False)
        self._list.setAutoFillBackground(False)
        self._area = area
        self.body.addLayout(self._title)
        self.body.addSpacing(GAP_8)
        self.body.addWidget(area, 1)
        self._lay_out()
        desk.record_changed.connect(lambda _: self._follow())
        self._follow()

    def _lay_out(self) -> None:
        """The list lies across the margin: its marks stand there."""
        super()._lay_out()
        self.body.setContentsMargins(1, 1, 1, 1)
        self.setFixedWidth(round(self._appearance.sizes.side_w * 0.9))
        if hasattr(self, "_title"):
            self._title.setContentsMargins(self.margin_x + GAP_12, GAP_8, GAP_16, 0)
            self._none_row.setContentsMargins(self.margin_x + GAP_12, GAP_8, GAP_16, 0)

    @property
    def items(self) -> tuple[FindingItem, ...]:
        """The findings as they stand, most urgent first."""
        return tuple(self._items)

    def show_kind(self, kind: str) -> None:
        """Open the first finding of a kind and give it the keys."""
        for item in self._items:
            if item.finding.severity.value == kind and not item.finding.answered:
                self._open_only(item)
                item.setFocus()
                self._area.ensureWidgetVisible(item)
                return

    def _follow(self) -> None:
        assessment, record = self._desk.assessment, self._desk.record
        found = assessment.findings if assessment is not None else ()
        self._none.setText(NOTHING_CLOSED if record is not None and record.is_closed else NOTHING)
        self._none.setVisible(assessment is not None and not found)
        if found == self._shown:
            return
        self._shown = found
        for item in self._items:
            self._column.removeWidget(item)
            item.deleteLater()
        self._items = []
        unit = weight_unit_of(record) if record is not None else None
        for place, finding in enumerate(found):
            words = worded_finding(finding, unit) if unit is not None else worded_finding(finding)
            item = FindingItem(finding, words, self._desk, self._appearance)
            item.opened.connect(self._open_only)
            item.led.connect(self.led)
            self._column.insertWidget(place, item)
            self._items.append(item)
        urgent = [item for item in self._items if not item.finding.answered]
        if urgent and urgent[0].finding.severity is not Severity.NOTE:
            urgent[0].set_open(True)

    def _open_only(self, chosen: FindingItem) -> None:
        for item in self._items:
            item.set_open(item is chosen)

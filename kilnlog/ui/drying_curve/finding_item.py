"""One finding in the list of what to do: what, why, what to do, its source, and the ways to answer it."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, QRectF, Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QMouseEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QHBoxLayout, QSizePolicy, QVBoxLayout, QWidget

from kilnlog.drying.finding import Finding, Severity
from kilnlog.logbook import figures
from kilnlog.logbook.event_words import event_words
from kilnlog.logbook.finding_answers import DONE, answer_of
from kilnlog.logbook.wording import Worded
from kilnlog.logbook.writing import take_back, write
from kilnlog.records.decision import Decision
from kilnlog.records.errors import KilnlogError
from kilnlog.records.event import Event
from kilnlog.records.step_taken import StepTaken
from kilnlog.records.version import Entry
from kilnlog.records.words import EventKind, EventState
from kilnlog.ui.desk import Desk
from kilnlog.ui.drying_curve.answers import Answer
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.buttons import MainButton, QuietButton
from kilnlog.ui.look.fields import TextField
from kilnlog.ui.look.labels import Wrapped
from kilnlog.ui.look.painting import WORDS, Mark, draw_focus_ring, draw_margin_bar, draw_mark
from kilnlog.ui.look.sizes import GAP_2, GAP_4, GAP_8, GAP_12, GAP_16, Role
from kilnlog.ui.register.reason import ReasonDialog

MARKS = {Severity.ACT: Mark.ACT, Severity.LOOK: Mark.LOOK, Severity.NOTE: Mark.NOTE}
STEP_DUE = "step-due"
SAY_WHY = "Say it in a few words; Esc leaves it."
LEADS_TO_BOARD, LEADS_TO_CURVE = "Show its board", "Show it on the curve"
_DONE_BY = {
    STEP_DUE: "I have stepped",
    "equalize-due": "Equalizing has begun",
    "equalize-finished": "Equalizing has ended",
    "condition-due": "Conditioning has begun",
}
#: The events by which those are written down.
_TREATMENTS = {
    "equalize-due": (EventKind.EQUALIZING, EventState.START),
    "equalize-finished": (EventKind.EQUALIZING, EventState.END),
    "condition-due": (EventKind.CONDITIONING, EventState.START),
}
#: How far each key goes along the list; the list stops at its ends.
_GOES = {Qt.Key.Key_Up: -1, Qt.Key.Key_Down: 1, Qt.Key.Key_Home: -10_000, Qt.Key.Key_End: 10_000}


class FindingItem(QWidget):
    """One finding: its headline, and opened its reason, remedy, source and answers.

    opened(FindingItem): it was opened; the others close. led(Finding): go to what it is about.
    moved(FindingItem, int): another of the list is wanted, so many further on. left(): Esc, out of the list.
    """

    opened = Signal(object)
    led = Signal(object)
    moved = Signal(object, int)
    left = Signal()

    def __init__(
        self, finding: Finding, words: Worded, answer: Answer, desk: Desk, appearance: Appearance
    ) -> None:
        super().__init__()
        self.finding = finding
        self.answer = answer
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
        self._told = Wrapped(self._answer_words(), appearance, Role.BODY, "ink")
        self._note = TextField(appearance)
        self._note.setText(answer.text)
        self._ask_for()
        self._note.textEdited.connect(self._typed)
        self._missing = Wrapped(SAY_WHY, appearance, Role.TINY, "act")
        self._missing.hide()
        self.main_button: MainButton | None = None
        self._answers = self._make_answers()
        self.lead_button = QuietButton(LEADS_TO_BOARD if finding.board else LEADS_TO_CURVE, appearance)
        self.lead_button.clicked.connect(lambda: self.led.emit(finding))
        first: list[QWidget] = [self.main_button] if self.main_button is not None else []
        self._buttons = QWidget()
        rows = QVBoxLayout(self._buttons)
        rows.setContentsMargins(0, GAP_4, 0, 0)
        rows.setSpacing(GAP_4)
        for buttons in (first, self._answers, [self.lead_button]):
            row = QHBoxLayout()
            row.setSpacing(GAP_8)
            for button in buttons:
                row.addWidget(button)
            row.addStretch(1)
            rows.addLayout(row)
        self._column = QVBoxLayout(self)
        self._column.setSpacing(GAP_2)
        for content in (
            self._headline,
            self._why,
            self._do,
            self._source,
            self._since,
            self._told,
            self._buttons,
            self._note,
            self._missing,
        ):
            self._column.addWidget(content)
        self._note.installEventFilter(self)
        appearance.changed.connect(self._lay_out)
        self._lay_out()
        self.set_open(False)

    @property
    def stops(self) -> tuple[QWidget, ...]:
        """Where Tab stops within it, in order."""
        return (
            self,
            *((self.main_button,) if self.main_button is not None else ()),
            *self._answers,
            self.lead_button,
            self._note,
        )

    def _make_answers(self) -> list[QuietButton]:
        """What can be answered, and, where it was, taken back."""
        finding = self.finding
        if finding.answered:
            if answer_of_desk(self._desk, finding) is None:
                return []
            back = QuietButton("Take this answer back…", self._appearance)
            back.clicked.connect(self._take_back)
            return [back]
        record = self._desk.record
        if record is not None and (words := _DONE_BY.get(finding.code)) is not None:
            self.main_button = MainButton(words, self._appearance)
            self.main_button.clicked.connect(self._done)
        agree = QuietButton("Done about it…", self._appearance)
        agree.clicked.connect(lambda: self.ask_note(agrees=True))
        otherwise = QuietButton(
            "Not yet…" if finding.code == STEP_DUE else "I see it otherwise…", self._appearance
        )
        otherwise.clicked.connect(lambda: self.ask_note(agrees=False))
        return [otherwise] if finding.code == STEP_DUE else [agree, otherwise]

    def _answer_words(self) -> str:
        entry = answer_of_desk(self._desk, self.finding) if self.finding.answered else None
        if entry is None:
            return ""
        at = figures.day_and_time(entry.at, self._desk.now())
        return f"Answered {at}: {entry.fact.note or 'noted'}"

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
        self._told.setVisible(opened and bool(self._told.text()))
        can_answer = opened and self._desk.can_write
        self._buttons.setVisible(opened)
        for button in (*self._answers, *([self.main_button] if self.main_button is not None else [])):
            button.setVisible(can_answer)
        self._note.setVisible(can_answer and not self.finding.answered and self.answer.is_open)
        self._missing.hide()
        self.update()

    def toggle(self) -> None:
        """Enter: open it; opened, go to its buttons, which say what they do."""
        if not self._open:
            self.opened.emit(self)
        else:
            self.stops[1].setFocus(Qt.FocusReason.TabFocusReason)

    def _done(self) -> None:
        """What it asks for was done just now: the step, or the beginning or end of a treatment."""
        record, step = self._desk.record, self.finding.values.get("due_step")
        if record is None:
            return
        if self.finding.code in _TREATMENTS:
            event = Event(record.entity, *_TREATMENTS[self.finding.code])
            words = event_words(event)
            self._send(event, f"{words[0].upper()}{words[1:]}")
        elif isinstance(step, int):
            self._send(StepTaken(record.entity, step), f"Step {step} taken")

    def _take_back(self) -> None:
        entry = answer_of_desk(self._desk, self.finding)
        if entry is None:
            return

        def given(reason: str) -> None:
            self._desk.do(take_back, "decision", entry.entity, reason, saying="Answer taken back")

        what = f"{self._told.text()}. It stays in the record, struck through."
        such_as = "not so after all, wrong finding"
        window = self.window()
        ReasonDialog(window, self._appearance, "Take an answer back", what, given, such_as=such_as).open()

    def _ask_for(self) -> None:
        """The line says what it asks."""
        agrees = self.answer.agrees
        self._note.setPlaceholderText(f"{'What is done' if agrees else 'Why not'}; Enter keeps it")
        self._note.setAccessibleName("What is done about it" if agrees else "Why you see it otherwise")

    def ask_note(self, *, agrees: bool | None = None) -> None:
        """Open the line in which the operator says what is done about it, or why it is otherwise."""
        self.answer.agrees = bool(agrees)
        self._ask_for()
        self.answer.is_open = True
        self._note.show()
        self._note.setFocus()

    @property
    def typing_at(self) -> int | None:
        """Where in the note one is typing; None where the keys are elsewhere."""
        return self._note.cursorPosition() if self.window().focusWidget() is self._note else None

    def type_on(self, cursor: int) -> None:
        """Go on typing the note where another item of this finding was left."""
        self.ask_note(agrees=self.answer.agrees)
        self._note.setCursorPosition(cursor)

    def _typed(self, text: str) -> None:
        self.answer.text = text
        self._missing.hide()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Enter in the note keeps the decision, Esc drops it; while it is being kept no key changes it."""
        if watched is self._note and isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress:
            if self.answer.is_sending:
                return True
            if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
                self._keep_note()
                return True
            if event.key() == Qt.Key.Key_Escape:
                self._drop_note()
                return True
        return False

    def _drop_note(self) -> None:
        self.answer.forget()
        self.close_note()

    def close_note(self) -> None:
        """Nothing stands to be answered any more; the keys go from the line to the finding."""
        had_keys = self.typing_at is not None
        self._note.clear()
        if had_keys:
            self.setFocus()  # before the line is hidden, which would hand the keys to whatever comes next
        self._note.hide()
        self._missing.hide()

    def _keep_note(self) -> None:
        record, note = self._desk.record, self.answer.text.strip()
        if not note:
            self._missing.show()
        elif record is not None:
            told = f"{DONE}{note}" if self.answer.agrees else note
            decision = Decision(record.entity, self.finding.code, self.finding.subject, told)
            self._send(decision, "Decision kept")

    def _send(self, fact: Decision | StepTaken | Event, saying: str) -> None:
        """Once: a key pressed twice, or on the item that came in place of this one, writes one row."""
        answer = self.answer
        if answer.is_sending or not self._desk.can_write:
            return
        answer.is_sending = True

        def failed(error: KilnlogError) -> None:
            answer.is_sending = False
            self._desk.refused.emit(error)

        self._desk.do(
            write, fact, self._desk.now(), saying=saying, done=lambda _: answer.forget(), failed=failed
        )

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter and space open, and go to the buttons; up and down go through the list, Esc out of it."""
        key = Qt.Key(event.key())
        if key in (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Space):
            self.toggle()
        elif key in _GOES:
            self.moved.emit(self, _GOES[key])
        elif key == Qt.Key.Key_Escape:
            self.left.emit()
        else:
            super().keyPressEvent(event)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """A click opens it."""
        self.setFocus()
        if not self._open:
            self.opened.emit(self)

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


def answer_of_desk(desk: Desk, finding: Finding) -> Entry[Decision] | None:
    """The answer that stands in the charge in hand."""
    return answer_of(desk.record, finding) if desk.record is not None else None

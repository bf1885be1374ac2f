"""The slip that opens under a line: what is doubted or refused, the likely truth, and the ways on."""

from __future__ import annotations

from PySide6.QtCore import QLocale, Qt, Signal
from PySide6.QtGui import QKeyEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from kilnlog.logbook import figures
from kilnlog.logbook.wording import worded, worded_finding
from kilnlog.records.weight import Weight, WeightUnit
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.buttons import KeyHint, MainButton, QuietButton
from kilnlog.ui.look.fields import TextField
from kilnlog.ui.look.labels import Wrapped
from kilnlog.ui.look.sizes import GAP_4, GAP_8, GAP_12, Role
from kilnlog.ui.weighing_round.typed import Typed, TypedState

#: The likely truth, and keeping it as typed.
ANSWER_KEYS = ("F7", "F8")
#: How it is meant. Other keys: pressed twice, one must not go on to keep a weight that nobody read.
WAY_KEYS = ("F3", "F5")


class _Reason(TextField):
    """Where the operator says why a doubted weight is right."""

    given = Signal(str)
    dropped = Signal()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter keeps, Esc goes back to the weight."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            if self.text().strip() and not event.isAutoRepeat():
                self.given.emit(self.text())
        elif event.key() == Qt.Key.Key_Escape:
            self.dropped.emit()
        else:
            super().keyPressEvent(event)


class Slip(QWidget):
    """Lies over the lower part of the line it belongs to.

    again(): type it again. likely(): take the likely truth. reading(str): the reading chosen of two.
    way(int): which of two ways it is meant. insisted(str): keep it as typed, for this reason.
    answering(bool): a reason is asked for, or no longer.
    """

    again = Signal()
    likely = Signal()
    reading = Signal(str)
    way = Signal(int)
    insisted = Signal(str)
    answering = Signal(bool)
    resized = Signal()  # the reason was asked for, or no longer: the slip's height is another

    def __init__(self, appearance: Appearance, parent: QWidget) -> None:
        super().__init__(parent)
        self._appearance = appearance
        self._typed: Typed | None = None
        self._what = Wrapped("", appearance, Role.STRONG, "ink")
        self._more = Wrapped("", appearance, Role.BODY, "ink2")
        self._again = MainButton("Type it again", appearance)
        self._first = QuietButton("", appearance)
        self._second = QuietButton("", appearance)
        self._answer_keys = [KeyHint(key, appearance) for key in ANSWER_KEYS]
        self._way_keys = [KeyHint(key, appearance) for key in WAY_KEYS]
        self._reason = _Reason(appearance, "Why it is right; Enter keeps it")
        self._reason.setAccessibleName("Why the weight is right as typed")
        column = QVBoxLayout(self)
        column.setContentsMargins(0, GAP_4, GAP_12, GAP_8)
        column.setSpacing(GAP_4)
        column.addWidget(self._what)
        column.addWidget(self._more)
        row = QHBoxLayout()
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(GAP_8)
        row.addWidget(self._again)
        row.addWidget(KeyHint("Enter", appearance))
        row.addSpacing(GAP_8)
        for button, *keys in zip((self._first, self._second), self._answer_keys, self._way_keys, strict=True):
            row.addWidget(button)
            for key in keys:
                row.addWidget(key)
            row.addSpacing(GAP_8)
        row.addStretch(1)
        column.addLayout(row)
        column.addWidget(self._reason)
        self._again.clicked.connect(self.again)
        self._first.clicked.connect(lambda: self._clicked(0))
        self._second.clicked.connect(lambda: self._clicked(1))
        self._reason.given.connect(self.insisted)
        self._reason.dropped.connect(self._drop_reason)
        for pressed in (self._again, self._first, self._second):
            pressed.setFocusPolicy(Qt.FocusPolicy.TabFocus)

    @property
    def typed(self) -> Typed | None:
        """What the slip speaks of."""
        return self._typed

    def show_typed(self, typed: Typed, read_earlier: str = "") -> None:
        """Say what is the matter with a typed weight, and what can be done.

        ``read_earlier``: a sentence that tells when it was read, where that is not now.
        """
        self._typed = typed
        more = f"{_explanation(typed)} {read_earlier}".strip()
        self.close_reason()
        self._reason.clear()
        self._again.setText("Try again" if typed.can_retry else "Type it again")
        self._what.setText(_headline(typed))
        self._more.setText(more)
        self._more.setVisible(bool(more))
        first, second = _ways(typed)
        shown, hidden = self._answer_keys, self._way_keys
        if _chooses(typed):
            shown, hidden = hidden, shown
        for button, text, key, other in zip(
            (self._first, self._second), (first, second), shown, hidden, strict=True
        ):
            button.setText(text)
            button.setVisible(bool(text))
            key.setVisible(bool(text))
            other.hide()
        self.setAccessibleName(f"{_headline(typed)} {more}")
        self.update()

    def height_for(self, width: int) -> int:
        """How high the slip is at that width [px]."""
        inner = width - GAP_12
        height = GAP_4 + self._what.heightForWidth(inner) + GAP_4
        if self._more.text():
            height += self._more.heightForWidth(inner) + GAP_4
        height += self._appearance.sizes.control_h + GAP_8
        if self._reason.isVisibleTo(self):
            height += self._appearance.sizes.field_h + GAP_4
        return height

    def take_likely(self) -> None:
        """F7: the likely truth."""
        if self._offers(0) and not _chooses(self._typed):
            self.likely.emit()

    def ask_reason(self) -> None:
        """F8: ask for the reason to keep it as typed."""
        if not self._offers(1) or _chooses(self._typed):
            return
        self._reason.show()
        self._reason.setFocus()
        self.answering.emit(True)
        self.resized.emit()

    def choose(self, number: int) -> None:
        """F3, F5: the first or second of two ways it may be meant, or of two readings."""
        if self._typed is None or not self._offers(number) or not _chooses(self._typed):
            return
        if self._typed.ways:
            self.way.emit(number)
        else:
            self.reading.emit(self._typed.readings[number])

    def _offers(self, number: int) -> bool:
        button = (self._first, self._second)[number]
        return not self.isHidden() and self._typed is not None and button.isVisibleTo(self)

    def _clicked(self, number: int) -> None:
        if _chooses(self._typed):
            self.choose(number)
        else:
            (self.take_likely, self.ask_reason)[number]()

    def close_reason(self) -> None:
        """No reason is asked for any more."""
        if not self._reason.isHidden():
            self._reason.hide()
            self.answering.emit(False)

    def _drop_reason(self) -> None:
        self.close_reason()
        self.resized.emit()
        self.again.emit()

    def paintEvent(self, event: QPaintEvent) -> None:
        """The ground of a line that is asked about, or refused."""
        refused = self._typed is not None and self._typed.state is TypedState.REFUSED
        ground = self._appearance.tokens.colour("act_bg" if refused else "look_bg")
        QPainter(self).fillRect(self.rect(), ground)


def _chooses(typed: Typed | None) -> bool:
    """Whether it is asked how it is meant, before anything is asked about the weight itself."""
    return typed is not None and bool(typed.ways or typed.readings)


def _headline(typed: Typed) -> str:
    if typed.doubts:
        return worded_finding(typed.doubts[0].finding, _unit(typed)).headline
    return worded(typed.error).what if typed.error is not None else ""


def _explanation(typed: Typed) -> str:
    if typed.doubts:
        return worded_finding(typed.doubts[0].finding, _unit(typed)).why  # the buttons say what to do
    return worded(typed.error).do if typed.error is not None else ""


def _ways(typed: Typed) -> tuple[str, str]:
    """What the two buttons would do, or nothing."""
    if typed.ways:
        return typed.ways[0].words, typed.ways[1].words if len(typed.ways) > 1 else ""
    if typed.readings:
        point = QLocale().decimalPoint()
        first, second = (f"It is {reading.replace('.', point)}" for reading in typed.readings[:2])
        return first, second
    first = f"Take {_shown(typed.likely)}" if typed.likely is not None else ""
    if typed.state is TypedState.ASKED and typed.can_insist and typed.weight is not None:
        return first, f"Keep {_shown(typed.weight)}, with a reason…"
    return first, ""


def _shown(weight: Weight) -> str:
    return f"{figures.grouped(weight)} {weight.unit}"


def _unit(typed: Typed) -> WeightUnit:
    return typed.weight.unit if typed.weight is not None else WeightUnit.G

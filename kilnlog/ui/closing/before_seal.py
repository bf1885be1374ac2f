"""Before the seal, at the right: what is missing with its consequence, and what can be done about it."""

from __future__ import annotations

from PySide6.QtCore import QLineF, QRectF, Signal
from PySide6.QtGui import QFontMetricsF, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from kilnlog.drying.finding import Severity
from kilnlog.logbook.close_out_steps import Before, CloseOut, Way
from kilnlog.logbook.close_out_words import WAYS, consequence, title
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.buttons import QuietButton
from kilnlog.ui.look.labels import Wrapped
from kilnlog.ui.look.page import Page, page_title, scrolling
from kilnlog.ui.look.painting import WORDS, Mark, draw_mark
from kilnlog.ui.look.sizes import GAP_4, GAP_8, GAP_12, Role

#: Of the page [px], at the regular size.
WIDTH = 292
BEFORE, UNDER = "Before the seal", "Under the seal"
NOTHING = "Nothing is missing."
NOTHING_MORE, ALL_SEALED = (
    "What is there will be sealed as it stands.",
    "What was there is sealed as it stood.",
)

_MARKS = {Severity.ACT: Mark.ACT, Severity.LOOK: Mark.LOOK, Severity.NOTE: Mark.NOTE}


class _Block(QWidget):
    """One thing: its mark in the margin, title, consequence, buttons, a rule beneath."""

    asked = Signal(object, object)  # what it tells of, and the way

    def __init__(self, appearance: Appearance, head: str, said: str, of: Before | None) -> None:
        super().__init__()
        mark = _MARKS[of.severity] if of is not None else None
        self._appearance, self._mark, self.of = appearance, mark, of
        self.buttons: dict[Way, QuietButton] = {}
        self._column = QVBoxLayout(self)
        self._column.setSpacing(GAP_4)
        self._title = Wrapped(head, appearance, Role.STRONG, "ink")
        self._column.addWidget(self._title)
        self._column.addWidget(Wrapped(said, appearance, Role.BODY, "ink2"))
        if mark is not None:
            self.setAccessibleName(f"{WORDS[mark]}: {head}")
        appearance.changed.connect(self._indent)
        self._indent()

    def offer(self, ways: tuple[Way, ...]) -> None:
        """A button for each way, two in a row."""
        row = QHBoxLayout()
        for number, way in enumerate(ways):
            button = QuietButton(WAYS[way], self._appearance)
            button.setAccessibleName(f"{WAYS[way]}: {self._title.text()}")
            button.clicked.connect(lambda _=False, way=way: self.asked.emit(self.of, way))
            self.buttons[way] = button
            if number % 2 == 0:
                row = QHBoxLayout()
                row.setContentsMargins(0, GAP_4, 0, 0)
                row.setSpacing(GAP_8)
                row.addStretch(1)
                self._column.addLayout(row)
            row.insertWidget(row.count() - 1, button)

    def _indent(self) -> None:
        left = self._appearance.sizes.margin_w + GAP_12
        self._column.setContentsMargins(left, GAP_8, GAP_12, GAP_12)

    def paintEvent(self, event: QPaintEvent) -> None:
        """The mark beside the title, the rule beneath."""
        tokens, sizes = self._appearance.tokens, self._appearance.sizes
        painter = QPainter(self)
        if self._mark is not None:
            line = QFontMetricsF(sizes.font(Role.STRONG)).height()
            square = QRectF(0, 0, sizes.mark, sizes.mark)
            square.moveCenter(QRectF(0, GAP_8, sizes.margin_w, line).center())
            draw_mark(painter, square, self._mark, tokens)
        painter.setPen(QPen(tokens.colour("rule"), 1))
        y = self.height() - 0.5
        painter.drawLine(QLineF(sizes.margin_w + 1, y, self.width(), y))


class BeforeSeal(Page):
    """asked(Before, Way): a button was pressed."""

    asked = Signal(object, object)

    def __init__(self, appearance: Appearance) -> None:
        super().__init__(appearance, inset=False)
        self._appearance = appearance
        self._shown: tuple[tuple[str, str, tuple[Way, ...]], ...] | None = None
        self.blocks: list[_Block] = []
        self._title = page_title(BEFORE, appearance)
        self.body.addWidget(self._title)
        content = QWidget()
        self._column = QVBoxLayout(content)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(0)
        self._column.addStretch(1)
        self.body.addWidget(scrolling(content), 1)
        appearance.changed.connect(self._fit)
        self._fit()

    def _fit(self) -> None:
        self._title.setContentsMargins(self.margin_x + GAP_12 - 1, GAP_8 + 2, GAP_12, GAP_4)

    def show_close_out(self, close_out: CloseOut, *, writable: bool, sealed: bool = False) -> None:
        """List what stands before the seal; where the keys are they stay, if the button is still there."""
        self._title.setText(UNDER if sealed else BEFORE)
        told = tuple(
            (title(one, close_out), consequence(one, sealed=sealed), one.ways if writable else ())
            for one in close_out.before
        )
        if told == self._shown:
            for block, one in zip(self.blocks, close_out.before, strict=False):
                block.of = one
            return
        in_hand = next(
            (
                (number, way)
                for number, block in enumerate(self.blocks)
                for way, button in block.buttons.items()
                if button.hasFocus()
            ),
            None,
        )
        self._shown = told
        for block in self.blocks:
            self._column.removeWidget(block)
            block.hide()  # at once: the deletion waits for the event loop
            block.deleteLater()
        self.blocks = []
        for one, (head, said, ways) in zip(close_out.before, told, strict=True):
            block = _Block(self._appearance, head, said, one)
            if ways:
                block.offer(ways)
            self._add(block)
        if not told:
            self._add(_Block(self._appearance, NOTHING, ALL_SEALED if sealed else NOTHING_MORE, None))
        if in_hand is not None:
            self._focus(*in_hand)

    def _add(self, block: _Block) -> None:
        block.asked.connect(self.asked)
        self.blocks.append(block)
        self._column.insertWidget(self._column.count() - 1, block)
        block.show()

    def _focus(self, number: int, way: Way) -> None:
        """The same button, or the first of what came in its place."""
        block = next((block for block in self.blocks[number:] if block.buttons), None)
        if block is not None:
            (block.buttons.get(way) or next(iter(block.buttons.values()))).setFocus()
        else:
            self.take_keys()

    def take_keys(self) -> bool:
        """The keyboard goes to the first button; whether there is one."""
        for block in self.blocks:
            if block.buttons:
                next(iter(block.buttons.values())).setFocus()
                return True
        return False

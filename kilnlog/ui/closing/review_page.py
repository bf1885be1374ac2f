"""Review: everything in brief, as it will stand on the record."""

from __future__ import annotations

from typing import ClassVar

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QVBoxLayout, QWidget

from kilnlog.logbook.close_out_review import Part, review
from kilnlog.logbook.close_out_steps import Step
from kilnlog.ui.closing.hand import ClosingHand
from kilnlog.ui.closing.step_page import StepPage
from kilnlog.ui.desk import Desk
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.labels import Wrapped
from kilnlog.ui.look.page import scrolling, section_title
from kilnlog.ui.look.ruled import Cell, RuledTable
from kilnlog.ui.look.sizes import GAP_8, GAP_16, Role

HEADINGS = ("Heading", "As it stands")
_PAGES = {Qt.Key.Key_PageDown: 1, Qt.Key.Key_PageUp: -1}


class ReviewPage(StepPage):
    """Only read; Page Up and Page Down roll it."""

    step: ClassVar[Step] = Step.REVIEW
    by_lot: ClassVar[bool] = False

    def __init__(self, desk: Desk, hand: ClosingHand, appearance: Appearance) -> None:
        super().__init__(desk, hand, appearance)
        self._parts: tuple[Part, ...] | None = None
        content = QWidget()
        self._column = QVBoxLayout(content)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(GAP_8)
        self._column.addStretch(1)
        self._area = scrolling(content)
        self.add(self._area, 1)
        self.finish()

    @property
    def parts(self) -> tuple[Part, ...]:
        """What is shown."""
        return self._parts or ()

    def renew(self) -> None:
        """Tell it anew, where it is another."""
        parts = review(self.hand.close_out, self.hand.record, self.desk.now(), sealed=self.hand.is_sealed)
        if parts == self._parts:
            return
        self._parts = parts
        while (item := self._column.takeAt(0)) is not None:
            if (widget := item.widget()) is not None:
                widget.hide()  # at once: the deletion waits for the event loop
                widget.deleteLater()
        for number, part in enumerate(parts):
            if number:
                self._column.addSpacing(GAP_16)
            self._column.addWidget(section_title(part.title, self.appearance))
            if part.rows:
                table = RuledTable(self.appearance, HEADINGS, part.title, in_margin=False)
                table.set_rows([(Cell(name), Cell(figure)) for name, figure in part.rows])
                self._column.addWidget(table)
            for sentence in part.sentences:
                self._column.addWidget(Wrapped(sentence, self.appearance, Role.SAID, "ink2"))
        self._column.addStretch(1)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Roll by a page."""
        by = _PAGES.get(Qt.Key(event.key()))
        if by is None:
            super().keyPressEvent(event)
            return
        bar = self._area.verticalScrollBar()
        bar.setValue(bar.value() + by * bar.pageStep())

    def keys(self) -> tuple[tuple[str, str], ...]:
        """Rolling."""
        return (("Page ↑ ↓", "roll"),)

"""What the sample-board view shows before there is a board."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QHBoxLayout

from kilnlog.ui.desk import Desk
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.buttons import KeyHint, MainButton
from kilnlog.ui.look.labels import Text, Wrapped
from kilnlog.ui.look.page import Page
from kilnlog.ui.look.sizes import GAP_8, GAP_12, GAP_16, GAP_32, Role


class NoBoardsPage(Page):
    """One sentence, what it means, and the way on.

    asked(): the operator wants to cut the first board.
    """

    asked = Signal()

    def __init__(self, desk: Desk, appearance: Appearance) -> None:
        super().__init__(appearance)
        self._desk = desk
        self._sentence = Text("", appearance, Role.PAGE_TITLE, "ink")
        self._plain = Wrapped("", appearance, Role.BODY, "ink2")
        self._button = MainButton("Cut a sample board…", appearance)
        self._key = KeyHint("Ctrl B", appearance)
        row = QHBoxLayout()
        row.setSpacing(GAP_8)
        row.addWidget(self._button)
        row.addWidget(self._key)
        row.addStretch(1)
        for content in (self._sentence, self._plain):
            content.setContentsMargins(GAP_12, 0, GAP_32, 0)
        row.setContentsMargins(GAP_12, 0, 0, 0)
        self.body.addSpacing(GAP_32)
        self.body.addWidget(self._sentence)
        self.body.addSpacing(GAP_8)
        self.body.addWidget(self._plain)
        self.body.addSpacing(GAP_16)
        self.body.addLayout(row)
        self.body.addStretch(1)
        self._button.clicked.connect(self.asked)
        self.setFocusProxy(self._button)
        desk.record_changed.connect(self._follow)
        self._follow(None)

    def _follow(self, _: object) -> None:
        record = self._desk.record
        if record is None:
            self._sentence.setText("No charge in hand")
            self._plain.setText("Choose a charge in the register, or make a new one there.")
        else:
            self._sentence.setText(f"Charge {record.particulars.charge} has no sample boards yet")
            self._plain.setText(
                "Cut at least four, the slowest and wettest stock first, with a moisture section from each "
                "end. Weigh board and sections at once, before the ends are coated."
            )
        self._button.setVisible(self._desk.can_write)
        self._key.setVisible(self._desk.can_write)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter presses the one button."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self._button.isVisible():
            self.asked.emit()
        else:
            super().keyPressEvent(event)

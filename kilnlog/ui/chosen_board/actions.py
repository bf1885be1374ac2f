"""What can be done to the board in hand, at the foot of its page: as many buttons as there is room for."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QSizePolicy, QWidget

from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.buttons import QuietButton
from kilnlog.ui.look.sizes import GAP_8

RECUT, BROKE_OFF, WITHDRAW, RESTORE, REPLACE, SECTIONS, CORRECT = (
    "recut",
    "broke off",
    "withdraw",
    "restore",
    "replace",
    "sections",
    "correct",
)
_TEXTS = {
    RECUT: "Recut…",
    BROKE_OFF: "Piece broke off…",
    WITHDRAW: "Withdraw…",
    RESTORE: "Put back in use…",
    REPLACE: "Cut another in its place…",
    SECTIONS: "Sections…",
    CORRECT: "Correct…",
}
_IN_USE = (RECUT, BROKE_OFF, WITHDRAW, SECTIONS, CORRECT)
_WITHDRAWN = (RESTORE, REPLACE, SECTIONS, CORRECT)


class Actions(QWidget):
    """asked(str): one of the actions named above. The menu has them all, whatever fits here."""

    asked = Signal(str)

    def __init__(self, appearance: Appearance) -> None:
        super().__init__()
        self._offered: tuple[str, ...] = ()
        self.buttons: dict[str, QuietButton] = {}
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(GAP_8)
        for action, text in _TEXTS.items():
            button = QuietButton(text, appearance)
            button.clicked.connect(lambda _=False, action=action: self.asked.emit(action))
            button.hide()
            row.addWidget(button)
            self.buttons[action] = button
        row.addStretch(1)
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        appearance.changed.connect(self._fit)

    def offer(self, *, in_use: bool) -> None:
        """The actions for a board in use, or for one that is withdrawn or out."""
        offered = _IN_USE if in_use else _WITHDRAWN
        if offered != self._offered:
            self._offered = offered
            self._fit()

    def _fit(self) -> None:
        """Show them in order of use, until the next would not fit."""
        left = self.width()
        full = False
        for action, button in self.buttons.items():
            needed = button.sizeHint().width() + GAP_8
            shown = action in self._offered and not full and needed <= left + GAP_8
            full = full or (action in self._offered and not shown)
            button.setVisible(shown)
            left -= needed if shown else 0

    def resizeEvent(self, event: QResizeEvent) -> None:
        """More room, more buttons."""
        super().resizeEvent(event)
        self._fit()

"""“Show working”: the sum written out as one would in the margin, and where the formula is from."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import QScrollBar, QWidget

from kilnlog.logbook.working import Working
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.form import Form
from kilnlog.ui.look.labels import Wrapped
from kilnlog.ui.look.sizes import Role

NOTHING_YET = (
    "Nothing is worked out for this board yet: that begins once a section cut from it is dry and its "
    "oven-dry weight is written down."
)

_MOVES = {
    Qt.Key.Key_Down: QScrollBar.SliderAction.SliderSingleStepAdd,
    Qt.Key.Key_Up: QScrollBar.SliderAction.SliderSingleStepSub,
    Qt.Key.Key_PageDown: QScrollBar.SliderAction.SliderPageStepAdd,
    Qt.Key.Key_PageUp: QScrollBar.SliderAction.SliderPageStepSub,
    Qt.Key.Key_Home: QScrollBar.SliderAction.SliderToMinimum,
    Qt.Key.Key_End: QScrollBar.SliderAction.SliderToMaximum,
}


class WorkingDialog(Form):
    """Enter, Esc or F2 closes it; the arrows, Page and End keys move what is longer than the window."""

    def __init__(
        self,
        parent: QWidget,
        appearance: Appearance,
        said: str,
        workings: Sequence[Working],
        nothing: str = NOTHING_YET,
        title: str = "Working",
    ) -> None:
        super().__init__(parent, appearance, title, said, width=560)
        self.lines: list[str] = []
        for working in workings:
            self.section(working.title)
            for line in working.lines:
                self.column.addWidget(Wrapped(line, appearance, Role.SAID, "pencil"))
                self.lines.append(line)
            self.column.addWidget(Wrapped(working.source, appearance, Role.TINY, "ink2"))
        if not workings:
            self.remark(nothing)
        self.close_only()
        if self.main is not None:
            self.main.setFocus()
        for key in (Qt.Key.Key_F2, Qt.Key.Key_Return, Qt.Key.Key_Enter):
            QShortcut(QKeySequence(key), self).activated.connect(self.accept)
        bar = self._area.verticalScrollBar()
        for key, move in _MOVES.items():
            # Its only button would take the arrows for itself.
            QShortcut(QKeySequence(key), self).activated.connect(lambda move=move: bar.triggerAction(move))

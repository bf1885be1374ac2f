"""A page with a table of lines on it that the worker reads: shown once they are there."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from PySide6.QtCore import QRect
from PySide6.QtWidgets import QWidget

from kilnlog.logbook.session import Logbook
from kilnlog.records.errors import KilnlogError
from kilnlog.ui.desk import Desk
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.form import Form
from kilnlog.ui.look.lines import Column
from kilnlog.ui.look.lines_table import LinesTable

BEING_READ = "being read…"


class LinesForm(Form):
    """Reads off the window's thread; an answer that comes after it was left, or asked anew, is dropped."""

    def __init__(
        self,
        parent: QWidget,
        desk: Desk,
        appearance: Appearance,
        title: str,
        columns: Sequence[Column],
        width: int,
        table: type[LinesTable] = LinesTable,
    ) -> None:
        super().__init__(parent, appearance, title, BEING_READ, width=width)
        self._desk = desk
        self._asked = 0
        self.table = table(appearance, columns, title, margin=False)
        self.table.moved.connect(self._show_place)

    def read(self, work: Callable[[Logbook], Any], told: Callable[[Any], None]) -> None:
        """Have ``work`` done by the worker and its outcome told here."""
        self._asked += 1
        asked = self._asked
        self.said.setText(BEING_READ)

        def arrived(outcome: Any) -> None:
            if self.is_here and asked == self._asked:
                self.said.setText("")
                told(outcome)
                self._fit()

        def failed(error: KilnlogError) -> None:
            if self.is_here:
                self.said.setText("")
            self.refuse_or_tell(self._desk, error)

        self._desk.run(work, arrived, failed)

    def take_in_hand(self, number: str) -> None:
        """Take the charge of that number in hand and leave."""
        line = next((line for line in self._desk.lines if line.number == number), None)
        if line is not None:
            self._desk.take_in_hand(line.entity)
            self.accept()

    def _show_place(self, place: QRect) -> None:
        top = self.table.mapTo(self._content, place.topLeft()).y()
        self._area.ensureVisible(0, top + place.height() // 2, 0, place.height())

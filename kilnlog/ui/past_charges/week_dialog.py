"""What is due today and in the seven days after it, over all charges in a kiln."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from PySide6.QtWidgets import QWidget

from kilnlog.drying.finding import Severity
from kilnlog.logbook import figures
from kilnlog.logbook.due_next import Due, due_in_week
from kilnlog.records.moment import Moment
from kilnlog.ui.desk import Desk
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.lines import Cell, Column, Line
from kilnlog.ui.look.sizes import Role
from kilnlog.ui.past_charges.lines_form import LinesForm

_COLUMNS = (
    Column("Day", figures=False),
    Column("Charge", figures=False),
    Column("What", figures=False),
    Column("", figures=False, fills=True),
)
_COLOURS = {Severity.ACT: "act", Severity.LOOK: "look"}
NOTHING = "Nothing is due in the next seven days: no charge is in a kiln, and every check is recent."


class WeekDialog(LinesForm):
    """Enter on a line takes its charge in hand."""

    def __init__(self, parent: QWidget, desk: Desk, appearance: Appearance) -> None:
        super().__init__(parent, desk, appearance, "Due in the next week", _COLUMNS, 860)
        self.column.addWidget(self.table)
        self._nothing = self.remark(NOTHING)
        self._nothing.hide()
        self._remark = self.remark(
            "Weighings by how often each charge was weighed so far. Steps and targets by the rate its boards "
            "lose now: in the same air wood loses ever more slowly, so they rather come later. Enter takes a "
            "charge in hand."
        )
        self.table.opened.connect(lambda number: self.take_in_hand(str(number)))
        self.close_only()
        now, reference = desk.now(), desk.reference
        self.read(lambda book: due_in_week(book, reference, now), lambda due: self._tell(due, now))

    def _tell(self, due: Sequence[Due], now: Moment) -> None:
        today = now.local.date()
        told: set[date] = set()
        lines = []
        for one in due:
            day = "" if one.day in told else figures.day_to_come(one.day, today)
            told.add(one.day)
            remark = ", ".join(part for part in (one.time, one.remark) if part and part != "now")
            colour = _COLOURS.get(one.severity or Severity.NOTE, "ink2")
            cells = (
                Cell(day, role=Role.STRONG),
                Cell(one.charge or ""),
                Cell(one.text),
                Cell(remark, colour),
            )
            lines.append(Line(cells, one.charge, said="" if day else figures.day_to_come(one.day, today)))
        self.table.set_lines(lines)
        self.table.setVisible(bool(lines))
        self._nothing.setVisible(not lines)
        self._remark.setVisible(bool(lines))
        if lines:
            self.table.setFocus()

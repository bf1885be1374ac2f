"""The operator's own schedule: its steps as a table, each in the terms the kiln is set in."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from PySide6.QtCore import Qt
from PySide6.QtGui import QColor, QKeyEvent
from PySide6.QtWidgets import QHBoxLayout, QHeaderView, QTableWidget, QTableWidgetItem, QWidget

from kilnlog.logbook.schedules import keep_schedule
from kilnlog.logbook.wording import worded
from kilnlog.records.errors import KilnlogError, OutOfRange
from kilnlog.records.schedule_step import ScheduleStep
from kilnlog.records.typed_number import number_from_text
from kilnlog.records.words import TemperatureUnit
from kilnlog.reference.schedules import HandbookSchedule
from kilnlog.ui.desk import Desk
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.buttons import QuietButton
from kilnlog.ui.look.fields import ChoiceField, TextField
from kilnlog.ui.look.form import Form, decimal_mark
from kilnlog.ui.look.reading import Reader, plain
from kilnlog.ui.look.sizes import GAP_8, Role
from kilnlog.ui.register.general_steps import GeneralSteps


@dataclass(frozen=True, slots=True)
class _Term:
    column: str
    heading: str
    low: float
    high: float


_TERMS = (
    _Term("from_mc_pct", "From MC, %", 0, 1000),
    _Term("to_mc_pct", "to MC, %", 0, 1000),
    _Term("from_hours", "or hour", 0, 1e6),
    _Term("dry_bulb", "Dry bulb", -100, 600),
    _Term("wet_bulb", "Wet bulb", -100, 600),
    _Term("depression", "Depression", 0, 600),
    _Term("rh_pct", "RH, %", 0, 100),
    _Term("emc_pct", "EMC, %", 0, 100),
)


class StepsTable(QTableWidget):
    """One row per step; Enter goes on to the next cell, and past the last one begins another step."""

    def __init__(self, appearance: Appearance) -> None:
        super().__init__(0, len(_TERMS))
        self._appearance = appearance
        self.setHorizontalHeaderLabels([term.heading for term in _TERMS])
        self.setAccessibleName("Steps")
        self.setFont(appearance.sizes.font(Role.BODY))
        self.horizontalHeader().setFont(appearance.sizes.font(Role.LABEL))
        self.horizontalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Stretch)
        self.verticalHeader().setDefaultSectionSize(appearance.sizes.list_line_h)
        self.setMinimumHeight(9 * appearance.sizes.list_line_h + 34)

    def add(self, step: ScheduleStep | None = None) -> None:
        """Another row at the end."""
        row = self.rowCount()
        self.insertRow(row)
        for column, term in enumerate(_TERMS):
            item = QTableWidgetItem(plain(getattr(step, term.column)) if step is not None else "")
            item.setTextAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
            self.setItem(row, column, item)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter goes on; Delete empties a cell."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and not event.modifiers():
            self._go_on()
        elif event.key() == Qt.Key.Key_Delete and (item := self.currentItem()) is not None:
            item.setText("")
        else:
            super().keyPressEvent(event)

    def _go_on(self) -> None:
        row, column = self.currentRow(), self.currentColumn() + 1
        if column == self.columnCount():
            row, column = row + 1, 0
        if row >= self.rowCount():
            self.add()
        self.setCurrentCell(max(0, row), column)

    def read(self, schedule: str, unit: TemperatureUnit) -> tuple[list[ScheduleStep], str]:
        """The steps, and what is wrong with the first cell that cannot be read."""
        steps: list[ScheduleStep] = []
        wrong = ""
        for row in range(self.rowCount()):
            values: dict[str, float | None] = {}
            for column, term in enumerate(_TERMS):
                item = self.item(row, column)
                typed = item.text().strip() if item is not None else ""
                try:
                    values[term.column] = _number(term, typed) if typed else None
                except KilnlogError as error:
                    values[term.column] = None
                    wrong = wrong or f"Step {row + 1}, {term.heading}: {worded(error).text}"
                    self._mark(row, column)
            if any(value is not None for value in values.values()):
                given = any(values[name] is not None for name in ("dry_bulb", "wet_bulb", "depression"))
                steps.append(
                    ScheduleStep(schedule, len(steps) + 1, **values, temperature_unit=unit if given else None)
                )
        return steps, wrong

    def _mark(self, row: int, column: int) -> None:
        item = self.item(row, column)
        if item is not None:
            item.setBackground(QColor(self._appearance.tokens.act_bg))
            self.setCurrentCell(row, column)


def _number(term: _Term, typed: str) -> float:
    value = float(number_from_text(typed, decimal_mark=decimal_mark(), negative=term.low < 0))
    if not term.low <= value <= term.high:
        raise OutOfRange(column=term.heading, value=typed, low=term.low, high=term.high)
    return value


class ScheduleDialog(Form):
    """``kept`` is called with the name once the file holds the steps."""

    def __init__(
        self,
        parent: QWidget,
        desk: Desk,
        appearance: Appearance,
        name: str | None = None,
        kept: Callable[[str], None] | None = None,
    ) -> None:
        title = f"Schedule {name}" if name else "New schedule"
        super().__init__(parent, appearance, title, "your own steps", width=880)
        self._desk, self._name, self._kept = desk, name, kept
        units = [(TemperatureUnit.FAHRENHEIT.value, "°F"), (TemperatureUnit.CELSIUS.value, "°C")]
        self.pair(
            ("schedule", "Name", TextField(appearance)),
            ("temperature_unit", "Temperatures in", ChoiceField(appearance, units)),
        )
        self.general = GeneralSteps(self, self._filled) if name is None else None
        self.table = StepsTable(appearance)
        self.column.addWidget(self.table, 1)
        row = QHBoxLayout()
        row.setSpacing(GAP_8)
        more, less = QuietButton("Another step", appearance), QuietButton("Take this step out", appearance)
        more.clicked.connect(lambda _: self.table.add())
        less.clicked.connect(lambda: self.table.removeRow(self.table.currentRow()))
        row.addWidget(more)
        row.addWidget(less)
        row.addStretch(1)
        self.layout_row(row)
        self.remark(
            "A step begins when the control figure falls to its MC; where hours are given instead, that long "
            "after loading. Check every step against your handbook: nothing here is a recommendation."
        )
        if name is not None:
            self.add("reason", "Why is it corrected?", TextField(appearance))
        self.require("schedule")
        self.finish("Keep", self.keep)
        steps = desk.shared.steps_of(name) if name is not None else ()
        for entry in steps:
            self.table.add(entry.fact)
            if entry.fact.temperature_unit is not None:
                self.set_choice("temperature_unit", entry.fact.temperature_unit)
        if name is not None:
            self.set_text("schedule", name)
            self.rows["schedule"].field.setEnabled(False)
        else:
            self.table.add()

    def _filled(self, schedule: HandbookSchedule) -> None:
        """Take the general steps in, in place of what the table held."""
        self.table.setRowCount(0)
        for step in schedule.steps:
            self.table.add(step)
        self.set_choice("temperature_unit", TemperatureUnit.FAHRENHEIT)
        name = self.rows["schedule"].field
        if isinstance(name, TextField) and not name.text().strip():
            name.setText(schedule.name)

    def keep(self) -> None:
        """Read, write, close."""
        reader = Reader(self)
        name = self._name or reader.text("schedule", needed=True)
        if not reader.ok or name is None:
            return
        steps, wrong = self.table.read(name, TemperatureUnit(reader.choice("temperature_unit")))
        if not wrong and not steps:
            wrong = "No step is filled in yet."
        if not wrong and self._name is None and name in self._desk.shared.schedules():
            wrong = f"There is a schedule {name} already; correct that one, or take another name."
        if wrong:
            self.tell(wrong)
            return
        reason = reader.text("reason") if self._name is not None else None

        def done(_: object) -> None:
            self.accept()
            if self._kept is not None:
                self._kept(name)

        self.send(self._desk, keep_schedule, name, steps, reason, saying=f"Schedule {name}", done=done)

"""The operator's own schedule: its steps as a table, each in the terms the kiln is set in."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtWidgets import QHBoxLayout, QWidget

from kilnlog.logbook.schedules import keep_schedule
from kilnlog.records.words import TemperatureUnit
from kilnlog.reference.schedules import HandbookSchedule
from kilnlog.ui.desk import Desk
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.buttons import QuietButton
from kilnlog.ui.look.fields import ChoiceField, TextField
from kilnlog.ui.look.form import Form
from kilnlog.ui.look.reading import Reader
from kilnlog.ui.look.sizes import GAP_8
from kilnlog.ui.register.general_steps import GeneralSteps
from kilnlog.ui.register.steps_table import StepsTable


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
        self._proposed = ""  # the name of the general schedule filled in last
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
        if isinstance(name, TextField) and name.text().strip() in ("", self._proposed):
            self._proposed = schedule.own_name
            name.setText(schedule.own_name)

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

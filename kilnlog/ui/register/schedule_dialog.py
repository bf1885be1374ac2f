"""The operator's own schedule: its steps as a table, each in the terms the kiln is set in."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from PySide6.QtWidgets import QHBoxLayout, QWidget

from kilnlog.logbook.schedules import keep_schedule
from kilnlog.records.schedule_step import ScheduleStep
from kilnlog.records.temperature import celsius, difference_c, difference_in_unit, in_unit
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

OVER_TYPED = "The table holds steps of your own. Fill in once more takes the general ones in their place."
NONE_IN_HAND = "No step is in hand: choose a cell of the one to be taken out."
IN_ONE_UNIT = "Some of these steps were written in °{other}; they are shown in °{unit}, to a tenth."


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
        self._filled_in: tuple[tuple[str, ...], ...] = ()  # its steps
        self._asked: tuple[tuple[str, ...], ...] = ()  # the steps that would be filled over
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
        less.clicked.connect(lambda _: self.tell("" if self.table.take_out() else NONE_IN_HAND))
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
            self.require("reason")
        self.require("schedule")
        self._converted = self.remark("")
        self._converted.set_colour("look")
        self._converted.hide()
        self.finish("Keep", self.keep)
        if name is not None:
            self._show([entry.fact for entry in desk.shared.steps_of(name)])
        if name is not None:
            self.set_text("schedule", name)
            self.rows["schedule"].field.setEnabled(False)
        else:
            self.table.add()

    def _show(self, steps: list[ScheduleStep]) -> None:
        """The steps as they were written; where two units were used, all in the first of them."""
        units = list(dict.fromkeys(step.temperature_unit for step in steps if step.temperature_unit))
        for step in steps:
            self.table.add(_in(step, units[0]) if units else step)
        if units:
            self.set_choice("temperature_unit", units[0])
        if len(units) > 1:
            self._converted.setText(IN_ONE_UNIT.format(other=units[1].value, unit=units[0].value))
            self._converted.show()

    def _filled(self, schedule: HandbookSchedule) -> bool:
        """Take the general steps in, in place of what the table held; what was typed is asked about."""
        held = self.table.texts
        if held not in ((), self._filled_in, self._asked):
            self._asked = held
            self.tell(OVER_TYPED)
            return False
        self.table.setRowCount(0)
        for step in schedule.steps:
            self.table.add(step)
        self.set_choice("temperature_unit", TemperatureUnit.FAHRENHEIT)
        name = self.rows["schedule"].field
        if isinstance(name, TextField) and name.text().strip() in ("", self._proposed):
            self._proposed = schedule.own_name
            name.setText(schedule.own_name)
        self._filled_in = self.table.texts
        return True

    def keep(self) -> None:
        """Read, write, close."""
        reader = Reader(self)
        name = self._name or reader.text("schedule", needed=True)
        reason = reader.text("reason", needed=True) if self._name is not None else None
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

        def done(_: object) -> None:
            self.accept()
            if self._kept is not None:
                self._kept(name)

        self.send(self._desk, keep_schedule, name, steps, reason, saying=f"Schedule {name}", done=done)


def _in(step: ScheduleStep, unit: TemperatureUnit) -> ScheduleStep:
    """The step with its temperatures in that unit, to a tenth where they were in the other."""
    own = step.temperature_unit
    if own is None or own is unit:
        return step

    def temperature(typed: float | None) -> float | None:
        return None if typed is None else round(in_unit(celsius(typed, own), unit), 1)

    apart = step.depression
    return replace(
        step,
        dry_bulb=temperature(step.dry_bulb),
        wet_bulb=temperature(step.wet_bulb),
        depression=None if apart is None else round(difference_in_unit(difference_c(apart, own), unit), 1),
        temperature_unit=unit,
    )

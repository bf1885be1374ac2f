"""A kiln: new, or corrected."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from PySide6.QtWidgets import QWidget

from kilnlog.logbook.changes import Changes
from kilnlog.logbook.errors import SameSensor
from kilnlog.logbook.writing import correct, write
from kilnlog.records.kiln import Kiln
from kilnlog.records.typed_measure import CUBIC_METRES_PER_H, METRES, measure_text
from kilnlog.records.version import Entry
from kilnlog.records.words import AirControl, TemperatureUnit, VolumeUnit
from kilnlog.ui.desk import Desk
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.fields import ChoiceField, TextField
from kilnlog.ui.look.form import Form, decimal_mark
from kilnlog.ui.look.reading import Reader, plain

UNITS = (("bf", "board feet"), ("m3", "m³"))
#: Told by words that begin with the letter one types.
DEGREES = (("", "not said"), ("F", "Fahrenheit, °F"), ("C", "Celsius, °C"))


class KilnDialog(Form):
    """``kept`` is called with the entity and the name once the file holds the kiln."""

    def __init__(
        self,
        parent: QWidget,
        desk: Desk,
        appearance: Appearance,
        entry: Entry[Kiln] | None = None,
        kept: Callable[[str, str], None] | None = None,
    ) -> None:
        super().__init__(parent, appearance, "Correct a kiln" if entry else "New kiln")
        self._desk, self._entry, self._kept = desk, entry, kept
        fact = entry.fact if entry else None
        self.add("kiln", "Name", TextField(appearance), "As everybody calls it: North shed.")
        air = [("", "not said"), *((word.value, word.value) for word in AirControl)]
        self.pair(
            ("heat", "Heat", TextField(appearance)),
            ("air_control", "Air kept by", ChoiceField(appearance, air)),
        )
        self.pair(
            ("capacity", "Capacity", TextField(appearance)),
            ("capacity_unit", "in", ChoiceField(appearance, UNITS)),
        )
        self.pair(
            (
                "altitude_m",
                "Altitude, m",
                TextField(appearance),
                "Or in feet, as 820 ft. Higher up the wet bulb reads otherwise.",
            ),
            ("exhaust_m3_per_h", "Exhaust while running, m³/h", TextField(appearance), "Or as 150 cfm."),
        )
        self.pair(
            ("entering_sensor", "Sensor in the entering air", TextField(appearance)),
            ("leaving_sensor", "Sensor in the leaving air", TextField(appearance)),
        )
        self.add(
            "temperature_unit",
            "Its thermometers show",
            ChoiceField(appearance, DEGREES),
            "Name the sensors where there are two: a schedule speaks of the air that enters the load.",
        )
        if entry is not None:
            self.add("reason", "Why is it corrected?", TextField(appearance))
            self.require("reason")
        self.require("kiln")
        self.finish("Keep", self.keep)
        if fact is not None:
            self._fill(fact)

    def _fill(self, fact: Kiln) -> None:
        for column, text in (
            ("kiln", fact.kiln),
            ("heat", fact.heat or ""),
            ("capacity", plain(fact.capacity)),
            ("altitude_m", _as_typed(fact.altitude_m, "ft", METRES)),
            ("exhaust_m3_per_h", _as_typed(fact.exhaust_m3_per_h, "cfm", CUBIC_METRES_PER_H)),
            ("entering_sensor", fact.entering_sensor or ""),
            ("leaving_sensor", fact.leaving_sensor or ""),
        ):
            self.set_text(column, text)
        self.set_choice("air_control", fact.air_control or "")
        self.set_choice("temperature_unit", fact.temperature_unit or "")
        self.set_choice("capacity_unit", fact.capacity_unit or "bf")

    def keep(self) -> None:
        """Read, write, close."""
        reader = Reader(self)
        name = reader.text("kiln", needed=True)
        heat, air = reader.text("heat"), reader.choice("air_control")
        capacity = reader.number("capacity", low=0, high=1e6)
        altitude = reader.measure("altitude_m", METRES, low=-500, high=9000, negative=True)
        exhaust = reader.measure("exhaust_m3_per_h", CUBIC_METRES_PER_H, low=0, high=1e7)
        entering, leaving = reader.text("entering_sensor"), reader.text("leaving_sensor")
        if entering is not None and entering == leaving:
            reader.refuse("leaving_sensor", SameSensor(sensor=entering))
        unit = reader.choice("temperature_unit")
        reason = reader.text("reason", needed=True) if self._entry is not None else None
        if not reader.ok or name is None:
            return
        fact = Kiln(
            kiln=name,
            heat=heat,
            air_control=AirControl(air) if air else None,
            capacity=capacity,
            capacity_unit=VolumeUnit(reader.choice("capacity_unit")) if capacity is not None else None,
            altitude_m=altitude,
            exhaust_m3_per_h=exhaust,
            entering_sensor=entering,
            leaving_sensor=leaving,
            temperature_unit=TemperatureUnit(unit) if unit else None,
        )
        if self._entry is None:
            self.send(self._desk, write, fact, saying=f"Kiln {name}", done=self._done)
        else:
            self.send(
                self._desk,
                correct,
                "kiln",
                self._entry.entity,
                fact,
                reason,
                saying=f"Kiln {name}",
                done=self._done,
            )

    def _done(self, changes: Changes) -> None:
        entry = changes.entries[0]
        self.accept()
        if self._kept is not None:
            self._kept(entry.entity, entry.fact.kiln)


def _as_typed(value: float | None, unit: str, units: Mapping[str, float]) -> str:
    return measure_text(value, unit, units[unit], decimal_mark=decimal_mark())

"""A reading of the air written down later, or one that was written down wrong."""

from __future__ import annotations

from PySide6.QtWidgets import QWidget

from kilnlog.logbook import figures
from kilnlog.logbook.air_lists import terms_words
from kilnlog.logbook.typed_air import DRY
from kilnlog.logbook.writing import correct, write
from kilnlog.records.air_reading import AirReading
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.version import Entry
from kilnlog.ui.desk import Desk
from kilnlog.ui.kiln_air.terms_form import TermsForm
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.fields import ChoiceField, TextField
from kilnlog.ui.look.reading import Reader


class ReadingDialog(TermsForm):
    """Odd figures are asked about once."""

    def __init__(
        self,
        parent: QWidget,
        desk: Desk,
        appearance: Appearance,
        record: ChargeRecord,
        entry: Entry[AirReading] | None = None,
    ) -> None:
        title = "A reading of the air" if entry is None else "Correct a reading of the air"
        super().__init__(parent, desk, appearance, record, entry, title, "Read")
        self._read = entry
        sensors = dict.fromkeys(self.kiln.sensors)
        if entry is not None and entry.fact.sensor:
            sensors[entry.fact.sensor] = None
        self._has_sensor = bool(sensors)
        if self._has_sensor:
            told = [("", "not said")] if entry is not None and not entry.fact.sensor else []
            choices = [*told, *((sensor, sensor) for sensor in sensors)]
            self.lay_terms(("sensor", "Sensor", ChoiceField(appearance, choices)))
            self.set_choice("sensor", entry.fact.sensor or "" if entry is not None else self.kiln.sensors[0])
        else:
            self.lay_terms()
        if entry is not None:
            self.remark(f"{terms_words(entry.fact)} stays in the record, struck through.")
            self.add("reason", "Why is it corrected?", TextField(appearance, "misread, typed wrong"))
            self.require("reason")
        self.require("at")
        self.finish("Keep", self.keep)
        self.fill(self.kiln.second)
        self.rows[DRY].field.setFocus()

    def keep(self) -> None:
        """Read, ask where it is odd, write, close."""
        reader = Reader(self)
        at = reader.moment("at", self.record.particulars.zone, needed=True)
        typed = self.read_terms(reader)
        reason = reader.text("reason", needed=True) if self._read is not None else None
        if not reader.ok or at is None:
            return
        of_one = self.kiln.sensor if self._read is None else None
        sensor = reader.choice("sensor") if self._has_sensor else of_one
        fact = AirReading(self.record.entity, sensor or None, **typed.terms)
        if self.asks(typed, fact, at):
            return
        saying = f"Air {terms_words(fact)}, {figures.day_and_time(at, self.desk.now())}"
        if self._read is None:
            self.send(self.desk, write, fact, at, saying=saying)
        else:
            self.send(self.desk, correct, "air_reading", self._read.entity, fact, reason, at, saying=saying)

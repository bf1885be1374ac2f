"""One kept reading, corrected: what was misread, and why it is another now."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtWidgets import QWidget

from kilnlog.logbook import final_readings as typed
from kilnlog.logbook.final_readings import SeriesTerms, meter_reading, oven_reading
from kilnlog.logbook.wording import worded
from kilnlog.logbook.writing import correct
from kilnlog.records.errors import KilnlogError
from kilnlog.records.final_reading import FinalReading
from kilnlog.records.version import Entry
from kilnlog.records.weight import WeightUnit
from kilnlog.records.words import ReadingKind, TemperatureRule, TemperatureUnit
from kilnlog.ui.desk import Desk
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.fields import TextField
from kilnlog.ui.look.form import Form, decimal_mark
from kilnlog.ui.look.reading import Reader, plain


class ReadingForm(Form):
    """The same fields as the line it was typed into, with what was carried for a meter's reading."""

    def __init__(
        self,
        parent: QWidget,
        desk: Desk,
        appearance: Appearance,
        entry: Entry[FinalReading],
        unit: WeightUnit,
    ) -> None:
        fact = entry.fact
        super().__init__(parent, appearance, "Correct a reading", fact.kind.value)
        self._desk, self._entry, self._unit = desk, entry, unit
        self._is_oven = fact.kind is ReadingKind.OVEN_DRY
        self.pair((typed.PACK, "Pack", TextField(appearance)), (typed.PIECE, "Piece", TextField(appearance)))
        if self._is_oven:
            named = (fact.wet_weight.unit if fact.wet_weight is not None else unit).value
            self.pair(
                (typed.WET, f"Wet, {named}", TextField(appearance)),
                (typed.DRY, f"Oven-dry, {named}", TextField(appearance)),
            )
            self._fill_oven(fact)
        else:
            unit_name = (fact.temperature_unit or TemperatureUnit.FAHRENHEIT).value
            self.pair(
                (typed.READING, "Read, %", TextField(appearance)),
                (typed.WOOD, f"Wood, °{unit_name}", TextField(appearance)),
            )
            self.pair(
                ("species_correction_pct", "Species correction, points", TextField(appearance)),
                ("depth", "How deep", TextField(appearance)),
                ("species_setting", "Set to", TextField(appearance)),
            )
            self._fill_meter(fact)
        self.add("reason", "Why is it corrected?", TextField(appearance, "misread, wrong piece"))
        self.require("reason")
        self.finish("Keep", self.keep)
        self.rows[typed.WET if self._is_oven else typed.READING].field.setFocus()

    def _fill_oven(self, fact: FinalReading) -> None:
        wet, dry = fact.wet_weight, fact.oven_dry_weight
        self._fill_piece(fact)
        self.set_text(typed.WET, wet.text if wet is not None else "")
        self.set_text(typed.DRY, dry.text if dry is not None else "")

    def _fill_meter(self, fact: FinalReading) -> None:
        self._fill_piece(fact)
        self.set_text(typed.READING, plain(fact.reading_pct))
        self.set_text(typed.WOOD, plain(fact.wood_temperature))
        self.set_text("species_correction_pct", plain(fact.species_correction_pct))
        self.set_text("depth", fact.depth or "")
        self.set_text("species_setting", fact.species_setting or "")
        if fact.temperature_rule is TemperatureRule.TYPED:
            self.add(typed.CORRECTION, "Temperature correction, points", TextField(self.appearance))
            self.set_text(typed.CORRECTION, plain(fact.temperature_correction_pct))

    def _fill_piece(self, fact: FinalReading) -> None:
        self.set_text(typed.PACK, fact.pack or "")
        self.set_text(typed.PIECE, fact.piece or "")

    def keep(self) -> None:
        """Read, write, close."""
        reader = Reader(self)
        reason = reader.text("reason", needed=True)
        try:
            fact = self._fact(reader)
        except KilnlogError as error:
            field = str(error.values.get("field", ""))
            if field in self.rows:
                reader.refuse(field, error)
            else:
                self.tell(worded(error).text)
                return
        if not reader.ok or reason is None:
            return
        saying = f"Piece {fact.piece} corrected" if fact.piece else "Reading corrected"
        self.send(self._desk, correct, "final_reading", self._entry.entity, fact, reason, saying=saying)

    def _fact(self, reader: Reader) -> FinalReading:
        stood = self._entry.fact
        texts = {
            column: reader.text(column) or ""
            for column in (
                typed.PACK,
                typed.PIECE,
                typed.READING,
                typed.WOOD,
                typed.CORRECTION,
                typed.WET,
                typed.DRY,
            )
            if column in self.rows
        }
        if self._is_oven:
            unit = stood.wet_weight.unit if stood.wet_weight is not None else self._unit
            fact = oven_reading(stood.charge, stood.lot, texts, unit, decimal_mark())
            return replace(fact, instrument=stood.instrument, note=stood.note)
        terms = SeriesTerms(
            kind=stood.kind,
            instrument=stood.instrument,
            depth=reader.text("depth"),
            species_setting=reader.text("species_setting"),
            temperature_rule=stood.temperature_rule,
            temperature_unit=stood.temperature_unit or TemperatureUnit.FAHRENHEIT,
            calibration_temperature=stood.calibration_temperature,
            species_correction_pct=reader.number(
                "species_correction_pct",
                low=-typed.MOST_CORRECTED,
                high=typed.MOST_CORRECTED,
                negative=True,
            ),
        )
        fact = meter_reading(stood.charge, stood.lot, terms, texts, decimal_mark())
        return replace(fact, note=stood.note)

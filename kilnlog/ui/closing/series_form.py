"""What is the same for every reading of a series: the meter, how deep, how set, how corrected."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtWidgets import QWidget

from kilnlog.logbook.final_readings import COLDEST, MOST_CORRECTED, WARMEST, SeriesTerms
from kilnlog.logbook.final_words import temperature_rule
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.errors import OutOfRange
from kilnlog.records.version import current_entries
from kilnlog.records.words import InstrumentKind, ReadingKind, TemperatureRule, TemperatureUnit
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.fields import ChoiceField, TextField
from kilnlog.ui.look.form import Form
from kilnlog.ui.look.reading import Reader, plain

KINDS = ((ReadingKind.PIN_METER, "pin meter"), (ReadingKind.PINLESS_METER, "pinless meter"))
UNITS = ((TemperatureUnit.FAHRENHEIT, "°F"), (TemperatureUnit.CELSIUS, "°C"))
RULES = (None, *TemperatureRule)

CARRIED = (
    "Carried from reading to reading and kept with each of them, beside what the meter showed. It holds for "
    "the readings still to come; one that is kept is corrected on its own line."
)
NO_TABLE = "No species table is built in: type what the chart of your own meter says, with its sign."


class SeriesForm(Form):
    """``chosen`` is called with the terms; the lot's readings are made by them from then on."""

    def __init__(
        self,
        parent: QWidget,
        appearance: Appearance,
        record: ChargeRecord,
        terms: SeriesTerms,
        chosen: Callable[[SeriesTerms], None],
    ) -> None:
        super().__init__(parent, appearance, "How it is read", record.particulars.charge, width=600)
        self._chosen = chosen
        meters = [
            (entry.entity, entry.fact.instrument)
            for entry in current_entries(record.instrument)
            if entry.fact.kind is InstrumentKind.METER
        ]
        self.remark(CARRIED)
        self.pair(
            ("kind", "Read with", ChoiceField(appearance, [(key.value, text) for key, text in KINDS])),
            (
                "instrument",
                "Meter",
                ChoiceField(appearance, [("", "not said"), *meters]),
                "" if meters else "none is written yet: Logbook, Instruments",
            ),
        )
        self.pair(
            ("depth", "How deep", TextField(appearance, "1/4 in, insulated pins")),
            ("species_setting", "Set to", TextField(appearance, "as the meter calls it")),
        )
        rules = [(rule.value if rule else "", temperature_rule(rule)) for rule in RULES]
        self.add("temperature_rule", "Temperature", ChoiceField(appearance, rules))
        self.pair(
            (
                "calibration_temperature",
                "The meter reads true at",
                TextField(appearance),
                "for the rule of thumb; empty: the usual one",
            ),
            (
                "temperature_unit",
                "Temperatures in",
                ChoiceField(appearance, [(unit.value, text) for unit, text in UNITS]),
            ),
        )
        self.add("species_correction_pct", "Species correction, points", TextField(appearance), NO_TABLE)
        self.finish("Use it", self.keep)
        self._fill(terms)
        self.rows["kind"].field.setFocus()

    def _fill(self, terms: SeriesTerms) -> None:
        self.set_choice("kind", terms.kind.value)
        self.set_choice("instrument", terms.instrument or "")
        self.set_text("depth", terms.depth or "")
        self.set_text("species_setting", terms.species_setting or "")
        self.set_choice("temperature_rule", terms.temperature_rule.value if terms.temperature_rule else "")
        self.set_text("calibration_temperature", plain(terms.calibration_temperature))
        self.set_choice("temperature_unit", terms.temperature_unit.value)
        self.set_text("species_correction_pct", plain(terms.species_correction_pct))

    def keep(self) -> None:
        """Hand the terms over, once."""
        if not self.is_here:
            return
        reader = Reader(self)
        unit = TemperatureUnit(reader.choice("temperature_unit"))
        calibration = reader.temperature("calibration_temperature", unit)
        if calibration is not None and not COLDEST < calibration[0] <= WARMEST:
            named = "“The meter reads true at”"
            error = OutOfRange(column=named, value=plain(calibration[0]), low=COLDEST, high=WARMEST)
            reader.refuse("calibration_temperature", error)
        rule = reader.choice("temperature_rule")
        species = reader.number(
            "species_correction_pct", low=-MOST_CORRECTED, high=MOST_CORRECTED, negative=True
        )
        terms = SeriesTerms(
            kind=ReadingKind(reader.choice("kind")),
            instrument=reader.choice("instrument") or None,
            depth=reader.text("depth"),
            species_setting=reader.text("species_setting"),
            temperature_rule=TemperatureRule(rule) if rule else None,
            temperature_unit=unit if calibration is None else calibration[1],
            calibration_temperature=None if calibration is None else calibration[0],
            species_correction_pct=species,
        )
        if reader.ok:
            self.accept()
            self._chosen(terms)

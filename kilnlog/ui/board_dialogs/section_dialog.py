"""One moisture section: cut, dried, rejected; and its weighings in the oven."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from PySide6.QtWidgets import QWidget

from kilnlog.drying.cut_doubts import CutPiece
from kilnlog.logbook.cutting import DRIED, next_section_label, section_unit
from kilnlog.logbook.writing import correct, write
from kilnlog.records.board import Board
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.errors import SectionsSwapped
from kilnlog.records.moment import Moment
from kilnlog.records.section import Section
from kilnlog.records.version import Entry
from kilnlog.records.weight import WeightUnit
from kilnlog.records.words import OvenMethod, TemperatureUnit
from kilnlog.ui.board_dialogs.cautions import HOT_OVEN
from kilnlog.ui.board_dialogs.doubted import AskedOnce, board_of, sister_of
from kilnlog.ui.board_dialogs.oven_readings import OvenReadings
from kilnlog.ui.board_dialogs.weights import UNITS, WeightField, WeightReader, weight_in_form
from kilnlog.ui.desk import Desk
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.fields import ChoiceField, TextField
from kilnlog.ui.look.form import Form
from kilnlog.ui.look.reading import plain

_TIME_HINT = "YYYY-MM-DD HH:MM"
_DEGREES = (("C", "°C"), ("F", "°F"))
_METHODS = (("", "not said"), *((word, word) for word in OvenMethod))


class SectionDialog(Form):
    """A new section of a board (``entry`` None), or one that exists."""

    def __init__(
        self,
        parent: QWidget,
        desk: Desk,
        appearance: Appearance,
        record: ChargeRecord,
        board: Entry[Board],
        entry: Entry[Section] | None = None,
        choose_rule: Callable[[], None] | None = None,
    ) -> None:
        title = f"Section {entry.fact.section}" if entry else "New section"
        super().__init__(parent, appearance, title, f"board {board.fact.board}", width=600)
        self._desk, self._record, self._board, self._entry = desk, record, board, entry
        self._asked = AskedOnce(self, desk.reference)
        self.pair(
            ("section", "Section", TextField(appearance)),
            ("taken_at", "Cut", TextField(appearance), _TIME_HINT),
            ("weight_unit", "Weights in", ChoiceField(appearance, UNITS), "unless typed with it"),
        )
        self.pair(
            ("wet_weight", "Wet weight", WeightField(appearance), "the moment it was cut"),
            ("oven_dry_weight", "Oven-dry weight", WeightField(appearance), "empty while it is in the oven"),
            ("dried_at", "Dry", TextField(appearance), _TIME_HINT),
        )
        self.pair(
            ("method", "Dried by", ChoiceField(appearance, _METHODS)),
            ("oven_temperature", "Oven at", TextField(appearance)),
            ("temperature_unit", "in", ChoiceField(appearance, _DEGREES)),
            ("scale_division", "Step of the balance", WeightField(appearance), "empty: as typed"),
        )
        self.remark(HOT_OVEN)
        self.readings: OvenReadings | None = None
        if entry is not None:
            self.section("In the oven")
            self.readings = OvenReadings(self, desk, appearance, board, entry, choose_rule)
            self.column.addWidget(self.readings)
        self.add(
            "rejected_because",
            "Not to be counted, because",
            TextField(appearance, "scorched, bark lost, a knot in it"),
        )
        if entry is not None:
            self.add(
                "reason",
                "Why is it corrected?",
                TextField(appearance),
                "not asked for where the oven-dry weight is only added"
                if entry.fact.oven_dry_weight is None
                else "not asked for where it is only said why it does not count",
            )
            if entry.fact.oven_dry_weight is not None:
                self.require("reason")  # nothing is left to be only added
        self.require("section", "taken_at", "wet_weight")
        self.finish("Keep", self.keep)
        self._fill()

    def _fill(self) -> None:
        now = self._desk.now().text()[:16]
        entry = self._entry
        if entry is None:
            self.set_text("section", next_section_label(self._record, self._board.entity))
            self.set_text("taken_at", now)
            self.set_choice("weight_unit", section_unit(self._record))
            self.rows["wet_weight"].field.setFocus()
            return
        fact = entry.fact
        dry = fact.oven_dry_weight
        for column, text in (
            ("section", fact.section),
            ("taken_at", entry.at.text()),
            ("wet_weight", fact.wet_weight.text),
            ("oven_dry_weight", weight_in_form(dry, fact.wet_weight.unit)),
            ("dried_at", fact.dried_at.text() if fact.dried_at else now if dry is None else ""),
            ("oven_temperature", plain(fact.oven_temperature)),
            ("scale_division", weight_in_form(fact.scale_division, fact.wet_weight.unit)),
            ("rejected_because", fact.rejected_because or ""),
        ):
            self.set_text(column, text)
        self.set_choice("weight_unit", fact.wet_weight.unit)
        self.set_choice("method", fact.method or "")
        self.set_choice("temperature_unit", fact.temperature_unit or "C")
        self.rows["oven_dry_weight"].field.setFocus()

    def keep(self) -> None:
        """Read, write, close."""
        reader = WeightReader(self)
        read = self._read(reader)
        reason = self._reason(reader, *read) if read is not None and self._entry is not None else ""
        if not reader.ok or read is None:
            reader.ask_which(self.keep)
            return
        fact, taken_at = read
        if self._is_doubted(fact):
            return
        saying = f"Section {fact.section} of board {self._board.fact.board}"
        if self._entry is None:
            self.send(self._desk, write, fact, taken_at, saying=saying)
        else:
            self.send(
                self._desk, correct, "section", self._entry.entity, fact, reason, taken_at, saying=saying
            )

    def _read(self, reader: WeightReader) -> tuple[Section, Moment] | None:
        zone = self._record.particulars.zone
        unit = WeightUnit(reader.choice("weight_unit"))
        label = reader.text("section", needed=True)
        taken_at = reader.moment("taken_at", zone, needed=True)
        wet = reader.weight("wet_weight", unit, needed=True)
        dry = reader.weight("oven_dry_weight", unit)
        dried_at = reader.moment("dried_at", zone) if dry is not None else None
        temperature = reader.number("oven_temperature", low=0, high=500)
        division = reader.weight("scale_division", unit)
        method = reader.choice("method")
        if not reader.ok or label is None or taken_at is None or wet is None:
            return None
        try:
            fact = Section(
                charge=self._record.entity,
                board=self._board.entity,
                section=label,
                wet_weight=wet,
                oven_dry_weight=dry,
                dried_at=dried_at,
                method=OvenMethod(method) if method else None,
                oven_temperature=temperature,
                temperature_unit=TemperatureUnit(reader.choice("temperature_unit"))
                if temperature is not None
                else None,
                scale_division=division,
                rejected_because=reader.text("rejected_because"),
            )
        except SectionsSwapped as error:
            reader.refuse("oven_dry_weight", error)
            return None
        return fact, taken_at

    def _is_doubted(self, fact: Section) -> bool:
        """Whether its weights were just told to be unlikely; one that does not count may be anything."""
        old = self._entry.fact if self._entry is not None else None
        as_before = old is not None and (fact.wet_weight, fact.oven_dry_weight) == (
            old.wet_weight,
            old.oven_dry_weight,
        )
        if as_before or fact.rejected_because is not None:
            return False
        figures = board_of(self._desk.assessment, self._board.entity)
        sister = sister_of(figures, self._entry.entity if self._entry is not None else None)
        piece = f"section {fact.section}"
        start = self._board.fact.start_weight
        return self._asked.is_doubted([CutPiece(piece, fact.wet_weight, fact.oven_dry_weight, start, sister)])

    def _reason(self, reader: WeightReader, fact: Section, taken_at: Moment) -> str:
        """Why it is written over: asked for, unless something was only added that was not known before."""
        typed = reader.text("reason")
        if typed is not None or self._entry is None:
            return typed or ""
        old = self._entry.fact
        if old.rejected_because is None and fact.rejected_because is not None:
            return fact.rejected_because
        only_dried = taken_at == self._entry.at and old.oven_dry_weight is None
        as_before = replace(
            fact,
            oven_dry_weight=old.oven_dry_weight,
            dried_at=old.dried_at,
            method=old.method,
            oven_temperature=old.oven_temperature,
            temperature_unit=old.temperature_unit,
        )
        if only_dried and as_before == old:
            return DRIED
        return reader.text("reason", needed=True) or ""

"""A recut: weights on both sides of the cut, the fresh section, and later its oven-dry weight."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtWidgets import QWidget

from kilnlog.drying.cut_doubts import CutPiece
from kilnlog.logbook.cutting import DRIED
from kilnlog.logbook.errors import GrewByCutting
from kilnlog.logbook.units import weight_unit_of
from kilnlog.logbook.writing import correct, write
from kilnlog.records.board import Board
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.errors import SectionsSwapped
from kilnlog.records.moment import Moment
from kilnlog.records.recut import Recut
from kilnlog.records.version import Entry
from kilnlog.records.weight import WeightUnit
from kilnlog.ui.board_dialogs.cautions import HOT_OVEN
from kilnlog.ui.board_dialogs.doubted import AskedOnce
from kilnlog.ui.board_dialogs.weights import UNITS, WeightField, WeightReader, weight_in_form
from kilnlog.ui.desk import Desk
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.fields import ChoiceField, TextField
from kilnlog.ui.look.form import Form

_TIME_HINT = "YYYY-MM-DD HH:MM"


class RecutDialog(Form):
    """A new recut (``entry`` None), or one whose section is dry now, or that was written down wrong."""

    def __init__(
        self,
        parent: QWidget,
        desk: Desk,
        appearance: Appearance,
        record: ChargeRecord,
        board: Entry[Board],
        entry: Entry[Recut] | None = None,
    ) -> None:
        super().__init__(parent, appearance, "Recut", f"board {board.fact.board}", width=600)
        self._desk, self._record, self._board, self._entry = desk, record, board, entry
        self._asked = AskedOnce(self, desk.reference)
        self.remark(
            "Weigh the whole board, cut the section inside the old end, weigh it at once and what remains. "
            "Until the section is dry its oven-dry weight is carried on, marked provisional."
        )
        self.pair(
            ("cut_at", "When", TextField(appearance), _TIME_HINT),
            ("weight_unit", "Board weighed in", ChoiceField(appearance, UNITS), "unless typed with it"),
        )
        self.pair(
            ("weight_before", "Whole board before", WeightField(appearance)),
            ("weight_after", "What remains", WeightField(appearance), "before the new end is coated"),
            ("coating_weight", "New end coat's own weight", WeightField(appearance)),
        )
        self.section("Its section")
        self.pair(
            ("section_wet", "Wet weight, g", WeightField(appearance)),
            (
                "section_oven_dry",
                "Oven-dry weight, g",
                WeightField(appearance),
                "empty while it is in the oven",
            ),
            ("dried_at", "Dry", TextField(appearance), _TIME_HINT),
        )
        self.remark(HOT_OVEN)
        if entry is not None:
            self.add(
                "reason",
                "Why is it corrected?",
                TextField(appearance),
                "not asked for where the oven-dry weight is only added"
                if entry.fact.section_oven_dry is None
                else "",
            )
            if entry.fact.section_oven_dry is not None:
                self.require("reason")  # nothing is left to be only added
        self.require("cut_at", "weight_before", "weight_after", "section_wet")
        self.finish("Keep", self.keep)
        self._fill()

    def _fill(self) -> None:
        now = self._desk.now().text()[:16]
        if self._entry is None:
            self.set_text("cut_at", now)
            self.set_choice("weight_unit", weight_unit_of(self._record))
            self.rows["weight_before"].field.setFocus()
            return
        fact = self._entry.fact
        dry = fact.section_oven_dry
        self.set_choice("weight_unit", fact.weight_before.unit)
        for column, text in (
            ("cut_at", self._entry.at.text()),
            ("weight_before", fact.weight_before.text),
            ("weight_after", weight_in_form(fact.weight_after, fact.weight_before.unit)),
            ("coating_weight", weight_in_form(fact.coating_weight, fact.weight_before.unit)),
            ("section_wet", weight_in_form(fact.section_wet, WeightUnit.G)),
            ("section_oven_dry", weight_in_form(dry, WeightUnit.G)),
            ("dried_at", fact.dried_at.text() if fact.dried_at else now if dry is None else ""),
        ):
            self.set_text(column, text)
        self.rows["section_oven_dry"].field.setFocus()

    def keep(self) -> None:
        """Read, write, close."""
        reader = WeightReader(self)
        read = self._read(reader)
        reason = self._reason(reader, *read) if read is not None else ""
        if not reader.ok or read is None:
            reader.ask_which(self.keep)
            return
        fact, cut_at = read
        if self._is_doubted(fact):
            return
        saying = f"Board {self._board.fact.board} recut"
        if self._entry is None:
            self.send(self._desk, write, fact, cut_at, saying=saying)
        else:
            self.send(self._desk, correct, "recut", self._entry.entity, fact, reason, cut_at, saying=saying)

    def _read(self, reader: WeightReader) -> tuple[Recut, Moment] | None:
        zone, unit = self._record.particulars.zone, WeightUnit(reader.choice("weight_unit"))
        cut_at = reader.moment("cut_at", zone, needed=True)
        before = reader.weight("weight_before", unit, needed=True)
        after = reader.weight("weight_after", unit, needed=True)
        coating = reader.weight("coating_weight", unit)
        wet = reader.weight("section_wet", WeightUnit.G, needed=True)
        dry = reader.weight("section_oven_dry", WeightUnit.G)
        dried_at = reader.moment("dried_at", zone) if dry is not None else None
        if before is not None and after is not None and after.grams >= before.grams:
            reader.refuse("weight_after", GrewByCutting(before=before, after=after))
        if not reader.ok or cut_at is None or before is None or after is None or wet is None:
            return None
        try:
            fact = Recut(
                charge=self._record.entity,
                board=self._board.entity,
                weight_before=before,
                section_wet=wet,
                weight_after=after,
                section_oven_dry=dry,
                dried_at=dried_at,
                coating_weight=coating,
            )
        except SectionsSwapped as error:
            reader.refuse("section_oven_dry", error)
            return None
        return fact, cut_at

    def _is_doubted(self, fact: Recut) -> bool:
        """Whether the weights were just told to be unlikely."""
        weights = (fact.weight_before, fact.section_wet, fact.section_oven_dry)
        if self._entry is not None:
            old = self._entry.fact
            if weights == (old.weight_before, old.section_wet, old.section_oven_dry):
                return False
        board = CutPiece(f"board {self._board.fact.board}", fact.weight_before)
        section = CutPiece("its section", fact.section_wet, fact.section_oven_dry, fact.weight_before)
        return self._asked.is_doubted([board, section])

    def _reason(self, reader: WeightReader, fact: Recut, cut_at: Moment) -> str:
        """Why it is written over: asked for, unless the oven-dry weight was only added."""
        if self._entry is None:
            return ""
        old = self._entry.fact
        as_before = replace(fact, section_oven_dry=old.section_oven_dry, dried_at=old.dried_at)
        only_dried = old.section_oven_dry is None and as_before == old and cut_at == self._entry.at
        return reader.text("reason", needed=not only_dried) or DRIED

"""A piece broken off: weights on both sides, so that the moisture content does not jump."""

from __future__ import annotations

from PySide6.QtWidgets import QWidget

from kilnlog.logbook.errors import GrewByCutting
from kilnlog.logbook.units import weight_unit_of
from kilnlog.logbook.writing import correct, write
from kilnlog.records.board import Board
from kilnlog.records.breakage import Breakage
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.version import Entry
from kilnlog.records.weight import WeightUnit
from kilnlog.ui.board_dialogs.weights import UNITS, WeightField, WeightReader, weight_in_form
from kilnlog.ui.desk import Desk
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.fields import ChoiceField, TextField
from kilnlog.ui.look.form import Form


class BreakDialog(Form):
    """A new break (``entry`` None), or one that was written down wrong."""

    def __init__(
        self,
        parent: QWidget,
        desk: Desk,
        appearance: Appearance,
        record: ChargeRecord,
        board: Entry[Board],
        entry: Entry[Breakage] | None = None,
    ) -> None:
        super().__init__(parent, appearance, "Piece broke off", f"board {board.fact.board}", width=560)
        self._desk, self._record, self._board, self._entry = desk, record, board, entry
        self.remark(
            "Weigh what remains, and the board with the piece laid beside it. Where the piece is lost, "
            "withdraw the board instead."
        )
        self.pair(
            ("at", "When", TextField(appearance), "YYYY-MM-DD HH:MM"),
            ("weight_unit", "in", ChoiceField(appearance, UNITS), "unless typed with it"),
        )
        self.pair(
            ("weight_before", "Board and piece together", WeightField(appearance)),
            ("weight_after", "What remains", WeightField(appearance)),
        )
        self.add("fact_reason", "How it broke", TextField(appearance, "corner caught on the track"))
        if entry is not None:
            self.add("reason", "Why is it corrected?", TextField(appearance))
            self.require("reason")
        self.require("at", "weight_before", "weight_after")
        self.finish("Keep", self.keep)
        self._fill()
        self.rows["weight_before"].field.setFocus()

    def _fill(self) -> None:
        if self._entry is None:
            self.set_text("at", self._desk.now().text()[:16])
            self.set_choice("weight_unit", weight_unit_of(self._record))
            return
        fact = self._entry.fact
        self.set_choice("weight_unit", fact.weight_before.unit)
        self.set_text("at", self._entry.at.text())
        self.set_text("weight_before", fact.weight_before.text)
        self.set_text("weight_after", weight_in_form(fact.weight_after, fact.weight_before.unit))
        self.set_text("fact_reason", fact.reason or "")

    def keep(self) -> None:
        """Read, write, close."""
        reader = WeightReader(self)
        unit = WeightUnit(reader.choice("weight_unit"))
        at = reader.moment("at", self._record.particulars.zone, needed=True)
        before = reader.weight("weight_before", unit, needed=True)
        after = reader.weight("weight_after", unit, needed=True)
        if before is not None and after is not None and after.grams >= before.grams:
            reader.refuse("weight_after", GrewByCutting(before=before, after=after))
        reason = reader.text("reason", needed=True) if self._entry is not None else None
        if not reader.ok or at is None or before is None or after is None:
            reader.ask_which(self.keep)
            return
        how = reader.text("fact_reason")
        fact = Breakage(self._record.entity, self._board.entity, before, after, how)
        saying = f"Board {self._board.fact.board}: a piece broke off"
        if self._entry is None:
            self.send(self._desk, write, fact, at, saying=saying)
        else:
            self.send(self._desk, correct, "breakage", self._entry.entity, fact, reason, at, saying=saying)

"""Correcting one kept weight: another figure or another time, for a reason."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtWidgets import QWidget

from kilnlog.logbook import figures
from kilnlog.logbook.writing import correct
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.version import Entry
from kilnlog.records.weighing import Weighing
from kilnlog.ui.board_dialogs.weights import WeightField, WeightReader
from kilnlog.ui.desk import Desk
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.fields import TextField
from kilnlog.ui.look.form import Form


class WeighingDialog(Form):
    """What stood there stays beside it, struck through."""

    def __init__(
        self,
        parent: QWidget,
        desk: Desk,
        appearance: Appearance,
        record: ChargeRecord,
        entry: Entry[Weighing],
        board: str,
    ) -> None:
        super().__init__(parent, appearance, "Correct a weighing", f"board {board}", width=480)
        self._desk, self._record, self._entry, self._board = desk, record, entry, board
        weight = entry.fact.weight
        self.remark(
            f"{figures.as_typed(weight)}, {figures.weekday_date_and_time(entry.at)}. It stays in the record, "
            "struck through."
        )
        self.pair(
            ("weight", f"Weight, {weight.unit}", WeightField(appearance)),
            ("weighed_at", "Weighed", TextField(appearance), "YYYY-MM-DD HH:MM"),
        )
        self.add("reason", "Why", TextField(appearance, "misread, wrong board, typed wrong"))
        self.set_text("weight", weight.text)
        self.set_text("weighed_at", entry.at.text())
        self.require("weight", "weighed_at", "reason")
        self.finish("Keep", self.keep)
        field = self.rows["weight"].field
        field.setFocus()
        if isinstance(field, WeightField):
            field.selectAll()

    def keep(self) -> None:
        """Read, write, close."""
        reader = WeightReader(self)
        weight = reader.weight("weight", self._entry.fact.weight.unit, needed=True)
        at = reader.moment("weighed_at", self._record.particulars.zone, needed=True)
        reason = reader.text("reason", needed=True)
        if not reader.ok or weight is None or at is None:
            reader.ask_which(self.keep)
            return
        fact = replace(self._entry.fact, weight=weight)
        self.send(
            self._desk,
            correct,
            "weighing",
            self._entry.entity,
            fact,
            reason,
            at,
            saying=f"Board {self._board}, {figures.as_typed(weight)}",
        )

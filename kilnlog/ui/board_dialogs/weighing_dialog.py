"""Correcting one kept weight: another figure or time, for a reason; an unlikely one is asked about."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtWidgets import QWidget

from kilnlog.drying.plausibility import doubts
from kilnlog.logbook import figures
from kilnlog.logbook.wording import worded_finding
from kilnlog.logbook.writing import correct
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.moment import Moment
from kilnlog.records.version import Entry
from kilnlog.records.weighing import Weighing
from kilnlog.records.weight import Weight
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
        self._asked: tuple[str, str, Moment] | None = None
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
        if self._is_doubted(weight, at):
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

    def _is_doubted(self, weight: Weight, at: Moment) -> bool:
        """Whether the figure is told to be unlikely: once more keeps it, but for an impossible one."""
        assessment = self._desk.assessment
        told = (weight.text, weight.unit, at)
        if assessment is None or (weight, at) == (self._entry.fact.weight, self._entry.at):
            return False
        doubted = doubts(
            self._record,
            assessment,
            self._entry.fact.board,
            weight,
            at,
            self._desk.now(),
            corrects=self._entry.entity,
        )
        if not doubted or (told == self._asked and doubted[0].possible):
            return False
        self._asked = told
        words = worded_finding(doubted[0].finding, weight.unit)
        again = " Keep it once more if it is right." if doubted[0].possible else ""
        self.tell(f"{words.headline}. {words.why}{again}")
        return True

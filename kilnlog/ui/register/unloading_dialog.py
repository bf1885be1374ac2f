"""Unloading a charge: how far it is from its target, and why it comes out where that is far."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtWidgets import QWidget

from kilnlog.drying.figures import Assessment
from kilnlog.logbook.ending_words import ending_words
from kilnlog.logbook.units import weight_unit_of
from kilnlog.logbook.writing import change
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.ui.desk import Desk
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.fields import TextField
from kilnlog.ui.look.form import Form
from kilnlog.ui.look.reading import Reader
from kilnlog.ui.register.ending import tell_ending


class UnloadingDialog(Form):
    """Shows where the charge stands; a reason is asked for where it is not where it should be."""

    def __init__(
        self,
        parent: QWidget,
        desk: Desk,
        appearance: Appearance,
        record: ChargeRecord,
        assessment: Assessment,
    ) -> None:
        number = record.particulars.charge
        super().__init__(parent, appearance, "Kiln unloaded", number, width=560)
        self._desk, self._record = desk, record
        words = ending_words(assessment)
        self._asks_why = bool(words.doubts)
        tell_ending(self, words, weight_unit_of(record))
        self.pair(
            ("at", "Unloaded at", TextField(appearance), "YYYY-MM-DD HH:MM"),
            ("reason", "Why now" if self._asks_why else "Remark", TextField(appearance)),
        )
        self.remark("From then on no weights are asked for. What is left to do is to close the charge.")
        self.set_text("at", desk.now().text()[:16])
        self.require("at", *(("reason",) if self._asks_why else ()))
        self.finish("Unloaded", self.keep)
        self.rows["reason" if self._asks_why else "at"].field.setFocus()

    def keep(self) -> None:
        """Read, write, close."""
        reader = Reader(self)
        at = reader.past_moment("at", self._record.particulars.zone, self._desk.now())
        reason = reader.text("reason", needed=self._asks_why)
        if not reader.ok or at is None:
            return
        fact = replace(self._record.particulars, unloaded_at=at)
        saying = f"Charge {fact.charge} unloaded"
        self.send(self._desk, change, "charge", self._record.entity, fact, at, reason, saying=saying)

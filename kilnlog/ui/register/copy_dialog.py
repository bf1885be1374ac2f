"""A charge copied as a new one: by what number it is to go."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtWidgets import QWidget

from kilnlog.logbook.changes import Changes
from kilnlog.logbook.copying import copy_as_new
from kilnlog.logbook.planning import next_number
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.ui.desk import Desk
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.fields import TextField
from kilnlog.ui.look.form import Form
from kilnlog.ui.look.reading import Reader


class CopyDialog(Form):
    """Nothing is written before the number is confirmed. ``kept`` is called once the new charge is there."""

    def __init__(
        self,
        parent: QWidget,
        desk: Desk,
        appearance: Appearance,
        record: ChargeRecord,
        kept: Callable[[Changes], None],
    ) -> None:
        super().__init__(parent, appearance, "Copy as new", f"like {record.particulars.charge}", width=460)
        self._desk, self._record, self._kept = desk, record, kept
        self.remark("Kiln, schedule, target and lots are taken over; boards, weights and notes are not.")
        number = TextField(appearance)
        number.setText(next_number([line.number for line in desk.lines], desk.now()))
        self.add("charge", "Number of the new charge", number)
        self.require("charge")
        number.returnPressed.disconnect()  # the one field there is: Enter means it
        self.finish("Plan it", self.keep)
        number.returnPressed.connect(self.keep)
        number.setFocus()

    def keep(self) -> None:
        """Read, write, close."""
        reader = Reader(self)
        number = reader.text("charge", needed=True)
        if not reader.ok or number is None:
            return

        def done(changes: Changes) -> None:
            self.accept()
            self._kept(changes)

        saying = f"Charge {number} planned"
        self.send(self._desk, copy_as_new, self._record.entity, number, saying=saying, done=done)

"""Closing a charge: its final figures as they will be sealed, and what will then no longer be possible."""

from __future__ import annotations

from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QCheckBox, QWidget

from kilnlog.drying.figures import Assessment, ChargeState
from kilnlog.logbook.closing import close_charge
from kilnlog.logbook.ending_words import ending_words
from kilnlog.logbook.units import weight_unit_of
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.ui.desk import Desk
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.fields import TextField
from kilnlog.ui.look.form import Form
from kilnlog.ui.look.labels import Wrapped
from kilnlog.ui.look.reading import Reader
from kilnlog.ui.look.sizes import GAP_16, Role
from kilnlog.ui.register.ending import tell_ending

NOT_UNLOADED = (
    "Charge {charge} is not unloaded. Leave this and say when it was: Charge, Kiln unloaded. "
    "Or tick that it is to be closed all the same."
)
SEALED = "A closed charge takes no further rows, and closing cannot be undone."


class ClosingDialog(Form):
    """Shows what is there; the main button seals it."""

    def __init__(
        self,
        parent: QWidget,
        desk: Desk,
        appearance: Appearance,
        record: ChargeRecord,
        assessment: Assessment,
    ) -> None:
        number = record.particulars.charge
        super().__init__(parent, appearance, f"Close {number}", "with its figures as they stand")
        self._desk, self._record = desk, record
        words = ending_words(assessment, closing=True)
        self._asks_why = bool(words.doubts)
        self.column.addWidget(Wrapped(SEALED, appearance, Role.BODY, "ink"))
        tell_ending(self, words, weight_unit_of(record))
        reason = TextField(appearance, "" if self._asks_why else "target reached")
        self.pair(
            ("closed_at", "Closed at", TextField(appearance), "YYYY-MM-DD HH:MM"),
            ("closing_reason", "Why now" if self._asks_why else "Why, or with what remark", reason),
        )
        # A reason alone is soon typed; a seal put on a running charge is not taken off again.
        self.never_unloaded: QCheckBox | None = None
        if assessment.state is ChargeState.DRYING:
            self.never_unloaded = QCheckBox("Close it all the same: nobody wrote down when it came out")
            self.column.addWidget(self.never_unloaded)
        self.remark(
            "Its boards, weights and figures stay readable, and the seal shows later whether anything was "
            "altered."
        )
        self.set_text("closed_at", desk.now().text()[:16])
        self.require("closed_at", *(("closing_reason",) if self._asks_why else ()))
        self.finish("Close and seal", self.keep)
        self.rows["closing_reason" if self._asks_why else "closed_at"].field.setFocus()

    def keep(self) -> None:
        """Close, or say why not."""
        reader = Reader(self)
        at = reader.moment("closed_at", self._record.particulars.zone, needed=True)
        reason = reader.text("closing_reason", needed=self._asks_why)
        if not reader.ok or at is None:
            return
        if self.never_unloaded is not None and not self.never_unloaded.isChecked():
            self.tell(NOT_UNLOADED.format(charge=self._record.particulars.charge))
            self.never_unloaded.setFocus()
            # Once the sentence has its height: at the largest text it would push the tick out of sight.
            QTimer.singleShot(0, self, self._show_tick)
            return
        self.send(
            self._desk,
            close_charge,
            self._record.entity,
            at,
            reason,
            self._desk.reference,
            saying=f"Charge {self._record.particulars.charge} closed",
        )

    def _show_tick(self) -> None:
        if self.never_unloaded is not None:
            self._area.ensureWidgetVisible(self.never_unloaded, 0, GAP_16)

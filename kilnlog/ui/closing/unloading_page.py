"""Unloading: where the charge stands as it comes out, when it did, and what can hurt meanwhile."""

from __future__ import annotations

from dataclasses import replace
from typing import ClassVar

from PySide6.QtWidgets import QVBoxLayout, QWidget

from kilnlog.logbook import figures
from kilnlog.logbook.close_out_steps import Step
from kilnlog.logbook.ending_words import ending_words
from kilnlog.logbook.writing import change
from kilnlog.records.moment import Moment
from kilnlog.ui.closing.cautions import UNLOADING
from kilnlog.ui.closing.hand import ClosingHand
from kilnlog.ui.closing.step_page import StepPage
from kilnlog.ui.desk import Desk
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.buttons import QuietButton
from kilnlog.ui.look.form import Form
from kilnlog.ui.look.labels import Wrapped
from kilnlog.ui.look.page import scrolling
from kilnlog.ui.look.ruled import Cell, RuledTable
from kilnlog.ui.look.sizes import GAP_8, Role
from kilnlog.ui.register.charge_dialog import ChargeDialog
from kilnlog.ui.register.moment_dialog import MomentDialog
from kilnlog.ui.register.unloading_dialog import UnloadingDialog

LOT_LATER = (
    "It leaves while the charge goes on. Where nothing is written here, it is out from the time it is "
    "sealed; its boards leave the control figure with it."
)


class UnloadingPage(StepPage):
    """The dialogs of the Charge menu do the writing."""

    step: ClassVar[Step] = Step.UNLOADING
    by_lot: ClassVar[bool] = False

    def __init__(self, desk: Desk, hand: ClosingHand, appearance: Appearance) -> None:
        super().__init__(desk, hand, appearance)
        content = QWidget()
        column = QVBoxLayout(content)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(GAP_8)
        self._when = Wrapped("", appearance, Role.STRONG, "ink")
        self._doubts = Wrapped("", appearance, Role.BODY, "look")
        self._table = RuledTable(appearance, ("Where it stands", ""), "Where it stands", in_margin=False)
        self._rule = Wrapped("", appearance, Role.SAID, "ink2")
        for widget in (self._when, self._doubts, self._table, self._rule):
            column.addWidget(widget)
        column.addWidget(Wrapped(UNLOADING, appearance, Role.SAID, "ink2"))
        column.addStretch(1)
        self.add(scrolling(content), 1)
        self.unload = QuietButton("", appearance)
        self.unload.clicked.connect(self._unload)
        self.finish(self.unload)

    def renew(self) -> None:
        """When it came out, and how far it is from its target."""
        out_at = self._out_at()
        is_lot = self.hand.scope is not None
        words = ending_words(self.hand.assessment)
        if out_at is not None:
            self._when.setText(f"{'Out' if is_lot else 'Unloaded'} {figures.weekday_date_and_time(out_at)}")
        else:
            self._when.setText(LOT_LATER if is_lot else "Nobody wrote yet when it came out.")
        self._doubts.setText(" ".join(words.doubts))
        self._doubts.setVisible(bool(words.doubts) and not is_lot)
        self._table.set_rows([(Cell(name), Cell(figure, "pencil")) for name, figure in words.rows])
        self._rule.setText(words.rule)
        self._rule.setVisible(bool(words.rule))
        lot_text = "Lot left the kiln…" if out_at is None else ""
        text = lot_text if is_lot else ("Kiln unloaded…" if out_at is None else "Correct…")
        self.unload.setText(text)
        self.unload.updateGeometry()
        self.unload.setVisible(bool(text) and self.hand.can_write)

    def _out_at(self) -> Moment | None:
        at = self.hand.close_out.line(self.step).values.get("at")
        return at if isinstance(at, Moment) else None

    def take_keys(self) -> None:
        """To what is open, else on."""
        is_open = self._out_at() is None and self.hand.can_write and not self.unload.isHidden()
        (self.unload if is_open else self.next).setFocus()

    def _unload(self) -> None:
        record, assessment = self.hand.record, self.hand.assessment
        if self.hand.scope is not None:
            self._lot_left()
        elif record.particulars.unloaded_at is None:
            UnloadingDialog(self.window(), self.desk, self.appearance, record, assessment).open()
        elif (entry := record.charge[0].current) is not None:
            ChargeDialog(self.window(), self.desk, self.appearance, entry).open()

    def _lot_left(self) -> None:
        lot = self.hand.lot
        if lot is None:
            return

        def keep(form: Form, at: Moment, reason: str | None) -> None:
            fact = replace(lot.fact, out_at=at)
            form.send(
                self.desk, change, "lot", lot.entity, fact, at, reason, saying=f"Lot {lot.fact.lot} is out"
            )

        title = f"Lot {lot.fact.lot} left the kiln"
        number = self.hand.record.particulars.charge
        MomentDialog(self.window(), self.appearance, title, number, self.desk.now, keep).open()

"""Sealing: when it is closed, why where that is doubtful, and what will then no longer be possible."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QWidget

from kilnlog.drying.figures import ChargeState
from kilnlog.logbook.close_out_steps import Before, Code
from kilnlog.logbook.close_out_words import consequence, title
from kilnlog.logbook.closing import close_charge, close_lot
from kilnlog.logbook.ending_words import ending_words
from kilnlog.logbook.units import weight_unit_of
from kilnlog.ui.closing.hand import ClosingHand
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.fields import TextField
from kilnlog.ui.look.form import Form
from kilnlog.ui.look.labels import Wrapped
from kilnlog.ui.look.reading import Reader
from kilnlog.ui.look.sizes import GAP_16, Role
from kilnlog.ui.look.tick_box import TickBox
from kilnlog.ui.register.ending import tell_ending

NOT_UNLOADED = (
    "Charge {charge} is not unloaded. Leave this and say when it was: Charge, Kiln unloaded. "
    "Or tick that it is to be closed all the same."
)
SEALED = (
    "A closed charge takes no further rows but dated notes. What its papers show is sealed as it stands now; "
    "reopening it needs a reason, and this seal stays in the record as it was issued."
)
NEVER_UNLOADED = "Close it all the same: nobody wrote down when it came out"
TYPED = (
    "Typed and not kept: {typed}. Leave this and press Enter where it stands. "
    "Or tick that it is to be sealed without, and what is typed is dropped."
)
LOT_SEALED = (
    "The lot and its boards take no further rows; the charge goes on. What its papers show is sealed as it "
    "stands now; reopening it needs a reason, and this seal stays in the record as it was issued."
)


class SealDialog(Form):
    """Shows what is there; the main button seals it."""

    def __init__(
        self, parent: QWidget, hand: ClosingHand, appearance: Appearance, typed: Sequence[str] = ()
    ) -> None:
        super().__init__(parent, appearance, f"Close {hand.name}", "with its figures as they stand")
        self._desk, self._record, self._scope, self._name = hand.desk, hand.record, hand.scope, hand.name
        self.never_unloaded: TickBox | None = None
        self.without_typed: TickBox | None = None
        self._typed = tuple(typed)
        self._asks_why = False
        self.column.addWidget(
            Wrapped(SEALED if self._scope is None else LOT_SEALED, appearance, Role.BODY, "ink")
        )
        for one in hand.close_out.missing:
            self._tell_missing(one, hand)
        if self._scope is None:
            words = ending_words(hand.assessment, closing=True)
            self._asks_why = bool(words.doubts)
            tell_ending(self, words, weight_unit_of(self._record))
        reason = TextField(appearance, "" if self._asks_why else "target reached")
        self.pair(
            ("closed_at", "Closed at", TextField(appearance), "YYYY-MM-DD HH:MM"),
            ("closing_reason", "Why now" if self._asks_why else "Why, or with what remark", reason),
        )
        # A reason alone is soon typed; a seal put on a running charge is not taken off again.
        if self._scope is None and hand.assessment.state is ChargeState.DRYING:
            self.never_unloaded = TickBox(
                "Close it all the same: nobody wrote down when it came out", appearance
            )
            self.column.addWidget(self.never_unloaded)
        if typed:
            self.without_typed = TickBox("Seal it without what stands typed", appearance)
            self.column.addWidget(Wrapped(typed_words(typed), appearance, Role.BODY, "act"))
            self.column.addWidget(self.without_typed)
        self.set_text("closed_at", self._desk.now().text()[:16])
        self.require("closed_at", *(("closing_reason",) if self._asks_why else ()))
        self.finish("Close and seal", self.keep)
        self.rows["closing_reason" if self._asks_why else "closed_at"].field.setFocus()

    def _tell_missing(self, one: Before, hand: ClosingHand) -> None:
        if one.code is not Code.NOT_UNLOADED:  # asked about below
            self.remark(f"{title(one, hand.close_out)}. {consequence(one)}")

    def keep(self) -> None:
        """Close, or say why not."""
        reader = Reader(self)
        at = reader.past_moment("closed_at", self._record.particulars.zone, self._desk.now())
        reason = reader.text("closing_reason", needed=self._asks_why)
        if not reader.ok or at is None:
            return
        for tick, why in (
            (self.without_typed, TYPED.format(typed="; ".join(self._typed))),
            (self.never_unloaded, NOT_UNLOADED.format(charge=self._record.particulars.charge)),
        ):
            if tick is not None and not tick.isChecked():
                self.tell(why)
                tick.setFocus()
                # Once the sentence has its height: at the largest text it would push the tick out of sight.
                QTimer.singleShot(0, self, lambda tick=tick: self._area.ensureWidgetVisible(tick, 0, GAP_16))
                return
        saying, reference = f"{self._name[0].upper()}{self._name[1:]} closed", self._desk.reference
        entity = self._record.entity
        if self._scope is None:
            self.send(self._desk, close_charge, entity, at, reason, reference, saying=saying)
        else:
            self.send(self._desk, close_lot, entity, self._scope, at, reason, reference, saying=saying)


def typed_words(typed: Sequence[str]) -> str:
    """What stands typed; empty where nothing does."""
    return f"Typed and not kept: {'; '.join(typed)}. It will not be under the seal." if typed else ""

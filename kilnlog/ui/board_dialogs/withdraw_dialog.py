"""Taking a board out of the control figures; another may be cut in its place at once."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtWidgets import QWidget

from kilnlog.logbook.changes import Changes
from kilnlog.logbook.writing import write
from kilnlog.records.board import Board
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.version import Entry
from kilnlog.records.withdrawal import Withdrawal
from kilnlog.ui.desk import Desk
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.fields import TextField
from kilnlog.ui.look.form import Form
from kilnlog.ui.look.reading import Reader


class WithdrawDialog(Form):
    """``replace`` is called after the withdrawal where another board is to be cut."""

    def __init__(
        self,
        parent: QWidget,
        desk: Desk,
        appearance: Appearance,
        record: ChargeRecord,
        board: Entry[Board],
        replace: Callable[[], None],
    ) -> None:
        super().__init__(parent, appearance, f"Withdraw board {board.fact.board}", width=520)
        self._desk, self._record, self._board, self._replace = desk, record, board, replace
        self.remark("It feeds the control figure no longer, and stays on the curve up to that moment.")
        self.add("at", "From", TextField(appearance), "YYYY-MM-DD HH:MM")
        self.add("reason", "Why", TextField(appearance, "split, a piece lost, no longer like the rest"))
        self.set_text("at", desk.now().text()[:16])
        self.require("at", "reason")
        self.finish("Withdraw", self.keep, ("Withdraw, and cut another…", self.keep_and_replace))
        self.rows["reason"].field.setFocus()

    def keep(self) -> None:
        """Read, write, close."""
        self._keep(then=None)

    def keep_and_replace(self) -> None:
        """The same, and go on to the board in its place."""
        self._keep(then=self._replace)

    def _keep(self, then: Callable[[], None] | None) -> None:
        reader = Reader(self)
        at = reader.moment("at", self._record.particulars.zone, needed=True)
        reason = reader.text("reason", needed=True)
        if not reader.ok or at is None:
            return

        def done(_: Changes) -> None:
            self.accept()
            if then is not None:
                then()

        self.send(
            self._desk,
            write,
            Withdrawal(self._record.entity, self._board.entity, reason),
            at,
            saying=f"Board {self._board.fact.board} withdrawn",
            done=done,
        )

"""How many days each kiln was in use, in a period that is chosen or typed."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QWidget

from kilnlog.logbook import figures
from kilnlog.logbook.kiln_use import KilnUse, Period, period_from_text, use_of_kilns, usual_periods
from kilnlog.logbook.wording import worded
from kilnlog.records.errors import UnreadableTime
from kilnlog.ui.desk import Desk
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.fields import ChoiceField, TextField
from kilnlog.ui.look.lines import Cell, Column, Line
from kilnlog.ui.look.sizes import Role
from kilnlog.ui.past_charges.lines_form import LinesForm

_TYPED = "typed"
#: A day is read once nothing was typed for so long [ms].
_AFTER_MS = 350
_COLUMNS = (
    Column("Kiln, and its charges", figures=False),
    Column("Days"),
    Column("of the period"),
    Column("", figures=False, fills=True),
)


class UseDialog(LinesForm):
    """The table follows the period as it is chosen or typed. Enter on a charge takes it in hand."""

    def __init__(self, parent: QWidget, desk: Desk, appearance: Appearance) -> None:
        super().__init__(parent, desk, appearance, "Days each kiln was in use", _COLUMNS, 760)
        self._now = desk.now()
        self._periods = usual_periods(self._now.local.date())
        choices = [(words, words) for words in self._periods]
        self.period = ChoiceField(appearance, [*choices, (_TYPED, "the days typed here")])
        self.pair(
            ("period", "Period", self.period),
            ("first", "First day", TextField(appearance), "YYYY-MM-DD"),
            ("last", "Last day", TextField(appearance), "YYYY-MM-DD"),
        )
        self.column.addWidget(self.table)
        self.remark(
            "A day counts by the share of it in which a charge stood in the kiln, from loading to unloading, "
            "or until now. Two charges in one kiln at once count once."
        )
        self.table.opened.connect(lambda number: self.take_in_hand(str(number)))
        self._waiting = QTimer(self)
        self._waiting.setSingleShot(True)
        self._waiting.setInterval(_AFTER_MS)
        self._waiting.timeout.connect(self._read_typed)
        self.period.currentIndexChanged.connect(lambda _: self._choose())
        for column in ("first", "last"):
            field = self.rows[column].field
            if isinstance(field, TextField):
                field.textEdited.connect(lambda _: self._type())
        self.close_only()
        self._choose()
        self.period.setFocus()

    def _choose(self) -> None:
        """A usual period: its days stand in the fields, to be typed over."""
        days = self._periods.get(self.period.value)
        if days is not None:
            for column, day in zip(("first", "last"), days, strict=True):
                self.set_text(column, day.isoformat())
                self.rows[column].clear()
            self._read_typed()

    def _type(self) -> None:
        self.period.blockSignals(True)
        self.period.set_value(_TYPED)
        self.period.blockSignals(False)
        self._waiting.start()

    def _read_typed(self) -> None:
        texts = {}
        for column in ("first", "last"):
            field = self.rows[column].field
            texts[column] = field.text() if isinstance(field, TextField) else ""
            self.rows[column].clear()
        try:
            period = period_from_text(texts["first"], texts["last"], self._now.zone)
        except UnreadableTime as error:
            wrong = "first" if error.values["typed"] == texts["first"].strip() else "last"
            self.rows[wrong].refuse(worded(error).text)
            self.table.set_lines(())
            return
        now = self._now
        self.read(lambda book: use_of_kilns(book, period, now), lambda use: self._tell(use, period))

    def reject(self) -> None:
        """A period that was typed is nothing to be kept."""
        self.done(self.DialogCode.Rejected)

    def _tell(self, use: Sequence[KilnUse], period: Period) -> None:
        lines: list[Line] = []
        for kiln in use:
            share = figures.number(100 * kiln.days / period.days)
            both = f"two at once for {figures.number(kiln.shared_days, 1)} days" if kiln.shared_days else ""
            cells = (
                Cell(kiln.kiln, role=Role.STRONG),
                Cell(figures.number(kiln.days, 1), "pencil", Role.FIGURE),
                Cell(f"{share} %", "pencil"),
                Cell(both or ("stood empty" if not kiln.charges else ""), "look" if both else "ink2"),
            )
            lines.append(Line(cells, ruled=not kiln.charges))
            for number, (charge, days, here) in enumerate(kiln.charges, start=1):
                cells = (
                    Cell(f"    {charge}", "ink2"),
                    Cell(figures.number(days, 1), "pencil"),
                    Cell(),
                    Cell("still there" if here else "", "ink2"),
                )
                lines.append(Line(cells, charge, ruled=number == len(kiln.charges)))
        self.table.set_lines(lines)
        self.said.setText(f"of {figures.count(period.days, 'day')}")

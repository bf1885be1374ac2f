"""Closed charges of one kind side by side; those chosen are told of together."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QWidget

from kilnlog.logbook import figures
from kilnlog.logbook.final_figures import SAMPLE_BOARDS
from kilnlog.logbook.lot_kinds import leading_kinds
from kilnlog.logbook.side_by_side import Compared, KindChoice, compared, kinds_closed, summary
from kilnlog.ui.desk import Desk
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.fields import ChoiceField
from kilnlog.ui.look.labels import Wrapped
from kilnlog.ui.look.lines import Cell, Column, Line
from kilnlog.ui.look.lines_table import LinesTable
from kilnlog.ui.look.sizes import Role
from kilnlog.ui.past_charges.lines_form import LinesForm

_COLUMNS = (
    Column("", figures=False),
    Column("Charge", figures=False),
    Column("Kiln", figures=False),
    Column("Schedule", figures=False, fills=True),
    Column("Loaded"),
    Column("Days"),
    Column("Start, %"),
    Column("End, %"),
    Column("SD, %"),
    Column("Read"),
    Column("Degrade"),
)
NOTHING = (
    "No charge of a known species and thickness was closed yet. Once one is, those of its kind stand here "
    "side by side."
)
BY_BOARDS = (
    "Start: the mean of the sample boards as they were cut. End and standard deviation: by the pieces read "
    "at the end where there are any, else by the sample boards alone, which are few and were not drawn at "
    "random. Degrade: the share with defects. Space takes a charge in or leaves it out."
)


class CompareDialog(LinesForm):
    """Space takes a charge in or leaves it out; Enter takes it in hand and closes."""

    def __init__(self, parent: QWidget, desk: Desk, appearance: Appearance) -> None:
        title = "Past charges side by side"
        super().__init__(parent, desk, appearance, title, _COLUMNS, 980, _ChoosingTable)
        self._lines = desk.lines
        self._kinds: tuple[KindChoice, ...] = kinds_closed(desk.lines)
        self._shown: tuple[Compared, ...] = ()
        self.left_out: set[str] = set()
        self.kind = ChoiceField(
            appearance, [(str(n), f"{kind.words}  ({kind.count})") for n, kind in enumerate(self._kinds)]
        )
        row = self.add("kind", "Kind", self.kind)
        row.setVisible(bool(self._kinds))
        self.column.addWidget(self.table)
        self.together = Wrapped("", appearance, Role.BODY, "pencil")
        self.column.addWidget(self.together)
        self.remark(BY_BOARDS if self._kinds else NOTHING)
        self.table.opened.connect(self._open)
        if isinstance(self.table, _ChoosingTable):
            self.table.chosen.connect(self._turn)
        self.kind.currentIndexChanged.connect(lambda _: self._choose())
        self.close_only()
        if not self._kinds:
            self.said.setText("")
            self.table.hide()
            self.together.hide()
            return
        self.kind.setCurrentIndex(self._kind_in_hand())
        self._choose()

    def _kind_in_hand(self) -> int:
        """The kind of the charge in hand where one of it was closed, else the kind of most charges."""
        record = self._desk.record
        line = next((one for one in self._lines if record is not None and one.entity == record.entity), None)
        mine = leading_kinds(line.lots) if line is not None else None
        most = max(range(len(self._kinds)), key=lambda n: self._kinds[n].count)
        return next((n for n, kind in enumerate(self._kinds) if kind.kinds == mine), most)

    def _choose(self) -> None:
        if not self.kind.value:
            return
        kinds, lines = self._kinds[int(self.kind.value)].kinds, self._lines
        self.left_out.clear()
        self.read(lambda book: compared(book, lines, kinds), self._tell)

    def _tell(self, shown: tuple[Compared, ...]) -> None:
        self._shown = shown
        self._renew()

    def _turn(self, entity: object) -> None:
        """Take a charge in, or leave it out."""
        self.left_out ^= {str(entity)}
        self._renew()

    def _open(self, entity: object) -> None:
        self.take_in_hand(next(one.number for one in self._shown if one.entity == entity))

    def _renew(self) -> None:
        self.table.set_lines([self._line(one) for one in self._shown])
        chosen = [one for one in self._shown if one.entity not in self.left_out]
        self.together.setText("  ·  ".join(summary(chosen)))

    def _line(self, one: Compared) -> Line:
        chosen = one.entity not in self.left_out
        typed, worked_out = ("ink", "pencil") if chosen else ("ink2", "ink2")
        final = one.final
        boards_only = final is not None and final.kind == SAMPLE_BOARDS
        cells: Sequence[Cell] = (
            Cell("✓" if chosen else "", "done", Role.STRONG),
            Cell(one.number, typed, Role.STRONG if chosen else Role.BODY),
            Cell(one.kiln or figures.EMPTY, typed),
            Cell(one.schedule or figures.EMPTY, typed),
            Cell(one.loaded, "ink2"),
            Cell(figures.number(one.days), worked_out),
            Cell(figures.mc(one.start_mc_pct), worked_out),
            Cell(figures.mc(final.mean_pct if final else None), worked_out),
            Cell(figures.number(final.sd_pct if final else None, 2), worked_out),
            Cell(one.read, "ink2" if boards_only or not chosen else "ink"),
            Cell(one.degrade.words, worked_out if one.degrade.share_pct is not None else "ink2"),
        )
        return Line(tuple(cells), one.entity, said="chosen" if chosen else "left out")


class _ChoosingTable(LinesTable):
    """Space, or a click on its first column, chooses.

    chosen(object): the key of the line.
    """

    chosen = Signal(object)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Space chooses."""
        if event.key() == Qt.Key.Key_Space:
            if self.key is not None:
                self.chosen.emit(self.key)
        else:
            super().keyPressEvent(event)

"""The steps of a schedule as a table to type in: Enter and Tab go on from cell to cell."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QRectF, Qt
from PySide6.QtGui import QColor, QFocusEvent, QKeyEvent, QPainter, QPalette
from PySide6.QtWidgets import (
    QAbstractItemDelegate,
    QHeaderView,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QTableWidget,
    QTableWidgetItem,
    QWidget,
)

from kilnlog.logbook.wording import worded
from kilnlog.records.errors import ImpossibleStep, KilnlogError, OutOfRange
from kilnlog.records.schedule_step import ScheduleStep, contradiction, not_falling
from kilnlog.records.typed_number import number_from_text
from kilnlog.records.words import TemperatureUnit
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.form import decimal_mark
from kilnlog.ui.look.painting import draw_focus_ring
from kilnlog.ui.look.reading import plain
from kilnlog.ui.look.sizes import Role

Index = QModelIndex | QPersistentModelIndex
#: How an editor is left by Tab and by Shift Tab: whether forwards.
_TABBED = {
    QAbstractItemDelegate.EndEditHint.EditNextItem: True,
    QAbstractItemDelegate.EndEditHint.EditPreviousItem: False,
}


@dataclass(frozen=True, slots=True)
class _Term:
    column: str
    heading: str
    low: float
    high: float


_TERMS = (
    _Term("from_mc_pct", "From MC, %", 0, 1000),
    _Term("to_mc_pct", "to MC, %", 0, 1000),
    _Term("from_hours", "or hour", 0, 1e6),
    _Term("dry_bulb", "Dry bulb", -100, 600),
    _Term("wet_bulb", "Wet bulb", -100, 600),
    _Term("depression", "Depression", 0, 600),
    _Term("rh_pct", "RH, %", 0, 100),
    _Term("emc_pct", "EMC, %", 0, 100),
)


#: What tells the air beside a dry bulb.
_BESIDE = ("wet_bulb", "depression", "rh_pct", "emc_pct")
_COLUMNS = {term.column: number for number, term in enumerate(_TERMS)}


class StepsTable(QTableWidget):
    """One row per step; Enter goes on to the next cell, and past the last one begins another step."""

    def __init__(self, appearance: Appearance) -> None:
        super().__init__(0, len(_TERMS))
        self._appearance = appearance
        self.setHorizontalHeaderLabels([term.heading for term in _TERMS])
        self.setAccessibleName("Steps")
        self.setFont(appearance.sizes.font(Role.BODY))
        self.horizontalHeader().setFont(appearance.sizes.font(Role.LABEL))
        self.horizontalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Stretch)
        self.verticalHeader().setDefaultSectionSize(appearance.sizes.list_line_h)
        self.setItemDelegate(_CellPainter(appearance, self))
        palette = self.palette()  # the cell in hand is painted here, not by the style
        palette.setColor(QPalette.ColorRole.Highlight, Qt.GlobalColor.transparent)
        palette.setColor(QPalette.ColorRole.HighlightedText, palette.color(QPalette.ColorRole.Text))
        self.setPalette(palette)
        self.setMinimumHeight(9 * appearance.sizes.list_line_h + 34)

    def add(self, step: ScheduleStep | None = None) -> None:
        """Another row at the end."""
        row = self.rowCount()
        self.insertRow(row)
        for column, term in enumerate(_TERMS):
            item = QTableWidgetItem(plain(getattr(step, term.column)) if step is not None else "")
            item.setTextAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
            self.setItem(row, column, item)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter goes on; Delete empties a cell."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and not event.modifiers():
            if self.state() is not QTableWidget.State.EditingState:  # an editor's Enter comes by closeEditor
                self._go_on()
        elif event.key() == Qt.Key.Key_Delete and (item := self.currentItem()) is not None:
            item.setText("")
        else:
            super().keyPressEvent(event)

    def closeEditor(self, editor: QWidget, hint: QAbstractItemDelegate.EndEditHint) -> None:
        """Enter in an editor goes on as outside of one; Tab in the last cell leaves the table."""
        if hint is QAbstractItemDelegate.EndEditHint.SubmitModelCache:
            super().closeEditor(editor, QAbstractItemDelegate.EndEditHint.NoHint)
            self._go_on()
        elif hint in _TABBED and self._is_at_end(forwards=_TABBED[hint]):
            super().closeEditor(editor, QAbstractItemDelegate.EndEditHint.NoHint)
            self.focusNextPrevChild(_TABBED[hint])
        else:
            super().closeEditor(editor, hint)

    def focusNextPrevChild(self, forwards: bool) -> bool:
        """Tab goes through the cells, and out of the table after the last and before the first."""
        self.setTabKeyNavigation(not self._is_at_end(forwards=forwards))
        went = super().focusNextPrevChild(forwards)
        self.setTabKeyNavigation(True)
        return went

    def focusInEvent(self, event: QFocusEvent) -> None:
        """There is always a cell in hand."""
        super().focusInEvent(event)
        if not self.currentIndex().isValid() and self.rowCount():
            self.setCurrentCell(0, 0)

    def _is_at_end(self, *, forwards: bool) -> bool:
        last = (self.rowCount() - 1, self.columnCount() - 1)
        here = (self.currentRow(), self.currentColumn())
        return not self.currentIndex().isValid() or here == (last if forwards else (0, 0))

    def _go_on(self) -> None:
        row, column = self.currentRow(), self.currentColumn() + 1
        if column == self.columnCount():
            row, column = row + 1, 0
        if row >= self.rowCount():
            self.add()
        self.setCurrentCell(max(0, row), column)

    def read(self, schedule: str, unit: TemperatureUnit) -> tuple[list[ScheduleStep], str]:
        """The steps, and what is wrong with the first cell that cannot be read, or cannot be."""
        self._take_half_typed()
        steps: list[ScheduleStep] = []
        rows: dict[int, int] = {}  # of each step
        wrong = ""
        self._unmark()
        for row in range(self.rowCount()):
            values: dict[str, float | None] = {}
            for column, term in enumerate(_TERMS):
                item = self.item(row, column)
                typed = item.text().strip() if item is not None else ""
                try:
                    values[term.column] = _number(term, typed) if typed else None
                except KilnlogError as error:
                    values[term.column] = None
                    wrong = wrong or self._refused(row, column, error)
            if any(value is not None for value in values.values()):
                given = any(values[name] is not None for name in ("dry_bulb", "wet_bulb", "depression"))
                rows[len(steps) + 1] = row
                steps.append(
                    ScheduleStep(schedule, len(steps) + 1, **values, temperature_unit=unit if given else None)
                )
        if wrong:
            return steps, wrong
        for step, contradicted in _contradictions(steps):
            column = _COLUMNS[str(contradicted.values["column"])]
            return steps, self._refused(rows[step.step], column, contradicted)
        return steps, wrong

    @property
    def texts(self) -> tuple[tuple[str, ...], ...]:
        """What the cells hold, row by row; a row with nothing in it is none."""
        items = (
            [self.item(row, column) for column in range(self.columnCount())] for row in range(self.rowCount())
        )
        told = (tuple("" if item is None else item.text().strip() for item in row) for row in items)
        return tuple(row for row in told if any(row))

    def take_out(self) -> bool:
        """Take the row of the cell in hand out; False where no cell is in hand."""
        row = self.currentRow()
        if row < 0:
            return False
        self.removeRow(row)
        return True

    def _take_half_typed(self) -> None:
        """What stands in an open cell belongs to the steps: the key that keeps them leaves it open."""
        editor = self.indexWidget(self.currentIndex())
        if self.state() is QTableWidget.State.EditingState and editor is not None:
            self.commitData(editor)
            super().closeEditor(editor, QAbstractItemDelegate.EndEditHint.NoHint)

    def _refused(self, row: int, column: int, error: KilnlogError) -> str:
        """The sentence, with its cell marked and in hand."""
        self._mark(row, column)
        return f"Step {row + 1}, {_TERMS[column].heading}: {worded(error).text}"

    def _unmark(self) -> None:
        for row in range(self.rowCount()):
            for column in range(self.columnCount()):
                if (item := self.item(row, column)) is not None:
                    item.setData(Qt.ItemDataRole.BackgroundRole, None)

    def _mark(self, row: int, column: int) -> None:
        item = self.item(row, column)
        if item is not None:
            item.setBackground(QColor(self._appearance.tokens.act_bg))
            self.setCurrentCell(row, column)


class _CellPainter(QStyledItemDelegate):
    """Shows which cell is in hand, also to who looks from two steps away."""

    def __init__(self, appearance: Appearance, table: StepsTable) -> None:
        super().__init__(table)
        self._appearance, self._table = appearance, table

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """The cell, and a ring round the one in hand."""
        tokens = self._appearance.tokens
        in_hand = index == self._table.currentIndex()
        if in_hand and index.data(Qt.ItemDataRole.BackgroundRole) is None:
            painter.fillRect(option.rect, tokens.colour("chosen"))
        super().paint(painter, option, index)
        if in_hand and self._table.hasFocus():
            draw_focus_ring(painter, QRectF(option.rect), tokens)


def _contradictions(steps: list[ScheduleStep]) -> Iterator[tuple[ScheduleStep, KilnlogError]]:
    """What cannot be, in each step by itself and then from step to step."""
    from kilnlog.drying.air.moist_air import pressure_pa  # noqa: PLC0415  # numpy: slow to load, asked for here
    from kilnlog.drying.step_terms import step_terms  # noqa: PLC0415  # as above

    for step in steps:
        if (error := contradiction(step)) is not None:
            yield step, error
            continue
        beside = next((one for one in _BESIDE if getattr(step, one) is not None), None)
        if step.dry_bulb is not None and beside and step_terms(step, pressure_pa(0)) is None:
            yield step, ImpossibleStep(why="no-air", column=beside)
    yield from not_falling(steps)


def _number(term: _Term, typed: str) -> float:
    value = float(number_from_text(typed, decimal_mark=decimal_mark(), negative=term.low < 0))
    if not term.low <= value <= term.high:
        raise OutOfRange(column=term.heading, value=typed, low=term.low, high=term.high)
    return value

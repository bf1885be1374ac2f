"""The lines of the round as a Qt table model: what stands where, in words and figures. No sums."""

from __future__ import annotations

from collections.abc import Callable
from enum import IntEnum
from typing import Any

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QPersistentModelIndex, Qt

from kilnlog.drying.finding import Finding, Severity
from kilnlog.logbook import figures
from kilnlog.logbook.round_sheet import LineState, RoundLine
from kilnlog.logbook.wording import worded_finding
from kilnlog.records.moment import Moment
from kilnlog.records.weight import Weight, WeightUnit
from kilnlog.ui.look.painting import WORDS, Mark
from kilnlog.ui.weighing_round.keeper import RoundKeeper
from kilnlog.ui.weighing_round.typed import Typed, TypedState

Index = QModelIndex | QPersistentModelIndex

_DISPLAY = Qt.ItemDataRole.DisplayRole
_ACCESSIBLE = Qt.ItemDataRole.AccessibleTextRole
_NO_PARENT = QModelIndex()
_FLAGS = Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable

SEVERITY_MARKS = {Severity.ACT: Mark.ACT, Severity.LOOK: Mark.LOOK, Severity.NOTE: Mark.NOTE}
SEVERITY_COLOURS = {Severity.ACT: "act", Severity.LOOK: "look", Severity.NOTE: "ink2"}


_TYPED_MARKS = {TypedState.REFUSED: Mark.ACT, TypedState.ASKED: Mark.LOOK, TypedState.HALF: Mark.LOOK}
_TYPED_WORDS = {
    TypedState.SAVING: ("being kept", "ink2"),
    TypedState.REFUSED: ("not kept", "act"),
    TypedState.HALF: ("typed, not kept", "look"),
}
_GONE_WORDS = {LineState.WITHDRAWN: "withdrawn", LineState.OUT: "lot is out"}
_STATE_WORDS = {**_GONE_WORDS, LineState.CUT: "cut this round"}


#: What is said of a board that gained, where that is no finding: within its scale's noise, or in damped air.
NO_LOSS = "no loss"
#: Findings that are not about the last weight: they hold until somebody sees to them.
_OF_THE_BOARD = frozenset(
    {
        "sections-disagree",
        "section-not-constant",
        "section-lost-on",
        "oven-rule-refused",
        "oven-temperature-odd",
    }
)


class Column(IntEnum):
    """The columns in reading order; the first stands in the page's margin."""

    MARGIN = 0
    BOARD = 1
    PLACE = 2
    LAST = 3
    EXPECTED = 4
    NOW = 5
    MC = 6
    LOSS = 7
    SAYS = 8


class RoundModel(QAbstractTableModel):
    """One row per board. The view paints it; a screen reader reads it."""

    def __init__(self, keeper: RoundKeeper) -> None:
        super().__init__(keeper)
        self._keeper = keeper
        self._lines: tuple[RoundLine, ...] = ()
        self._unit = WeightUnit.G
        self._all_yesterday = False
        self._headings = (self._unit, self._all_yesterday)
        self._typed: list[Typed | None] = []
        self._writers: dict[Column, Callable[[int, RoundLine], str]] = {
            Column.BOARD: lambda row, line: line.board,
            Column.PLACE: lambda row, line: line.place,
            Column.LAST: lambda row, line: self.weight_text(line.last) if line.last else figures.EMPTY,
            Column.EXPECTED: lambda row, line: self._expected(line),
            Column.NOW: self._now,
            Column.MC: lambda row, line: figures.mc(line.mc_pct) if line.kept or line.cut else "",
            Column.LOSS: lambda row, line: (
                figures.rate(line.rate_pct_per_day) if line.kept or line.cut else ""
            ),
            Column.SAYS: lambda row, line: self.says(row)[0],
        }
        keeper.changed.connect(self.refresh)
        self.refresh()

    def refresh(self) -> None:
        """Take the lines from the sheet; only those that are new are painted anew.

        Rows are laid out anew only where the boards are others.
        """
        sheet = self._keeper.sheet
        lines = sheet.lines if sheet is not None else ()
        typed = [self._keeper.stands(line.entity) for line in lines]
        same = [line.entity for line in lines] == [line.entity for line in self._lines]
        before = list(zip(self._lines, self._typed, strict=True))
        if not same:
            self.beginResetModel()
        self._lines, self._typed = lines, typed
        if sheet is not None:
            self._unit = sheet.unit
            self._all_yesterday = bool(lines) and all(_is_yesterday(line, sheet.at) for line in lines)
        if not same:
            self.endResetModel()
            return
        for row, now in enumerate(zip(lines, typed, strict=True)):
            if now != before[row]:
                self.dataChanged.emit(self.index(row, 0), self.index(row, Column.SAYS), [_DISPLAY])
        headings = (self._unit, self._all_yesterday)
        if headings != self._headings:
            self._headings = headings
            self.headerDataChanged.emit(Qt.Orientation.Horizontal, Column.LAST, Column.NOW)

    def line(self, row: int) -> RoundLine:
        """The line in that row."""
        return self._lines[row]

    def typed(self, row: int) -> Typed | None:
        """What stands typed in that row and is not kept."""
        return self._keeper.stands(self._lines[row].entity)

    def row_of(self, entity: str) -> int | None:
        """The row of a board."""
        return next((row for row, line in enumerate(self._lines) if line.entity == entity), None)

    def next_waiting(self, after: int) -> int | None:
        """The next row that waits for a weight or for its Enter, from the top again after the last."""
        count = len(self._lines)
        for step in range(1, count + 1):
            row = (after + step) % count
            typed = self.typed(row)
            if typed is None and self._lines[row].state is LineState.WAITING:
                return row
            if typed is not None and typed.state is TypedState.HALF:
                return row
        rows = ((after + step) % count for step in range(1, count))
        return next((row for row in rows if self._is_asked(row)), None)

    def _is_asked(self, row: int) -> bool:
        """Passed by at first; what is asked of it still has no answer."""
        typed = self.typed(row)
        return typed is not None and typed.state in (TypedState.ASKED, TypedState.REFUSED)

    def rowCount(self, parent: Index = _NO_PARENT) -> int:
        """Boards."""
        return 0 if parent.isValid() else len(self._lines)

    def columnCount(self, parent: Index = _NO_PARENT) -> int:
        """Columns of a line."""
        return 0 if parent.isValid() else len(Column)

    def flags(self, index: Index) -> Qt.ItemFlag:
        """Every cell can be gone to; the entry field lies over the weight."""
        return _FLAGS

    def data(self, index: Index, role: int = _DISPLAY) -> Any:
        """The text of a cell, and its words for who cannot see marks and colours."""
        if role == _DISPLAY:
            return self.text(index.row(), Column(index.column()))
        if role == _ACCESSIBLE:
            return self._in_words(index.row(), Column(index.column()))
        return None

    def headerData(self, section: int, orientation: Qt.Orientation, role: int = _DISPLAY) -> Any:
        """The headings, with the unit."""
        if role not in (_DISPLAY, _ACCESSIBLE) or orientation is not Qt.Orientation.Horizontal:
            return None
        unit = self._unit.value
        return {
            Column.MARGIN: "Mark" if role == _ACCESSIBLE else "",
            Column.BOARD: "Board",
            Column.PLACE: "Place",
            Column.LAST: f"Yesterday, {unit}" if self._all_yesterday else f"Last, {unit}",
            Column.EXPECTED: f"Expected, {unit}",
            Column.NOW: f"Weight now, {unit}",
            Column.MC: "MC, %",
            Column.LOSS: "Loss, % a day",
            Column.SAYS: "What it says",
        }[Column(section)]

    def text(self, row: int, column: Column) -> str:
        """What stands in a cell."""
        line = self._lines[row]
        writer = self._writers.get(column)
        return writer(row, line) if writer is not None else ""

    def weight_text(self, weight: Weight) -> str:
        """A typed weight, thousands grouped where it is a plain number; its unit where it is another one."""
        grouped = figures.grouped(weight)
        return grouped if weight.unit is self._unit else f"{grouped} {weight.unit}"

    def mark(self, row: int, in_hand: bool) -> Mark | None:
        """The mark in the margin: trouble first, then the line in hand, then what is special about it."""
        line, typed = self._lines[row], self.typed(row)
        is_half_here = in_hand and typed is not None and typed.state is TypedState.HALF
        if typed is not None and typed.state in _TYPED_MARKS and not is_half_here:
            return _TYPED_MARKS[typed.state]
        if in_hand:
            return Mark.HERE
        if line.state in _GONE_WORDS:
            return Mark.STRUCK_RING
        if line.state is LineState.KEPT and (severity := _loudest(line)) is not None:
            return SEVERITY_MARKS[severity]
        if (standing := _standing(line)) is not None:
            return SEVERITY_MARKS[standing.severity]
        return Mark.LATE if line.kept is not None and line.kept.fact.entered_late_from else None

    def says(self, row: int) -> tuple[str, str]:
        """One to three words about a line, and the token of their colour."""
        line, typed = self._lines[row], self.typed(row)
        if typed is not None:
            return _says_of_typed(typed, line)
        if line.state is LineState.KEPT:
            return self._says_of_kept(line)
        if (standing := _standing(line)) is not None:
            return worded_finding(standing, line.unit).short, SEVERITY_COLOURS[standing.severity]
        return _STATE_WORDS.get(line.state, ""), "ink2"

    def _says_of_kept(self, line: RoundLine) -> tuple[str, str]:
        urgent = [finding for finding in line.findings if not finding.answered]
        if line.cut_after:
            # Its page tells the figures after it, and the findings are of then: the mark alone tells of them.
            return "before the cut", SEVERITY_COLOURS[_loudest(line) or Severity.NOTE]
        if urgent and urgent[0].severity is not Severity.NOTE:
            return worded_finding(urgent[0], line.unit).short, SEVERITY_COLOURS[urgent[0].severity]
        if line.kept is not None and line.kept.fact.entered_late_from:
            return f"from {line.kept.fact.entered_late_from}, {line.kept.at.local:%H:%M}", "ink2"
        if urgent:
            return worded_finding(urgent[0], line.unit).short, "ink2"
        if line.mc_pct is not None and (line.rate_pct_per_day or 0.0) < 0:
            return NO_LOSS, "ink2"
        return ("steady" if line.mc_pct is not None else "kept"), "ink2"

    def _expected(self, line: RoundLine) -> str:
        if line.state in (LineState.WITHDRAWN, LineState.OUT) or line.expected_low_g is None:
            return figures.EMPTY
        step = line.last.step_g if line.last is not None else None
        low = figures.weight(line.expected_low_g, line.unit, step)
        return figures.span(low, figures.weight(line.expected_high_g, line.unit, step))

    def _now(self, row: int, line: RoundLine) -> str:
        typed = self.typed(row)
        if typed is not None:
            return typed.text
        shown = line.kept.fact.weight if line.kept is not None else line.cut
        return self.weight_text(shown) if shown is not None else ""

    def _in_words(self, row: int, column: Column) -> str:
        if column is Column.MARGIN:
            mark = self.mark(row, in_hand=False)
            feeds = "feeds the control" if self._lines[row].feeds_control else ""
            return ", ".join(part for part in (WORDS[mark] if mark else "", feeds) if part)
        heading = self.headerData(column, Qt.Orientation.Horizontal)
        return f"{heading}: {self.text(row, column) or 'nothing yet'}"


def _says_of_typed(typed: Typed, line: RoundLine) -> tuple[str, str]:
    if typed.state in _TYPED_WORDS:
        return _TYPED_WORDS[typed.state]
    doubted = (
        worded_finding(typed.doubts[0].finding, line.unit).short if typed.doubts else "which of the two?"
    )
    return doubted, "look"


def _loudest(line: RoundLine) -> Severity | None:
    """The severity of the most urgent finding worth a mark: a note says itself in words."""
    urgent = [finding.severity for finding in line.findings if not finding.answered]
    return urgent[0] if urgent and urgent[0] is not Severity.NOTE else None


def _standing(line: RoundLine) -> Finding | None:
    """What is the matter with the board itself; what its last weight said belongs to that round."""
    if line.state not in (LineState.WAITING, LineState.CUT):
        return None
    open_ones = (one for one in line.findings if not one.answered and one.severity is not Severity.NOTE)
    return next((one for one in open_ones if one.code in _OF_THE_BOARD), None)


def _is_yesterday(line: RoundLine, at: Moment) -> bool:
    if line.last_at is None:
        return False
    return (at.local.date() - line.last_at.local.date()).days == 1

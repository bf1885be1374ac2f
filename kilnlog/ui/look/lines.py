"""Ruled lines with cells, as data and as a Qt table model: for the small tables of a page."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt

from kilnlog.ui.look.painting import WORDS, Mark
from kilnlog.ui.look.sizes import Role

Index = QModelIndex | QPersistentModelIndex

_NO_PARENT = QModelIndex()
_TEXT_ROLES = (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.AccessibleTextRole)


@dataclass(frozen=True, slots=True)
class Cell:
    """One cell: its text, role and colour by token. ``struck``: one line through it."""

    text: str = ""
    colour: str = "ink"
    role: Role = Role.BODY
    struck: bool = False


@dataclass(frozen=True, slots=True)
class Line:
    """One line. ``key`` is what it stands for; a line without one cannot be opened."""

    cells: tuple[Cell, ...]
    key: Any = None
    mark: Mark | None = None
    ground: str | None = None  # a token
    ruled: bool = True  # a rule beneath; none where the next line belongs to it
    said: str = ""  # what cannot be seen in the texts: "superseded"


@dataclass(frozen=True, slots=True)
class Column:
    """One column: its heading, and whether it holds figures (right-aligned). One may take the room left."""

    heading: str
    figures: bool = True
    fills: bool = False


class LinesModel(QAbstractTableModel):
    """Column 0 is the page's margin."""

    def __init__(self, columns: Sequence[Column], parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.columns = tuple(columns)
        self.lines: tuple[Line, ...] = ()

    def set_lines(self, lines: Sequence[Line], columns: Sequence[Column] | None = None) -> None:
        """Show these lines, under these headings."""
        self.beginResetModel()
        self.lines = tuple(lines)
        if columns is not None:
            self.columns = tuple(columns)
        self.endResetModel()

    def cell(self, row: int, column: int) -> Cell:
        """The cell in a column other than the margin."""
        return self.lines[row].cells[column - 1]

    def rowCount(self, parent: Index = _NO_PARENT) -> int:
        """Lines."""
        return 0 if parent.isValid() else len(self.lines)

    def columnCount(self, parent: Index = _NO_PARENT) -> int:
        """The columns and the margin."""
        return 0 if parent.isValid() else len(self.columns) + 1

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """The text of a cell; in words for who cannot see the mark or the line through it."""
        line = self.lines[index.row()]
        if index.column() == 0:
            if role == Qt.ItemDataRole.AccessibleTextRole:
                return ", ".join(part for part in (WORDS[line.mark] if line.mark else "", line.said) if part)
            return None
        cell = self.cell(index.row(), index.column())
        if role == Qt.ItemDataRole.AccessibleTextRole:
            heading = self.columns[index.column() - 1].heading
            told = f"{heading}: {cell.text}" if heading else cell.text
            return f"{told}, struck through" if cell.struck else told
        return cell.text if role in (*_TEXT_ROLES, Qt.ItemDataRole.ToolTipRole) else None

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        """The headings."""
        if role not in _TEXT_ROLES or orientation is not Qt.Orientation.Horizontal:
            return None
        return "" if section == 0 else self.columns[section - 1].heading

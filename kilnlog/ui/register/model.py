"""The register as a Qt model: fetched from the desk, searched, filtered and sorted. No sums here."""

from __future__ import annotations

from collections.abc import Callable
from enum import IntEnum, StrEnum
from typing import Any

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QPersistentModelIndex, Qt

from kilnlog.drying.figures import ChargeState
from kilnlog.logbook import figures
from kilnlog.logbook.past_charges import Narrowing, narrowed, nothing_fits, words_of
from kilnlog.logbook.register import RegisterLine, matching
from kilnlog.records.words import VolumeUnit
from kilnlog.ui.look.painting import WORDS, Mark

Index = QModelIndex | QPersistentModelIndex
LINE_ROLE = Qt.ItemDataRole.UserRole
_SHOWN = Qt.ItemDataRole.DisplayRole
_SAID = Qt.ItemDataRole.AccessibleTextRole
_ALIGNED = Qt.ItemDataRole.TextAlignmentRole
_FLAGS = Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable | Qt.ItemFlag.ItemNeverHasChildren
_NO_PARENT = QModelIndex()


class Column(IntEnum):
    """The columns, left to right; the first stands in the margin."""

    MARK = 0
    NUMBER = 1
    KILN = 2
    WHAT = 3
    WHOSE = 4
    VOLUME = 5
    DAY = 6
    MC = 7
    WAY = 8
    STATE = 9


RIGHT_ALIGNED = frozenset({Column.VOLUME, Column.DAY, Column.MC})


class Filter(StrEnum):
    """Which charges are shown."""

    ALL = "all"
    RUNNING = "running"
    PLANNED = "planned"
    PAST = "past"


FILTER_NAMES = {Filter.ALL: "All", Filter.RUNNING: "Running", Filter.PLANNED: "Planned", Filter.PAST: "Past"}
_STATES = {
    Filter.ALL: frozenset(ChargeState),
    Filter.RUNNING: frozenset({ChargeState.DRYING, ChargeState.UNLOADED}),
    Filter.PLANNED: frozenset({ChargeState.PLANNED}),
    Filter.PAST: frozenset({ChargeState.CLOSED, ChargeState.TAKEN_BACK}),
}

_KEYS: dict[Column, Callable[[RegisterLine], Any]] = {
    Column.NUMBER: lambda line: line.number.casefold(),
    Column.KILN: lambda line: (line.kiln or "").casefold(),
    Column.WHAT: lambda line: line.what.casefold(),
    Column.WHOSE: lambda line: line.whose.casefold(),
    Column.VOLUME: lambda line: line.volume or 0.0,
    Column.DAY: lambda line: line.day if line.day is not None else -1.0,
    Column.MC: lambda line: line.control_mc_pct if line.control_mc_pct is not None else -1.0,
    Column.WAY: lambda line: line.way_to_target if line.way_to_target is not None else -1.0,
    Column.STATE: lambda line: line.state_words,
}


class RegisterModel(QAbstractTableModel):
    """One row per charge. Open charges always stand before past ones; sorting orders each part."""

    def __init__(self) -> None:
        super().__init__()
        self._all: tuple[RegisterLine, ...] = ()
        self._typed = ""
        self._filter = Filter.ALL
        self.chosen: Narrowing = {}
        self.sorted_by: Column | None = None
        self.downwards = False
        self.lines: tuple[RegisterLine, ...] = ()

    def set_lines(self, lines: tuple[RegisterLine, ...]) -> None:
        """Take the register anew."""
        self._all = lines
        self._renew()

    def search(self, typed: str) -> None:
        """Show the charges in which every typed word occurs."""
        if typed != self._typed:
            self._typed = typed
            self._renew()

    def narrow(self, chosen: Narrowing) -> None:
        """Show the charges that fit every word chosen."""
        if chosen != self.chosen:
            self.chosen = dict(chosen)
            self._renew()

    def show_only(self, which: Filter) -> None:
        """Show the charges of one kind."""
        if which != self._filter:
            self._filter = which
            self._renew()

    def sort_by(self, column: Column | None, downwards: bool = False) -> None:
        """Sort within open and past; None: as the register gives them, the newest first."""
        self.sorted_by, self.downwards = column, downwards
        self._renew()
        self.headerDataChanged.emit(Qt.Orientation.Horizontal, 0, len(Column) - 1)

    def count(self, which: Filter) -> int:
        """How many charges of that kind the search leaves; one taken back is shown, and never was."""
        counted = _STATES[which] - {ChargeState.TAKEN_BACK}
        return sum(line.state in counted for line in self._fitting())

    def _fitting(self) -> tuple[RegisterLine, ...]:
        return narrowed(matching(self._all, self._typed), self.chosen)

    @property
    def searched(self) -> tuple[RegisterLine, ...]:
        """What the search leaves, whichever words are chosen."""
        return matching(self._all, self._typed)

    @property
    def all_lines(self) -> tuple[RegisterLine, ...]:
        """Every charge."""
        return self._all

    @property
    def why_nothing(self) -> str:
        """What to say, and to do, where no charge is left."""
        words = [words_of(self._all, facet, key) for facet, key in self.chosen.items()]
        if not self._fitting():
            return nothing_fits(words, self._typed)
        return f"None of these is {FILTER_NAMES[self._filter].lower()}. “All” above shows the rest."

    @property
    def is_empty_logbook(self) -> bool:
        """Whether there is no charge at all, searched or not."""
        return not self._all

    @property
    def volume_unit(self) -> VolumeUnit | None:
        """The one unit of all volumes shown, None where they differ."""
        units = {line.volume_unit for line in self.lines if line.volume_unit is not None}
        return units.pop() if len(units) == 1 else None

    def row_of(self, entity: str | None) -> int | None:
        """The row of a charge, None where it is not shown."""
        return next((row for row, line in enumerate(self.lines) if line.entity == entity), None)

    def _renew(self) -> None:
        lines = [line for line in self._fitting() if line.state in _STATES[self._filter]]
        if self.sorted_by is not None:
            lines.sort(key=_KEYS[self.sorted_by], reverse=self.downwards)
            lines.sort(key=lambda line: not line.is_open)  # stable: the order within each part stays
        self.beginResetModel()
        self.lines = tuple(lines)
        self.endResetModel()

    def rowCount(self, parent: Index = _NO_PARENT) -> int:
        """One row per charge."""
        return 0 if parent.isValid() else len(self.lines)

    def columnCount(self, parent: Index = _NO_PARENT) -> int:
        """The fixed columns."""
        return 0 if parent.isValid() else len(Column)

    def flags(self, index: Index) -> Qt.ItemFlag:
        """To be chosen, not edited."""
        return _FLAGS

    def data(self, index: Index, role: int = _SHOWN) -> Any:
        """Texts; the line itself under ``LINE_ROLE``."""
        if not index.isValid():
            return None
        line = self.lines[index.row()]
        if role == _SHOWN:
            return self._text(line, Column(index.column()))
        if role == LINE_ROLE:
            return line
        if role == _SAID:
            return self._said(line, Column(index.column()))
        if role == _ALIGNED and index.column() in RIGHT_ALIGNED:
            return Qt.AlignmentFlag.AlignRight
        return None

    def headerData(self, section: int, orientation: Qt.Orientation, role: int = _SHOWN) -> Any:
        """The headings, with the unit."""
        if orientation is not Qt.Orientation.Horizontal or role != _SHOWN:
            return None
        unit = {VolumeUnit.BOARD_FEET: ", bf", VolumeUnit.CUBIC_METRES: ", m³", None: ""}[self.volume_unit]
        return {
            Column.MARK: "",
            Column.NUMBER: "Charge",
            Column.KILN: "Kiln",
            Column.WHAT: "What",
            Column.WHOSE: "Whose",
            Column.VOLUME: f"Vol.{unit}",
            Column.DAY: "Day",
            Column.MC: "MC, %",
            Column.WAY: "Way to target",
            Column.STATE: "State",
        }[Column(section)]

    def _text(self, line: RegisterLine, column: Column) -> str:
        if column is Column.VOLUME:
            whole = figures.volume(line.volume, line.volume_unit)
            return whole if self.volume_unit is None or line.volume is None else whole.rpartition(" ")[0]
        return {
            Column.MARK: "",
            Column.NUMBER: line.number,
            Column.KILN: line.kiln or figures.EMPTY,
            Column.WHAT: line.what or figures.EMPTY,
            Column.WHOSE: line.whose,
            Column.DAY: figures.days(line.loaded_at, line.day),
            Column.MC: figures.mc(line.control_mc_pct),
            Column.WAY: "",
            Column.STATE: line.state_words,
        }[column]

    def _said(self, line: RegisterLine, column: Column) -> str:
        """What a screen reader says where the page shows a mark, a line with a dot or two lines."""
        if column is Column.MARK:
            mark = mark_of(line)
            return WORDS[mark] if mark is not None else ""
        if column is Column.WAY:
            return (
                ""
                if line.way_to_target is None
                else f"{figures.number(100 * line.way_to_target)} % of the way"
            )
        if column is Column.STATE and line.due:
            return f"{line.state_words}; {line.due}"
        return self._text(line, column)


def mark_of(line: RegisterLine) -> Mark | None:
    """What stands in the margin beside a charge."""
    if line.state is ChargeState.CLOSED and line.severity is None:
        return Mark.SEALED
    if line.state is ChargeState.TAKEN_BACK:
        return Mark.STRUCK_RING
    return {"act": Mark.ACT, "look": Mark.LOOK}.get(line.severity or "")

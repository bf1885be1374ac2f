"""The Board menu: what can be done to the board in hand, and to the line in hand on its page."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from PySide6.QtWidgets import QWidget

from kilnlog.drying.figures import BoardFigures, BoardState
from kilnlog.logbook import figures
from kilnlog.logbook.board_sections import section_lines_of
from kilnlog.logbook.cutting import recuts_in_oven
from kilnlog.logbook.working import working
from kilnlog.logbook.writing import take_back
from kilnlog.records.board import Board
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.facts import Fact
from kilnlog.records.version import Entry, current_entries
from kilnlog.ui.board_dialogs.board_dialog import BoardDialog
from kilnlog.ui.board_dialogs.break_dialog import BreakDialog
from kilnlog.ui.board_dialogs.recut_dialog import RecutDialog
from kilnlog.ui.board_dialogs.section_dialog import SectionDialog
from kilnlog.ui.board_dialogs.weighing_dialog import WeighingDialog
from kilnlog.ui.board_dialogs.withdraw_dialog import WithdrawDialog
from kilnlog.ui.chosen_board import actions
from kilnlog.ui.chosen_board.lines import RowKey
from kilnlog.ui.chosen_board.page import ChosenBoardPage
from kilnlog.ui.chosen_board.working_dialog import WorkingDialog
from kilnlog.ui.commands import Command, MenuName
from kilnlog.ui.desk import Desk
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.register.pick import PickDialog
from kilnlog.ui.register.reason import ReasonDialog
from kilnlog.ui.register.rule_dialog import RuleDialog

#: Which workings are shown together with the one asked for.
_TOGETHER = {
    "": ("mc", "rate", "uncertainty", "oven_dry_weight", "water_to_lose", "weight_at_target"),
    "mc": ("mc", "uncertainty", "rate"),
    "oven_dry_weight": ("oven_dry_weight", "start_mc"),
    "start_mc": ("start_mc", "oven_dry_weight"),
}
_OF_A_WEIGHT = ("mc", "rate", "uncertainty")


class BoardCommands:
    """Opens the dialogs. ``page`` says which figure or line is meant."""

    def __init__(self, view: QWidget, page: ChosenBoardPage, desk: Desk, appearance: Appearance) -> None:
        self._view, self._page, self._desk, self._appearance = view, page, desk, appearance
        self._cut_at: dict[str, str] = {}  # by charge: boards are cut one after the other, and typed later
        self._by_action: dict[str, Callable[[], None]] = {
            actions.RECUT: self.recut,
            actions.BROKE_OFF: self.broke_off,
            actions.WITHDRAW: self.withdraw,
            actions.RESTORE: self.restore,
            actions.REPLACE: self.replace,
            actions.SECTIONS: self.sections,
            actions.CORRECT: self.correct,
        }
        page.action_asked.connect(lambda action: self._by_action[action]())
        page.working_asked.connect(self.show_working)
        page.opened.connect(self.open_row)
        page.take_back_asked.connect(self.take_back_row)

    def commands(self) -> tuple[Command, ...]:
        """The Board menu."""
        menu, possible = MenuName.BOARD, self._can_write
        return (
            Command(menu, "Cut a sample &board…", self.cut, "Ctrl+B", possible, writes=True),
            Command(menu, "&Sections…", self.sections, "", self._has_board, writes=True, begins_group=True),
            Command(menu, "&Recut…", self.recut, "", self._in_use, writes=True),
            Command(menu, "The recut's section is &dry…", self.recut_dry, "", self._recut_waits, writes=True),
            Command(menu, "&Piece broke off…", self.broke_off, "", self._in_use, writes=True),
            Command(menu, "&Withdraw…", self.withdraw, "", self._in_use, writes=True),
            Command(menu, "Put back &in use…", self.restore, "", self._withdrawn, writes=True),
            Command(
                menu,
                "Correct the b&oard…",
                self.correct,
                "",
                self._has_board,
                writes=True,
                begins_group=True,
            ),
            Command(menu, "&Correct a weighing…", self.correct_weighing, "", self._has_weights, writes=True),
            Command(menu, "&Take back a weighing…", self._page.ask_take_back, "", self._has_weights, True),
            Command(menu, "Show wor&king", self._page.ask_working, "F2", self._has_sheet, begins_group=True),
        )

    @property
    def _window(self) -> QWidget:
        return self._view.window()

    @property
    def _figures(self) -> BoardFigures | None:
        assessment = self._desk.assessment
        boards = assessment.boards if assessment is not None else ()
        return next((board for board in boards if board.entity == self._desk.board_in_hand), None)

    def _board(self) -> tuple[ChargeRecord, Entry[Board]] | None:
        record = self._desk.record
        if record is None or not self._can_write():
            return None
        entry = self._entry("board", self._desk.board_in_hand or "")
        return (record, entry) if entry is not None else None

    def _entry(self, table: str, entity: str) -> Entry[Any] | None:
        record = self._desk.record
        lines = getattr(record, table) if record is not None else ()
        return next((line.current for line in lines if line.entity == entity), None)

    def _can_write(self) -> bool:
        return self._desk.can_write

    def _has_board(self) -> bool:
        return self._can_write() and self._figures is not None

    def _in_use(self) -> bool:
        board = self._figures
        return (
            self._has_board()
            and board is not None
            and board.state
            in (
                BoardState.IN_USE,
                BoardState.DRYING_OVEN,
            )
        )

    def _withdrawn(self) -> bool:
        board = self._figures
        return self._has_board() and board is not None and board.state is BoardState.WITHDRAWN

    def _recut_waits(self) -> bool:
        found = self._board()
        return found is not None and bool(recuts_in_oven(found[0], found[1].entity))

    def _has_weights(self) -> bool:
        return self._has_board() and self._page.newest_weighing is not None

    def _has_sheet(self) -> bool:
        return self._view.isVisible() and self._figures is not None

    def cut(self) -> None:
        """A new board; it comes in hand."""
        self._cut(None)

    def replace(self) -> None:
        """A new board in the place of the one in hand."""
        self._cut(self._desk.board_in_hand)

    def _cut(self, replaces: str | None) -> None:
        record = self._desk.record
        if record is not None and self._can_write():

            def kept(board: str, cut_at: str) -> None:
                self._cut_at[record.entity] = cut_at
                self._desk.set_board_in_hand(board)

            BoardDialog(
                self._window,
                self._desk,
                self._appearance,
                record,
                replaces=replaces,
                kept=kept,
                cut_at=self._cut_at.get(record.entity, ""),
            ).open()

    def correct(self) -> None:
        """The particulars of the board in hand."""
        if (found := self._board()) is not None:
            BoardDialog(self._window, self._desk, self._appearance, *found).open()

    def sections(self) -> None:
        """The sections of the board in hand, as a list."""
        found = self._board()
        if found is None:
            return
        board = found[1]

        def edit(entry: Entry[Any] | None) -> None:
            record = self._desk.record
            if record is not None:
                self._open_section(dialog, record, board, entry)

        dialog = PickDialog(
            self._window,
            self._desk,
            self._appearance,
            title="Sections",
            said=f"board {board.fact.board}",
            lines=lambda: self._section_lines(board.entity),
            edit=edit,
            table="section",
            new_text="New section…",
        )
        dialog.open()

    def _open_section(
        self, parent: QWidget, record: ChargeRecord, board: Entry[Board], entry: Entry[Any] | None
    ) -> None:
        def choose_rule() -> None:
            RuleDialog(section, self._desk, self._appearance).open()

        section = SectionDialog(parent, self._desk, self._appearance, record, board, entry, choose_rule)
        section.open()

    def _section_lines(self, board: str) -> list[tuple[Entry[Any], str]]:
        record, worked_out = self._desk.record, self._figures
        if record is None or worked_out is None:
            return []
        told = {line.entity: line for line in section_lines_of(record, worked_out, self._desk.now())}
        lines = []
        for entry in current_entries(record.section):
            if entry.fact.board != board:
                continue
            line = told.get(entry.entity)
            text = f"{entry.fact.section}   {figures.as_typed(entry.fact.wet_weight)} wet"
            if line is not None:
                text += f", {line.oven_dry} oven-dry, {line.mc} %" if not line.in_oven else ""
                text += f"   {line.dried}"
                text += f"   not counted: {line.rejected_because}" if line.rejected_because else ""
            lines.append((entry, text))
        return lines

    def recut(self) -> None:
        """A fresh section from the board in hand."""
        if (found := self._board()) is not None:
            RecutDialog(self._window, self._desk, self._appearance, *found).open()

    def recut_dry(self) -> None:
        """The oldest recut whose section was still in the oven."""
        if (found := self._board()) is not None and (waiting := recuts_in_oven(found[0], found[1].entity)):
            RecutDialog(self._window, self._desk, self._appearance, *found, waiting[0]).open()

    def broke_off(self) -> None:
        """A piece came off the board in hand."""
        if (found := self._board()) is not None:
            BreakDialog(self._window, self._desk, self._appearance, *found).open()

    def withdraw(self) -> None:
        """The board in hand feeds nothing from now on."""
        if (found := self._board()) is not None:
            WithdrawDialog(self._window, self._desk, self._appearance, *found, self.replace).open()

    def restore(self) -> None:
        """Take the withdrawal of the board in hand back."""
        record, board = self._desk.record, self._desk.board_in_hand
        if record is None:
            return
        for entry in current_entries(record.withdrawal):
            if entry.fact.board == board:
                self.take_back_row(RowKey("withdrawal", entry.entity))
                return

    def correct_weighing(self) -> None:
        """The weight in hand, else the newest."""
        if (key := self._page.newest_weighing) is not None:
            self.open_row(key)

    def open_row(self, key: RowKey) -> None:
        """Enter on a line: correct what it stands for."""
        found, entry = self._board(), self._entry(key.table, key.entity)
        if found is None or entry is None:
            return
        record, board = found
        here = (self._window, self._desk, self._appearance, record)
        if key.table == "weighing":
            WeighingDialog(*here, entry, board.fact.board).open()
        elif key.table == "section":
            self._open_section(self._window, record, board, entry)
        elif key.table == "recut":
            RecutDialog(*here, board, entry).open()
        elif key.table == "breakage":
            BreakDialog(*here, board, entry).open()
        else:
            self.correct()

    def take_back_row(self, key: RowKey) -> None:
        """Delete on a line: take back what it stands for, for a reason."""
        entry, found = self._entry(key.table, key.entity), self._board()
        if entry is None or found is None:
            return
        what = _what(key.table, entry, found[1].fact.board)

        def given(reason: str) -> None:
            self._desk.do(take_back, key.table, key.entity, reason, saying=f"{what}: taken back")

        ReasonDialog(
            self._window,
            self._appearance,
            "Take back",
            f"{what}. It stays in the record, struck through.",
            given,
        ).open()

    def show_working(self, figure: str, weight: str) -> None:
        """How a figure came about; ``figure`` empty: all of them. ``weight``: of which weighing."""
        record, assessment, board = self._desk.record, self._desk.assessment, self._figures
        if record is None or assessment is None or board is None:
            return
        asked = _TOGETHER.get(figure, (figure,))
        found = [
            working(record, assessment, board.entity, one, (weight or None) if one in _OF_A_WEIGHT else None)
            for one in asked
        ]
        known = [one for one in found if one is not None]
        WorkingDialog(self._window, self._appearance, f"board {board.board}", known).open()


def _what(table: str, entry: Entry[Any], board: str) -> str:
    """What is about to be taken back, in words."""
    fact: Fact = entry.fact
    when = figures.weekday_date_and_time(entry.at)
    said = {
        "weighing": lambda: f"Board {board}, {figures.as_typed(entry.fact.weight)}, {when}",
        "section": lambda: f"Section {entry.fact.section} of board {board}",
        "recut": lambda: f"The recut of board {board}, {when}",
        "breakage": lambda: f"The break of board {board}, {when}",
        "withdrawal": lambda: f"The withdrawal of board {board}, {when}",
        "board": lambda: f"Board {board}",
    }.get(table)
    return said() if said is not None else str(fact)

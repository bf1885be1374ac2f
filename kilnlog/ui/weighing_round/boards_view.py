"""The sample-board view: the round takes the room, the chosen board stands beside it."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent, QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QStackedWidget, QVBoxLayout, QWidget

from kilnlog.records.errors import KilnlogError
from kilnlog.ui.board_dialogs.commands import BoardCommands
from kilnlog.ui.chosen_board.page import ChosenBoardPage
from kilnlog.ui.commands import Command
from kilnlog.ui.desk import Desk
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.sizes import GAP_12
from kilnlog.ui.weighing_round.keeper import RoundKeeper
from kilnlog.ui.weighing_round.no_boards import NoBoardsPage
from kilnlog.ui.weighing_round.round_page import RoundPage

#: Below this width [px] the chosen board does not stand beside the round at the two larger sizes.
ROOM_FOR_BOTH = 1500


class BoardsView(QWidget):
    """Round and chosen board side by side; with little room F4 turns from one to the other.

    keys_changed(): other keys work now.
    """

    keys_changed = Signal()

    def __init__(self, desk: Desk, appearance: Appearance) -> None:
        super().__init__()
        self._desk = desk
        self._appearance = appearance
        self._turned = False  # the chosen board is in front where there is room for one only
        self.keeper = RoundKeeper(desk, self)
        self.round_page = RoundPage(self.keeper, appearance)
        self.board_page = ChosenBoardPage(desk, appearance)
        self.board_page.follow_keeper(self.keeper)
        self.board_commands = BoardCommands(self, self.board_page, desk, appearance)
        both = QWidget()
        row = QHBoxLayout(both)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(GAP_12)
        row.addWidget(self.round_page, 1)
        row.addWidget(self.board_page)
        # With its parent from the start: a page shown without one is a window, and takes the keys away.
        self._stack = QStackedWidget(self)
        self._stack.addWidget(both)
        self._none = NoBoardsPage(desk, appearance)
        self._stack.addWidget(self._none)
        self._none.asked.connect(self.board_commands.cut)
        self.keeper.refused.connect(self._tell_unseen)
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        outer.addWidget(self._stack)
        self.setFocusProxy(self.round_page.table)
        appearance.changed.connect(self._share_room)
        desk.record_changed.connect(self._follow)
        desk.board_changed.connect(self._follow_board)
        self.round_page.table.line_changed.connect(desk.set_board_in_hand)
        self._follow(None)
        self._share_room()

    def keys(self) -> tuple[tuple[str, str], ...]:
        """The keys that work here."""
        turn = (("F4", "the round" if self._turned else "the board"),) if self._one_at_a_time else ()
        if not self._desk.can_write:
            return (("↑ ↓", "move"), *turn, ("F2", "show working"), ("F1", "words"))
        if self._turned and self._one_at_a_time:
            return (
                ("↑ ↓", "move"),
                ("Enter", "correct"),
                ("Del", "take back"),
                *turn,
                ("F2", "show working"),
            )
        return (
            ("Enter", "accept, next"),
            ("↑ ↓", "move"),
            *turn,
            ("F2", "show working"),
            ("Ctrl Z", "take back"),
            ("F1", "words"),
        )

    def commands(self) -> tuple[Command, ...]:
        """The Board menu."""
        return self.board_commands.commands()

    @property
    def _one_at_a_time(self) -> bool:
        return self._appearance.size_name != "regular" and self.width() < ROOM_FOR_BOTH

    def turn(self) -> None:
        """F4: turn from the round to the chosen board and back."""
        self._turned = not self._turned
        self._share_room()
        self.keys_changed.emit()
        (self.board_page if self._turned and self._one_at_a_time else self.round_page.table).setFocus()

    def _share_room(self) -> None:
        one = self._one_at_a_time
        self.round_page.setVisible(not (one and self._turned))
        self.board_page.setVisible(not one or self._turned)
        self.board_page.set_alone(one)

    def _follow(self, _: object) -> None:
        assessment = self._desk.assessment
        has_boards = assessment is not None and bool(assessment.boards)
        if has_boards and self._stack.currentIndex() == 1 and self.isVisible():
            # The button that cut the first board goes: without this the keys would go to what stands next.
            self.round_page.table.setFocus()
        self._stack.setCurrentIndex(0 if has_boards else 1)
        self.setFocusProxy(self.round_page.table if has_boards else self._none)
        sealed = self._desk.record is not None and not self._desk.can_write
        self.round_page.set_sealed(sealed)
        self.board_page.set_sealed(sealed)
        self._take_first_board()

    def _tell_unseen(self, entity: str, error: KilnlogError) -> None:
        """A refusal stands on its line; where that is not to be seen the window tells it."""
        if not self.isVisible() or not self.keeper.is_here(entity):
            self._desk.refused.emit(error)

    def drop_typed(self) -> bool:
        """Undo begins with what stands typed on the line in hand; whether there was any."""
        return self.round_page.table.drop_typed()

    def unkept(self) -> tuple[str, ...]:
        """The boards whose typed weights nobody has kept."""
        self.round_page.table.hold()
        return self.keeper.unkept()

    def _take_first_board(self) -> None:
        """The line in hand is the board in hand, also where the charge was read anew or before this view."""
        row, sheet = self.round_page.table.row, self.keeper.sheet
        if self._desk.board_in_hand is None and sheet is not None and 0 <= row < len(sheet.lines):
            self._desk.set_board_in_hand(sheet.lines[row].entity)

    def _follow_board(self) -> None:
        if self._desk.board_in_hand is not None:
            self.round_page.table.go_to_board(self._desk.board_in_hand)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """F4 turns the page."""
        if event.key() == Qt.Key.Key_F4:
            self.turn()
        else:
            super().keyPressEvent(event)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Room for both, or for one."""
        super().resizeEvent(event)
        self._share_room()

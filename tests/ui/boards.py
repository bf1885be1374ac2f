"""A sample-board view on the small mill's running charge, and how its keys are pressed."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication

from kilnlog.ui.weighing_round.boards_view import BoardsView
from tests.ui.conftest import open_book

ENTER = Qt.Key.Key_Return


def shown_view(qtbot, desk, appearance, book_path, number="2026-02"):
    made = BoardsView(desk, appearance)
    qtbot.addWidget(made)
    made.resize(1338, 630)
    made.show()
    qtbot.waitExposed(made)
    open_book(qtbot, desk, book_path)
    line = next(line for line in desk.lines if line.number == number)
    with qtbot.waitSignal(desk.record_changed):
        desk.take_in_hand(line.entity)
    made.setFocus()
    return made


def press(qtbot, key, modifier=Qt.KeyboardModifier.NoModifier):
    qtbot.keyClick(QApplication.focusWidget(), key, modifier)


def type_in(qtbot, dialog, column, text):
    """Type into a field of a form as somebody would: over what stands there."""
    field = dialog.rows[column].field
    field.setFocus()
    if hasattr(field, "selectAll"):
        field.selectAll()
    qtbot.keyClicks(field, text)


def keep(qtbot, dialog):
    """The main button's key."""
    qtbot.keyClick(dialog, ENTER, Qt.KeyboardModifier.ControlModifier)


def settle(qtbot, desk):
    qtbot.waitUntil(lambda: desk.operations.waiting == 0)
    QApplication.processEvents()


def figures(desk, label):
    return next(board for board in desk.assessment.boards if board.board == label)


def take_board(qtbot, desk, view, label):
    desk.set_board_in_hand(figures(desk, label).entity)
    qtbot.waitUntil(lambda: view.board_page.sheet is not None and view.board_page.sheet.board == label)


def texts(table):
    """What a table shows, line by line, without the margin."""
    return [[cell.text for cell in line.cells] for line in table.lines]

"""What the tests of the round share: a clock they set, a worker that waits, and what the file holds."""

from __future__ import annotations

import threading
from datetime import timedelta

from PySide6.QtWidgets import QApplication

from tests.ui.boards import ENTER, press
from tests.ui.conftest import NOW


class Clock:
    """A clock that a test sets."""

    def __init__(self):
        self.now = NOW

    def __call__(self):
        return self.now

    def wait(self, **span):
        self.now += timedelta(**span)


def type_line(qtbot, text):
    qtbot.keyClicks(QApplication.focusWidget(), text)
    press(qtbot, ENTER)


def kept(desk, label):
    """The weights of a board that count, oldest first, with their times."""
    board = next(board for board in desk.assessment.boards if board.board == label).entity
    newest = [line.newest for line in desk.record.weighing if line.entries[0].fact.board == board]
    standing = [entry for entry in newest if entry.version.kind.value != "void"]
    return [(entry.fact.weight.text, entry.at.text()) for entry in sorted(standing, key=lambda one: one.at)]


def stands(view, label):
    return view.keeper.stands(next(one.entity for one in view.keeper.sheet.lines if one.board == label))


class Held:
    """Work on the logbook that waits until the test lets it go on."""

    def __init__(self, desk):
        self._go = threading.Event()
        desk.operations.submit(lambda _: self._go.wait(20))

    def let_go(self):
        self._go.set()

"""The close-out of the small mill's running charge, and how it is gone through by keys."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication

from kilnlog.records.version import current_entries
from kilnlog.ui.look.form import Form
from kilnlog.ui.look.labels import Wrapped
from tests.ui.boards import press, settle
from tests.ui.conftest import dialog_with_keys

__all__ = ["enter", "in_front", "kept", "keys", "lines", "press", "settle", "shown", "working"]


def shown(qtbot, window, step):
    """The close-out with a heading in front."""
    window.register.charge_commands.closing.close_out()
    view = window.register.closing
    qtbot.waitUntil(view.isVisible)
    view.show_step(step)
    return view


def keys(qtbot, text):
    """Type into wherever the keys are, over what is selected there."""
    qtbot.keyClicks(QApplication.focusWidget(), text)


def enter(qtbot, desk, *texts):
    """Each text, then Enter; an empty one passes the field by, as it stands."""
    for text in texts:
        if text:
            keys(qtbot, text)
        press(qtbot, Qt.Key.Key_Return)
    settle(qtbot, desk)


def in_front(qtbot, window):
    """Once a dialog is gone the keys reach the window again; nobody clicks on it here."""
    qtbot.waitUntil(lambda: QApplication.activeModalWidget() is None)
    window.activateWindow()
    qtbot.waitUntil(window.isActiveWindow)


def working(qtbot):
    """What the working says that was just opened; it is left again."""
    form = dialog_with_keys(qtbot, Form)
    told = " ".join(label.text() for label in form.findChildren(Wrapped))
    form.reject()
    return told


def kept(view, table):
    """The facts of one table that count."""
    return [entry.fact for entry in current_entries(getattr(view.hand.record, table))]


def lines(view):
    """What the lines in front show, without the margin."""
    return [[cell.text for cell in line.cells] for line in view.page.entry.table.table.lines]

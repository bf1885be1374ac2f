"""The guided close-out at the keyboard."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication

from kilnlog.logbook.close_out_steps import Step

ALT = Qt.KeyboardModifier.AltModifier


def press(qtbot, key, modifier=Qt.KeyboardModifier.NoModifier):
    qtbot.keyClick(QApplication.focusWidget(), key, modifier)


def test_it_opens_in_place_of_the_list_and_esc_leaves(qtbot, window):
    window.register.charge_commands.closing.close_out()
    view = window.register.closing
    assert view.isVisible()
    assert view.step is Step.UNLOADING  # the first one nobody answered
    press(qtbot, Qt.Key.Key_Right, ALT)
    assert view.step is Step.FINAL_MOISTURE
    press(qtbot, Qt.Key.Key_Escape)
    assert not view.isVisible()
    assert window.register.table.hasFocus()

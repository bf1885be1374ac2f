"""What was kept seconds ago is under the seal, with every default of the dialog accepted."""

from __future__ import annotations

import json

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication

from kilnlog.logbook.close_out_steps import Step
from kilnlog.ui.closing.seal_dialog import SealDialog
from tests.ui.closing.desk_of import keys, press, settle, shown
from tests.ui.conftest import dialog_open, dialog_with_keys


def test_a_note_of_this_minute_is_sealed_where_the_time_proposed_is_accepted(qtbot, window):
    """The clock here stands at 07:46:02, and 07:46 is proposed."""
    view = shown(qtbot, window, Step.NOTES)
    view.page.field.setFocus()
    view.page.field.selectAll()
    keys(qtbot, "the fan belt was changed")
    qtbot.keyClick(QApplication.focusWidget(), Qt.Key.Key_Return, Qt.KeyboardModifier.ControlModifier)
    settle(qtbot, window.desk)
    view.show_step(Step.SEAL)
    press(qtbot, Qt.Key.Key_Return)
    dialog = dialog_with_keys(qtbot, SealDialog)
    assert dialog.rows["closed_at"].field.text() == "2026-11-25 07:46"
    dialog.set_text("closing_reason", "the customer came early")
    dialog.never_unloaded.setChecked(True)
    dialog.keep()
    qtbot.waitUntil(lambda: dialog_open() is None)
    settle(qtbot, window.desk)
    closing = window.desk.record.closing_of()
    assert json.loads(closing.fact.sealed_text)["charge"]["notes"] == "the fan belt was changed"
    assert closing.at.text() == "2026-11-25 07:46:02"

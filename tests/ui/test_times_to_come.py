"""What has happened was not to be of a time still to come: loading, unloading, a lot that left."""

from __future__ import annotations

from dataclasses import replace

import pytest
from PySide6.QtWidgets import QApplication

from kilnlog.drying.figures import ChargeState
from kilnlog.logbook.charge_words import due_next
from kilnlog.logbook.closing import close_charge
from kilnlog.logbook.writing import change
from kilnlog.reference.tables import load
from kilnlog.ui.register.charge_dialog import ChargeDialog
from kilnlog.ui.register.lots_dialog import LotDialog
from kilnlog.ui.register.moment_dialog import MomentDialog
from tests.ui.boards import settle
from tests.ui.conftest import dialog_open, dialog_with_keys

TO_COME = "2027-05-05 09:00"  # the clock here stands at 2026-11-25 07:46
SAID = "2027-05-05 09:00 is still to come; it is 2026-11-25 07:46:02. Type when it was."


def in_hand(qtbot, window, number):
    line = next(line for line in window.desk.lines if line.number == number)
    if window.desk.record is None or window.desk.record.entity != line.entity:
        with qtbot.waitSignal(window.desk.record_changed):
            window.desk.take_in_hand(line.entity)
    return window.desk.record


@pytest.mark.parametrize("column", ["loaded_at", "unloaded_at"])
def test_particulars_refuse_it_and_keep_what_is_typed(qtbot, window, column):
    record = in_hand(qtbot, window, "2026-02")
    window.register.charge_commands.correct()
    dialog = dialog_with_keys(qtbot, ChargeDialog)
    dialog.set_text(column, TO_COME)
    dialog.set_text("reason", "mistyped")
    dialog.keep()
    settle(qtbot, window.desk)
    assert dialog_open() is dialog
    assert dialog.rows[column].wrong.endswith(SAID)
    assert dialog.rows[column].field.text() == TO_COME
    assert len(window.desk.record.charge[0].entries) == len(record.charge[0].entries)


def test_a_planned_charge_was_not_loaded_next_year(qtbot, window):
    in_hand(qtbot, window, "2026-03")
    window.register.charge_commands.loaded()
    dialog = dialog_with_keys(qtbot, MomentDialog)
    dialog.set_text("at", TO_COME)
    dialog.keep()
    assert dialog.rows["at"].wrong == SAID
    dialog.set_text("at", "2026-11-25 07:40")
    dialog.keep()
    qtbot.waitUntil(lambda: dialog_open() is None)
    settle(qtbot, window.desk)
    assert window.desk.record.particulars.loaded_at.text() == "2026-11-25 07:40"


def test_nor_did_a_lot_leave_then(qtbot, window):
    record = in_hand(qtbot, window, "2026-02")
    lot = record.lot[0].current
    dialog = LotDialog(window, window.desk, window.appearance, record, lot)
    dialog.open()
    dialog.set_text("out_at", TO_COME)
    dialog.keep()
    assert dialog.rows["out_at"].wrong == SAID
    dialog.reject()
    QApplication.processEvents()


def test_what_is_closed_never_says_that_it_is_to_be_closed(qtbot, window, desk):
    """Clocks are minutes apart: by this one the closing counts only in a moment, yet it is sealed."""
    record = in_hand(qtbot, window, "2026-02")
    unloaded = desk.now().plus_hours(-1)

    fact = replace(record.particulars, unloaded_at=unloaded)
    desk.do(change, "charge", record.entity, fact, unloaded)
    desk.do(close_charge, record.entity, desk.now().plus_hours(0.05), "target reached", load())
    settle(qtbot, desk)
    qtbot.waitUntil(lambda: desk.record.is_closed)
    assert desk.assessment.state is ChargeState.UNLOADED  # as of the clock here
    assert due_next(desk.record, desk.assessment, (), desk.now()) == ()

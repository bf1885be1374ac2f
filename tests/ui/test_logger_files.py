"""The loggers' files of a charge: told with their counts, and taken back whole with a reason."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QCoreApplication, QEvent, Qt
from shiboken6 import isValid

from kilnlog.exchange.logger.recognise import recognise_file
from kilnlog.logbook.wording import worded
from kilnlog.ui.kiln_air.air_commands import AirCommands
from kilnlog.ui.kiln_air.logger_commands import LoggerCommands
from kilnlog.ui.kiln_air.logger_files_dialog import FOLLOWS_NONE, LoggerFilesDialog
from kilnlog.ui.look.labels import Wrapped
from kilnlog.ui.register.pick import PickDialog
from kilnlog.ui.register.reason import ReasonDialog
from tests.exchange.logger.files import PLAIN, Reading, readings
from tests.ui.boards import press, settle
from tests.ui.conftest import ZONE, dialog_open, dialog_with_keys

#: From 07:40 on the day before the clock of the tests to 07:40 on its own day, every ten minutes.
TAKEN = readings("2026-11-24 12:40", 24)


@pytest.fixture
def followed(qtbot, window, tmp_path):
    """Followed in two looks, so that there are two batches of one file."""
    commands = LoggerCommands(window, window.desk, window.appearance)
    path = tmp_path / "north-shed.csv"
    path.write_bytes(PLAIN.text(TAKEN[:100], ZONE))
    commands.watching.follow(path, recognise_file(path), "fan side")
    qtbot.waitUntil(lambda: len(window.desk.record.logger_batch) == 1)
    with path.open("ab") as file:
        file.write(("\n".join(PLAIN.lines(TAKEN[100:], ZONE)) + "\n").encode())
    qtbot.waitUntil(lambda: len(window.desk.record.logger_batch) == 2)
    commands.watching.stop()
    settle(qtbot, window.desk)
    return commands


def test_a_file_is_told_once_and_taken_back_with_all_its_readings(qtbot, window, followed):
    desk = window.desk
    command = next(one for one in followed.commands() if one.text == "Loggers' files read &in…")
    command.run()
    dialog = dialog_with_keys(qtbot, LoggerFilesDialog)
    assert [dialog.list.item(row).text() for row in range(dialog.list.count())] == [
        "north-shed.csv, sensor fan side: 145 readings, yesterday, 07:40 to today, 07:40; "
        "read in last today, 07:46"
    ]
    assert dialog.following.text() == FOLLOWS_NONE
    press(qtbot, Qt.Key.Key_Delete)
    reason = dialog_with_keys(qtbot, ReasonDialog)
    reason.set_text("reason", "another kiln's logger")
    reason.keep()
    settle(qtbot, desk)
    settle(qtbot, desk)
    assert [line.current for line in desk.record.logger_batch] == [None, None]
    assert [line.newest.version.reason for line in desk.record.logger_batch] == ["another kiln's logger"] * 2
    assert dialog.list.count() == 0
    assert desk.air.lines == ()
    dialog_open().reject()
    told = []
    desk.refused.connect(told.append)
    desk.undo("Taken back")
    settle(qtbot, desk)
    assert [worded(error).what for error in told] == [
        "A logger's file that was taken back does not come back by undo."
    ]
    assert not desk.can_undo  # it bars no way to what was entered before


def test_once_closed_it_follows_no_further_change(qtbot, window, followed):
    command = next(one for one in followed.commands() if one.text == "Loggers' files read &in…")
    command.run()
    dialog = dialog_with_keys(qtbot, LoggerFilesDialog)
    dialog.reject()
    dialog.deleteLater()
    QCoreApplication.sendPostedEvents(dialog, QEvent.Type.DeferredDelete)
    assert not isValid(dialog)
    with qtbot.captureExceptions() as raised:
        window.desk.record_changed.emit(None)
    assert raised == []


def test_the_list_of_readings_by_hand_tells_of_what_loggers_wrote(qtbot, window, followed):
    AirCommands(window, window.desk, window.appearance).readings()
    dialog = dialog_with_keys(qtbot, PickDialog)
    told = [one.text() for one in dialog.findChildren(Wrapped) if not one.isHidden()]
    assert any("Loggers wrote 145 readings besides, out of 1 file" in text for text in told)
    dialog.reject()


def test_undo_after_following_says_where_the_file_stands(qtbot, window, followed):
    window.register.setFocus()
    take_back = next(
        command
        for command, _ in window.menu_row.menus._actions
        if command.text == "&Take back the last entry"
    )
    take_back.run()
    assert "“Loggers' files read in…”" in window.refusal.text


def test_the_list_tells_which_file_is_followed_and_what_was_set_aside_of_it(qtbot, window, tmp_path):
    commands = LoggerCommands(window, window.desk, window.appearance)
    path = tmp_path / "north-shed.csv"
    path.write_bytes(PLAIN.text(TAKEN[:100], ZONE))
    commands.watching.follow(path, recognise_file(path), "fan side")
    qtbot.waitUntil(lambda: len(window.desk.record.logger_batch) == 1)
    commands.show_files()
    dialog = dialog_with_keys(qtbot, LoggerFilesDialog)
    assert dialog.following.text().startswith("Following north-shed.csv for 2026-02, last reading")
    with path.open("ab") as file:
        wrong = Reading(TAKEN[100].at_s, "41.00", "52.0")
        file.write(("\n".join(PLAIN.lines([wrong, TAKEN[101]], ZONE)) + "\n").encode())
    told = ", 1 row set aside: wet bulb above dry bulb."
    qtbot.waitUntil(lambda: dialog.following.text().endswith(told))
    commands.watching.stop()
    assert dialog.following.text() == FOLLOWS_NONE
    settle(qtbot, window.desk)
    dialog.reject()

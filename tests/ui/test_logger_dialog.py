"""A logger's file read in the window: recognised, changed, previewed, kept or not, told in words."""

from __future__ import annotations

import hashlib
from datetime import datetime, timedelta

import pytest
from PySide6.QtCore import QElapsedTimer, QEventLoop, Qt, QTimer
from PySide6.QtWidgets import QApplication, QFileDialog

from kilnlog.exchange.logger import text as blocks
from kilnlog.exchange.logger.recognise import SAMPLE_BYTES
from kilnlog.logbook.session import open_logbook
from kilnlog.records.words import LoggerClock, SecondReading, TemperatureUnit
from kilnlog.ui.kiln_air.logger_commands import LoggerCommands
from kilnlog.ui.kiln_air.logger_dialog import OTHER_CHARGE, STILL_LOOKING, LoggerDialog, LoggerSummary
from kilnlog.ui.kiln_air.logger_fields import OTHER_SENSOR, Ask
from kilnlog.ui.kiln_air.logger_preview import AS_SUGGESTED
from kilnlog.ui.look.fields import is_wrong
from tests.exchange.logger.files import MONTH_FIRST, PLAIN, SEMICOLON, Style, readings
from tests.ui.boards import keep, press, settle, type_in
from tests.ui.conftest import ZONE, dialog_open, dialog_with_keys

RUN = "2026-11-16 14:00"  # 09:00 by the charge's clock, an hour after it was loaded
#: Nothing but the figures: unit, order of the dates and the second column have to be asked.
BARE = Style("Time,Probe 1,Probe 2", "%d/%m/%Y %H:%M")


@pytest.fixture
def commands(window):
    return LoggerCommands(window, window.desk, window.appearance)


@pytest.fixture
def file(tmp_path):
    def made(taken, style=PLAIN, name="north.csv", clock="local"):
        path = tmp_path / name
        path.write_bytes(style.text(taken, ZONE, clock))
        return path

    return made


@pytest.fixture
def shown(qtbot, window, commands):
    """The page on a file, once it was recognised and previewed."""

    def made(path, **how):
        commands.show(path, **how)
        dialog = dialog_with_keys(qtbot, LoggerDialog)
        settle(qtbot, window.desk)
        settle(qtbot, window.desk)
        return dialog

    return made


def choose(dialog, column, key):
    dialog.set_choice(column, key)


def value(dialog, column):
    return dialog.rows[column].field.value


def batches(window):
    return [line.current.fact for line in window.desk.record.logger_batch if line.current is not None]


def summary(qtbot):
    qtbot.waitUntil(lambda: isinstance(dialog_open(), LoggerSummary))
    return dialog_open()


def cells(dialog):
    return [[cell.text for cell in row] for row in dialog.preview.table._rows]


def test_a_file_chosen_is_recognised_and_shown_before_anything_is_kept(
    qtbot, window, commands, file, monkeypatch
):
    path = file(readings(RUN, 30), SEMICOLON)
    monkeypatch.setattr(QFileDialog, "getOpenFileName", lambda *given: (str(path), ""))
    before = path.read_bytes()
    commands.commands()[0].run()
    dialog = dialog_with_keys(qtbot, LoggerDialog)
    settle(qtbot, window.desk)
    settle(qtbot, window.desk)
    assert value(dialog, Ask.DELIMITER) == ";"
    assert value(dialog, Ask.MARK) == ","
    assert value(dialog, Ask.ORDER) == "day first"
    assert (value(dialog, Ask.DRY), value(dialog, Ask.SECOND_COLUMN)) == ("1", "2")
    assert value(dialog, Ask.SECOND) == SecondReading.RH.value
    assert value(dialog, Ask.UNIT) == "C"
    assert value(dialog, Ask.CLOCK) == LoggerClock.LOCAL.value
    assert "First reading Mon 16 Nov 2026, 09:00" in dialog.preview.told
    assert "last reading Tue 17 Nov 2026, 15:00" in dialog.preview.told
    assert ZONE in dialog.preview.told
    assert cells(dialog)[0] == ["2026-11-16 09:00", "52.00", "41.0"]
    assert len(cells(dialog)) == 3
    assert batches(window) == []
    dialog.reject()
    settle(qtbot, window.desk)
    assert batches(window) == []
    assert path.read_bytes() == before


def test_kept_it_is_told_in_words_and_followed_by_the_desk(qtbot, window, shown, file):
    taken = readings(RUN, 30)
    path = file(taken[:60] + taken[80:], MONTH_FIRST)
    dialog = shown(path)
    keep(qtbot, dialog)
    told = summary(qtbot).text
    assert "161 rows, 161 readings new" in told
    assert "No readings for 3.5 h" in told
    (batch,) = batches(window)
    assert (batch.sensor, batch.rows, batch.temperature_unit) == ("logger", 161, TemperatureUnit.FAHRENHEIT)
    assert batch.file_sha256 == hashlib.sha256(path.read_bytes()).hexdigest()
    assert window.foot.said.startswith("161 readings of logger kept")
    settle(qtbot, window.desk)
    (line,) = window.desk.air.lines
    assert int((line.at_s == line.at_s).sum()) >= 161
    press(qtbot, Qt.Key.Key_Escape)
    window.desk.undo("Taken back")
    settle(qtbot, window.desk)
    assert batches(window) == []


def test_the_same_file_again_says_that_it_is_there_already(qtbot, window, shown, file):
    path = file(readings(RUN, 30))
    for _ in range(2):
        keep(qtbot, shown(path))
        told = summary(qtbot).text
        dialog_open().accept()
        settle(qtbot, window.desk)
    assert "181 of them were in the logbook already" in told
    assert len(batches(window)) == 1


def test_what_was_set_aside_is_counted_by_reason(qtbot, window, shown, tmp_path):
    path = tmp_path / "faults.csv"
    rows = [f"2026-11-20 10:{minute:02d},{50 + minute / 10},40.0" for minute in range(30)]
    rows[4] = "2026-11-20 10:04,-999,40.0"
    rows[9] = "2026-11-20 10:09,50.9,61.0"
    path.write_text("\n".join(["Time,Dry bulb °C,Wet bulb °C", *rows]) + "\n", encoding="utf-8")
    keep(qtbot, shown(path))
    told = summary(qtbot).text
    assert "Set aside: 1 × a logger's sign for a fault." in told
    assert "Set aside: 1 × wet bulb above dry bulb." in told
    assert batches(window)[0].rows == 28


def test_a_clock_that_knows_no_summer_is_told_of(qtbot, window, shown, file):
    """On 8 March 2026 the clocks of New York went from 2 to 3 at night."""
    keep(qtbot, shown(file(readings("2026-03-08 05:00", 5), clock="standard")))
    told = summary(qtbot).text
    assert "Set aside: 6 × a time the clock skipped in spring." in told
    assert "take this back (Ctrl Z) and read the file by standard time all year" in told
    assert "--clock" not in told


def test_what_the_file_does_not_tell_is_marked_and_asked_before_anything_is_kept(qtbot, window, shown, file):
    dialog = shown(file(readings("2026-11-10 05:00", 5), BARE))
    asked = (Ask.SECOND, Ask.ORDER, Ask.UNIT)
    for column in asked:
        assert value(dialog, column) == ""
        assert dialog.rows[column].required
        assert dialog.rows[column].hint == "The file does not tell: choose."
    assert QApplication.focusWidget() is dialog.rows[Ask.SECOND].field
    assert AS_SUGGESTED in dialog.preview.told
    keep(qtbot, dialog)
    settle(qtbot, window.desk)
    assert dialog_open() is dialog
    assert all(is_wrong(dialog.rows[column].field) for column in asked)
    assert dialog.rows[Ask.ORDER].wrong == "Dates are written: It has to be chosen first."
    choose(dialog, Ask.SECOND, "wet bulb")
    choose(dialog, Ask.ORDER, "month first")
    settle(qtbot, window.desk)
    assert "First reading Sun 11 Oct 2026, 00:00" in dialog.preview.told
    choose(dialog, Ask.ORDER, "day first")
    settle(qtbot, window.desk)
    assert "First reading Tue 10 Nov 2026, 00:00" in dialog.preview.told
    keep(qtbot, dialog)
    assert is_wrong(dialog.rows[Ask.UNIT].field)
    choose(dialog, Ask.UNIT, "F")
    assert dialog.rows[Ask.UNIT].hint == ""
    settle(qtbot, window.desk)
    assert AS_SUGGESTED not in dialog.preview.told
    keep(qtbot, dialog)
    summary(qtbot)
    (batch,) = batches(window)
    assert (batch.second, batch.temperature_unit) == (SecondReading.WET_BULB, TemperatureUnit.FAHRENHEIT)


def test_how_it_was_read_is_remembered_for_the_sensor(qtbot, window, shown, file):
    dialog = shown(file(readings("2026-11-10 05:00", 5), BARE, "first.csv"))
    choose(dialog, "sensor", OTHER_SENSOR)
    keep(qtbot, dialog)
    choose(dialog, Ask.SECOND, "wet bulb")
    choose(dialog, Ask.ORDER, "day first")
    choose(dialog, Ask.UNIT, "C")
    choose(dialog, Ask.CLOCK, "standard")
    keep(qtbot, dialog)
    assert dialog.rows["sensor_name"].wrong == "Its name: Type the sensor's name."
    type_in(qtbot, dialog, "sensor_name", "loft")
    keep(qtbot, dialog)
    summary(qtbot).accept()
    again = shown(file(readings("2026-11-12 05:00", 5), BARE, "second.csv"))
    assert value(again, "sensor") == "loft"
    assert (value(again, Ask.UNIT), value(again, Ask.CLOCK)) == ("C", "standard")
    assert again.rows[Ask.UNIT].hint == "as read the last time"
    assert not any(row.required for row in again.rows.values())
    keep(qtbot, again)
    summary(qtbot)
    assert [batch.clock for batch in batches(window)] == [LoggerClock.STANDARD] * 2


def test_another_clock_moves_the_stamps_that_are_shown(qtbot, window, shown, file):
    """Standard time is an hour behind the wall's in October; UTC is four hours before it."""
    dialog = shown(file(readings("2026-10-20 12:00", 2)))
    for clock, first in (("local", "08:00"), ("standard", "09:00"), ("utc", "04:00")):
        choose(dialog, Ask.CLOCK, clock)
        settle(qtbot, window.desk)
        assert cells(dialog)[0][0] == f"2026-10-20 {first}"


def test_readings_from_outside_the_charges_time_are_counted(shown, file):
    """The charge was loaded on 16 Nov at 08:00, that is 13:00 UTC: three hours of six readings."""
    dialog = shown(file(readings("2026-11-16 10:00", 6)))
    assert "About 18 readings are from before the kiln was loaded (2026-11-16 08:00)" in dialog.preview.told


def test_readings_to_come_are_doubted(shown, file):
    dialog = shown(file(readings("2026-11-25 10:00", 12)))
    assert "The last reading would be 9.2 h from now" in dialog.preview.told


def test_another_delimiter_has_it_recognised_anew(qtbot, window, shown, file):
    dialog = shown(file(readings(RUN, 5), SEMICOLON))
    choose(dialog, Ask.DELIMITER, "\t")
    settle(qtbot, window.desk)
    assert "columns must be divided" in dialog.told
    assert not dialog.main.isEnabled()
    choose(dialog, Ask.DELIMITER, ";")
    settle(qtbot, window.desk)
    settle(qtbot, window.desk)
    assert dialog.told == ""
    assert dialog.main.isEnabled()
    assert cells(dialog)[0][0] == "2026-11-16 09:00"


@pytest.mark.parametrize(
    ("content", "says"),
    [
        pytest.param(b"", "The file is empty.", id="empty"),
        pytest.param(b"PK\x03\x04" + bytes(200), "not a text file", id="packed"),
        pytest.param(b"dear sir\nno figures\n", "No line holds a date", id="a letter"),
    ],
)
def test_what_is_no_loggers_file_is_refused_in_the_dialog(qtbot, shown, tmp_path, content, says):
    path = tmp_path / "other.csv"
    path.write_bytes(content)
    dialog = shown(path)
    assert says in dialog.told
    assert not dialog.main.isEnabled()
    keep(qtbot, dialog)
    assert dialog_open() is dialog
    press(qtbot, Qt.Key.Key_Escape)
    assert dialog_open() is None


def test_columns_chosen_twice_or_not_at_all_are_refused(qtbot, shown, file):
    dialog = shown(file(readings(RUN, 5)))
    choose(dialog, Ask.SECOND_COLUMN, value(dialog, Ask.DRY))
    keep(qtbot, dialog)
    assert "stands in that column already" in dialog.rows[Ask.SECOND_COLUMN].wrong
    choose(dialog, Ask.DRY, "none")
    choose(dialog, Ask.SECOND_COLUMN, "none")
    keep(qtbot, dialog)
    assert "Choose a column" in dialog.rows[Ask.DRY].wrong
    assert not dialog.rows[Ask.SECOND].field.isEnabled()


def test_the_dry_bulb_alone_is_kept(qtbot, window, shown, file):
    dialog = shown(file(readings(RUN, 5)))
    choose(dialog, Ask.SECOND_COLUMN, "none")
    settle(qtbot, window.desk)
    assert cells(dialog)[0][2] == "–"
    keep(qtbot, dialog)
    summary(qtbot)
    assert batches(window)[0].second is None


def test_esc_stops_the_reading_and_nothing_is_kept(qtbot, window, shown, file, monkeypatch):
    monkeypatch.setattr(blocks, "BLOCK_BYTES", 2000)
    dialog = shown(file(readings("2026-10-20 12:00", 24 * 30)))
    told = []
    dialog._desk.operations._reported.connect(lambda _, fraction: told.append(fraction))
    keep(qtbot, dialog)
    assert dialog.leave.text() == "Stop"
    press(qtbot, Qt.Key.Key_Escape)
    settle(qtbot, window.desk)
    assert dialog_open() is dialog
    assert "was stopped; nothing was kept" in dialog.told
    assert batches(window) == []
    assert dialog.leave.text() == "Leave"
    keep(qtbot, dialog)
    assert "4,321 readings new" in summary(qtbot).text


def test_the_keys_alone_go_from_the_first_question_to_what_is_kept(qtbot, window, shown, file):
    dialog = shown(file(readings("2026-11-10 05:00", 5), BARE))
    assert QApplication.focusWidget() is dialog.rows[Ask.SECOND].field
    for column in (Ask.SECOND, Ask.ORDER, Ask.UNIT):
        while QApplication.focusWidget() is not dialog.rows[column].field:
            press(qtbot, Qt.Key.Key_Tab)
        press(qtbot, Qt.Key.Key_Down)
        if column is Ask.ORDER:
            press(qtbot, Qt.Key.Key_Down)
    assert [value(dialog, column) for column in (Ask.SECOND, Ask.ORDER, Ask.UNIT)] == [
        "wet bulb",
        "day first",
        "C",
    ]
    keep(qtbot, dialog)
    summary(qtbot)
    press(qtbot, Qt.Key.Key_Escape)
    assert dialog_open() is None
    assert len(batches(window)) == 1


def test_tab_reaches_what_is_previewed(qtbot, shown, file):
    dialog = shown(file(readings(RUN, 5)))
    for _ in range(12):
        press(qtbot, Qt.Key.Key_Tab)
        if QApplication.focusWidget() is dialog.preview:
            break
    assert QApplication.focusWidget() is dialog.preview
    assert "First reading" in dialog.preview.accessibleDescription()


def test_a_long_file_is_previewed_by_a_sample_and_read_while_the_window_is_awake(
    qtbot, window, shown, tmp_path
):
    """A hundred thousand rows; the longest the window did not answer is told where it is too long."""
    path = tmp_path / "long.csv"
    begin = datetime(2026, 11, 10)  # a logger's clock knows no zone
    rows = [
        f"{begin + timedelta(seconds=10 * n)},{50 + n % 83 / 10:.1f},{40 + n % 71 / 10:.1f}"
        for n in range(100_000)
    ]
    path.write_text("\n".join(["Time,Dry °C,Wet °C", *rows]) + "\n", encoding="utf-8")
    assert path.stat().st_size > 20 * SAMPLE_BYTES
    clock = QElapsedTimer()
    clock.start()
    dialog = shown(path)
    assert "last reading Sat 21 Nov 2026, 13:46" in dialog.preview.told
    assert clock.elapsed() < 2000
    asleep, beat, since = [], QTimer(), QElapsedTimer()
    beat.setInterval(10)
    beat.timeout.connect(lambda: asleep.append(since.restart()))
    since.start()
    beat.start()
    keep(qtbot, dialog)
    done = QEventLoop()
    window.desk.operations.idle.connect(done.quit)
    QTimer.singleShot(60_000, done.quit)
    done.exec()
    beat.stop()
    assert "100,000 readings new" in summary(qtbot).text
    assert max(asleep) < 400


def test_no_command_where_no_row_can_be_written(qtbot, window, commands, book_path):
    closed = next(line for line in window.desk.lines if line.number == "2026-01")
    with qtbot.waitSignal(window.desk.record_changed):
        window.desk.take_in_hand(closed.entity)
    assert [command.possible() for command in commands.commands()] == [False] * 4
    assert all(command.writes for command in commands.commands())
    commands.show(book_path)
    assert dialog_open() is None


def test_read_in_the_logbook_holds_what_the_file_held(qtbot, window, shown, file, book_path):
    taken = readings(RUN, 10)
    keep(qtbot, shown(file(taken)))
    summary(qtbot)
    entity = window.desk.record.entity
    settle(qtbot, window.desk)
    book = open_logbook(book_path, read_only=True)
    (series,) = book.file.logger_series(entity)
    assert series.at_s.tolist() == [each.at_s for each in taken]
    assert book.file.verify() == ()
    book.close()


def test_nothing_is_kept_by_how_the_file_was_read_before_while_it_is_looked_at_anew(
    qtbot, window, shown, file
):
    dialog = shown(file(readings(RUN, 5), SEMICOLON))
    choose(dialog, Ask.DELIMITER, "\t")
    dialog.keep()  # at once: the field shows tabs, and the file was recognised by semicolons
    assert dialog.told == STILL_LOOKING
    settle(qtbot, window.desk)
    settle(qtbot, window.desk)
    assert batches(window) == []
    assert "columns must be divided" in dialog.told


def test_what_cannot_be_read_shows_no_rows_of_before(qtbot, window, shown, file):
    path = file(readings(RUN, 5), SEMICOLON)
    dialog = shown(path)
    assert cells(dialog)
    path.unlink()
    choose(dialog, Ask.CLOCK, "utc")
    settle(qtbot, window.desk)
    assert dialog.told
    assert (cells(dialog), dialog.preview.told.strip()) == ([], "")


def test_a_file_is_followed_for_the_charge_it_was_shown_for_or_not_at_all(qtbot, window, shown, file):
    dialog = shown(file(readings(RUN, 5)), to_follow=True)
    for ask in dialog.fields.open_questions():
        choose(dialog, ask, value_of_first(dialog, ask))
    desk = window.desk
    other = next(line.entity for line in desk.lines if line.number == "2026-03")
    with qtbot.waitSignal(desk.record_changed):
        desk.take_in_hand(other)
    dialog.follow()
    settle(qtbot, desk)
    assert dialog.told == OTHER_CHARGE
    assert dialog.isVisible()
    assert batches(window) == []


def value_of_first(dialog, ask):
    """The first word that answers a question."""
    field = dialog.rows[ask].field
    return next(field.itemData(number) for number in range(field.count()) if field.itemData(number))

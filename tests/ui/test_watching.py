"""A file a logger still writes, followed by the window: the curve comes after it, trouble is told once."""

from __future__ import annotations

import time

import pytest
from PySide6.QtCore import Qt

from kilnlog.exchange.logger.recognise import recognise_file
from kilnlog.logbook.closing import close_charge
from kilnlog.logbook.session import open_logbook
from kilnlog.logbook.watching_logger import LoggerWatch
from kilnlog.logbook.wording import worded
from kilnlog.logbook.writing import write
from kilnlog.records.weighing import Weighing
from kilnlog.reference.tables import load
from kilnlog.store.errors import DiskFull
from kilnlog.store.logbook_file import LogbookFile
from kilnlog.ui.drying_curve.view import DryingCurveView
from kilnlog.ui.kiln_air import watching as module
from kilnlog.ui.kiln_air.logger_commands import LoggerCommands
from kilnlog.ui.kiln_air.logger_dialog import LoggerDialog
from tests.exchange.logger.files import PLAIN, readings
from tests.ui.boards import keep, settle
from tests.ui.conftest import NOW, ZONE, at, dialog_with_keys, grams, open_book

#: The last of them at 07:40 on the day of ``NOW``, six minutes before it.
TAKEN = readings("2026-11-24 12:40", 24)
FIRST, LATER = TAKEN[:100], TAKEN[100:]


@pytest.fixture
def north(tmp_path):
    path = tmp_path / "north-shed.csv"
    path.write_bytes(PLAIN.text(FIRST, ZONE))
    return path


def append(path, taken, *, ended=True):
    with path.open("ab") as file:
        file.write(("\n".join(PLAIN.lines(taken, ZONE)) + "\n" * ended).encode())


@pytest.fixture
def commands(window):
    made = LoggerCommands(window, window.desk, window.appearance)
    made.watching.changed.connect(lambda: window.foot.set_following(made.watching.text))
    yield made
    made.watching.stop()


@pytest.fixture
def watching(commands):
    return commands.watching


@pytest.fixture
def followed(qtbot, watching, window, north):
    """The file is followed, and what stood in it is kept."""
    watching.follow(north, recognise_file(north), "fan side")
    qtbot.waitUntil(lambda: kept(window.desk) == len(FIRST))
    settle(qtbot, window.desk)
    return watching


@pytest.fixture
def refusals(window):
    told = []
    window.desk.refused.connect(lambda error: told.append(error.code))
    return told


def kept(desk):
    """How many readings the record in hand tells of."""
    if desk.record is None:
        return 0
    return sum(line.current.fact.rows for line in desk.record.logger_batch if line.current is not None)


def drawn(desk):
    """How many readings there are to be drawn."""
    return sum(int((line.at_s == line.at_s).sum()) for line in desk.air.lines)


def take(qtbot, window, number):
    line = next(line for line in window.desk.lines if line.number == number)
    with qtbot.waitSignal(window.desk.record_changed):
        window.desk.take_in_hand(line.entity)


def test_the_page_offers_to_follow_and_the_foot_says_how_far(qtbot, window, commands, north):
    commands.show(north, to_follow=True)
    dialog = dialog_with_keys(qtbot, LoggerDialog)
    settle(qtbot, window.desk)
    settle(qtbot, window.desk)
    assert dialog.main.text() == "Follow this file"
    assert [button.text() for button in dialog.others] == ["Keep these readings"]
    assert kept(window.desk) == 0
    keep(qtbot, dialog)
    qtbot.waitUntil(lambda: kept(window.desk) == len(FIRST))
    assert window.foot.following == "following north-shed.csv for 2026-02, last reading 00:10"
    assert commands.commands()[3].possible()
    commands.commands()[3].run()
    assert window.foot.following == ""
    assert not commands.commands()[3].possible()


def test_what_is_appended_is_in_curve_and_assessment_soon(qtbot, window, followed, north):
    desk = window.desk
    for number in range(3):
        more = LATER[10 * number : 10 * number + 10]
        append(north, more)
        wanted = len(FIRST) + 10 * (number + 1)
        qtbot.waitUntil(lambda wanted=wanted: drawn(desk) == wanted, timeout=10_000)
        assert desk.air.lines[0].at_s.max() == more[-1].at_s
        assert desk.assessment.air.read_at.utc.timestamp() == more[-1].at_s
        assert desk.assessment.air.dry_bulb_c == pytest.approx(float(more[-1].dry))
    assert followed.text == "following north-shed.csv for 2026-02, last reading 05:10"


def test_a_half_written_line_waits_for_its_end(qtbot, window, followed, north):
    append(north, LATER[:2], ended=False)
    qtbot.waitUntil(lambda: kept(window.desk) == len(FIRST) + 1)
    qtbot.wait(2 * module.LOOK_EVERY_MS)
    assert kept(window.desk) == len(FIRST) + 1
    with north.open("ab") as file:
        file.write(b"\n")
    qtbot.waitUntil(lambda: kept(window.desk) == len(FIRST) + 2)


def test_never_two_looks_at_once_and_none_while_nothing_is_followed(
    qtbot, window, watching, north, monkeypatch
):
    looks = []
    real = LoggerWatch.look

    def look(self, book, **how):
        looks.append(window.desk.operations.waiting)
        time.sleep(0.3)
        return real(self, book, **how)

    monkeypatch.setattr(module, "LOOK_EVERY_MS", 50)
    monkeypatch.setattr(LoggerWatch, "look", look)
    watching.follow(north, recognise_file(north), "fan side")
    qtbot.wait(1500)
    watching.stop()
    settle(qtbot, window.desk)
    assert 3 <= len(looks) <= 6
    many = len(looks)
    qtbot.wait(300)
    assert len(looks) == many


def test_a_file_that_is_long_already_is_caught_up_with_without_waiting(
    qtbot, window, watching, north, monkeypatch
):
    monkeypatch.setattr("kilnlog.exchange.logger.watched.MOST_BYTES", 600)
    watching.follow(north, recognise_file(north), "fan side")
    qtbot.waitUntil(lambda: kept(window.desk) == len(FIRST), timeout=3000)
    assert len(window.desk.record.logger_batch) > 4
    assert watching.text.endswith("00:10")


def test_what_the_logger_wrote_is_not_what_undo_takes_back(qtbot, window, followed, north):
    desk = window.desk
    board = desk.assessment.boards[0]
    desk.do(write, Weighing(desk.record.entity, board.entity, grams("2850")), desk.now(), saying="2850 g")
    settle(qtbot, desk)
    append(north, LATER[:5])
    qtbot.waitUntil(lambda: kept(desk) == len(FIRST) + 5)
    desk.undo("Taken back")
    settle(qtbot, desk)
    assert window.foot.said.startswith("Taken back: 2850 g")
    assert kept(desk) == len(FIRST) + 5


def test_a_file_that_is_gone_is_told_once_and_goes_on_once_it_is_back(
    qtbot, window, followed, north, refusals, monkeypatch
):
    monkeypatch.setattr(module, "GONE_AFTER_S", 0.3)
    monkeypatch.setattr(module, "LOOK_EVERY_MS", 50)
    north.rename(north.with_suffix(".old"))
    qtbot.waitUntil(lambda: "followed-file-gone" in refusals)
    qtbot.wait(500)
    assert refusals == ["followed-file-gone"]
    assert "is not there; it is still looked for" in window.refusal.text
    assert window.foot.following == "following north-shed.csv for 2026-02: the file is not there"
    north.write_bytes(PLAIN.text(LATER[:7], ZONE))
    qtbot.waitUntil(lambda: kept(window.desk) == len(FIRST) + 7)
    assert window.foot.following == "following north-shed.csv for 2026-02, last reading 01:20"
    north.unlink()
    qtbot.waitUntil(lambda: refusals == ["followed-file-gone"] * 2)


def test_a_logger_that_begins_a_new_file_is_not_missed(qtbot, window, followed, north, refusals):
    north.rename(north.with_suffix(".old"))
    qtbot.wait(module.LOOK_EVERY_MS * 2)
    north.write_bytes(PLAIN.text(LATER[:7], ZONE))
    qtbot.waitUntil(lambda: kept(window.desk) == len(FIRST) + 7)
    assert refusals == []


def test_a_full_disk_is_told_once_and_nothing_is_lost(qtbot, window, followed, north, refusals, monkeypatch):
    monkeypatch.setattr(module, "LOOK_EVERY_MS", 50)
    real = LogbookFile.insert_logger_batch

    def full(self, entry, days):
        raise DiskFull(path="mill.kilnlog")

    monkeypatch.setattr(LogbookFile, "insert_logger_batch", full)
    append(north, LATER[:5])
    qtbot.waitUntil(lambda: refusals == ["disk-full"])
    append(north, LATER[5:9])
    qtbot.wait(500)
    assert refusals == ["disk-full"]
    assert window.refusal.text == worded(DiskFull(path="mill.kilnlog")).text
    assert window.foot.following == "following north-shed.csv for 2026-02: what came cannot be kept"
    monkeypatch.setattr(LogbookFile, "insert_logger_batch", real)
    qtbot.waitUntil(lambda: kept(window.desk) == len(FIRST) + 9)
    assert window.foot.following == "following north-shed.csv for 2026-02, last reading 01:40"


def test_it_goes_on_for_its_own_charge_while_another_is_in_hand(qtbot, window, followed, north, refusals):
    desk = window.desk
    take(qtbot, window, "2026-03")
    append(north, LATER[:5])
    qtbot.waitUntil(lambda: followed.text == "following north-shed.csv for 2026-02, last reading 01:00")
    settle(qtbot, desk)
    assert window.foot.following == followed.text
    assert (kept(desk), drawn(desk), refusals) == (0, 0, [])
    take(qtbot, window, "2026-02")
    append(north, LATER[5:9])
    qtbot.waitUntil(lambda: kept(desk) == len(FIRST) + 9)
    qtbot.waitUntil(lambda: drawn(desk) == len(FIRST) + 9)


def test_what_waits_of_a_quick_logger_is_drawn_for_its_own_charge_only(qtbot, window, watching, tmp_path):
    quick = readings("2026-11-25 12:00", 0.1, 10)
    path = tmp_path / "quick.csv"
    path.write_bytes(PLAIN.text(quick[:8], ZONE))
    watching.follow(path, recognise_file(path), "quick")
    qtbot.waitUntil(lambda: drawn(window.desk) == 8)
    take(qtbot, window, "2026-03")
    append(path, quick[8:11])
    qtbot.waitUntil(lambda: watching.text.endswith("07:01"))
    assert drawn(window.desk) == 0
    take(qtbot, window, "2026-02")
    qtbot.waitUntil(lambda: drawn(window.desk) == 11)


def test_that_it_is_looked_for_is_no_longer_said_once_it_is_stopped(
    qtbot, window, followed, north, monkeypatch
):
    monkeypatch.setattr(module, "GONE_AFTER_S", 0.3)
    north.rename(north.with_suffix(".old"))
    qtbot.waitUntil(lambda: "still looked for" in window.refusal.text)
    followed.stop()
    assert window.refusal.text == ""


def test_that_it_is_looked_for_is_no_longer_said_once_it_is_back(qtbot, window, followed, north, monkeypatch):
    monkeypatch.setattr(module, "GONE_AFTER_S", 0.3)
    window.tell_refusal(DiskFull(path="mill.kilnlog"))
    north.rename(north.with_suffix(".old"))
    qtbot.waitUntil(lambda: "still looked for" in window.refusal.text)
    north.write_bytes(PLAIN.text(LATER[:7], ZONE))
    qtbot.waitUntil(lambda: "still looked for" not in window.refusal.text)
    assert window.refusal.text == worded(DiskFull(path="mill.kilnlog")).text


def test_a_defect_in_a_look_is_told_and_nothing_is_followed(
    qtbot, window, followed, north, refusals, monkeypatch
):
    def broken(self, book, **how):
        raise ZeroDivisionError

    monkeypatch.setattr(LoggerWatch, "look", broken)
    with qtbot.capture_exceptions() as raised:
        qtbot.waitUntil(lambda: not followed.is_following)
        settle(qtbot, window.desk)
    assert isinstance(raised[0][1].__cause__, ZeroDivisionError)
    assert (refusals, window.foot.following) == (["following-stopped"], "")
    assert "the program failed as it read what came" in window.refusal.text


def test_a_defect_in_what_shows_it_ends_following_too(qtbot, window, followed, north, monkeypatch):
    def broken(changes):
        raise ZeroDivisionError

    monkeypatch.setattr(window.desk, "follow", broken)
    with qtbot.capture_exceptions() as raised:
        append(north, LATER[:5])
        qtbot.waitUntil(lambda: not followed.is_following)
    assert raised[0][0] is ZeroDivisionError
    assert window.foot.following == ""


def test_rows_set_aside_are_counted_in_the_foot(qtbot, window, followed, north):
    with north.open("a") as file:
        file.write("2026-11-25 00:20,110.0,112.0\n2026-11-25 00:30,oops,102.0\n")
        file.write("2026-11-25 00:40,110.0,112.5\n")
    append(north, LATER[5:6])
    qtbot.waitUntil(lambda: "set aside" in followed.text)
    assert followed.text.endswith(", 3 rows set aside: mostly wet bulb above dry bulb")


def test_reading_the_logbook_anew_does_not_stop_it(qtbot, window, followed, north):
    window.desk.reread()
    settle(qtbot, window.desk)
    append(north, LATER[:5])
    qtbot.waitUntil(lambda: kept(window.desk) == len(FIRST) + 5)


def test_another_logbook_gets_none_of_its_readings(
    qtbot, window, followed, north, filled, refusals, tmp_path
):
    """The same mill's logbook, copied: the charge bears the same name in it."""
    other = tmp_path / "other.kilnlog"
    other.write_bytes(filled.read_bytes())
    append(north, LATER[:5])
    open_book(qtbot, window.desk, other)
    settle(qtbot, window.desk)
    qtbot.wait(2 * module.LOOK_EVERY_MS)
    assert not followed.is_following
    assert "following-stopped" in refusals
    assert "another logbook was opened" in window.refusal.text
    qtbot.waitUntil(lambda: window.desk.record is not None)
    take(qtbot, window, "2026-03")
    take(qtbot, window, "2026-02")
    assert kept(window.desk) == 0


def test_it_stops_when_the_charge_is_closed(qtbot, window, followed, refusals):
    desk = window.desk
    desk.do(close_charge, desk.record.entity, at("2026-11-25 07:45"), "target reached", load())
    qtbot.waitUntil(lambda: not followed.is_following)
    assert "charge 2026-02 takes no further rows" in window.refusal.text
    settle(qtbot, desk)
    assert refusals == ["following-stopped"]


def test_no_charge_that_is_closed_or_only_read_is_followed(qtbot, window, watching, north, book_path):
    take(qtbot, window, "2026-01")
    watching.follow(north, recognise_file(north), "fan side")
    assert not watching.is_following
    desk = window.desk
    with qtbot.waitSignal(desk.register_changed):
        desk.operations.open(
            lambda: open_logbook(book_path, read_only=True, clock=lambda: NOW, who="mill"), desk.opened
        )
    take(qtbot, window, "2026-02")
    watching.follow(north, recognise_file(north), "fan side")
    assert not watching.is_following
    assert watching.text == ""


def test_how_it_is_read_is_remembered(qtbot, window, followed):
    names = [line.current.fact.setting for line in window.desk.record.setting if line.current is not None]
    assert "logger: fan side" in names


def test_of_a_quick_logger_what_waits_is_kept_at_the_end(qtbot, window, watching, tmp_path):
    """Its readings, ten seconds apart, are kept a minute at a time."""
    quick = readings("2026-11-25 12:00", 0.1, 10)
    path = tmp_path / "quick.csv"
    path.write_bytes(PLAIN.text(quick[:30], ZONE))
    watching.follow(path, recognise_file(path), "quick")
    qtbot.waitUntil(lambda: kept(window.desk) == 30)
    append(path, quick[30:34])
    qtbot.waitUntil(lambda: watching.text == "following quick.csv for 2026-02, last reading 07:05")
    qtbot.wait(module.LOOK_EVERY_MS * 2)
    assert kept(window.desk) == 30
    watching.stop()
    settle(qtbot, window.desk)
    assert kept(window.desk) == 34


def test_of_a_quick_logger_the_curve_follows_as_soon_all_the_same(qtbot, window, watching, tmp_path):
    """What waits to be kept is drawn, once; and it stays drawn, once, when it is kept."""
    desk = window.desk
    view = DryingCurveView(desk, window.appearance)
    qtbot.addWidget(view)
    view.show()
    plot = view.plots.air
    quick = readings("2026-11-25 12:00", 0.1, 10)
    path = tmp_path / "quick.csv"
    path.write_bytes(PLAIN.text(quick[:8], ZONE))
    watching.follow(path, recognise_file(path), "quick")
    qtbot.waitUntil(lambda: kept(desk) == 8)
    qtbot.waitUntil(lambda: drawn(desk) == 8)
    for number in range(8, 20):
        append(path, quick[number : number + 1])
        # A busy machine may take longer than the second it is meant to; a minute would be the next batch.
        qtbot.waitUntil(lambda number=number: drawn(desk) == number + 1, timeout=10_000)
        last = plot.air.logger
        assert last.at_s[-1] == quick[number].at_s
        assert last.dry_c[-1] == pytest.approx(float(quick[number].dry))
    assert 8 < kept(desk) < 20
    qtbot.wait(module.LOOK_EVERY_MS * 2)
    assert plot.air.logger.at_s.tolist() == [each.at_s for each in quick[:20]]
    watching.stop()
    settle(qtbot, desk)
    settle(qtbot, desk)
    assert kept(desk) == 20
    assert desk.air.kept[0].at_s.tolist() == desk.air.lines[0].at_s.tolist() == [e.at_s for e in quick[:20]]


def test_closing_the_window_keeps_what_waits(qtbot, window, commands, tmp_path, book_path):
    quick = readings("2026-11-25 12:00", 0.1, 10)
    path = tmp_path / "quick.csv"
    path.write_bytes(PLAIN.text(quick[:30], ZONE))
    commands.watching.follow(path, recognise_file(path), "quick")
    qtbot.waitUntil(lambda: kept(window.desk) == 30)
    append(path, quick[30:34])
    qtbot.wait(module.LOOK_EVERY_MS * 2)
    entity = window.desk.record.entity
    commands.watching.stop()
    window.desk.operations.close()
    book = open_logbook(book_path, read_only=True)
    assert len(book.file.logger_series(entity)[0].at_s) == 34
    book.close()


def test_the_keys_of_the_foot_make_room_for_it(window):
    window.show_view(0)
    window.foot.set_following("following a-file-of-a-very-long-name-indeed.csv, last reading 07:46")
    shown = [hint for hint in window.foot._hints if hint.isVisible()]
    right = max(hint.mapTo(window.foot, hint.rect().topRight()).x() for hint in shown)
    assert right <= window.foot.width()
    assert window.foot.findChildren(type(shown[0]), options=Qt.FindChildOption.FindDirectChildrenOnly)

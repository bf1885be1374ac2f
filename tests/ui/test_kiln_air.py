"""The air of the kiln at the keyboard: Air now, and what is set, done and checked at the kiln."""

from __future__ import annotations

import shutil
import threading
from dataclasses import replace

import pytest
from PySide6.QtCore import QLocale, Qt
from PySide6.QtWidgets import QApplication, QLineEdit, QVBoxLayout, QWidget

from kilnlog.logbook.typed_air import Second
from kilnlog.logbook.writing import change, correct, write
from kilnlog.records.air_reading import AirReading
from kilnlog.records.kiln import Kiln
from kilnlog.records.set_point import SetPoint
from kilnlog.records.words import AirControl, TemperatureUnit
from kilnlog.store.errors import DiskFull
from kilnlog.ui.kiln_air.air_commands import AirCommands
from kilnlog.ui.kiln_air.air_entry import HOW, AirEntry
from kilnlog.ui.kiln_air.air_keeper import FOLLOWS_AGAIN
from kilnlog.ui.kiln_air.air_working_dialog import AirWorkingDialog
from kilnlog.ui.kiln_air.event_dialog import EventDialog
from kilnlog.ui.look.fields import is_wrong
from kilnlog.ui.look.form import BEING_KEPT
from kilnlog.ui.views import CURVE, REGISTER
from kilnlog.ui.window import MainWindow
from tests.ui.boards import ENTER, press, settle
from tests.ui.conftest import Blank, at, dialog_open, dialog_with_keys, open_book

C, F = TemperatureUnit.CELSIUS, TemperatureUnit.FAHRENHEIT
TAB = Qt.Key.Key_Tab
CTRL = Qt.KeyboardModifier.ControlModifier


@pytest.fixture
def host(qtbot, desk, appearance, book_path):
    """A window with the running charge in hand."""
    made = QWidget()
    QVBoxLayout(made)
    made.resize(420, 600)
    qtbot.addWidget(made)
    made.show()
    qtbot.waitExposed(made)
    open_book(qtbot, desk, book_path)
    take(qtbot, desk, "2026-02")
    return made


@pytest.fixture
def entry(host, desk, appearance):
    made = AirEntry(desk, appearance)
    host.layout().addWidget(made)
    made.show()
    host.activateWindow()
    made.take_keys()
    return made


def take(qtbot, desk, number):
    line = next(line for line in desk.lines if line.number == number)
    with qtbot.waitSignal(desk.record_changed):
        desk.take_in_hand(line.entity)


def describe_kiln(qtbot, desk, **named):
    """The kiln of the running charge, described anew."""
    line = next(line for line in desk.record.kiln if line.current.fact.kiln == "North shed")
    with qtbot.waitSignal(desk.record_changed):
        desk.do(correct, "kiln", line.entity, Kiln("North shed", **named), "described")
    settle(qtbot, desk)


def readings(desk):
    return [line.current for line in desk.record.air_reading if line.current is not None]


def type_air(qtbot, first, second):
    """The numbers, and the two keystrokes they take."""
    qtbot.keyClicks(QApplication.focusWidget(), first)
    press(qtbot, TAB)
    qtbot.keyClicks(QApplication.focusWidget(), second)
    press(qtbot, ENTER)


def shown(entry):
    return list(entry.row.shown)


def test_a_reading_takes_two_keystrokes_more_than_its_numbers(qtbot, desk, entry):
    type_air(qtbot, "110.3", "106.6")
    settle(qtbot, desk)
    (kept,) = readings(desk)
    assert kept.fact == AirReading(desk.record.entity, dry_bulb=110.3, wet_bulb=106.6, temperature_unit=F)
    assert kept.at.text()[:16] == "2026-11-25 07:46"
    assert (entry.dry.text(), entry.second.text()) == ("", "")
    assert QApplication.focusWidget() is entry.dry
    assert entry._last.text() == "last 110.3 °F dry, 106.6 °F wet, today, 07:46"


def test_the_air_is_worked_out_as_one_types(qtbot, entry):
    # 110 °F dry and 106 °F wet are 87 % RH: Wood Handbook, the kiln schedules' worked example.
    qtbot.keyClicks(entry.dry, "110")
    assert shown(entry) == ["RH –", "EMC –", "depression –"]
    press(qtbot, TAB)
    qtbot.keyClicks(entry.second, "106")
    assert shown(entry)[0] == "RH 87 %"
    assert shown(entry)[2] == "depression 4.0 °F"
    press(qtbot, Qt.Key.Key_Backspace)
    assert shown(entry)[0] == "RH –"  # 10 °F wet no air shows; nothing is said before Enter
    assert entry.told == ""


def test_f2_shows_how_from_a_field_and_from_a_figure(qtbot, entry):
    qtbot.keyClicks(entry.dry, "110")
    press(qtbot, TAB)
    qtbot.keyClicks(entry.second, "106")
    press(qtbot, Qt.Key.Key_F2)
    dialog = dialog_with_keys(qtbot, AirWorkingDialog)
    assert any(line.endswith("= 43.33 °C") for line in dialog.lines)
    assert any(line.endswith("× 100 = 87.4 %") for line in dialog.lines)
    press(qtbot, Qt.Key.Key_F2)
    assert dialog_open() is None
    qtbot.keyClick(entry.row.figures[2], Qt.Key.Key_F2)
    assert dialog_with_keys(qtbot, AirWorkingDialog).lines[0] == "110 − 106 = 4 °F"


def test_a_wet_bulb_above_the_dry_one_is_told_beside_it_and_stays_typed(qtbot, desk, entry):
    type_air(qtbot, "106.6", "110.3")
    assert "above the dry bulb" in entry.told
    assert is_wrong(entry.second)
    assert not is_wrong(entry.dry)
    assert (entry.dry.text(), entry.second.text()) == ("106.6", "110.3")
    assert QApplication.focusWidget() is entry.second
    press(qtbot, ENTER)  # no second Enter keeps what cannot be
    settle(qtbot, desk)
    assert readings(desk) == []
    press(qtbot, Qt.Key.Key_Backspace)
    assert entry.told == ""
    assert not is_wrong(entry.second)


@pytest.mark.parametrize(
    ("dry", "second", "told", "at_dry"),
    [
        ("1,110", "106", "“1,110” can be read as 1110 or 1.110.", True),
        ("11o", "106", "“11o” has characters", True),
        ("110", "20", "would mean less than no water in the air", False),
        ("", "", "“Dry bulb”", True),
        ("999", "900", "No kiln stands at such temperatures", True),
    ],
)
def test_what_cannot_be_read_is_told_at_its_field(qtbot, desk, entry, dry, second, told, at_dry):
    type_air(qtbot, dry, second)
    assert told in entry.told
    assert is_wrong(entry.dry) is at_dry
    assert is_wrong(entry.second) is not at_dry
    assert (entry.dry.text(), entry.second.text()) == (dry, second)
    settle(qtbot, desk)
    assert readings(desk) == []


def test_the_decimal_mark_is_that_of_the_machine(qtbot, desk, entry, monkeypatch):
    before = QLocale()
    QLocale.setDefault(QLocale(QLocale.Language.German))
    try:
        type_air(qtbot, "110,3", "106,6")
    finally:
        QLocale.setDefault(before)
    settle(qtbot, desk)
    assert readings(desk)[0].fact.wet_bulb == 106.6


def test_a_reading_that_looks_like_the_other_unit_is_asked_about(qtbot, desk, entry):
    type_air(qtbot, "43.5", "41.2")
    assert entry.told.startswith(
        "Is that 43.5 °C? It would be 110.3 °F, near what the kiln is set to, 110 °F."
    )
    assert readings(desk) == []
    assert (entry.dry.text(), entry.second.text()) == ("43.5", "41.2")
    press(qtbot, ENTER)
    settle(qtbot, desk)
    assert readings(desk)[0].fact.dry_bulb == 43.5


def test_a_dry_bulb_far_from_what_the_kiln_read_is_asked_about(qtbot, desk, entry):
    type_air(qtbot, "110", "106")
    settle(qtbot, desk)
    type_air(qtbot, "170", "150")
    assert "170 °F dry is 60 °F away from the last reading, 110 °F today, 07:46" in entry.told
    qtbot.keyClicks(entry.second, "1")  # typed anew, it is another reading and asked about anew
    press(qtbot, Qt.Key.Key_Backspace)
    press(qtbot, ENTER)
    assert "60 °F away" in entry.told
    assert len(readings(desk)) == 1


def test_air_far_drier_than_the_step_is_asked_about(qtbot, desk, entry):
    type_air(qtbot, "112", "80")
    settle(qtbot, desk)
    assert entry.told.startswith("An EMC of 4.9 % is 12.9 points away from what the kiln is set to")
    assert readings(desk) == []
    press(qtbot, ENTER)
    settle(qtbot, desk)
    assert readings(desk)[0].fact.wet_bulb == 80


def test_a_reading_may_be_typed_with_its_unit(qtbot, desk, entry):
    type_air(qtbot, "43 C", "41C")
    settle(qtbot, desk)
    assert readings(desk)[0].fact == AirReading(
        desk.record.entity, dry_bulb=43, wet_bulb=41, temperature_unit=C
    )


def test_a_kiln_that_heats_up_is_not_asked_about(qtbot, desk, entry):
    record = desk.record.entity
    for fact, when in (
        (AirReading(record, dry_bulb=40, temperature_unit=F), "2026-11-25 05:00"),
        (SetPoint(record, dry_bulb=160, wet_bulb=150, temperature_unit=F), "2026-11-25 05:00"),
    ):
        desk.do(write, fact, at(when))
    settle(qtbot, desk)
    type_air(qtbot, "100", "96")
    settle(qtbot, desk)
    assert [entry.fact.dry_bulb for entry in readings(desk)] == [40, 100]


def test_one_figure_alone_is_asked_about(qtbot, desk, entry):
    type_air(qtbot, "110", "")
    assert "A dry bulb alone does not tell the air." in entry.told
    press(qtbot, ENTER)
    settle(qtbot, desk)
    assert readings(desk)[0].fact == AirReading(desk.record.entity, dry_bulb=110, temperature_unit=F)


def test_a_humidity_above_100_is_refused_with_what_to_type(qtbot, desk, entry):
    entry.keeper.choose_second(Second.RH)
    type_air(qtbot, "110", "101")
    assert entry.told.startswith("RH lies between 0 and 100 %, and an RH of 101 % was typed.")
    assert is_wrong(entry.second)


@pytest.mark.parametrize(
    ("control", "which"),
    [
        (AirControl.WET_BULB, Second.WET_BULB),
        (AirControl.HUMIDISTAT, Second.RH),
        (AirControl.DEHUMIDIFIER, Second.RH),
        (AirControl.BY_HAND, Second.WET_BULB),
    ],
)
def test_the_second_figure_is_what_the_kiln_shows(qtbot, desk, entry, control, which):
    describe_kiln(qtbot, desk, air_control=control)
    assert entry.keeper.which is which


def test_the_second_figure_is_switched_in_its_field_and_remembered_by_what_was_read(qtbot, desk, entry):
    press(qtbot, Qt.Key.Key_Down)
    assert entry.choice.text() == "Depression, °F"
    type_air(qtbot, "110", "6")
    settle(qtbot, desk)
    assert readings(desk)[0].fact.depression == 6
    assert shown(entry)[2] == "wet bulb –"
    take(qtbot, desk, "2026-03")
    assert entry.choice.text() == "Wet bulb, °F"
    take(qtbot, desk, "2026-02")
    assert entry.choice.text() == "Depression, °F"


def test_figures_are_in_the_kilns_unit(qtbot, desk, entry):
    describe_kiln(qtbot, desk, temperature_unit=C, altitude_m=1500.0)
    assert (entry._dry_title.text(), entry.choice.text()) == ("Dry bulb, °C", "Wet bulb, °C")
    type_air(qtbot, "43.3", "41.1")
    settle(qtbot, desk)
    assert readings(desk)[0].fact.temperature_unit is C


def test_a_sensor_is_chosen_where_the_kiln_names_two(qtbot, desk, entry):
    assert entry.sensor.isHidden()
    describe_kiln(qtbot, desk, entering_sensor="door side", leaving_sensor="back wall")
    assert not entry.sensor.isHidden()
    type_air(qtbot, "110", "106")
    settle(qtbot, desk)
    entry.sensor.setFocus()
    press(qtbot, Qt.Key.Key_Down)
    press(qtbot, TAB)
    type_air(qtbot, "108", "105")
    settle(qtbot, desk)
    assert [entry.fact.sensor for entry in readings(desk)] == ["door side", "back wall"]


def test_where_one_sensor_is_named_a_reading_is_of_that(qtbot, desk, entry):
    describe_kiln(qtbot, desk, entering_sensor="fan side")
    assert entry.sensor.isHidden()
    type_air(qtbot, "110", "106")
    settle(qtbot, desk)
    assert readings(desk)[0].fact.sensor == "fan side"
    assert desk.assessment.air.sensor == "fan side"
    assert entry._last.text() == "last 110 °F dry, 106 °F wet, today, 07:46"


def test_a_typed_time_is_that_of_the_reading(qtbot, desk, entry):
    entry.time.setFocus()
    qtbot.keyClicks(entry.time, "2026-11-24 18:10")
    press(qtbot, ENTER)
    assert QApplication.focusWidget() is entry.dry
    assert entry.time.text() == "yesterday, 18:10"
    type_air(qtbot, "110", "106")
    settle(qtbot, desk)
    assert readings(desk)[0].at.text()[:16] == "2026-11-24 18:10"


def choose_time(qtbot, entry, typed):
    entry.time.setFocus()
    qtbot.keyClicks(entry.time, typed)
    press(qtbot, ENTER)


def test_a_time_from_a_sheet_is_for_one_reading(qtbot, desk, entry):
    choose_time(qtbot, entry, "2026-11-24 21:00")
    assert entry.told == "From a sheet: this one reading is of yesterday, 21:00. Esc takes the present again."
    type_air(qtbot, "110", "106")
    settle(qtbot, desk)
    assert (entry.time.text(), entry.told) == ("07:46", "")
    type_air(qtbot, "111", "106")
    settle(qtbot, desk)
    assert [one.at.text()[:16] for one in readings(desk)] == ["2026-11-24 21:00", "2026-11-25 07:46"]


def test_esc_takes_the_present_again(qtbot, entry):
    choose_time(qtbot, entry, "2026-11-24 21:00")
    qtbot.keyClicks(entry.dry, "110")
    press(qtbot, Qt.Key.Key_Escape)
    assert (entry.time.text(), entry.dry.text(), entry.told) == ("07:46", "", "")
    choose_time(qtbot, entry, "2026-11-24 21:00")
    with qtbot.assertNotEmitted(entry.left):
        press(qtbot, Qt.Key.Key_Escape)
    assert entry.time.text() == "07:46"


def test_a_time_left_with_no_figure_is_the_present_again(qtbot, host, entry):
    elsewhere = QLineEdit()
    host.layout().addWidget(elsewhere)
    elsewhere.show()
    choose_time(qtbot, entry, "2026-11-24 21:00")
    qtbot.keyClicks(entry.dry, "110")
    elsewhere.setFocus()
    assert entry.time.text() == "yesterday, 21:00"  # it is that of the figure that stands there
    entry.take_keys()
    entry.dry.clear()
    entry.keeper.type_in("", "")
    elsewhere.setFocus()
    assert (entry.time.text(), entry.told) == ("07:46", "")


def test_the_clock_alone_is_of_the_day_shown(qtbot, desk, entry):
    choose_time(qtbot, entry, "6:30")
    assert entry.time.text() == "today, 06:30"
    choose_time(qtbot, entry, "2026-11-24 21:00")
    choose_time(qtbot, entry, "20:15")
    assert entry.time.text() == "yesterday, 20:15"


def test_a_time_that_is_none_is_told_as_long_as_it_stands_there(qtbot, entry):
    choose_time(qtbot, entry, "25:10")
    assert is_wrong(entry.time)
    assert "25:10" in entry.told
    entry.take_keys()
    qtbot.keyClicks(entry.dry, "110")
    assert is_wrong(entry.time)
    assert "25:10" in entry.told


def test_what_is_no_time_keeps_nothing(qtbot, desk, entry):
    entry.time.setFocus()
    qtbot.keyClicks(entry.time, "half past")
    press(qtbot, ENTER)
    assert "half past" in entry.told
    entry.take_keys()
    type_air(qtbot, "110", "106")
    settle(qtbot, desk)
    assert readings(desk) == []
    assert QApplication.focusWidget() is entry.time
    press(qtbot, Qt.Key.Key_Escape)
    assert entry.told == ""
    entry.second.setFocus()
    press(qtbot, ENTER)
    settle(qtbot, desk)
    assert len(readings(desk)) == 1


def test_a_time_to_come_is_asked_about(qtbot, desk, entry):
    entry.keeper.choose_time(at("2026-11-26 07:00"))
    type_air(qtbot, "110", "106")
    assert entry.told.startswith("2026-11-26 07:00 is still to come.")
    settle(qtbot, desk)
    assert readings(desk) == []


class Gate:
    """Holds the worker until it is let go."""

    def __init__(self, desk):
        self._open = threading.Event()
        desk.operations.submit(lambda book: self._open.wait(20), lambda _: None)

    def let_go(self):
        self._open.set()


def test_a_second_enter_while_it_is_being_kept_sends_nothing(qtbot, desk, entry):
    gate = Gate(desk)
    type_air(qtbot, "110", "106")
    assert entry.told == BEING_KEPT
    assert entry.second.text() == "106"
    press(qtbot, ENTER)
    press(qtbot, ENTER)
    gate.let_go()
    settle(qtbot, desk)
    assert len(readings(desk)) == 1
    assert (entry.dry.text(), entry.told) == ("", "")


def test_what_is_typed_while_one_is_being_kept_is_not_lost(qtbot, desk, entry):
    gate = Gate(desk)
    type_air(qtbot, "110", "106")
    entry.take_keys()
    qtbot.keyClicks(entry.dry, "112")
    gate.let_go()
    settle(qtbot, desk)
    assert len(readings(desk)) == 1
    assert (entry.dry.text(), entry.second.text()) == ("112", "106")
    assert entry.unkept() == ("air now",)


def test_a_refusal_stands_beside_and_nothing_is_lost(qtbot, desk, entry, monkeypatch):
    def full(book, fact, moment):
        raise DiskFull(path="mill.kilnlog")

    monkeypatch.setattr("kilnlog.ui.kiln_air.air_keeper.write", full)
    type_air(qtbot, "110", "106")
    settle(qtbot, desk)
    assert entry.told.startswith("110 °F dry, 106 °F wet, today, 07:46 was not kept.")
    assert (entry.dry.text(), entry.second.text()) == ("110", "106")
    monkeypatch.undo()
    entry.second.setFocus()
    press(qtbot, ENTER)
    settle(qtbot, desk)
    assert len(readings(desk)) == 1


def test_a_late_refusal_is_told_across_the_window_and_waits_with_its_charge(qtbot, desk, entry, monkeypatch):
    def full(book, fact, moment):
        raise DiskFull(path="mill.kilnlog")

    gate = Gate(desk)
    monkeypatch.setattr("kilnlog.ui.kiln_air.air_keeper.write", full)
    refused = []
    desk.refused.connect(refused.append)
    type_air(qtbot, "110", "106")
    line = next(line for line in desk.lines if line.number == "2026-03")
    desk.take_in_hand(line.entity)
    desk.record = None  # nothing in hand while the other charge is read
    gate.let_go()
    settle(qtbot, desk)
    assert [error.code for error in refused] == ["air-not-kept"]
    assert refused[0].values["charge"] == "2026-02"
    assert entry.dry.text() == ""
    assert entry.unkept() == ("air of charge 2026-02",)
    take(qtbot, desk, "2026-02")
    assert (entry.dry.text(), entry.second.text()) == ("110", "106")


def test_esc_drops_what_is_typed_and_then_leaves(qtbot, entry):
    qtbot.keyClicks(entry.dry, "110")
    press(qtbot, Qt.Key.Key_Escape)
    assert entry.dry.text() == ""
    with qtbot.waitSignal(entry.left):
        press(qtbot, Qt.Key.Key_Escape)


def test_it_is_not_there_where_nothing_can_be_written(qtbot, desk, entry):
    assert entry.isVisible()
    take(qtbot, desk, "2026-01")  # closed
    assert not entry.isVisible()
    take(qtbot, desk, "2026-02")
    assert entry.isVisible()


def test_before_anything_is_read_it_says_how(entry):
    assert entry._last.text() == HOW


def test_a_chosen_time_nobody_used_is_dropped(qtbot, desk, entry, monkeypatch):
    entry.keeper.choose_time(at("2026-11-24 18:10"))
    later = at("2026-11-25 09:00")
    monkeypatch.setattr(entry.keeper.time, "_now", lambda: later)
    entry.keeper.follow_clock()
    assert entry.told == FOLLOWS_AGAIN
    assert entry.keeper.time.chosen is None


class WithAir(Blank):
    """Stands for the curve: Air now and the Air menu, and nothing drawn."""

    def make(self, desk, appearance):
        view = QWidget()
        view.air = AirEntry(desk, appearance)
        QVBoxLayout(view).addWidget(view.air)
        menu = AirCommands(view, desk, appearance)
        view.commands = menu.commands
        return view


def test_by_keys_alone_from_the_register_into_the_logbook_and_back_out(qtbot, desk, appearance, book_path):
    window = MainWindow(desk, appearance, late_views=(Blank("", ""), WithAir("", "")))
    qtbot.addWidget(window)
    with qtbot.waitSignal(window.ready):
        window.show()
        qtbot.waitExposed(window)
    open_book(qtbot, desk, book_path)
    take(qtbot, desk, "2026-02")
    assert window.menu_row.tabs.number == REGISTER
    press(qtbot, Qt.Key.Key_R, CTRL)
    assert window.menu_row.tabs.number == CURVE
    entry = window.views[CURVE].air
    assert QApplication.focusWidget() is entry.dry
    type_air(qtbot, "110", "106")
    settle(qtbot, desk)
    assert len(readings(desk)) == 1
    press(qtbot, Qt.Key.Key_Z, CTRL)
    settle(qtbot, desk)
    assert readings(desk) == []
    assert desk.record.air_reading[0].is_void
    press(qtbot, Qt.Key.Key_J, CTRL)
    dialog_with_keys(qtbot, EventDialog)
    press(qtbot, Qt.Key.Key_Escape)
    assert dialog_open() is None


class _Typed(QWidget):
    def __init__(self, unkept):
        super().__init__()
        self.unkept = lambda: unkept


class Standing(Blank):
    """A view in which something stands typed."""

    def __init__(self, *unkept):
        super().__init__("", "")
        self._unkept = unkept

    def make(self, desk, appearance):
        return _Typed(self._unkept)


def test_the_window_tells_of_air_nobody_kept_before_it_goes(qtbot, desk, appearance, book_path):
    views = (Standing("3"), Standing("air now", "air of charge 2026-02"))
    window = MainWindow(desk, appearance, late_views=views)
    qtbot.addWidget(window)
    with qtbot.waitSignal(window.ready):
        window.show()
        qtbot.waitExposed(window)
    open_book(qtbot, desk, book_path)
    settle(qtbot, desk)
    window.close()
    assert window.isVisible()
    assert "Typed and not kept, board by board: 3." in window.refusal.text
    assert "Typed and not kept: air now and air of charge 2026-02." in window.refusal.text
    window.close()
    assert not window.isVisible()


def test_a_refused_figure_keeps_its_size(qtbot, appearance, entry):
    appearance.set_size("largest")
    before = entry.second.font().pointSizeF()
    type_air(qtbot, "106.6", "110.3")
    assert is_wrong(entry.second)
    assert entry.second.font().pointSizeF() == before


def test_a_copy_of_the_logbook_does_not_get_what_stands_typed(qtbot, desk, entry, book_path, tmp_path):
    here = desk.record.entity
    entry.keeper.type_in("110", "104")
    copy = shutil.copy(book_path, tmp_path / "copy.kilnlog")
    open_book(qtbot, desk, copy)
    with qtbot.waitSignal(desk.record_changed):
        desk.take_in_hand(here)
    assert (entry.dry.text(), entry.second.text(), entry.unkept()) == ("", "", ())
    open_book(qtbot, desk, book_path)
    with qtbot.waitSignal(desk.record_changed):
        desk.take_in_hand(here)
    assert (entry.dry.text(), entry.second.text()) == ("110", "104")


def test_a_reading_long_before_loading_or_after_unloading_is_asked_about(qtbot, desk, entry):
    loaded = desk.record.particulars
    for chosen, fact, said in (
        ("2025-11-25 07:00", loaded, "long before charge 2026-02 was loaded"),
        ("2026-11-25 07:00", replace(loaded, unloaded_at=at("2026-11-23 07:00")), "long after charge"),
    ):
        if fact != loaded:
            desk.do(change, "charge", desk.record.entity, fact, at("2026-11-23 07:00"))
            settle(qtbot, desk)
        entry.keeper.choose_time(at(chosen))
        entry.take_keys()
        type_air(qtbot, "110", "104")
        settle(qtbot, desk)
        assert said in entry.told
        assert desk.record.air_reading == ()
        entry.keeper.drop()


def test_tab_goes_through_the_fields_as_they_stand(qtbot, desk, entry):
    describe_kiln(qtbot, desk, entering_sensor="fan side", leaving_sensor="door side")
    entry.time.setFocus()
    stops = [entry.time, entry.sensor, entry.dry, entry.second, entry.choice]
    for stop in stops:
        assert QApplication.focusWidget() is stop
        press(qtbot, TAB)


def test_a_time_may_be_typed_as_the_screen_writes_it(qtbot, desk, entry):
    with qtbot.waitSignal(desk.saved) as saved:
        choose_time(qtbot, entry, "20 Nov 18:5")
        assert entry.time.text() == "Fri 20 Nov, 18:05"
        type_air(qtbot, "110", "106")
    settle(qtbot, desk)
    assert readings(desk)[0].at.text()[:16] == "2026-11-20 18:05"
    assert saved.args == ["Air 110 °F dry, 106 °F wet, Fri 20 Nov, 18:05"]


@pytest.mark.parametrize("typed", ["", "45"])
def test_esc_drops_the_choice_of_the_second_figure_too(qtbot, desk, entry, typed):
    for _ in range(2):
        press(qtbot, Qt.Key.Key_Down)
    assert entry.choice.text() == "RH, %"
    press(qtbot, TAB)
    qtbot.keyClicks(entry.second, typed)
    press(qtbot, Qt.Key.Key_Escape)
    assert entry.choice.text() == "Wet bulb, °F"
    take(qtbot, desk, "2026-03")
    assert entry.choice.text() == "Wet bulb, °F"

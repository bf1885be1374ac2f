"""What is set, done and checked at the kiln, kept by keys; corrected and taken back from its lists."""

from __future__ import annotations

from dataclasses import replace

import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QWheelEvent
from PySide6.QtWidgets import QApplication, QVBoxLayout, QWidget

from kilnlog.drying.end_of_run import SETTING as EQUALIZING
from kilnlog.drying.outside_air import SETTING as OUTSIDE
from kilnlog.drying.outside_air import outside_from_setting
from kilnlog.logbook.writing import correct, write
from kilnlog.records.air_reading import AirReading
from kilnlog.records.event import Event
from kilnlog.records.instrument import Instrument
from kilnlog.records.kiln import Kiln
from kilnlog.records.meter_check import MeterCheck
from kilnlog.records.set_point import SetPoint
from kilnlog.records.words import (
    AirControl,
    EventKind,
    EventState,
    InstrumentKind,
    TemperatureUnit,
    VolumeUnit,
)
from kilnlog.ui.commands import MenuName
from kilnlog.ui.kiln_air.air_commands import AirCommands
from kilnlog.ui.kiln_air.air_entry import AirEntry
from kilnlog.ui.kiln_air.air_working_dialog import AirWorkingDialog
from kilnlog.ui.kiln_air.cautions import HOT_KILN, HOT_WOOD, LIVE_WIRES
from kilnlog.ui.kiln_air.end_rule_dialog import EndRuleDialog
from kilnlog.ui.kiln_air.event_dialog import EventDialog
from kilnlog.ui.kiln_air.meter_dialog import MeterDialog
from kilnlog.ui.kiln_air.outside_dialog import OutsideDialog
from kilnlog.ui.kiln_air.reading_dialog import ReadingDialog
from kilnlog.ui.kiln_air.set_point_dialog import SetPointDialog
from kilnlog.ui.kiln_air.terms_form import ANYHOW
from kilnlog.ui.kiln_air.water_dialog import WaterDialog
from kilnlog.ui.look.labels import Wrapped
from kilnlog.ui.register.kiln_dialog import KilnDialog
from kilnlog.ui.register.pick import PickDialog
from kilnlog.ui.register.reason import ReasonDialog
from tests.ui.boards import ENTER, keep, press, settle, type_in
from tests.ui.conftest import at, dialog_open, dialog_with_keys, open_book

C, F = TemperatureUnit.CELSIUS, TemperatureUnit.FAHRENHEIT


@pytest.fixture
def air(qtbot, desk, appearance, book_path):
    """The menu, over a window with the running charge in hand."""
    host = QWidget()
    QVBoxLayout(host)
    host.resize(900, 700)
    qtbot.addWidget(host)
    host.show()
    qtbot.waitExposed(host)
    open_book(qtbot, desk, book_path)
    take(qtbot, desk, "2026-02")
    made = AirCommands(host, desk, appearance)
    made.host = host
    return made


def take(qtbot, desk, number):
    line = next(line for line in desk.lines if line.number == number)
    with qtbot.waitSignal(desk.record_changed):
        desk.take_in_hand(line.entity)


def put(qtbot, desk, fact, when):
    desk.do(write, fact, at(when))
    settle(qtbot, desk)


def describe_kiln(qtbot, desk, **named):
    line = next(line for line in desk.record.kiln if line.current.fact.kiln == "North shed")
    desk.do(correct, "kiln", line.entity, Kiln("North shed", **named), "described")
    settle(qtbot, desk)


def current(lines):
    return [line.current for line in lines if line.current is not None]


def setting(desk, name):
    return next((e.fact.value for e in current(desk.record.setting) if e.fact.setting == name), None)


def remarks(dialog):
    return [one.text() for one in dialog.findChildren(Wrapped) if not one.isHidden()]


def test_the_air_menu_has_every_command_and_its_keys(qtbot, desk, air):
    commands = {command.text.replace("&", ""): command for command in air.commands()}
    assert {command.menu for command in commands.values()} == {MenuName.AIR}
    assert {text: command.key for text, command in commands.items() if command.key} == {
        "Air now": "Ctrl+R",
        "Write down a setting…": "Ctrl+T",
        "What happened at the kiln…": "Ctrl+J",
        "A meter's reading…": "Ctrl+M",
        "Water and venting…": "Ctrl+Shift+W",
    }
    assert all(command.possible() for command in commands.values())
    assert [text for text, command in commands.items() if not command.writes] == ["Water and venting…"]
    take(qtbot, desk, "2026-01")  # closed
    can_work = {text for text, command in commands.items() if command.possible()}
    assert can_work == {"Equalizing and conditioning…", "Outside air…", "Water and venting…"}


def test_the_keyboard_goes_into_air_now(qtbot, desk, appearance, air):
    entry = AirEntry(desk, appearance)
    air.host.layout().addWidget(entry)
    entry.show()
    air.air_now()
    assert air.host.focusWidget() is entry.dry


def test_the_step_in_force_is_proposed_and_kept_with_two_keys(qtbot, desk, air):
    air.set_point()
    dialog = dialog_with_keys(qtbot, SetPointDialog)
    assert remarks(dialog)[0].startswith(
        "Step 1 of Oak, slow: 110 °F dry, 106 °F wet, depression 4 °F, RH 87 %"
    )
    assert HOT_KILN in remarks(dialog)
    assert [dialog.rows[column].field.text() for column in ("dry_bulb", "second")] == ["110", "106"]
    assert dialog.row.shown == ("RH 87 %", "EMC 17.7 %", "depression 4.0 °F")
    keep(qtbot, dialog)
    settle(qtbot, desk)
    (kept,) = current(desk.record.set_point)
    assert kept.fact == SetPoint(desk.record.entity, dry_bulb=110, wet_bulb=106, temperature_unit=F)
    assert kept.at.text()[:16] == "2026-11-25 07:46"
    assert dialog_open() is None


def test_a_humidistat_is_told_its_setting_for_the_present_temperature(qtbot, desk, air):
    describe_kiln(qtbot, desk, air_control=AirControl.HUMIDISTAT, temperature_unit=C)
    put(
        qtbot,
        desk,
        AirReading(desk.record.entity, dry_bulb=30, rh_pct=80, temperature_unit=C),
        "2026-11-25 07:00",
    )
    air.set_point()
    dialog = dialog_with_keys(qtbot, SetPointDialog)
    # 110 F dry and 106 F wet are 87 % RH: Wood Handbook, the kiln schedules' worked example.
    assert [dialog.rows[column].field.text() for column in ("dry_bulb", "second")] == ["43.3", "87.4"]
    assert any(text.startswith("The kiln stood at 30 °C when it was last read.") for text in remarks(dialog))
    type_in(qtbot, dialog, "second", "87")
    keep(qtbot, dialog)
    settle(qtbot, desk)
    assert current(desk.record.set_point)[0].fact == SetPoint(
        desk.record.entity, dry_bulb=43.3, rh_pct=87, temperature_unit=C
    )


def test_another_figure_brings_its_own_proposal_but_never_over_what_was_typed(qtbot, desk, air):
    air.set_point()
    dialog = dialog_with_keys(qtbot, SetPointDialog)
    dialog.choice.set_value("depression")
    assert dialog.rows["second"].field.text() == "4"
    assert dialog.rows["second"].title.text() == "Depression, °F"
    type_in(qtbot, dialog, "second", "5")
    dialog.choice.set_value("rh_pct")
    assert dialog.rows["second"].field.text() == "5"


def test_an_impossible_set_point_is_refused_at_its_field(qtbot, desk, air):
    air.set_point()
    dialog = dialog_with_keys(qtbot, SetPointDialog)
    type_in(qtbot, dialog, "second", "116")
    keep(qtbot, dialog)
    settle(qtbot, desk)
    assert "above the dry bulb" in dialog.rows["second"].wrong
    assert dialog.rows["second"].field.text() == "116"
    assert current(desk.record.set_point) == []
    type_in(qtbot, dialog, "second", "")
    qtbot.keyClick(dialog.rows["second"].field, Qt.Key.Key_Delete)
    type_in(qtbot, dialog, "dry_bulb", "")
    qtbot.keyClick(dialog.rows["dry_bulb"].field, Qt.Key.Key_Delete)
    keep(qtbot, dialog)
    assert dialog.rows["dry_bulb"].wrong


def test_a_set_point_in_the_other_unit_is_asked_about_once(qtbot, desk, air):
    air.set_point()
    dialog = dialog_with_keys(qtbot, SetPointDialog)
    type_in(qtbot, dialog, "dry_bulb", "43")
    type_in(qtbot, dialog, "second", "41")
    keep(qtbot, dialog)
    settle(qtbot, desk)
    assert dialog.told.startswith(
        "Is that 43 °C? It would be 109.4 °F, near what the kiln is set to, 110 °F."
    )
    assert current(desk.record.set_point) == []
    keep(qtbot, dialog)
    settle(qtbot, desk)
    assert current(desk.record.set_point)[0].fact.dry_bulb == 43


def test_a_setting_too_dry_for_the_wood_is_asked_about_once(qtbot, desk, air):
    air.set_point()
    dialog = dialog_with_keys(qtbot, SetPointDialog)
    type_in(qtbot, dialog, "second", "80")
    keep(qtbot, dialog)
    settle(qtbot, desk)
    assert "much drier checks the wood." in dialog.told
    assert dialog.told.endswith(ANYHOW)
    assert current(desk.record.set_point) == []
    keep(qtbot, dialog)
    settle(qtbot, desk)
    assert current(desk.record.set_point)[0].fact.wet_bulb == 80


def test_the_form_shows_how_its_figures_were_worked_out(qtbot, air):
    air.set_point()
    dialog = dialog_with_keys(qtbot, SetPointDialog)
    qtbot.keyClick(dialog.row.figures[1], Qt.Key.Key_F2)
    working = dialog_with_keys(qtbot, AirWorkingDialog)
    assert working.lines[0].startswith("At 43.33 °C: W ")
    press(qtbot, ENTER)
    assert dialog_open() is dialog


def test_a_set_point_is_corrected_from_its_list_with_a_reason(qtbot, desk, air):
    put(
        qtbot,
        desk,
        SetPoint(desk.record.entity, dry_bulb=110, depression=4, temperature_unit=F),
        "2026-11-17 08:00",
    )
    air.set_points()
    listed = dialog_with_keys(qtbot, PickDialog)
    assert (
        listed.list.item(0).text() == "Tue 17 Nov, 08:00: 110 °F dry, 4 °F depression (RH 87 %, EMC 17.7 %)"
    )
    press(qtbot, ENTER)
    dialog = dialog_with_keys(qtbot, SetPointDialog)
    assert dialog.choice.value == "depression"
    type_in(qtbot, dialog, "second", "5")
    keep(qtbot, dialog)
    assert dialog.rows["reason"].wrong
    type_in(qtbot, dialog, "reason", "read from the wrong line")
    keep(qtbot, dialog)
    settle(qtbot, desk)
    (kept,) = current(desk.record.set_point)
    assert (kept.fact.depression, kept.version.reason) == (5, "read from the wrong line")
    assert "5 °F depression" in listed.list.item(0).text()


def test_a_reading_is_taken_back_from_its_list(qtbot, desk, air):
    put(
        qtbot,
        desk,
        AirReading(desk.record.entity, dry_bulb=110, wet_bulb=106, temperature_unit=F),
        "2026-11-24 08:00",
    )
    air.readings()
    listed = dialog_with_keys(qtbot, PickDialog)
    assert listed.list.item(0).text().startswith("yesterday, 08:00: 110 °F dry, 106 °F wet (RH 87 %")
    press(qtbot, Qt.Key.Key_Delete)
    why = dialog_with_keys(qtbot, ReasonDialog)
    type_in(qtbot, why, "reason", "the wick was dry")
    keep(qtbot, why)
    settle(qtbot, desk)
    assert current(desk.record.air_reading) == []
    assert desk.record.air_reading[0].newest.version.reason == "the wick was dry"
    assert listed.list.count() == 0


def test_an_odd_reading_in_the_form_is_asked_about_once(qtbot, desk, air):
    air.readings()
    dialog_with_keys(qtbot, PickDialog)
    press(qtbot, ENTER)  # the list is empty: its main button has the keys
    dialog = dialog_with_keys(qtbot, ReadingDialog)
    type_in(qtbot, dialog, "at", "2026-11-24 18:00")
    type_in(qtbot, dialog, "dry_bulb", "43")
    type_in(qtbot, dialog, "second", "41")
    keep(qtbot, dialog)
    settle(qtbot, desk)
    assert dialog.told.startswith("Is that 43 °C?")
    assert dialog.told.endswith(ANYHOW)
    assert current(desk.record.air_reading) == []
    keep(qtbot, dialog)
    settle(qtbot, desk)
    (kept,) = current(desk.record.air_reading)
    assert (kept.fact.dry_bulb, kept.at.text()[:16]) == (43, "2026-11-24 18:00")


def test_a_reading_is_corrected_with_its_sensor(qtbot, desk, air):
    describe_kiln(qtbot, desk, entering_sensor="door side", leaving_sensor="back wall")
    fact = AirReading(desk.record.entity, "door side", dry_bulb=110, rh_pct=80, temperature_unit=F)
    put(qtbot, desk, fact, "2026-11-25 07:00")
    air.readings()
    dialog_with_keys(qtbot, PickDialog)
    press(qtbot, ENTER)
    dialog = dialog_with_keys(qtbot, ReadingDialog)
    assert (dialog.rows["second"].field.text(), dialog.rows["second"].title.text()) == ("80", "RH, %")
    dialog.set_choice("sensor", "back wall")
    type_in(qtbot, dialog, "reason", "other sensor")
    keep(qtbot, dialog)
    settle(qtbot, desk)
    assert current(desk.record.air_reading)[0].fact.sensor == "back wall"


@pytest.mark.parametrize("kind", list(EventKind))
def test_every_kind_of_event_is_kept(qtbot, desk, air, kind):
    air.event()
    dialog = dialog_with_keys(qtbot, EventDialog)
    dialog.set_choice("kind", kind)
    lasts = not dialog.rows["state"].isHidden()
    water = not dialog.rows["value"].isHidden()
    assert water is (kind is EventKind.WATER_COLLECTED)
    assert HOT_KILN in dialog.caution
    if water:
        type_in(qtbot, dialog, "value", "12.5")
    type_in(qtbot, dialog, "note", "as planned")
    keep(qtbot, dialog)
    settle(qtbot, desk)
    if kind is EventKind.CONDITIONING:  # its boards are wet
        assert "equalizing ends when the wettest is at" in dialog.told
        keep(qtbot, dialog)
        settle(qtbot, desk)
    (kept,) = current(desk.record.event)
    assert kept.fact == Event(
        desk.record.entity,
        kind,
        EventState.START if lasts else None,
        12.5 if water else None,
        "kg" if water else None,
        "as planned",
    )


def test_what_was_begun_is_offered_to_be_ended(qtbot, desk, air):
    put(qtbot, desk, Event(desk.record.entity, EventKind.SPRAY, EventState.START), "2026-11-24 08:00")
    air.event()
    dialog = dialog_with_keys(qtbot, EventDialog)
    dialog.set_choice("kind", EventKind.SPRAY)
    assert dialog.rows["state"].field.currentText() == "spray off"
    dialog.set_choice("kind", EventKind.HEAT)
    assert dialog.rows["state"].field.currentText() == "heat on"
    assert LIVE_WIRES in dialog.caution


def test_equalizing_is_said_to_begin_or_end_and_a_second_beginning_is_asked_about(qtbot, desk, air):
    put(qtbot, desk, Event(desk.record.entity, EventKind.EQUALIZING, EventState.START), "2026-11-24 08:00")
    air.event()
    dialog = dialog_with_keys(qtbot, EventDialog)
    dialog.set_choice("kind", EventKind.EQUALIZING)
    field = dialog.rows["state"].field
    assert [field.itemText(row) for row in range(field.count())] == ["equalizing began", "equalizing ended"]
    assert field.currentText() == "equalizing ended"
    dialog.set_choice("state", EventState.START)
    keep(qtbot, dialog)
    settle(qtbot, desk)
    assert dialog.told.startswith("It is on already: equalizing began 2026-11-24 08:00")
    assert len(current(desk.record.event)) == 1
    keep(qtbot, dialog)
    settle(qtbot, desk)
    assert len(current(desk.record.event)) == 2
    assert desk.assessment.phase_since == at("2026-11-24 08:00")


def test_water_needs_an_amount_and_a_note_its_words(qtbot, desk, air):
    air.event()
    dialog = dialog_with_keys(qtbot, EventDialog)
    dialog.set_choice("kind", EventKind.WATER_COLLECTED)
    keep(qtbot, dialog)
    assert dialog.rows["value"].wrong
    dialog.set_choice("kind", EventKind.NOTE)
    keep(qtbot, dialog)
    assert dialog.rows["note"].wrong
    settle(qtbot, desk)
    assert current(desk.record.event) == []


def test_an_event_is_corrected_from_its_list(qtbot, desk, air):
    fact = Event(desk.record.entity, EventKind.WATER_COLLECTED, value=12.5, unit="kg", note="two buckets")
    put(qtbot, desk, fact, "2026-11-24 08:00")
    air.events()
    listed = dialog_with_keys(qtbot, PickDialog)
    assert listed.list.item(0).text() == "yesterday, 08:00, water collected 12.5 kg: two buckets"
    press(qtbot, ENTER)
    dialog = dialog_with_keys(qtbot, EventDialog)
    assert dialog.rows["value"].field.text() == "12.5"
    type_in(qtbot, dialog, "value", "21.5")
    type_in(qtbot, dialog, "reason", "turned digits")
    keep(qtbot, dialog)
    settle(qtbot, desk)
    assert current(desk.record.event)[0].fact.value == 21.5


def test_a_meter_reading_is_kept_with_its_wood_and_correction(qtbot, desk, air):
    put(qtbot, desk, Instrument("Pin meter", InstrumentKind.METER), "2026-11-01 08:00")
    put(qtbot, desk, Instrument("Bench scale", InstrumentKind.SCALE), "2026-11-01 08:00")
    air.meter()
    dialog = dialog_with_keys(qtbot, MeterDialog)
    assert HOT_WOOD in remarks(dialog)
    meters = dialog.rows["instrument"].field
    assert [meters.itemText(number) for number in range(meters.count())] == ["not said", "Pin meter"]
    meters.setCurrentIndex(1)
    board = next(entry for entry in current(desk.record.board) if entry.fact.board == "3")
    dialog.set_choice("board", board.entity)
    for column, text in (("reading_pct", "24.5"), ("corrected_pct", "21"), ("wood_temperature", "104")):
        type_in(qtbot, dialog, column, text)
    keep(qtbot, dialog)
    settle(qtbot, desk)
    (kept,) = current(desk.record.meter_check)
    meter = next(e for e in current(desk.record.instrument) if e.fact.instrument == "Pin meter")
    assert kept.fact == MeterCheck(desk.record.entity, board.entity, 24.5, meter.entity, 104, F, 21)
    air.meters()
    listed = dialog_with_keys(qtbot, PickDialog)
    assert listed.list.item(0).text() == "today, 07:46: board 3 24.5 %, wood at 104 °F, corrected 21 %"
    press(qtbot, ENTER)
    again = dialog_with_keys(qtbot, MeterDialog)
    assert again.rows["instrument"].field.currentText() == "Pin meter"
    type_in(qtbot, again, "reading_pct", "0")
    type_in(qtbot, again, "reason", "misread")
    keep(qtbot, again)
    assert again.rows["reading_pct"].wrong


def test_a_meter_reading_that_is_none_or_far_from_its_board_is_asked_about_once(qtbot, desk, air):
    desk.set_board_in_hand(current(desk.record.board)[0].entity)
    air.meter()
    dialog = dialog_with_keys(qtbot, MeterDialog)
    type_in(qtbot, dialog, "reading_pct", "350")
    keep(qtbot, dialog)
    settle(qtbot, desk)
    assert dialog.told.startswith("350.0 % is more than a meter shows")
    assert current(desk.record.meter_check) == []
    keep(qtbot, dialog)
    settle(qtbot, desk)
    assert current(desk.record.meter_check)[0].fact.reading_pct == 350


def test_water_beyond_what_the_lumber_had_is_asked_about_once(qtbot, desk, air):
    lot = next(line for line in desk.record.lot if line.current is not None)
    told = {"volume": 1000, "volume_unit": VolumeUnit.BOARD_FEET, "species": "northern red oak"}
    desk.do(correct, "lot", lot.entity, replace(lot.current.fact, **told), "told")
    settle(qtbot, desk)
    assert desk.assessment.water.left_out == ()
    air.event()
    dialog = dialog_with_keys(qtbot, EventDialog)
    dialog.set_choice("kind", EventKind.WATER_COLLECTED)
    type_in(qtbot, dialog, "value", "99000")
    keep(qtbot, dialog)
    settle(qtbot, desk)
    assert dialog.told.startswith("That makes 99,000 kg caught")
    assert current(desk.record.event) == []
    keep(qtbot, dialog)
    settle(qtbot, desk)
    assert current(desk.record.event)[0].fact.value == 99000


def test_temperatures_may_be_typed_with_their_unit(qtbot, desk, air):
    desk.set_board_in_hand(current(desk.record.board)[0].entity)
    air.meter()
    dialog = dialog_with_keys(qtbot, MeterDialog)
    type_in(qtbot, dialog, "reading_pct", "24.5")
    type_in(qtbot, dialog, "wood_temperature", "500C")
    keep(qtbot, dialog)
    assert dialog.rows["wood_temperature"].wrong
    type_in(qtbot, dialog, "wood_temperature", "40C")
    keep(qtbot, dialog)
    settle(qtbot, desk)
    (kept,) = current(desk.record.meter_check)
    assert (kept.fact.wood_temperature, kept.fact.temperature_unit) == (40, C)
    air.outside()
    outside = dialog_with_keys(qtbot, OutsideDialog)
    type_in(qtbot, outside, "dry_bulb", "-5 C")
    type_in(qtbot, outside, "rh_pct", "60")
    keep(qtbot, outside)
    settle(qtbot, desk)
    assert outside_from_setting(setting(desk, OUTSIDE)).dry_bulb_c == -5


def test_the_rule_for_equalizing_changes_from_a_time_on(qtbot, desk, air):
    air.end_rule()
    dialog = dialog_with_keys(qtbot, EndRuleDialog)
    # Kiln settings of Wengert's oak series and of Agriculture Handbook 188, for a target of 7 %.
    assert "begin when the driest board is at 5 %, keep an EMC of 5 %" in dialog.rule_words
    assert any("Hardwood at an EMC of 11 %, softwood at an EMC of 10 %" in text for text in remarks(dialog))
    assert any("Standing: memory." in text for text in remarks(dialog))
    assert HOT_KILN in remarks(dialog)
    dialog.set_choice("rule", "3 points below the target")
    assert "at 4 %, keep an EMC of 4 %" in dialog.rule_words
    keep(qtbot, dialog)
    settle(qtbot, desk)
    assert setting(desk, EQUALIZING) == "3 points below the target"
    with qtbot.waitSignal(desk.register_changed):
        desk.refresh_register()
    air.end_rule()
    dialog = dialog_with_keys(qtbot, EndRuleDialog)
    assert dialog.rows["rule"].field.value == "3 points below the target"
    dialog.set_choice("rule", "2 points below the target")
    keep(qtbot, dialog)
    settle(qtbot, desk)
    assert setting(desk, EQUALIZING) == "2 points below the target"
    line = next(line for line in desk.record.setting if line.newest.fact.setting == EQUALIZING)
    assert [entry.version.kind for entry in line.entries] == ["first", "change"]


def test_outside_air_is_typed_or_the_stated_default(qtbot, desk, air):
    air.outside()
    dialog = dialog_with_keys(qtbot, OutsideDialog)
    assert "taken for 59 °F, 70 % RH: common practice, no source." in remarks(dialog)[0]
    type_in(qtbot, dialog, "dry_bulb", "-4")
    type_in(qtbot, dialog, "rh_pct", "101")
    keep(qtbot, dialog)
    assert dialog.rows["rh_pct"].wrong
    type_in(qtbot, dialog, "rh_pct", "85")
    type_in(qtbot, dialog, "dry_bulb", "200")
    keep(qtbot, dialog)
    assert "has to lie between" in dialog.rows["dry_bulb"].wrong
    type_in(qtbot, dialog, "dry_bulb", "-4")
    keep(qtbot, dialog)
    settle(qtbot, desk)
    assert setting(desk, OUTSIDE) == "-4 F, 85 %"
    with qtbot.waitSignal(desk.register_changed):
        desk.refresh_register()
    air.outside()
    dialog = dialog_with_keys(qtbot, OutsideDialog)
    assert [dialog.rows[column].field.text() for column in ("dry_bulb", "rh_pct")] == ["-4", "85"]
    next(button for button in dialog.others if button.text() == "Back to the default").click()
    settle(qtbot, desk)
    assert setting(desk, OUTSIDE) is None
    assert dialog_open() is None


def test_all_of_a_kiln_is_written_and_corrected(qtbot, desk, appearance, air):
    dialog = KilnDialog(air.host, desk, appearance)
    dialog.open()
    dialog_with_keys(qtbot, KilnDialog)
    typed = {
        "kiln": "Loft",
        "altitude_m": "640",
        "exhaust_m3_per_h": "350",
        "entering_sensor": "door side",
        "leaving_sensor": "door side",
    }
    for column, text in typed.items():
        type_in(qtbot, dialog, column, text)
    dialog.set_choice("air_control", AirControl.HUMIDISTAT)
    dialog.set_choice("temperature_unit", "C")
    keep(qtbot, dialog)
    assert "Both sensors are called door side." in dialog.rows["leaving_sensor"].wrong
    type_in(qtbot, dialog, "leaving_sensor", "back wall")
    keep(qtbot, dialog)
    settle(qtbot, desk)
    with qtbot.waitSignal(desk.register_changed):
        desk.refresh_register()
    entry = next(entry for entry in desk.shared.kilns() if entry.fact.kiln == "Loft")
    described = Kiln(
        "Loft",
        air_control=AirControl.HUMIDISTAT,
        altitude_m=640,
        exhaust_m3_per_h=350,
        entering_sensor="door side",
        leaving_sensor="back wall",
        temperature_unit=C,
    )
    assert entry.fact == described
    again = KilnDialog(air.host, desk, appearance, entry)
    again.open()
    dialog_with_keys(qtbot, KilnDialog)
    type_in(qtbot, again, "exhaust_m3_per_h", "400")
    type_in(qtbot, again, "reason", "new fan")
    keep(qtbot, again)
    settle(qtbot, desk)
    with qtbot.waitSignal(desk.register_changed):
        desk.refresh_register()
    entry = next(entry for entry in desk.shared.kilns() if entry.fact.kiln == "Loft")
    assert entry.fact == replace(described, exhaust_m3_per_h=400)


@pytest.mark.parametrize("dialog_of", ["set_point", "event"])
@pytest.mark.parametrize(
    ("typed", "said"),
    [
        pytest.param("2027-11-25 07:40", "is still to come", id="next year"),
        pytest.param("2025-11-25 07:40", "is long before charge 2026-02 was loaded", id="last year"),
    ],
)
def test_a_time_far_off_is_asked_about_once(qtbot, desk, air, dialog_of, typed, said):
    getattr(air, dialog_of)()
    dialog = dialog_with_keys(qtbot, SetPointDialog if dialog_of == "set_point" else EventDialog)
    dialog.set_text("at", typed)
    keep(qtbot, dialog)
    settle(qtbot, desk)
    assert said in dialog.told
    assert current(getattr(desk.record, dialog_of)) == []
    keep(qtbot, dialog)
    settle(qtbot, desk)
    (kept,) = current(getattr(desk.record, dialog_of))
    assert kept.at.text().startswith(typed)


def test_a_meter_is_of_no_board_until_one_is_chosen(qtbot, desk, air):
    assert desk.board_in_hand is None
    air.meter()
    dialog = dialog_with_keys(qtbot, MeterDialog)
    assert dialog.focusWidget() is dialog.rows["board"].field
    type_in(qtbot, dialog, "reading_pct", "24.5")
    keep(qtbot, dialog)
    settle(qtbot, desk)
    assert dialog.rows["board"].wrong
    assert current(desk.record.meter_check) == []


def test_the_board_in_hand_is_proposed(qtbot, desk, air):
    board = next(entry for entry in current(desk.record.board) if entry.fact.board == "3")
    desk.set_board_in_hand(board.entity)
    air.meter()
    dialog = dialog_with_keys(qtbot, MeterDialog)
    assert dialog.rows["board"].field.currentText() == "3"
    assert dialog.focusWidget() is dialog.rows["reading_pct"].field


def test_a_setting_kept_twice_in_a_row_is_a_change_of_the_first(qtbot, desk, air):
    for rh in ("60", "70"):  # the register is not read anew between them
        air.outside()
        dialog = dialog_with_keys(qtbot, OutsideDialog)
        type_in(qtbot, dialog, "dry_bulb", "50")
        type_in(qtbot, dialog, "rh_pct", rh)
        keep(qtbot, dialog)
        desk._register_timer.stop()
        settle(qtbot, desk)
    assert setting(desk, OUTSIDE) == "50 F, 70 %"
    assert dialog_open() is None


@pytest.mark.parametrize("column", ["board", "temperature_unit"])
def test_the_wheel_rolls_the_page_and_changes_no_choice(qtbot, desk, air, column):
    desk.set_board_in_hand(current(desk.record.board)[0].entity)
    air.meter()
    field = dialog_with_keys(qtbot, MeterDialog).rows[column].field
    field.setFocus()
    before = field.value
    middle = QPointF(field.rect().center())
    none, plain = Qt.MouseButton.NoButton, Qt.KeyboardModifier.NoModifier
    for turned in (-120, 120):
        globally = QPointF(field.mapToGlobal(middle.toPoint()))
        phase = Qt.ScrollPhase.NoScrollPhase
        event = QWheelEvent(middle, globally, QPoint(0, 0), QPoint(0, turned), none, plain, phase, False)
        QApplication.sendEvent(field, event)
        assert field.value == before


def test_the_clock_alone_is_of_the_day_that_was_proposed(qtbot, desk, air):
    air.event()
    dialog = dialog_with_keys(qtbot, EventDialog)
    dialog.set_choice("kind", EventKind.DOOR)
    dialog.rows["at"].field.setText("6:05")
    keep(qtbot, dialog)
    settle(qtbot, desk)
    (event,) = current(desk.record.event)
    assert event.at.text()[:16] == "2026-11-25 06:05"


def test_water_and_venting_opens_from_the_menu_and_is_gone_through_by_keys(qtbot, desk, air):
    line = next(line for line in desk.record.lot if line.current is not None)
    put(
        qtbot,
        desk,
        Event(desk.record.entity, EventKind.WATER_COLLECTED, value=12.5, unit="kg"),
        "2026-11-20 09:00",
    )
    put(
        qtbot,
        desk,
        AirReading(desk.record.entity, dry_bulb=110.0, wet_bulb=102.0, temperature_unit=F),
        "2026-11-25 07:30",
    )
    assert line.current.fact.species == "red oak"
    command = next(one for one in air.commands() if one.text == "Water and &venting…")
    assert command.possible()
    command.run()
    dialog = dialog_with_keys(qtbot, WaterDialog)
    assert any(line.startswith("12.5 kg of water were collected, beside ") for line in dialog.lines)
    assert any("outside air" in line for line in dialog.lines)
    dialog.resize(560, 300)
    bar = dialog._area.verticalScrollBar()
    qtbot.waitUntil(lambda: bar.maximum() > 200)
    for key, moved in (
        (Qt.Key.Key_Down, lambda: 0 < bar.value() < 100),
        (Qt.Key.Key_PageDown, lambda: bar.value() > 100),
        (Qt.Key.Key_End, lambda: bar.value() == bar.maximum()),
        (Qt.Key.Key_Home, lambda: bar.value() == 0),
    ):
        press(qtbot, key)
        assert moved(), key
    press(qtbot, ENTER)
    assert dialog_open() is None


def test_a_kiln_in_feet_is_kept_in_metres(qtbot, desk, appearance, air):
    """1 ft = 0.3048 m and 1 ft³/min = 1.699011 m³/h (NIST SP 811, appendix B)."""
    dialog = KilnDialog(air.host, desk, appearance)
    dialog.open()
    dialog_with_keys(qtbot, KilnDialog)
    for column, typed in (("kiln", "Hill"), ("altitude_m", "820 ft"), ("exhaust_m3_per_h", "150 cfm")):
        type_in(qtbot, dialog, column, typed)
    keep(qtbot, dialog)
    settle(qtbot, desk)
    with qtbot.waitSignal(desk.register_changed):
        desk.refresh_register()
    kiln = next(entry.fact for entry in desk.shared.kilns() if entry.fact.kiln == "Hill")
    assert (kiln.altitude_m, kiln.exhaust_m3_per_h) == (249.936, 254.852)
    entry = next(entry for entry in desk.shared.kilns() if entry.fact.kiln == "Hill")
    again = KilnDialog(air.host, desk, appearance, entry)
    assert [again.rows[column].field.text() for column in ("altitude_m", "exhaust_m3_per_h")] == [
        "820 ft",
        "150 cfm",
    ]


@pytest.mark.parametrize("letter", ["F", "C"])
def test_the_letter_of_a_thermometer_chooses_it(qtbot, desk, appearance, air, letter):
    dialog = KilnDialog(air.host, desk, appearance)
    dialog.open()
    dialog_with_keys(qtbot, KilnDialog)
    field = dialog.rows["temperature_unit"].field
    field.setFocus()
    qtbot.keyClicks(field, letter.lower())
    assert field.value == letter
    dialog.reject()

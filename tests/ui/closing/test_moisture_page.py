"""Final readings typed at the keyboard: carried, asked about, refused, corrected, taken back; none is lost.

The mill and its readings are invented; figures are checked against Python's statistics module.
"""

from __future__ import annotations

import shutil
import statistics
from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication

from kilnlog.logbook.close_out_steps import Step
from kilnlog.logbook.final_readings import PACK, PIECE, READING, WOOD
from kilnlog.logbook.writing import correct, write
from kilnlog.records.charge import Charge
from kilnlog.records.lot import Lot
from kilnlog.records.version import current_entries
from kilnlog.records.words import ReadingKind, TemperatureRule, VolumeUnit
from kilnlog.store.errors import ChargeClosed
from kilnlog.ui.closing.limits_form import LimitsForm
from kilnlog.ui.closing.moisture_page import NO_LOT, Shown
from kilnlog.ui.closing.reading_form import ReadingForm
from kilnlog.ui.closing.series_form import SeriesForm
from kilnlog.ui.register.reason import ReasonDialog
from tests.ui.conftest import ZONE, at, dialog_open, dialog_with_keys, open_book

ALT, CTRL = Qt.KeyboardModifier.AltModifier, Qt.KeyboardModifier.ControlModifier


def press(qtbot, key, modifier=Qt.KeyboardModifier.NoModifier):
    qtbot.keyClick(QApplication.focusWidget(), key, modifier)


def keys(qtbot, text):
    qtbot.keyClicks(QApplication.focusWidget(), text)


def keep(qtbot, window, text):
    """A reading and Enter."""
    with qtbot.waitSignal(window.desk.saved):
        keys(qtbot, text)
        press(qtbot, Qt.Key.Key_Return)
    settled(qtbot, window)


def settled(qtbot, window):
    qtbot.waitUntil(lambda: not window.desk.operations.waiting)


def back(qtbot, window):
    """The window has the keys again once a dialog went."""
    qtbot.waitUntil(lambda: dialog_open() is None)
    window.activateWindow()
    qtbot.waitUntil(lambda: QApplication.focusWidget() is not None)


def readings(window):
    return [entry.fact for entry in current_entries(window.desk.record.final_reading)]


def shown(page):
    return [[cell.text for cell in line.cells] for line in page.meter.table.table.lines]


@pytest.fixture
def page(qtbot, window):
    """The page of charge 2026-02, whose one lot has limits."""
    lot = window.desk.record.lot[0]
    fact = replace(lot.newest.fact, limits_from="6 to 8 %, average 7")
    with qtbot.waitSignal(window.desk.record_changed):
        window.desk.do(correct, "lot", lot.entity, fact, "the order")
    window.register.close_out()
    window.register.closing.show_step(Step.FINAL_MOISTURE)
    return window.register.closing.page


def test_enter_keeps_a_reading_and_the_next_piece_is_proposed(qtbot, window, page):
    table = page.meter.table
    assert table.fields[READING].hasFocus()
    assert (table.texts[PIECE], table.texts[PACK]) == ("1", "")
    press(qtbot, Qt.Key.Key_Backtab)
    press(qtbot, Qt.Key.Key_Backtab)
    keys(qtbot, "2")  # the pack
    press(qtbot, Qt.Key.Key_Return)
    press(qtbot, Qt.Key.Key_Return)  # past the piece
    assert table.fields[READING].hasFocus()
    typed = (7.4, 7.0, 7.2, 8.4)
    for reading in typed:
        keep(qtbot, window, str(reading))
    assert [(one.pack, one.piece, one.reading_pct) for one in readings(window)] == [
        ("2", str(number), reading) for number, reading in enumerate(typed, 1)
    ]
    assert table.texts[PIECE] == "5"
    assert table.fields[READING].hasFocus()
    assert page.figures.figures["inside"].value == "3 of 4"
    assert page.figures.figures["mean"].value == f"{statistics.fmean(typed):.2f}"
    assert page.figures.figures["spread"].value == f"{statistics.stdev(typed):.2f}"
    assert "outside 6 to 8 %: 8.4 %" in page.plot.accessibleDescription()
    assert window.foot.said.startswith("Piece 4, 8.4 % read, saved")


def test_a_text_that_is_no_number_stays_and_its_field_is_named(qtbot, window, page):
    keys(qtbot, "seven")
    press(qtbot, Qt.Key.Key_Return)
    table = page.meter.table
    assert table.told.startswith("“seven” has characters that do not belong in a number.")
    assert table.texts[READING] == "seven"
    assert table.fields[READING].property("wrong")
    assert not window.desk.operations.waiting or not readings(window)
    keys(qtbot, "7.2")
    assert table.told == ""  # typed over, since it was chosen whole


def test_a_rule_asks_for_the_temperature_of_the_wood_and_it_is_carried(qtbot, window, page):
    press(qtbot, Qt.Key.Key_F8)
    form = dialog_with_keys(qtbot, SeriesForm)
    form.set_choice("temperature_rule", TemperatureRule.RULE_OF_THUMB.value)
    form.set_text("calibration_temperature", "70")
    form.set_text("species_correction_pct", "-0.6")
    form.set_text("depth", "1/4 in")
    press(qtbot, Qt.Key.Key_Return, CTRL)
    back(qtbot, window)
    table = page.meter.table
    keys(qtbot, "7.6")
    press(qtbot, Qt.Key.Key_Return)
    assert table.told == "“Wood” is empty. Fill it in."
    assert table.fields[WOOD].hasFocus()
    keep(qtbot, window, "60")
    assert table.texts[WOOD] == "60"
    keep(qtbot, window, "7.0")
    first, second = readings(window)
    assert (first.wood_temperature, second.wood_temperature, second.depth) == (60.0, 60.0, "1/4 in")
    # Wood Handbook FPL-GTR-190, chapter 13: half a point for each 10 F, added where the wood is colder.
    assert shown(page)[0][2:7] == ["7.6", "60", "+ 0.5", "− 0.6", "7.5"]


def test_how_it_is_read_is_kept_in_the_file_before_any_reading(qtbot, desk, window, page, tmp_path):
    press(qtbot, Qt.Key.Key_F8)
    form = dialog_with_keys(qtbot, SeriesForm)
    form.set_choice("kind", ReadingKind.PINLESS_METER.value)
    form.set_text("depth", "3/4 in")
    form.set_text("species_correction_pct", "-0.6")
    with qtbot.waitSignal(desk.saved):
        press(qtbot, Qt.Key.Key_Return, CTRL)
    back(qtbot, window)
    told = page.how.text()
    assert "3/4 in" in told
    settled(qtbot, window)
    open_book(qtbot, desk, Path(shutil.copy(desk.path, tmp_path / "taken along.kilnlog")))
    settled(qtbot, window)
    desk.take_in_hand(next(line.entity for line in desk.lines if line.number == "2026-02"))
    qtbot.waitUntil(lambda: desk.record is not None and desk.record.particulars.charge == "2026-02")
    window.register.close_out()
    window.register.closing.show_step(Step.FINAL_MOISTURE)
    assert page.how.text() == told
    keep(qtbot, window, "7.6")
    fact = readings(window)[-1]
    assert (fact.kind, fact.depth, fact.species_correction_pct) == (ReadingKind.PINLESS_METER, "3/4 in", -0.6)


def test_how_it_is_read_can_be_taken_back(qtbot, desk, window, page):
    before = page.how.text()
    press(qtbot, Qt.Key.Key_F8)
    form = dialog_with_keys(qtbot, SeriesForm)
    form.set_text("depth", "3/4 in")
    with qtbot.waitSignal(desk.saved):
        press(qtbot, Qt.Key.Key_Return, CTRL)
    back(qtbot, window)
    assert page.how.text() != before
    with qtbot.waitSignal(desk.saved):
        press(qtbot, Qt.Key.Key_Z, CTRL)
    assert page.how.text() == before


def test_above_thirty_is_asked_about_and_shown_as_over(qtbot, window, page):
    keys(qtbot, "76")
    press(qtbot, Qt.Key.Key_Return)
    assert "76 % is above 30 %" in page.meter.table.told
    assert readings(window) == []
    with qtbot.waitSignal(window.desk.saved):
        press(qtbot, Qt.Key.Key_Return)
    settled(qtbot, window)
    assert shown(page)[0][6] == "over 30"
    assert page.figures.figures["inside"].value == "0 of 1"
    assert page.figures.figures["mean"].value == "–"


def test_ctrl_z_drops_what_is_typed_first_and_then_takes_back_the_last_reading(qtbot, window, page):
    keep(qtbot, window, "7.4")
    keys(qtbot, "9")
    press(qtbot, Qt.Key.Key_Z, CTRL)
    assert page.meter.table.texts[READING] == ""
    assert len(readings(window)) == 1
    with qtbot.waitSignal(window.desk.saved):
        press(qtbot, Qt.Key.Key_Z, CTRL)
    settled(qtbot, window)
    assert readings(window) == []
    assert page.meter.table.texts[PIECE] == "1"


def test_a_kept_line_is_corrected_with_a_reason_and_taken_back(qtbot, window, page):
    keep(qtbot, window, "7.4")
    press(qtbot, Qt.Key.Key_Up)
    press(qtbot, Qt.Key.Key_Return)
    form = dialog_with_keys(qtbot, ReadingForm)
    form.set_text(READING, "7.9")
    form.set_text("reason", "misread")
    with qtbot.waitSignal(window.desk.saved):
        press(qtbot, Qt.Key.Key_Return, CTRL)
    back(qtbot, window)
    assert [one.reading_pct for one in readings(window)] == [7.9]
    page.meter.table.table.setFocus()
    press(qtbot, Qt.Key.Key_Delete)
    reason = dialog_with_keys(qtbot, ReasonDialog)
    reason.set_text("reason", "wrong piece")
    with qtbot.waitSignal(window.desk.saved):
        press(qtbot, Qt.Key.Key_Return)
    settled(qtbot, window)
    assert readings(window) == []


def test_what_is_typed_stays_with_its_lot(qtbot, window, page):
    record = window.desk.record
    with qtbot.waitSignal(window.desk.record_changed):
        window.desk.do(write, Lot(record.entity, "B", None, "red oak", "4/4", 100.0, VolumeUnit.BOARD_FEET))
    keys(qtbot, "7.1")
    press(qtbot, Qt.Key.Key_Down, ALT)
    assert page.lot.fact.lot == "B"
    assert page.meter.table.texts[READING] == ""
    assert window.register.unkept() == ("meter readings of lot A",)
    press(qtbot, Qt.Key.Key_Up, ALT)
    assert page.meter.table.texts[READING] == "7.1"
    keep(qtbot, window, "")
    assert readings(window)[0].lot == page.lot.entity
    assert window.register.unkept() == ()


def test_a_line_the_file_refuses_comes_back_as_typed(qtbot, window, page, monkeypatch):
    def refusing(*_):
        raise ChargeClosed(charge="2026-02")

    monkeypatch.setattr("kilnlog.ui.closing.readings_entry.write", refusing)
    keys(qtbot, "7.3")
    press(qtbot, Qt.Key.Key_Return)
    settled(qtbot, window)
    qtbot.waitUntil(lambda: bool(page.meter.table.told))
    assert page.meter.table.texts[READING] == "7.3"
    assert readings(window) == []


def test_a_refused_line_waits_above_where_the_next_is_typed_already(qtbot, window, page, monkeypatch):
    def refusing(*_):
        raise ChargeClosed(charge="2026-02")

    monkeypatch.setattr("kilnlog.ui.closing.readings_entry.write", refusing)
    keys(qtbot, "7.3")
    press(qtbot, Qt.Key.Key_Return)
    keys(qtbot, "7.8")  # before the answer came
    settled(qtbot, window)
    qtbot.waitUntil(lambda: any("not kept" in line[-1] for line in shown(page)))
    assert page.meter.table.texts[READING] == "7.8"
    monkeypatch.undo()
    keep(qtbot, window, "")
    press(qtbot, Qt.Key.Key_Up)
    press(qtbot, Qt.Key.Key_Return)  # the refused line comes into hand
    assert page.meter.table.texts[READING] == "7.3"


def test_oven_dried_pieces_stand_apart_and_pair_with_the_meter(qtbot, window, page):
    keep(qtbot, window, "7.4")
    page.turns[Shown.OVEN].setFocus()
    press(qtbot, Qt.Key.Key_Space)
    keys(qtbot, "107.0")
    press(qtbot, Qt.Key.Key_Return)
    keep(qtbot, window, "100.0")
    kinds = [one.kind for one in readings(window)]
    assert kinds == [ReadingKind.PIN_METER, ReadingKind.OVEN_DRY]
    # ASTM D4442's definition: (107 - 100) / 100 is 7.0 %; meter minus oven 0.4.
    assert page.oven.table.table.lines[0].cells[4].text == "7.0"
    assert page.figures.figures["mean"].value == "7.00"
    assert "Meter minus oven: piece 1 + 0.4." in page.remarks.text()
    assert "Pin meter, a series of its own: 1, mean 7.4 %." in page.remarks.text()


def test_sample_boards_are_shown_apart_and_typed_nowhere_here(qtbot, window, page):
    page.turn_to(Shown.BOARDS)
    assert page.entry is None
    assert [line.cells[0].text for line in page.boards.table.lines] == ["1", "2", "3", "4"]
    # (2900 / (3000 / 1.8) - 1) x 100 = 74.0, by the fixture's weights.
    assert {line.cells[1].text for line in page.boards.table.lines} == {"74.0"}


def test_limits_are_shown_read_back_and_changed_with_a_reason(qtbot, window, page):
    assert page.at_right.text() == "order: 6 to 8 %, average 7"
    press(qtbot, Qt.Key.Key_F7)
    form = dialog_with_keys(qtbot, LimitsForm)
    form.set_text("limits_from", "about dry")
    press(qtbot, Qt.Key.Key_Return, CTRL)
    assert form.rows["reason"].wrong
    form.set_text("reason", "the customer wrote again")
    press(qtbot, Qt.Key.Key_Return, CTRL)
    assert form.rows["limits_from"].wrong.startswith("“about dry”")
    form.set_text("limits_from", "7 ± 2")
    assert form.read_as.text().startswith("Read as: 5 to 9 %, target 7")
    with qtbot.waitSignal(window.desk.saved):
        press(qtbot, Qt.Key.Key_Return, CTRL)
    back(qtbot, window)
    assert page.at_right.text() == "order: 7 ± 2"
    assert window.desk.record.lot[0].newest.version.reason == "the customer wrote again"


def test_a_charge_without_a_lot_says_what_to_do_first(qtbot, window):
    entry = Charge("2026-30", ZONE, None, at("2026-11-20 08:00"), 7.0)
    made = []
    with qtbot.waitSignal(window.desk.saved):
        window.desk.do(write, entry, saying="made", done=made.append)
    qtbot.waitUntil(lambda: bool(made))
    window.desk.take_in_hand(made[0].entries[0].entity)
    qtbot.waitUntil(lambda: window.desk.record.particulars.charge == "2026-30")
    window.register.close_out()
    view = window.register.closing
    view.show_step(Step.FINAL_MOISTURE)
    assert view.page.remarks.text() == NO_LOT
    assert view.page.meter.table.line.isHidden()
    press(qtbot, Qt.Key.Key_Return)  # the keyboard is on the way on
    assert view.step is Step.STRESS

"""Where the keyboard is in a close-out after something was corrected, read in, or sealed."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication, QWidget

from kilnlog.logbook.close_out_steps import Step
from kilnlog.logbook.final_readings import READING
from kilnlog.logbook.writing import write_all
from kilnlog.records.final_reading import FinalReading
from kilnlog.records.probe_reading import ProbeReading
from kilnlog.records.words import ProbePlace, ReadingKind, TemperatureUnit
from kilnlog.ui.closing.limits_form import LimitsForm
from kilnlog.ui.closing.line_form import LineForm
from kilnlog.ui.closing.reading_form import ReadingForm
from tests.ui.closing.desk_of import enter, in_front, keys, lines, press, settle, shown
from tests.ui.conftest import at, dialog_with_keys

ALT, CTRL = Qt.KeyboardModifier.AltModifier, Qt.KeyboardModifier.ControlModifier
ENTER = Qt.Key.Key_Return


def read(qtbot, desk, view, many):
    """So many readings of the lot in front."""
    lot, charge = view.hand.lot.entity, view.hand.record.entity
    kind = ReadingKind.PIN_METER
    facts = [
        FinalReading(charge, lot, kind, "2", str(n), reading_pct=7.0 + n / 100) for n in range(1, many + 1)
    ]
    desk.do(write_all, [(fact, None) for fact in facts])
    settle(qtbot, desk)


def in_sight(table):
    """The first and the last line that can be seen."""
    rows = [
        n
        for n in range(len(table.lines))
        if table.viewport().rect().contains(table.visualRect(table.model().index(n, 1)).center())
    ]
    return rows[0], rows[-1]


def correct(qtbot, window, desk, kind, column, text):
    """Correct the line in hand in the list."""
    press(qtbot, ENTER)
    form = dialog_with_keys(qtbot, kind)
    form.set_text(column, text)
    form.set_text("reason", "misread")
    with qtbot.waitSignal(desk.saved):
        press(qtbot, ENTER, CTRL)
    in_front(qtbot, window)
    settle(qtbot, desk)


def test_after_a_correction_the_next_reading_goes_into_the_line_in_hand(qtbot, window, desk):
    view = shown(qtbot, window, Step.FINAL_MOISTURE)
    enter(qtbot, desk, "7.4")
    press(qtbot, Qt.Key.Key_Up)
    correct(qtbot, window, desk, ReadingForm, READING, "7.9")
    assert view.page.meter.table.fields[READING].hasFocus()
    enter(qtbot, desk, "7.1")
    facts = [entry.current.fact.reading_pct for entry in desk.record.final_reading]
    assert facts == [7.9, 7.1]


def test_after_a_stress_test_is_corrected_the_keys_are_on_the_next_line(qtbot, window, desk):
    view = shown(qtbot, window, Step.STRESS)
    enter(qtbot, desk, "casehardened", "", "", "")
    assert len(lines(view)) == 1
    press(qtbot, Qt.Key.Key_Up)
    correct(qtbot, window, desk, LineForm, "found", "reverse casehardened")
    assert any(field.hasFocus() for field in view.page.entry.table.fields.values())


def test_what_is_typed_with_the_keys_in_the_list_does_not_vanish(qtbot, window, desk):
    view = shown(qtbot, window, Step.FINAL_MOISTURE)
    enter(qtbot, desk, "7.4")
    press(qtbot, Qt.Key.Key_Up)
    assert view.page.meter.table.table.hasFocus()
    keys(qtbot, "7.1")
    assert view.page.meter.table.texts[READING] == "7.1"
    assert window.register.unkept() == ("meter readings of lot A",)
    press(qtbot, ENTER)
    settle(qtbot, desk)
    assert len(lines_of(view)) == 2


def lines_of(view):
    return view.page.meter.table.table.lines


def test_down_from_the_list_comes_to_the_reading_not_the_pack(qtbot, window, desk):
    view = shown(qtbot, window, Step.FINAL_MOISTURE)
    enter(qtbot, desk, "7.4")
    press(qtbot, Qt.Key.Key_Up)
    press(qtbot, Qt.Key.Key_Down)
    assert view.page.meter.table.fields[READING].hasFocus()


def test_the_line_corrected_stays_in_sight_and_so_does_the_newest(qtbot, window, desk):
    view = shown(qtbot, window, Step.FINAL_MOISTURE)
    read(qtbot, desk, view, 40)
    table = view.page.meter.table.table
    qtbot.waitUntil(lambda: in_sight(table)[1] == 39)
    assert in_sight(table)[0] > 20
    press(qtbot, Qt.Key.Key_Up)
    for _ in range(5):
        press(qtbot, Qt.Key.Key_Up)
    correct(qtbot, window, desk, ReadingForm, READING, "7.9")
    qtbot.wait(10)
    first, last = in_sight(table)
    assert first <= 34 <= last
    press(qtbot, Qt.Key.Key_Z, CTRL)
    settle(qtbot, desk)
    qtbot.wait(10)
    first, last = in_sight(table)
    assert first <= 34 <= last
    press(qtbot, Qt.Key.Key_Up)
    assert in_sight(table)[1] == 39


def test_keys_stay_in_the_close_out_where_their_field_went(qtbot, window, desk):
    view = shown(qtbot, window, Step.HEAT)
    qtbot.waitUntil(lambda: not view.page.entry.table.isHidden())
    window.activateWindow()
    view.page.take_keys()
    view.page.entry.table.take_keys()
    began, charge = at("2026-11-24 06:00"), view.hand.record.entity
    reading = [
        (ProbeReading(charge, "K1", ProbePlace.CORE, 20.0, TemperatureUnit.CELSIUS), began.plus_hours(n))
        for n in range(3)
    ]
    desk.do(write_all, reading)
    qtbot.waitUntil(view.page.entry.table.isHidden)
    settle(qtbot, desk)
    qtbot.waitUntil(lambda: view.isAncestorOf(QApplication.focusWidget()))
    press(qtbot, Qt.Key.Key_F6)
    assert view.before.isAncestorOf(QApplication.focusWidget())


def focusable(window):
    """What Qt gives the keys to once what had them went: the first of the window that takes any."""
    return next(
        one
        for one in window.findChildren(QWidget)
        if one.isVisible()
        and one.focusPolicy() & Qt.FocusPolicy.TabFocus
        and not window.register.isAncestorOf(one)
        and one is not window.register
    )


def test_keys_handed_elsewhere_when_a_dialog_went_come_back(qtbot, window, desk):
    view = shown(qtbot, window, Step.FINAL_MOISTURE)
    in_front(qtbot, window)
    view.page.take_keys()
    press(qtbot, Qt.Key.Key_F7)
    form = dialog_with_keys(qtbot, LimitsForm)
    focusable(window).setFocus()  # the window is behind: what had its keys was hidden there
    form.reject()
    in_front(qtbot, window)
    qtbot.waitUntil(view.page.meter.table.fields[READING].hasFocus)
    press(qtbot, Qt.Key.Key_Right, ALT)
    assert view.step is Step.STRESS


def test_keys_that_somebody_took_elsewhere_stay_there(qtbot, window, desk):
    view = shown(qtbot, window, Step.FINAL_MOISTURE)
    in_front(qtbot, window)
    view.page.take_keys()
    other = focusable(window)
    other.setFocus()
    qtbot.wait(10)
    assert other.hasFocus()

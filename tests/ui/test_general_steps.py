"""The handbook's general schedule, looked up and filled in at the keyboard, then kept as one's own."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication, QWidget

from kilnlog.logbook.writing import write
from kilnlog.records.schedule_step import ScheduleStep
from kilnlog.records.words import TemperatureUnit
from kilnlog.ui.look.buttons import QuietButton
from kilnlog.ui.look.labels import Wrapped
from kilnlog.ui.register.schedule_dialog import IN_ONE_UNIT, NONE_IN_HAND, OVER_TYPED, ScheduleDialog
from tests.ui.conftest import open_book

_DRY, _DEPRESSION = 3, 5


@pytest.fixture
def behind(qtbot):
    """What the dialog stands before, and goes with."""
    made = QWidget()
    qtbot.addWidget(made)
    return made


@pytest.fixture
def dialog(qtbot, desk, appearance, book_path, behind):
    open_book(qtbot, desk, book_path)
    made = ScheduleDialog(behind, desk, appearance)
    made.open()
    qtbot.waitExposed(made)
    return made


def look_up(qtbot, dialog, species, thickness):
    for column, text in (("general_species", species), ("general_thickness", thickness)):
        field = dialog.rows[column].field
        field.selectAll()
        qtbot.keyClicks(field, text)
    qtbot.mouseClick(dialog.general.button, Qt.MouseButton.LeftButton)


def cells(dialog, column):
    return [dialog.table.item(row, column).text() for row in range(dialog.table.rowCount())]


# T4-D2, the schedule of 4/4 red oak, merged by hand in tests/reference/test_schedules.py.
def test_the_general_steps_are_filled_in_with_their_standing(qtbot, dialog):
    look_up(qtbot, dialog, "northern red oak", "4/4")
    assert cells(dialog, 0) == ["", "50", "40", "35", "30", "25", "20", "15"]
    assert cells(dialog, 3) == ["110", "110", "110", "110", "120", "130", "140", "180"]
    assert cells(dialog, 4) == ["106", "105", "102", "96", "90", "80", "90", "130"]
    assert dialog.rows["schedule"].field.text() == "Northern red oak 4/4, handbook T4-D2"
    assert dialog.general.said.isVisible()
    assert "a default from memory, check it against your handbook" in dialog.general.said.text()
    assert "Dry Kiln Operator's Manual (1991)" in dialog.general.said.text()


def test_the_wet_bulb_can_be_kept_from_falling_below_90(qtbot, dialog):
    dialog.general._wet_bulb.set_value("modified")
    look_up(qtbot, dialog, "northern red oak", "4/4")
    assert cells(dialog, 4)[5] == "90"
    assert dialog.rows["schedule"].field.text() == "Northern red oak 4/4, handbook T4-D2 m"


def test_the_name_follows_another_look_up_but_never_over_what_was_typed(qtbot, dialog):
    look_up(qtbot, dialog, "northern red oak", "4/4")
    look_up(qtbot, dialog, "red alder", "8/4")
    assert dialog.rows["schedule"].field.text() == "Red alder 8/4, handbook T8-D3"
    dialog.rows["schedule"].field.clear()
    qtbot.keyClicks(dialog.rows["schedule"].field, "Ours")
    look_up(qtbot, dialog, "northern red oak", "4/4")
    assert dialog.rows["schedule"].field.text() == "Ours"


def test_a_softwood_is_refused_beside_its_name_and_nothing_is_filled_in(qtbot, dialog):
    look_up(qtbot, dialog, "baldcypress", "4/4")
    assert "is a softwood" in dialog.rows["general_species"].wrong
    assert cells(dialog, 3) == [""]


def test_a_thickness_not_listed_is_refused_beside_it(qtbot, dialog):
    look_up(qtbot, dialog, "northern red oak", "16/4")
    assert "4/4" in dialog.rows["general_thickness"].wrong
    look_up(qtbot, dialog, "northern red oak", "thick")
    assert dialog.rows["general_thickness"].wrong


def test_kept_it_is_a_schedule_of_ones_own(qtbot, desk, dialog):
    qtbot.keyClicks(dialog.rows["schedule"].field, "Oak as listed")
    look_up(qtbot, dialog, "northern red oak", "4/4")
    with qtbot.waitSignal(desk.saved):
        dialog.keep()
    qtbot.waitUntil(lambda: len(desk.shared.steps_of("Oak as listed")) == 8)
    steps = [entry.fact for entry in desk.shared.steps_of("Oak as listed")]
    assert [(step.dry_bulb, step.wet_bulb) for step in steps][:2] == [(110, 106), (110, 105)]
    assert {step.temperature_unit for step in steps} == {TemperatureUnit.FAHRENHEIT}


#: Cells typed (row, column, text), and where and why they are refused.
IMPOSSIBLE = [
    ([(1, 4, "115")], (1, 4), "above the dry bulb"),
    ([(1, 4, ""), (1, 5, "115")], (1, 5), "more than the dry bulb"),
    ([(1, 4, ""), (1, 5, "100")], (1, 5), "No air has this beside its dry bulb."),
    ([(2, 0, "50")], (2, 0), "It begins at 50 %, and the step before it at 50 %."),
    ([(2, 0, "60"), (2, 1, "")], (2, 0), "It begins at 60 %, and the step before it at 50 %."),
    ([(2, 1, "45")], (2, 1), "A step from 40 % cannot end at 45 %"),
]


@pytest.mark.parametrize(("typed", "where", "said"), IMPOSSIBLE)
def test_a_step_that_cannot_be_is_refused_at_its_cell(qtbot, desk, dialog, typed, where, said):
    look_up(qtbot, dialog, "northern red oak", "4/4")
    before = [dialog.table.item(row, column).text() for row, column, _ in typed]
    for row, column, text in typed:
        dialog.table.item(row, column).setText(text)
    dialog.keep()
    assert said in dialog.told
    assert dialog.told.startswith(f"Step {where[0] + 1}, ")
    assert (dialog.table.currentRow(), dialog.table.currentColumn()) == where
    assert dialog.table.item(*where).background().color().name() == desk_colour(dialog)
    for (row, column, _), text in zip(typed, before, strict=True):
        dialog.table.item(row, column).setText(text)
    with qtbot.waitSignal(desk.saved):
        dialog.keep()


def desk_colour(dialog):
    return dialog.appearance.tokens.act_bg.lower()


def test_a_refusal_is_gone_once_a_schedule_is_found(qtbot, dialog):
    dialog.set_text("general_species", "baldcypress")
    dialog.set_text("general_thickness", "4/4")
    dialog.general.look_up()
    assert dialog.rows["general_species"].wrong
    dialog.set_text("general_species", "northern red oak")
    dialog.general.look_up()
    assert dialog.rows["general_species"].wrong == ""


def test_steps_typed_by_hand_are_not_filled_over_unasked(qtbot, dialog):
    dialog.table.item(0, 3).setText("99")
    look_up(qtbot, dialog, "northern red oak", "4/4")
    assert cells(dialog, 3) == ["99"]
    assert dialog.told == OVER_TYPED
    qtbot.mouseClick(dialog.general.button, Qt.MouseButton.LeftButton)
    assert cells(dialog, 3)[:2] == ["110", "110"]
    assert dialog.told == ""
    dialog.table.item(0, 3).setText("111")  # adjusted: asked about again
    look_up(qtbot, dialog, "red alder", "8/4")
    assert cells(dialog, 3)[0] == "111"


def test_without_a_cell_in_hand_no_step_is_taken_out_and_it_says_so(qtbot, dialog):
    less = next(one for one in dialog.findChildren(QuietButton) if one.text() == "Take this step out")
    qtbot.mouseClick(less, Qt.MouseButton.LeftButton)
    assert dialog.table.rowCount() == 1
    assert dialog.told == NONE_IN_HAND
    dialog.table.setCurrentCell(0, 2)
    qtbot.mouseClick(less, Qt.MouseButton.LeftButton)
    assert (dialog.table.rowCount(), dialog.told) == (0, "")


def test_the_cell_still_open_is_kept_with_the_others(qtbot, desk, dialog):
    qtbot.waitUntil(dialog.isActiveWindow)
    dialog.set_text("schedule", "Ours")
    dialog.table.setFocus()
    dialog.table.setCurrentCell(0, _DRY)
    qtbot.keyClick(dialog.table, Qt.Key.Key_F2)
    editor = QApplication.focusWidget()
    qtbot.keyClicks(editor, "112")
    with qtbot.waitSignal(desk.saved):
        qtbot.keyClick(editor, Qt.Key.Key_Return, Qt.KeyboardModifier.ControlModifier)
    qtbot.waitUntil(lambda: len(desk.shared.steps_of("Ours")) == 1)
    assert desk.shared.steps_of("Ours")[0].fact.dry_bulb == 112


@pytest.fixture
def of_two_units(qtbot, desk, appearance, dialog, behind):
    """The first step written in °F, the second in °C; 50 °C is 122 °F, 5 degrees C are 9 degrees F."""
    dialog.reject()
    fahrenheit, celsius = TemperatureUnit.FAHRENHEIT, TemperatureUnit.CELSIUS
    for step in (
        ScheduleStep("Ours", 1, 100, dry_bulb=110, wet_bulb=106, temperature_unit=fahrenheit),
        ScheduleStep("Ours", 2, 40, dry_bulb=50, depression=5, temperature_unit=celsius),
    ):
        desk.do(write, step, desk.now())
    with qtbot.waitSignal(desk.register_changed):
        desk.refresh_register()
    qtbot.waitUntil(lambda: len(desk.shared.steps_of("Ours")) == 2)
    made = ScheduleDialog(behind, desk, appearance, "Ours")
    made.open()
    qtbot.waitExposed(made)
    return made


def test_steps_of_two_units_are_shown_in_one_and_that_is_said(of_two_units):
    assert cells(of_two_units, _DRY) == ["110", "122"]
    assert cells(of_two_units, _DEPRESSION) == ["", "9"]
    assert of_two_units.rows["temperature_unit"].field.value == "F"
    assert IN_ONE_UNIT.format(other="C", unit="F") in [
        remark.text() for remark in of_two_units.findChildren(Wrapped) if remark.isVisible()
    ]


def test_a_correction_is_marked_as_needing_its_reason_and_not_sent_without(qtbot, desk, of_two_units):
    assert of_two_units.rows["reason"].required
    of_two_units.keep()
    assert of_two_units.rows["reason"].wrong
    of_two_units.set_text("reason", "one unit for all")
    with qtbot.waitSignal(desk.saved):
        of_two_units.keep()
    qtbot.waitUntil(lambda: desk.shared.steps_of("Ours")[1].fact.dry_bulb == 122)
    assert {one.fact.temperature_unit for one in desk.shared.steps_of("Ours")} == {TemperatureUnit.FAHRENHEIT}

"""The charge register at the keyboard: found, sorted, chosen, opened; written, corrected, closed."""

import threading
from dataclasses import replace

import pytest
from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QFontMetricsF
from PySide6.QtWidgets import QApplication

from kilnlog.drying.finding import Severity
from kilnlog.logbook.close_out_steps import Step
from kilnlog.logbook.session import new_logbook
from kilnlog.logbook.writing import take_back, write
from kilnlog.records.instrument import Instrument
from kilnlog.records.lot import Lot
from kilnlog.records.version import current_entries
from kilnlog.records.words import InstrumentKind
from kilnlog.ui.closing.seal_dialog import SEALED, SealDialog
from kilnlog.ui.commands import MenuName
from kilnlog.ui.look.buttons import QuietButton
from kilnlog.ui.look.form import BEING_KEPT, Form
from kilnlog.ui.look.labels import Wrapped
from kilnlog.ui.look.painting import Mark
from kilnlog.ui.look.ruled import RuledTable
from kilnlog.ui.look.sizes import Role
from kilnlog.ui.register.charge_dialog import ChargeDialog
from kilnlog.ui.register.copy_dialog import CopyDialog
from kilnlog.ui.register.instrument_dialog import InstrumentDialog
from kilnlog.ui.register.kiln_dialog import KilnDialog
from kilnlog.ui.register.lots_dialog import LotDialog
from kilnlog.ui.register.model import Column, Filter, mark_of
from kilnlog.ui.register.pick import PickDialog
from kilnlog.ui.register.reason import ReasonDialog
from kilnlog.ui.register.rule_dialog import RuleDialog
from kilnlog.ui.register.schedule_dialog import ScheduleDialog
from tests.ui.conftest import NOW, dialog_open, dialog_with_keys, open_book


def press(qtbot, key, modifier=Qt.KeyboardModifier.NoModifier):
    qtbot.keyClick(QApplication.focusWidget(), key, modifier)


def type_text(qtbot, text):
    for letter in text:
        qtbot.keyClicks(QApplication.focusWidget(), letter)


def shown(window):
    return [line.number for line in window.register.model.lines]


def test_open_charges_stand_before_past_ones_and_the_first_is_in_hand(window):
    assert shown(window) == ["2026-02", "2026-03", "2026-01"]
    assert window.desk.record.particulars.charge == "2026-02"


@pytest.mark.parametrize(
    ("typed", "numbers"),
    [
        pytest.param("03", ["2026-03"], id="number"),
        pytest.param("north", ["2026-02", "2026-01"], id="kiln"),
        pytest.param("WALNUT", ["2026-03"], id="species, any case"),
        pytest.param("rowan ash", ["2026-01"], id="owner and species"),
        pytest.param("squeals", ["2026-02"], id="notes"),
        pytest.param("beech", [], id="nothing"),
    ],
)
def test_slash_searches_as_you_type(qtbot, window, typed, numbers):
    window.register.table.setFocus()
    type_text(qtbot, "/")
    assert QApplication.focusWidget() is window.register.search
    type_text(qtbot, typed)
    assert shown(window) == numbers
    assert window.register.search.text() == typed
    press(qtbot, Qt.Key.Key_Escape)
    assert len(shown(window)) == 3
    assert QApplication.focusWidget() is window.register.table


def test_filters_show_one_kind_and_count_all(qtbot, window):
    filters = window.register.filters
    assert [window.register.model.count(which) for which in Filter] == [3, 1, 1, 1]
    for which, numbers in (
        (Filter.RUNNING, ["2026-02"]),
        (Filter.PLANNED, ["2026-03"]),
        (Filter.PAST, ["2026-01"]),
    ):
        filters.choose(which)
        assert shown(window) == numbers
    filters._tabs[Filter.PAST].setFocus()
    press(qtbot, Qt.Key.Key_Left)
    assert filters.key == Filter.PLANNED


def test_sorting_keeps_open_charges_first(qtbot, window):
    window.register.table.setFocus()
    press(qtbot, Qt.Key.Key_S)
    assert window.register.model.sorted_by is Column.NUMBER
    assert shown(window) == ["2026-02", "2026-03", "2026-01"]
    press(qtbot, Qt.Key.Key_S, Qt.KeyboardModifier.ShiftModifier)
    assert shown(window) == ["2026-03", "2026-02", "2026-01"]
    window.register.table.horizontalHeader().sectionClicked.emit(Column.VOLUME)
    assert shown(window) == ["2026-03", "2026-02", "2026-01"]


def test_moving_takes_a_charge_in_hand_and_enter_opens_its_boards(qtbot, window):
    window.register.table.setFocus()
    with qtbot.waitSignal(window.desk.record_changed):
        press(qtbot, Qt.Key.Key_Down)
    assert window.desk.record.particulars.charge == "2026-03"
    assert window.windowTitle().startswith("2026-03")
    with qtbot.waitSignal(window.register.boards_asked):
        press(qtbot, Qt.Key.Key_Return)
    assert window.menu_row.tabs.number == 1


def test_marks_tell_state_and_urgency(window):
    running, planned, past = window.register.model.lines
    assert mark_of(past) is Mark.SEALED
    assert mark_of(planned) is None
    assert running.severity in (Severity.ACT, Severity.LOOK)
    assert mark_of(running) is {Severity.ACT: Mark.ACT, Severity.LOOK: Mark.LOOK}[running.severity]


def test_what_is_due_is_said_where_the_page_shows_two_lines(window):
    model = window.register.model
    said = model.index(0, Column.STATE).data(Qt.ItemDataRole.AccessibleTextRole)
    assert said == f"{model.lines[0].state_words}; {model.lines[0].due}"
    assert "4 boards to weigh" in said


def test_a_new_charge_is_typed_kept_and_its_lots_are_asked_for(qtbot, window):
    press(qtbot, Qt.Key.Key_N, Qt.KeyboardModifier.ControlModifier)
    dialog = dialog_with_keys(qtbot, ChargeDialog)
    assert dialog.rows["charge"].field.text() == "2026-04"
    dialog.rows["target_mc_pct"].field.setFocus()
    type_text(qtbot, "7.5")
    with qtbot.waitSignal(window.desk.saved) as saved:
        press(qtbot, Qt.Key.Key_Return, Qt.KeyboardModifier.ControlModifier)
    assert saved.args == ["Charge 2026-04"]
    qtbot.waitUntil(lambda: isinstance(dialog_open(), PickDialog))
    qtbot.waitUntil(lambda: "2026-04" in shown(window))
    assert window.desk.record.particulars.target_mc_pct == 7.5
    assert window.foot.said.startswith("Charge 2026-04, saved 07:46:02")
    dialog_open().reject()


def test_what_is_wrong_stands_beside_its_field_and_the_text_stays(qtbot, window):
    window.register.charge_commands.new()
    dialog = dialog_with_keys(qtbot, ChargeDialog)
    row = dialog.rows["target_mc_pct"]
    row.field.setFocus()
    type_text(qtbot, "1_0")
    dialog.rows["loaded_at"].field.setText("yesterday")
    dialog.keep()
    assert row.field.text() == "1_0"
    assert row.wrong
    assert dialog.rows["loaded_at"].wrong
    assert row.field.accessibleDescription() == row.wrong
    assert not window.desk.operations.waiting
    row.field.setFocus()
    type_text(qtbot, "5")
    assert not row.wrong
    dialog.reject()


def test_a_number_that_is_taken_is_refused_and_nothing_is_written(qtbot, window):
    before = window.desk.operations
    window.register.charge_commands.new()
    dialog = dialog_open()
    dialog.set_text("charge", "2026-02")
    dialog.keep()
    qtbot.waitUntil(lambda: before.waiting == 0)
    assert dialog.told or dialog.rows["charge"].wrong
    assert dialog.isVisible()
    assert shown(window) == ["2026-02", "2026-03", "2026-01"]
    dialog.reject()


def test_a_kiln_that_holds_a_charge_is_asked_about_once(qtbot, window):
    window.register.charge_commands.new()
    dialog = dialog_open()
    north = next(entry for entry in window.desk.shared.kilns() if entry.fact.kiln == "North shed")
    dialog.set_choice("kiln", north.entity)
    dialog.set_text("loaded_at", "2026-11-24 08:00")
    dialog.keep()
    qtbot.waitUntil(lambda: bool(dialog.told))
    assert "2026-02" in dialog.told
    assert len(shown(window)) == 3
    with qtbot.waitSignal(window.desk.saved):
        dialog.keep()
    qtbot.waitUntil(lambda: "2026-04" in shown(window))
    line = next(line for line in window.register.model.lines if line.number == "2026-04")
    assert any(finding.code == "two-charges-in-kiln" for finding in line.findings)
    qtbot.waitUntil(lambda: isinstance(dialog_open(), PickDialog))
    dialog_open().reject()


def test_a_correction_asks_why_and_keeps_both_versions(qtbot, window):
    window.register.charge_commands.correct()
    dialog = dialog_open()
    dialog.set_text("target_mc_pct", "8")
    dialog.keep()
    assert dialog.rows["reason"].wrong
    dialog.set_text("reason", "order says 8")
    with qtbot.waitSignal(window.desk.saved):
        dialog.keep()
    line = window.desk.record.charge[0]
    assert [entry.fact.target_mc_pct for entry in line.entries] == [7.0, 8.0]
    assert line.newest.version.reason == "order says 8"
    window.register.charge_commands.history()
    told = dialog_open().lines
    assert any("target MC, %: 7 → 8" in text and "order says 8" in text for text in told)
    dialog_open().reject()


def test_a_change_counts_from_its_own_time(qtbot, window):
    window.register.charge_commands.correct()
    dialog = dialog_open()
    dialog.set_text("target_mc_pct", "9")
    dialog.set_choice("kind", "change")
    dialog.set_text("since", "2026-11-24 10:00")
    with qtbot.waitSignal(window.desk.saved):
        dialog.keep()
    line = window.desk.record.charge[0]
    assert line.at(line.entries[0].at).fact.target_mc_pct == 7.0
    assert line.current.fact.target_mc_pct == 9.0


def test_a_lot_is_added_with_its_species_and_thickness(qtbot, window):
    LotDialog(window, window.desk, window.appearance, window.desk.record).open()
    dialog = dialog_open()
    assert dialog.rows["lot"].field.text() == "B"
    dialog.set_text("species", "white ash")
    dialog.set_text("thickness", "5/0")
    dialog.set_text("volume", "1,5")
    dialog.keep()
    assert dialog.rows["thickness"].wrong
    assert dialog.rows["volume"].wrong
    assert dialog.focusWidget() is dialog.rows["thickness"].field  # the upper one, though read later
    dialog.set_text("thickness", "4/4")
    dialog.set_text("volume", "150")
    # University of Kentucky Extension FOR-128, table 9: 4/4 white ash, at most 10.4 % a day
    assert "10.4 % a day" in dialog.published.text()
    with qtbot.waitSignal(window.desk.saved):
        dialog.keep()
    assert [line.newest.fact.lot for line in window.desk.record.lot] == ["A", "B"]


def test_taking_back_asks_for_a_reason(qtbot, window):
    window.register.charge_commands.lots()
    picker = dialog_open()
    picker.list.setCurrentRow(0)
    picker._take_back()
    asked = dialog_open()
    assert isinstance(asked, ReasonDialog)
    asked.keep()
    assert asked.rows["reason"].wrong
    asked.reject()
    picker.reject()
    assert not window.desk.record.lot[0].is_void


def go_to_seal(window):
    """The close-out's last heading, and its button."""
    window.register.close_out()
    window.register.closing.show_step(Step.SEAL)
    window.register.closing.page.seal.click()


def test_closing_seals_and_leaves_nothing_to_write(qtbot, window):
    go_to_seal(window)
    dialog = dialog_with_keys(qtbot, SealDialog)
    dialog.set_text("closing_reason", "the kiln is needed")
    dialog.keep()
    assert dialog.told.startswith("Charge 2026-02 is not unloaded.")  # a reason alone does not seal it
    qtbot.waitUntil(lambda: not window.desk.operations.waiting)  # the register is read meanwhile
    assert not window.desk.record.is_closed
    assert QApplication.focusWidget() is dialog.never_unloaded
    qtbot.waitUntil(lambda: not dialog.never_unloaded.visibleRegion().isEmpty())
    press(qtbot, Qt.Key.Key_Space)
    with qtbot.waitSignal(window.desk.saved):
        dialog.keep()
    assert window.desk.record.is_closed
    assert window.strip._control._rule.text() == "when closed"
    assert not window.desk.can_write
    window.activateWindow()
    qtbot.waitUntil(lambda: QApplication.focusWidget() is not None)
    press(qtbot, Qt.Key.Key_Escape)
    page = window.register.particulars
    assert page.correct_button.isHidden()
    assert page.lots_button.isHidden()
    qtbot.waitUntil(lambda: "2026-02" in [line.number for line in window.desk.lines if not line.is_open])


def test_copy_as_new_asks_for_the_number_and_plans_a_charge_like_it(qtbot, window):
    window.register.charge_commands.copy()
    dialog = dialog_with_keys(qtbot, CopyDialog)
    field = dialog.rows["charge"].field
    assert (field.text(), field.selectedText()) == ("2026-04", "2026-04")
    assert not window.desk.operations.waiting
    type_text(qtbot, "2026-02")
    press(qtbot, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: bool(dialog.rows["charge"].wrong))
    dialog.set_text("charge", "2026-04")
    with qtbot.waitSignal(window.desk.saved):
        press(qtbot, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: window.desk.record.particulars.charge == "2026-04")
    fact = window.desk.record.particulars
    assert (fact.loaded_at, fact.schedule, fact.target_mc_pct) == (None, "Oak, slow", 7.0)
    assert [line.newest.fact.species for line in window.desk.record.lot] == ["red oak"]


def test_an_empty_logbook_says_the_first_step(qtbot, window, tmp_path):
    path = tmp_path / "empty.kilnlog"
    new_logbook(path, clock=lambda: NOW).close()
    open_book(qtbot, window.desk, path)
    qtbot.waitUntil(window.register.empty.isVisible)
    assert window.register.keys() == (("Ctrl N", "new charge"),)
    with qtbot.waitSignal(window.register.empty.new_charge_asked):
        window.register.empty._button.click()
    assert isinstance(dialog_open(), ChargeDialog)
    dialog_open().reject()


def test_at_large_sizes_f4_turns_between_list_and_particulars(qtbot, window):
    window.appearance.set_size("largest")
    window.register.table.setFocus()
    assert window.register.particulars.isHidden()
    press(qtbot, Qt.Key.Key_F4)
    assert window.register.particulars.isVisible()
    assert not window.register.table.isVisible()
    window.appearance.set_size("regular")
    assert window.register.table.isVisible()
    assert window.register.particulars.isVisible()


def texts_of(dialog):
    return [text.text() for text in dialog.findChildren(Wrapped)]


def table_of(dialog):
    """What the table says to who cannot see it: a figure by its name."""
    told = dialog.findChild(RuledTable).accessibleDescription()
    lines = (line.removeprefix("Where it stands ") for line in told.split("; "))
    return {name.strip(): figure.strip() for name, _, figure in (line.rpartition(", ") for line in lines)}


@pytest.mark.parametrize(
    ("command", "column"), [("unloaded", "reason"), ("close_out", "closing_reason")], ids=["unload", "close"]
)
def test_a_charge_far_from_its_target_is_not_ended_without_a_reason(qtbot, window, command, column):
    go_to_seal(window) if command == "close_out" else window.register.charge_commands.unloaded()
    dialog = dialog_with_keys(qtbot, Form)
    told = table_of(dialog)
    # (2900 / (3000 / 1.8) - 1) x 100 = 74.0 for every board, by the fixture's weights
    assert told["Target"] == "7 %"
    assert told["Control, wettest half"] == "74.0 %"
    assert told["Wettest, board 1"] == "74.0 %"
    assert told["Not weighed in the last round"] == "none"
    open_ones = [one for one in window.desk.assessment.findings if not one.answered]
    assert told["Findings nobody answered"].partition(" ")[0] == str(len(open_ones))
    assert "Board 1 is 67.0 points above the target of 7 %." in texts_of(dialog)
    assert any("common practice, no source" in text for text in texts_of(dialog))
    assert dialog.rows[column].title.text() == "Why now *"
    press(qtbot, Qt.Key.Key_Return, Qt.KeyboardModifier.ControlModifier)
    assert dialog.rows[column].wrong == "“Why now” is empty. Fill it in."
    qtbot.waitUntil(lambda: not window.desk.operations.waiting)  # the register is read meanwhile
    assert not window.desk.record.is_closed
    assert window.desk.record.particulars.unloaded_at is None
    assert dialog_open() is dialog
    type_text(qtbot, "kiln needed")
    if command == "close_out":
        dialog.never_unloaded.click()
    with qtbot.waitSignal(window.desk.saved):
        press(qtbot, Qt.Key.Key_Return, Qt.KeyboardModifier.ControlModifier)
    assert dialog_open() is None


def test_before_closing_it_is_said_that_nothing_can_be_written_after(window):
    go_to_seal(window)
    dialog = dialog_open()
    assert SEALED in texts_of(dialog)
    dialog.reject()


def test_an_unloaded_charge_is_closed_without_a_tick(qtbot, window):
    test_unloading_stands_in_the_record_with_its_reason(qtbot, window)
    go_to_seal(window)
    dialog = dialog_open()
    assert dialog.never_unloaded is None
    dialog.set_text("closing_reason", "the customer came early")
    with qtbot.waitSignal(window.desk.saved):
        dialog.keep()
    assert window.strip._control._rule.text() == "at unloading"


def test_unloading_stands_in_the_record_with_its_reason(qtbot, window):
    window.register.charge_commands.unloaded()
    dialog = dialog_open()
    dialog.set_text("reason", "the customer came early")
    with qtbot.waitSignal(window.desk.saved):
        dialog.keep()
    entry = window.desk.record.charge[0].newest
    assert entry.fact.unloaded_at is not None
    assert entry.version.reason == "the customer came early"


def possible(window):
    """The commands of the Charge menu that can be chosen, without their marks."""
    commands = window.register.charge_commands.commands()
    chosen = [one for one in commands if one.menu is MenuName.CHARGE and one.possible()]
    return {one.text.replace("&", "").rstrip("…") for one in chosen}


def take_in_hand(qtbot, window, number):
    line = next(line for line in window.desk.lines if line.number == number)
    window.desk.take_in_hand(line.entity)
    qtbot.waitUntil(lambda: window.desk.record.particulars.charge == number)


def test_a_charge_taken_back_is_struck_not_counted_and_offers_nothing(qtbot, window):
    take_in_hand(qtbot, window, "2026-03")
    lot = window.desk.record.lot[0].entity
    window.desk.do(take_back, "lot", lot, "never ordered")
    qtbot.waitUntil(lambda: window.desk.record.lot[0].is_void)
    window.register.charge_commands.take_back()
    dialog_open().set_text("reason", "planned twice")
    dialog_open().keep()
    qtbot.waitUntil(lambda: "taken back" in [line.state_words for line in window.desk.lines])
    assert possible(window) == {"New charge", "Copy as new", "Versions of charge and lots"}
    page = window.register.particulars
    buttons = (page.boards_button, page.correct_button, page.lots_button, page.close_button)
    assert all(button.isHidden() for button in buttons)
    assert page._since.text().startswith("taken back")
    assert page._title.font().strikeOut()
    assert page._phases.isHidden()
    assert page._due.count() == 0
    assert sorted(shown(window)) == ["2026-01", "2026-02", "2026-03"]
    assert [window.register.model.count(which) for which in Filter] == [2, 1, 0, 1]
    assert window.register._summary.text().startswith("2 charges")
    line = next(line for line in window.register.model.lines if line.number == "2026-03")
    assert mark_of(line) is Mark.STRUCK_RING
    take_in_hand(qtbot, window, "2026-02")
    assert not page._title.font().strikeOut()
    assert page.boards_button.isVisible()


def test_an_unloaded_charge_says_that_it_is_not_closed_and_offers_that_first(qtbot, window):
    window.register.charge_commands.unloaded()
    dialog_open().set_text("reason", "the customer came early")
    dialog_open().keep()
    qtbot.waitUntil(lambda: "unloaded, not closed" in [line.state_words for line in window.desk.lines])
    page = window.register.particulars
    shown_buttons = [
        page._actions.itemAt(place).widget()
        for place in range(page._actions.count())
        if page._actions.itemAt(place).widget() is not None
    ]
    shown_buttons = [button.text() for button in shown_buttons if button.isVisible()]
    assert shown_buttons == ["Close out…", "Correct…", "Open boards"]
    with qtbot.waitSignal(window.register.boards_asked):
        page.read_boards_button.click()


def test_going_along_the_kilns_opens_nothing_and_leaving_the_new_one_keeps_the_choice(qtbot, window):
    window.register.charge_commands.new()
    dialog = dialog_with_keys(qtbot, ChargeDialog)
    kiln = dialog.rows["kiln"].field
    kiln.setFocus()
    names = [kiln.itemText(place) for place in range(kiln.count())]
    press(qtbot, Qt.Key.Key_Down)
    chosen = kiln.value
    assert chosen in [entry.entity for entry in window.desk.shared.kilns()]
    press(qtbot, Qt.Key.Key_End)
    assert kiln.currentText() == names[-1] == "another kiln…"
    assert dialog_open() is dialog
    press(qtbot, Qt.Key.Key_Tab)
    assert kiln.currentText() == names[1]
    kiln.setFocus()
    press(qtbot, Qt.Key.Key_Up)
    press(qtbot, Qt.Key.Key_Down)
    press(qtbot, Qt.Key.Key_End)
    press(qtbot, Qt.Key.Key_Return)
    dialog_with_keys(qtbot, KilnDialog)
    press(qtbot, Qt.Key.Key_Escape)
    assert dialog_open() is dialog
    assert (kiln.value, kiln.currentText()) == (chosen, names[1])


def test_a_new_kiln_clicked_in_the_list_is_chosen_once_it_is_kept(qtbot, window):
    window.register.charge_commands.new()
    dialog = dialog_with_keys(qtbot, ChargeDialog)
    kiln = dialog.rows["kiln"].field
    kiln.setFocus()
    kiln.showPopup()
    rows = kiln.view()
    qtbot.waitUntil(rows.isVisible)
    last = rows.visualRect(kiln.model().index(kiln.count() - 1, 0)).center()
    qtbot.mouseMove(rows.viewport(), last)
    qtbot.wait(
        QApplication.doubleClickInterval() + 50
    )  # Qt takes an early release for the opening click's own
    qtbot.mouseClick(rows.viewport(), Qt.MouseButton.LeftButton, pos=last)
    made = dialog_with_keys(qtbot, KilnDialog)
    made.set_text("kiln", "South shed")
    made.keep()
    qtbot.waitUntil(lambda: dialog_open() is dialog)
    assert kiln.currentText() == "South shed"
    assert kiln.value
    dialog.reject()


def test_the_entry_for_another_kiln_is_never_written(qtbot, window):
    window.register.charge_commands.new()
    dialog = dialog_with_keys(qtbot, ChargeDialog)
    dialog.rows["kiln"].field.setFocus()
    press(qtbot, Qt.Key.Key_End)
    with qtbot.waitSignal(window.desk.saved):
        press(qtbot, Qt.Key.Key_Return, Qt.KeyboardModifier.ControlModifier)
    qtbot.waitUntil(lambda: window.desk.record.particulars.charge == "2026-04")
    assert window.desk.record.particulars.kiln is None


def new_schedule(qtbot, window):
    ScheduleDialog(window, window.desk, window.appearance).open()
    dialog = dialog_with_keys(qtbot, ScheduleDialog)
    dialog.table.setFocus()
    return dialog, dialog.table


def cells(table):
    return [[table.item(row, column).text() for column in range(4)] for row in range(table.rowCount())]


def test_enter_goes_on_from_cell_to_cell_and_qt_has_no_complaint(qtbot, window, qtlog):
    _, table = new_schedule(qtbot, window)
    for text in ("100", "40", "0"):
        type_text(qtbot, text)
        press(qtbot, Qt.Key.Key_Return)
        QApplication.processEvents()
    assert cells(table) == [["100", "40", "0", ""]]
    assert (table.currentRow(), table.currentColumn()) == (0, 3)
    assert QApplication.focusWidget() is table
    told = [record.message for record in qtlog.records]
    assert not [message for message in told if "editor" in message]


def test_tab_goes_through_the_cells_and_out_of_the_table(qtbot, window):
    dialog, table = new_schedule(qtbot, window)
    for text in ("100", "40"):
        type_text(qtbot, text)
        press(qtbot, Qt.Key.Key_Tab)
        QApplication.processEvents()
    if table.state() is table.State.EditingState:
        press(qtbot, Qt.Key.Key_Escape)
    assert cells(table) == [["100", "40", "", ""]]
    table.setCurrentCell(0, table.columnCount() - 1)
    press(qtbot, Qt.Key.Key_Tab)
    assert QApplication.focusWidget() is dialog.findChildren(QuietButton)[1]
    assert QApplication.focusWidget().text() == "Another step"
    table.setFocus()
    table.setCurrentCell(0, 0)
    press(qtbot, Qt.Key.Key_Backtab)
    assert not table.hasFocus()
    assert table.rowCount() == 1


def test_tab_out_of_the_last_cell_keeps_what_was_typed_in_it(qtbot, window):
    _, table = new_schedule(qtbot, window)
    last = table.columnCount() - 1
    table.setCurrentCell(0, last)
    type_text(qtbot, "8")
    press(qtbot, Qt.Key.Key_Tab)
    QApplication.processEvents()
    assert table.item(0, last).text() == "8"
    assert not table.isAncestorOf(QApplication.focusWidget())
    assert QApplication.focusWidget() is not table


def test_the_cell_in_hand_can_be_seen(qtbot, window):
    _, table = new_schedule(qtbot, window)
    table.add()
    table.setCurrentCell(0, 1)
    QApplication.processEvents()
    ring = window.appearance.tokens.colour("focus")

    def ringed(row, column):
        rect = table.visualRect(table.model().index(row, column))
        image = table.viewport().grab(rect).toImage()
        return image.pixelColor(image.width() // 2, 1) == ring

    assert ringed(0, 1)
    assert not ringed(0, 2)
    assert not ringed(1, 1)


def test_an_empty_list_offers_only_the_new_one(qtbot, window, tmp_path):
    path = tmp_path / "empty.kilnlog"
    new_logbook(path, clock=lambda: NOW).close()
    open_book(qtbot, window.desk, path)
    window.register.charge_commands.instruments()
    dialog = dialog_with_keys(qtbot, PickDialog)
    assert [button.isEnabled() for button in dialog.others] == [False, False]
    assert "Nothing is written here yet." in [
        text.text() for text in dialog.findChildren(Wrapped) if text.isVisible()
    ]
    assert QApplication.focusWidget() is dialog.main
    press(qtbot, Qt.Key.Key_Space)
    made = dialog_with_keys(qtbot, InstrumentDialog)
    made.set_text("instrument", "bench scale")
    made.keep()
    qtbot.waitUntil(lambda: dialog.list.count() == 1)
    assert [button.isEnabled() for button in dialog.others] == [True, True]


def test_delete_on_a_line_asks_why(qtbot, window):
    window.register.charge_commands.kilns()
    dialog_with_keys(qtbot, PickDialog)
    press(qtbot, Qt.Key.Key_Delete)
    dialog_with_keys(qtbot, ReasonDialog)


def test_what_a_new_lot_proposes_is_typed_over(qtbot, window):
    LotDialog(window, window.desk, window.appearance, window.desk.record).open()
    dialog = dialog_with_keys(qtbot, LotDialog)
    assert dialog.rows["lot"].field.text() == "B"
    type_text(qtbot, "K")
    assert dialog.rows["lot"].field.text() == "K"
    assert "None ticked: all lots govern." in texts_of(dialog)


def test_lots_are_listed_by_label_and_the_next_free_one_is_offered(qtbot, window):
    desk = window.desk
    window.register.charge_commands.lots()
    picker = dialog_with_keys(qtbot, PickDialog)
    for label in ("C", "b"):
        desk.do(write, Lot(desk.record.entity, label))
    qtbot.waitUntil(lambda: picker.list.count() == 3)
    assert [picker.list.item(row).text()[0] for row in range(3)] == ["A", "b", "C"]
    press(qtbot, Qt.Key.Key_Return, Qt.KeyboardModifier.ControlModifier)
    dialog = dialog_with_keys(qtbot, LotDialog)
    assert dialog.rows["lot"].field.text() == "D"  # of what was written since the list was opened


def test_why_is_marked_where_it_is_required(qtbot, window):
    desk = window.desk
    entry = next(iter(current_entries(desk.record.lot)))
    lot = LotDialog(window, desk, window.appearance, desk.record, entry)
    assert lot.rows["reason"].title.text() == "Why is it corrected? *"
    desk.do(write, Instrument("Bench scale", InstrumentKind.SCALE))
    qtbot.waitUntil(lambda: bool(desk.shared.instrument))
    instrument = next(iter(current_entries(desk.shared.instrument)))
    form = InstrumentDialog(window, desk, window.appearance, instrument)
    assert form.rows["reason"].title.text() == "Why is it corrected? *"


@pytest.fixture
def held(window):
    """Keeps the worker busy until the test, or its end, lets it go."""
    gates = []

    def hold():
        gates.append(threading.Event())
        window.desk.operations.submit(lambda _, gate=gates[-1]: gate.wait(20))
        return gates[-1]

    yield hold
    for gate in gates:
        gate.set()


def settle(qtbot, window):
    qtbot.waitUntil(lambda: window.desk.operations.waiting == 0)
    QApplication.processEvents()


def test_a_charge_kept_twice_while_its_kiln_is_looked_up_is_written_once(qtbot, window, held):
    window.register.charge_commands.new()
    dialog = dialog_with_keys(qtbot, ChargeDialog)
    refused = []
    window.desk.refused.connect(refused.append)
    gate = held()
    press(qtbot, Qt.Key.Key_Return, Qt.KeyboardModifier.ControlModifier)
    press(qtbot, Qt.Key.Key_Return, Qt.KeyboardModifier.ControlModifier)
    dialog.keep()
    assert dialog.said.text() == BEING_KEPT
    gate.set()
    qtbot.waitUntil(lambda: "2026-04" in shown(window))
    settle(qtbot, window)
    assert shown(window).count("2026-04") == 1
    assert not refused


def test_a_charge_left_while_its_kiln_is_looked_up_is_kept(qtbot, window, held):
    window.register.charge_commands.new()
    dialog_with_keys(qtbot, ChargeDialog)
    gate = held()
    press(qtbot, Qt.Key.Key_Return, Qt.KeyboardModifier.ControlModifier)
    press(qtbot, Qt.Key.Key_Escape)
    assert dialog_open() is None
    QApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    with qtbot.waitSignal(window.desk.saved) as saved:
        gate.set()
    assert saved.args == ["Charge 2026-04"]
    qtbot.waitUntil(lambda: "2026-04" in shown(window))
    assert dialog_open() is None


@pytest.mark.parametrize(
    ("opened", "typed"),
    [
        pytest.param(lambda w: KilnDialog(w, w.desk, w.appearance), {"kiln": "South shed"}, id="kiln"),
        pytest.param(
            lambda w: InstrumentDialog(w, w.desk, w.appearance), {"instrument": "scale"}, id="instrument"
        ),
        pytest.param(lambda w: LotDialog(w, w.desk, w.appearance, w.desk.record), {"lot": "B"}, id="lot"),
        pytest.param(
            lambda w: RuleDialog(w, w.desk, w.appearance), {"own": "0.05 % in 4 h"}, id="rule for sections"
        ),
    ],
)
def test_keep_twice_in_any_particulars_writes_one_row(qtbot, window, held, opened, typed):
    dialog = opened(window)
    dialog.open()
    dialog = dialog_with_keys(qtbot, type(dialog))
    for column, text in typed.items():
        dialog.set_text(column, text)
    rows = []
    window.desk.operations.submit(lambda book: rows.append(book.file.ledger_head().number))
    gate = held()
    press(qtbot, Qt.Key.Key_Return, Qt.KeyboardModifier.ControlModifier)
    press(qtbot, Qt.Key.Key_Return, Qt.KeyboardModifier.ControlModifier)
    qtbot.mouseClick(dialog.main, Qt.MouseButton.LeftButton)
    gate.set()
    settle(qtbot, window)
    window.desk.operations.submit(lambda book: rows.append(book.file.ledger_head().number))
    settle(qtbot, window)
    assert rows[1] - rows[0] == 1
    assert dialog_open() is None


def test_a_reason_given_twice_is_handed_over_once(qtbot, window):
    reasons = []
    ReasonDialog(window, window.appearance, "Take back", "A lot.", reasons.append).open()
    dialog = dialog_with_keys(qtbot, ReasonDialog)
    type_text(qtbot, "typed twice")
    dialog.rows["reason"].field.returnPressed.emit()
    dialog.rows["reason"].field.returnPressed.emit()
    assert reasons == ["typed twice"]
    assert dialog_open() is None


def test_one_very_long_number_leaves_the_other_columns_their_room(qtbot, window):
    table, lines = window.register.table, window.register.model.all_lines
    before = {column: table.columnWidth(column) for column in (Column.KILN, Column.WHAT, Column.WHOSE)}
    long = replace(lines[0], number="2026-14 north kiln, second half, split after the storm of 9 November")
    window.register.model.set_lines((long, *lines[1:]))
    whole = QFontMetricsF(window.appearance.sizes.font(Role.STRONG)).horizontalAdvance(long.number)
    assert table.columnWidth(Column.NUMBER) < whole / 2
    for column, width in before.items():
        assert table.columnWidth(column) > 0.6 * width
    assert not table.isColumnHidden(Column.WAY)

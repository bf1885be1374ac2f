"""The weighing round at the keyboard: what is typed reaches the file as typed, or is asked about."""

from __future__ import annotations

from dataclasses import replace

import pytest
from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QApplication

from kilnlog.logbook.closing import close_charge
from kilnlog.logbook.figures import EMPTY
from kilnlog.logbook.weighing_round import keep_weight
from kilnlog.logbook.writing import change, write
from kilnlog.records.decision import Decision
from kilnlog.records.recut import Recut
from kilnlog.records.section import Section
from kilnlog.records.version import VersionKind
from kilnlog.reference.tables import load
from kilnlog.ui.look.painting import Mark
from kilnlog.ui.weighing_round.boards_view import BoardsView
from kilnlog.ui.weighing_round.model import Column
from kilnlog.ui.weighing_round.round_page import NOT_ASKED
from kilnlog.ui.weighing_round.typed import TypedState
from tests.ui.conftest import at, grams, open_book

ENTER = Qt.Key.Key_Return


@pytest.fixture
def view(qtbot, desk, appearance, book_path):
    made = BoardsView(desk, appearance)
    qtbot.addWidget(made)
    made.resize(1338, 630)
    made.show()
    qtbot.waitExposed(made)
    open_book(qtbot, desk, book_path)
    take_in_hand(qtbot, desk, "2026-02")
    made.setFocus()
    return made


def take_in_hand(qtbot, desk, number):
    line = next(line for line in desk.lines if line.number == number)
    with qtbot.waitSignal(desk.record_changed):
        desk.take_in_hand(line.entity)


def press(qtbot, key):
    qtbot.keyClick(QApplication.focusWidget(), key)


def type_line(qtbot, text):
    qtbot.keyClicks(QApplication.focusWidget(), text)
    press(qtbot, ENTER)


def settle(qtbot, desk):
    qtbot.waitUntil(lambda: desk.operations.waiting == 0)


def weighings(desk, label):
    board = next(board for board in desk.assessment.boards if board.board == label)
    return [line for line in desk.record.weighing if line.entries[0].fact.board == board.entity]


def line(view, label):
    return next(line for line in view.keeper.sheet.lines if line.board == label)


def test_number_pad_and_enter_weigh_the_whole_round(qtbot, desk, view):
    for typed in ("2801", "2790.5", "2805", "2799"):
        for character in typed:
            key = Qt.Key.Key_Period if character == "." else Qt.Key(ord(character))
            qtbot.keyClick(QApplication.focusWidget(), key, Qt.KeyboardModifier.KeypadModifier)
        qtbot.keyClick(QApplication.focusWidget(), Qt.Key.Key_Enter, Qt.KeyboardModifier.KeypadModifier)
    settle(qtbot, desk)
    kept = [weighings(desk, label)[-1].newest for label in ("1", "2", "3", "4")]
    assert [entry.fact.weight.text for entry in kept] == ["2801", "2790.5", "2805", "2799"]
    assert {entry.at.text() for entry in kept} == {"2026-11-25 07:46"}
    assert (view.keeper.sheet.weighed, view.keeper.sheet.to_weigh) == (4, 4)


def test_enter_goes_on_and_the_answer_stands_beside_the_weight(qtbot, desk, view):
    with qtbot.waitSignal(view.keeper.kept):
        type_line(qtbot, "2801")
    assert view.round_page.table.row == 1
    model = view.round_page.table.model()
    # (3000 g when cut at 80 % MC) / 1.8 = 1666.67 g oven-dry; 2801 / 1666.67 - 1 = 68.06 %
    assert model.text(0, Column.MC) == "68.1"
    assert model.text(0, Column.NOW) == "2,801"
    assert view.round_page.aloud.said.board == "1"
    assert view.round_page.aloud.said.figures[0][0] == "68.1"


def test_a_board_that_lost_nothing_is_not_called_steady(qtbot, desk, view):
    with qtbot.waitSignal(view.keeper.kept):
        type_line(qtbot, "2901")  # a gram above its last: noise of the scale, and asked about by nobody
    assert view.round_page.aloud.said.remark == "no loss"


def test_saved_is_said_only_after_the_file_holds_it(qtbot, desk, view):
    held = []
    desk.saved.connect(lambda _: held.append(len(weighings(desk, "1"))))
    with qtbot.waitSignal(desk.saved):
        type_line(qtbot, "2801")
    assert held == [2]


def test_a_gain_is_asked_about_and_nothing_is_kept(qtbot, desk, view):
    type_line(qtbot, "3280")
    settle(qtbot, desk)
    assert len(weighings(desk, "1")) == 1
    typed = view.keeper.stands(line(view, "1").entity)
    assert typed.state is TypedState.ASKED
    assert view.round_page.table.row == 0
    assert view.round_page.table.field.text() == "3280"
    assert view.round_page.table.slip.isVisible()
    assert view.round_page.table.model().mark(0, in_hand=True) is Mark.LOOK


def test_f7_takes_the_likely_truth_and_keeps_what_was_typed_beside_it(qtbot, desk, view):
    type_line(qtbot, "28.01")
    typed = view.keeper.stands(line(view, "1").entity)
    assert typed.likely is not None
    with qtbot.waitSignal(view.keeper.kept):
        press(qtbot, Qt.Key.Key_F7)
    fact = weighings(desk, "1")[-1].newest.fact
    assert (float(fact.weight.grams), fact.typed_first) == (2801.0, "28.01")


def test_f8_keeps_it_as_typed_with_a_reason_and_writes_the_decision(qtbot, desk, view):
    type_line(qtbot, "3280")
    press(qtbot, Qt.Key.Key_F8)
    press(qtbot, ENTER)  # no reason yet: nothing happens
    assert len(weighings(desk, "1")) == 1
    with qtbot.waitSignal(view.keeper.kept):
        type_line(qtbot, "rained on")
    assert weighings(desk, "1")[-1].newest.fact.weight.text == "3280"
    assert [decision.newest.fact.note for decision in desk.record.decision][-1] == "rained on"


def last_one_kept_with_a_reason(qtbot, desk):
    for typed in ("2801", "2802", "2803"):
        type_line(qtbot, typed)
    type_line(qtbot, "3280")
    press(qtbot, Qt.Key.Key_F8)
    type_line(qtbot, "rained on")
    settle(qtbot, desk)


def test_a_weight_typed_once_all_are_kept_is_not_taken_for_the_last_board_unasked(qtbot, desk, view):
    last_one_kept_with_a_reason(qtbot, desk)
    type_line(qtbot, "2810")  # of which board?
    settle(qtbot, desk)
    assert weighings(desk, "4")[-1].newest.fact.weight.text == "3280"
    assert view.keeper.stands(line(view, "4").entity).state is TypedState.ASKED
    assert view.round_page.table.slip.accessibleName().startswith("Board 4 has a weight of")
    with qtbot.waitSignal(view.keeper.kept):
        press(qtbot, Qt.Key.Key_F3)  # it corrects it
    assert weighings(desk, "4")[-1].newest.fact.weight.text == "2810"
    assert len(weighings(desk, "4")) == 2


def test_going_to_the_last_line_by_hand_and_typing_over_it_corrects_it_as_ever(qtbot, desk, view):
    last_one_kept_with_a_reason(qtbot, desk)
    press(qtbot, Qt.Key.Key_Up)
    press(qtbot, Qt.Key.Key_Down)
    with qtbot.waitSignal(view.keeper.kept):
        type_line(qtbot, "2810")
    assert weighings(desk, "4")[-1].newest.fact.weight.text == "2810"


def test_once_nothing_else_waits_the_line_still_asked_about_comes_in_hand(qtbot, desk, view):
    type_line(qtbot, "2801")
    type_line(qtbot, "3282")
    press(qtbot, Qt.Key.Key_Down)
    for typed in ("2803", "2804"):
        type_line(qtbot, typed)
    settle(qtbot, desk)
    assert view.round_page.table.row == 1
    assert view.round_page.table.slip.isVisible()


def test_enter_again_types_it_again(qtbot, desk, view):
    type_line(qtbot, "3280")
    press(qtbot, ENTER)
    assert view.keeper.stands(line(view, "1").entity) is None
    with qtbot.waitSignal(view.keeper.kept):
        type_line(qtbot, "2801")  # typed over the old text
    assert weighings(desk, "1")[-1].newest.fact.weight.text == "2801"


@pytest.mark.parametrize("typed", ["abc", "-5", "１２３", "1_000", "nan", "1e3"])
def test_what_is_no_weight_is_refused_and_stays_as_typed(qtbot, desk, view, typed):
    view.round_page.table.field.setText(typed)  # as pasted: not every sign has a key
    press(qtbot, ENTER)
    settle(qtbot, desk)
    assert view.keeper.stands(line(view, "1").entity).state is TypedState.REFUSED
    assert view.round_page.table.field.text() == typed
    assert len(weighings(desk, "1")) == 1


def test_a_text_that_reads_in_two_ways_is_asked_about(qtbot, desk, view):
    type_line(qtbot, "2,801")
    assert view.keeper.stands(line(view, "1").entity).readings == ("2801", "2.801")
    with qtbot.waitSignal(view.keeper.kept):
        press(qtbot, Qt.Key.Key_F3)
    weight = weighings(desk, "1")[-1].newest.fact.weight
    assert (weight.text, weight.g) == ("2,801", 2801.0)


def test_going_up_and_typing_over_corrects_the_line(qtbot, desk, view):
    with qtbot.waitSignal(view.keeper.kept):
        type_line(qtbot, "2801")
    press(qtbot, Qt.Key.Key_Up)
    assert view.round_page.table.field.text() == "2801"
    with qtbot.waitSignal(view.keeper.kept):
        type_line(qtbot, "2810")
    history = weighings(desk, "1")[-1]
    assert [entry.fact.weight.text for entry in history.entries] == ["2801", "2810"]
    assert history.newest.version.kind is VersionKind.CORRECTION
    assert history.newest.version.reason


def test_enter_on_an_unchanged_line_writes_nothing(qtbot, desk, view):
    with qtbot.waitSignal(view.keeper.kept):
        type_line(qtbot, "2801")
    press(qtbot, Qt.Key.Key_Up)
    press(qtbot, ENTER)
    settle(qtbot, desk)
    assert len(weighings(desk, "1")[-1].entries) == 1
    assert view.round_page.table.row == 1


def test_escape_drops_what_is_typed(qtbot, desk, view):
    qtbot.keyClicks(QApplication.focusWidget(), "28")
    press(qtbot, Qt.Key.Key_Escape)
    assert view.round_page.table.field.text() == ""


def test_an_empty_line_is_left_for_later(qtbot, desk, view):
    press(qtbot, ENTER)
    assert view.round_page.table.row == 1
    assert len(weighings(desk, "1")) == 1


def test_an_earlier_time_makes_a_late_entry_from_the_sheet(qtbot, desk, view):
    field = view.round_page.time_field
    field.setFocus()
    assert field.text() == "2026-11-25 07:46"
    field.selectAll()
    type_line(qtbot, "2026-11-24 07:30")
    with qtbot.waitSignal(view.keeper.kept):
        type_line(qtbot, "2820")
    entry = weighings(desk, "1")[-1].newest
    assert (entry.at, entry.fact.entered_late_from) == (at("2026-11-24 07:30"), "sheet")
    assert view.round_page.table.model().text(0, Column.SAYS) == "from sheet, 07:30"


def test_a_time_that_never_was_is_refused_beside_the_field(qtbot, desk, view):
    field = view.round_page.time_field
    field.setFocus()
    field.selectAll()
    with qtbot.waitSignal(field.refused):
        type_line(qtbot, "2026-03-08 02:30")
    assert field.text() == "2026-03-08 02:30"
    assert view.keeper.at == at("2026-11-25 07:46")


def test_undo_takes_the_weight_back_by_a_new_version(qtbot, desk, view):
    with qtbot.waitSignal(view.keeper.kept):
        type_line(qtbot, "2801")
    with qtbot.waitSignal(desk.record_changed):
        desk.undo("taken back")
    history = weighings(desk, "1")[-1]
    assert [entry.version.kind for entry in history.entries] == [VersionKind.FIRST, VersionKind.VOID]
    assert view.keeper.sheet.weighed == 0


def test_a_closed_charge_takes_no_weight(qtbot, desk, view):
    charge = desk.record.entity
    with qtbot.waitSignal(desk.record_changed):
        desk.do(close_charge, charge, desk.now(), "sold", load())
    assert view.round_page.table.field.isReadOnly()
    type_line(qtbot, "2801")
    settle(qtbot, desk)
    assert len(weighings(desk, "1")) == 1


def test_every_line_can_be_heard(qtbot, desk, view):
    with qtbot.waitSignal(view.keeper.kept):
        type_line(qtbot, "2801")
    model = view.round_page.table.model()
    heard = [model.data(model.index(0, column), Qt.ItemDataRole.AccessibleTextRole) for column in Column]
    assert "Board: 1" in heard
    assert "Weight now, g: 2,801" in heard
    assert "MC, %: 68.1" in heard


@pytest.mark.parametrize("size", ["regular", "large", "largest"])
def test_the_round_keeps_its_lines_at_every_text_size(qtbot, desk, view, appearance, size):
    appearance.set_size(size)
    table = view.round_page.table
    assert table.rowHeight(0) == appearance.sizes.line_h
    assert not table.isColumnHidden(Column.NOW)
    qtbot.waitUntil(lambda: table.isColumnHidden(Column.PLACE) == (size == "largest"))
    widths = sum(table.columnWidth(column) for column in Column if not table.isColumnHidden(column))
    assert widths <= table.viewport().width() + 1


def test_ctrl_z_in_the_field_is_left_to_the_window(qtbot, desk, view):
    field = view.round_page.table.field
    qtbot.keyClicks(field, "28")
    asked = QKeyEvent(QEvent.Type.ShortcutOverride, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    asked.ignore()  # as the window asks: a field that wants the key accepts it
    QApplication.sendEvent(field, asked)
    assert not asked.isAccepted()


def test_a_board_cut_in_this_round_waits_for_no_weight(qtbot, desk, view):
    entity = line(view, "1").entity
    fact = Recut(desk.record.entity, entity, grams("2801"), grams("85.0"), grams("2600"))
    with qtbot.waitSignal(desk.record_changed):
        desk.do(write, fact, at("2026-11-25 07:40"))
    model = view.round_page.table.model()
    assert (model.text(0, Column.NOW), model.text(0, Column.MC)) == ("2,600", "68.1")
    assert model.text(0, Column.SAYS) == "cut this round"
    assert (view.keeper.sheet.weighed, view.keeper.sheet.to_weigh) == (1, 4)
    assert model.next_waiting(-1) == 1


def test_each_asked_line_has_its_own_slip(qtbot, desk, view):
    type_line(qtbot, "7777")
    press(qtbot, Qt.Key.Key_Down)
    type_line(qtbot, "2,850")
    press(qtbot, Qt.Key.Key_Up)
    press(qtbot, Qt.Key.Key_F7)
    settle(qtbot, desk)
    kept = [one.newest.fact.weight for one in weighings(desk, "1")]
    assert 2850.0 not in [weight.g for weight in kept]


def test_sections_that_differ_are_told_on_the_line_before_and_after_it_is_weighed(qtbot, desk, view):
    board = next(board for board in desk.assessment.boards if board.board == "3")
    # The board's section A says 80 %; this one 100 x (90 / 45 - 1) = 100 %.
    other = Section(
        desk.record.entity, board.entity, "B", grams("90.0"), grams("45.0"), at("2026-11-17 08:00")
    )
    desk.do(write, other, at("2026-11-15 20:00"))
    settle(qtbot, desk)
    model = view.round_page.table.model()
    row = next(row for row in range(model.rowCount()) if model.line(row).board == "3")
    assert (model.text(row, Column.SAYS), model.mark(row, in_hand=False)) == ("sections differ", Mark.LOOK)
    decision = Decision(desk.record.entity, "sections-disagree", board_subject(desk), "B was the wet end")
    desk.do(write, decision, desk.now())
    settle(qtbot, desk)
    assert (model.text(row, Column.SAYS), model.mark(row, in_hand=False)) == ("", None)


def board_subject(desk):
    return next(one.subject for one in desk.assessment.findings if one.code == "sections-disagree")


def test_a_line_and_its_page_say_which_side_of_a_cut_they_speak_of(qtbot, desk, view):
    row = next(row for row in range(view.round_page.table.model().rowCount()) if board_at(view, row) == "3")
    entity = view.round_page.table.model().line(row).entity
    desk.do(keep_weight, desk.record.entity, entity, grams("2805"), at("2026-11-25 07:40"))
    desk.do(
        write,
        Recut(desk.record.entity, entity, grams("2800"), grams("85.0"), grams("2600")),
        at("2026-11-25 07:44"),
    )
    settle(qtbot, desk)
    desk.set_board_in_hand(entity)
    qtbot.waitUntil(lambda: view.board_page.sheet is not None and view.board_page.sheet.board == "3")
    model = view.round_page.table.model()
    # 3000 g at 80 % are 1666.67 g oven-dry: 2805 g were 68.3 %, 2800 g 68.0 %.
    assert (model.text(row, Column.NOW), model.text(row, Column.MC)) == ("2,805", "68.3")
    assert model.text(row, Column.SAYS) == "before the cut"
    assert (view.board_page.sheet.mc_of, view.board_page.sheet.mc) == ("MC at the recut", "68.0")


def board_at(view, row):
    return view.round_page.table.model().line(row).board


def test_of_an_unloaded_charge_no_weight_is_asked_for(qtbot, desk, view):
    assert view.round_page.aloud.said.remark == "put it on the scale, type the weight, Enter"
    fact = replace(desk.record.particulars, unloaded_at=desk.now().plus_hours(-1))
    desk.do(change, "charge", desk.record.entity, fact, desk.now().plus_hours(-1))
    settle(qtbot, desk)
    qtbot.waitUntil(lambda: view.round_page.aloud.said.remark == NOT_ASKED)
    model = view.round_page.table.model()
    expected = [model.index(row, Column.EXPECTED).data() for row in range(model.rowCount())]
    assert expected == [EMPTY] * model.rowCount()

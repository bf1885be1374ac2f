"""A typed weight, an answer and an undo are for what was meant, also when things change meanwhile."""

from __future__ import annotations

import shutil

import pytest
from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QApplication

from kilnlog.logbook.session import open_logbook
from kilnlog.logbook.writing import correct, take_back, write
from kilnlog.records.board import Board
from kilnlog.records.breakage import Breakage
from kilnlog.ui.board_dialogs.weighing_dialog import WeighingDialog
from kilnlog.ui.look.painting import Mark
from kilnlog.ui.notice import Notice
from kilnlog.ui.weighing_round.typed import TypedState
from tests.ui.boards import ENTER, press, settle, shown_view, type_in
from tests.ui.conftest import NOW, at, grams, open_book
from tests.ui.rounds import Clock, Held, kept, stands, type_line
from tests.ui.test_round_keeps_every_weight import fails


@pytest.fixture
def clock(desk):
    return Clock()


@pytest.fixture
def view(qtbot, desk, appearance, book_path, clock):
    made = shown_view(qtbot, desk, appearance, book_path)
    desk._clock = clock
    return made


def in_hand(qtbot, desk, number):
    with qtbot.waitSignal(desk.record_changed):
        desk.take_in_hand(next(line.entity for line in desk.lines if line.number == number))


def keep(qtbot, view, text):
    with qtbot.waitSignal(view.keeper.kept):
        type_line(qtbot, text)


def choose(qtbot, view, text):
    view.round_page.time_field.setFocus()
    view.round_page.time_field.selectAll()
    type_line(qtbot, text)


def test_another_board_on_the_lines_leaves_the_board_in_hand_in_hand(qtbot, desk, view):
    view.round_page.table.go_to(2)
    qtbot.keyClicks(QApplication.focusWidget(), "28")
    lot = desk.record.lot[0].entity
    with qtbot.waitSignal(desk.record_changed):
        desk.do(write, Board(desk.record.entity, "0", grams("3000"), lot), at("2026-11-20 08:00"))
    with qtbot.waitSignal(view.keeper.kept):
        type_line(qtbot, "05")
    assert kept(desk, "3")[-1][0] == "2805"
    assert len(kept(desk, "1")) == 1


@pytest.mark.parametrize("first", ["2801", "3280"])
def test_the_same_digits_typed_over_themselves_are_not_lost(qtbot, desk, view, first):
    if first == "3280":
        type_line(qtbot, first)  # asked about
    else:
        qtbot.keyClicks(QApplication.focusWidget(), first)
        press(qtbot, Qt.Key.Key_Down)
        press(qtbot, Qt.Key.Key_Up)
    qtbot.keyClicks(QApplication.focusWidget(), first)
    press(qtbot, Qt.Key.Key_Down)
    assert view.unkept() == (f"1 ({first})",)


def test_undo_while_two_are_on_their_way_means_the_newest_of_that_moment(qtbot, desk, view):
    held = Held(desk)
    type_line(qtbot, "2801")
    desk.undo("Taken back")  # means 2801
    type_line(qtbot, "2790")
    held.let_go()
    settle(qtbot, desk)
    assert [kept(desk, label)[-1][0] for label in ("1", "2")] == ["2900", "2790"]


def test_undo_twice_while_two_are_on_their_way_undoes_both(qtbot, desk, view):
    held = Held(desk)
    type_line(qtbot, "2801")
    type_line(qtbot, "2790")
    desk.undo("Taken back")
    desk.undo("Taken back")
    held.let_go()
    settle(qtbot, desk)
    assert [kept(desk, label)[-1][0] for label in ("1", "2")] == ["2900", "2900"]


def test_another_refusal_on_the_way_does_not_drop_the_undo(qtbot, desk, view):
    held = Held(desk)
    desk.do(fails)
    type_line(qtbot, "2801")
    desk.undo("Taken back")
    held.let_go()
    settle(qtbot, desk)
    assert kept(desk, "1")[-1][0] == "2900"


def test_what_undo_brought_back_can_be_undone_in_its_turn(qtbot, desk, view):
    keep(qtbot, view, "2801")
    entity = desk.record.weighing[-1].entity
    desk.do(take_back, "weighing", entity, "wrong board")
    settle(qtbot, desk)
    for left in ("2801", "2900"):
        desk.undo("Taken back")
        settle(qtbot, desk)
        assert kept(desk, "1")[-1][0] == left


def test_a_refused_weight_tried_again_the_next_morning_is_kept_for_its_own(
    qtbot, desk, view, clock, monkeypatch
):
    with monkeypatch.context() as full:
        full.setattr("kilnlog.ui.weighing_round.keeper.keep_weight", fails)
        type_line(qtbot, "2801")
        settle(qtbot, desk)
    clock.wait(hours=24)
    view.keeper.follow_clock()
    view.round_page.table.go_to(0)
    with qtbot.waitSignal(view.keeper.kept):
        press(qtbot, ENTER)
    assert kept(desk, "1")[-1] == ("2801", "2026-11-25 07:46")


@pytest.mark.parametrize(
    ("key", "time"), [(Qt.Key.Key_F3, "2026-11-25 07:46"), (Qt.Key.Key_F5, "2026-11-26 07:46")]
)
def test_digits_of_yesterday_are_asked_about(qtbot, desk, view, clock, key, time):
    qtbot.keyClicks(QApplication.focusWidget(), "2801")
    press(qtbot, Qt.Key.Key_Down)
    clock.wait(hours=24)
    view.keeper.follow_clock()
    view.round_page.table.go_to(0)
    press(qtbot, ENTER)
    assert stands(view, "1").error.code == "when-read"
    with qtbot.waitSignal(view.keeper.kept):
        press(qtbot, key)
    assert kept(desk, "1")[-1] == ("2801", time)


def test_the_chosen_time_stays_when_the_same_charge_is_read_anew(qtbot, desk, view):
    choose(qtbot, view, "2026-11-24 16:00")
    with qtbot.waitSignal(desk.record_changed):
        desk.reread()
    view.setFocus()
    keep(qtbot, view, "2820")
    assert kept(desk, "1")[-1] == ("2820", "2026-11-24 16:00")


def test_each_charge_has_its_own_time(qtbot, desk, view):
    choose(qtbot, view, "2026-11-24 16:00")
    in_hand(qtbot, desk, "2026-03")
    assert view.keeper.at == at("2026-11-25 07:46")
    in_hand(qtbot, desk, "2026-02")
    assert view.keeper.at == at("2026-11-24 16:00")


def test_a_weight_after_a_break_is_another_piece_of_wood(qtbot, desk, view, clock):
    keep(qtbot, view, "2801")
    entity = view.keeper.sheet.lines[0].entity
    clock.wait(minutes=5)
    broken = Breakage(desk.record.entity, entity, grams("2801"), grams("2700"), "a corner split off")
    with qtbot.waitSignal(desk.record_changed):
        desk.do(write, broken, at("2026-11-25 07:50"))
    clock.wait(minutes=5)
    view.round_page.table.go_to(0)
    keep(qtbot, view, "2699")
    assert [text for text, _ in kept(desk, "1")] == ["2900", "2801", "2699"]


@pytest.mark.parametrize(
    ("key", "weights"), [(Qt.Key.Key_F3, ["2900", "2799"]), (Qt.Key.Key_F5, ["2900", "2801", "2799"])]
)
def test_a_second_weight_of_a_board_an_hour_later_is_asked_about(qtbot, desk, view, clock, key, weights):
    keep(qtbot, view, "2801")
    clock.wait(minutes=70)
    view.round_page.table.go_to(0)
    type_line(qtbot, "2799")
    assert stands(view, "1").error.code == "weighed-again"
    with qtbot.waitSignal(view.keeper.kept):
        press(qtbot, key)
    assert [text for text, _ in kept(desk, "1")] == weights


def test_the_key_that_says_which_weighing_is_meant_pressed_twice_keeps_no_guess(qtbot, desk, view, clock):
    keep(qtbot, view, "2801")
    clock.wait(minutes=70)
    view.round_page.table.go_to(0)
    type_line(qtbot, "28.01")  # a decimal slip: 2801 would fit
    press(qtbot, Qt.Key.Key_F3)
    assert stands(view, "1").likely is not None
    for key in (Qt.Key.Key_F3, Qt.Key.Key_F5):
        press(qtbot, key)
    settle(qtbot, desk)
    assert [text for text, _ in kept(desk, "1")] == ["2900", "2801"]
    assert stands(view, "1").state is TypedState.ASKED


def test_the_same_figure_typed_an_hour_later_is_not_passed_over(qtbot, desk, view, clock):
    keep(qtbot, view, "2801")
    clock.wait(minutes=70)
    view.round_page.table.go_to(0)
    type_line(qtbot, "2801")
    assert stands(view, "1").error.code == "weighed-again"


def test_a_correction_by_another_door_does_not_end_the_saving_of_this_one(qtbot, desk, view):
    entity = view.keeper.sheet.lines[0].entity
    old = next(line.newest for line in desk.record.weighing if line.entries[0].fact.board == entity)
    held = Held(desk)
    fact = old.fact.__class__(old.fact.charge, old.fact.board, grams("2905"))
    desk.do(correct, "weighing", old.entity, fact, "misread")
    type_line(qtbot, "2801")
    states = []
    view.keeper.changed.connect(lambda: states.append(stands(view, "1") and stands(view, "1").state))
    held.let_go()
    settle(qtbot, desk)
    assert [text for text, _ in kept(desk, "1")] == ["2905", "2801"]
    assert states[0] is TypedState.SAVING
    assert stands(view, "1") is None


def test_a_copy_of_the_logbook_shows_nothing_of_what_is_typed_for_this_one(
    qtbot, desk, view, book_path, tmp_path
):
    qtbot.keyClicks(QApplication.focusWidget(), "2801")
    press(qtbot, Qt.Key.Key_Down)
    copy = tmp_path / "copy.kilnlog"
    shutil.copy(book_path, copy)
    with qtbot.waitSignal(desk.register_changed):
        desk.operations.open(lambda: open_logbook(copy, clock=lambda: NOW, who="mill"), desk.opened)
    in_hand(qtbot, desk, "2026-02")
    assert stands(view, "1") is None
    with qtbot.waitSignal(desk.register_changed):
        open_book(qtbot, desk, book_path)
    in_hand(qtbot, desk, "2026-02")
    assert stands(view, "1").text == "2801"


def test_what_time_alone_brings_is_worked_out_anew(qtbot, desk, view, clock):
    keep(qtbot, view, "2801")
    assert "board-missed" not in [finding.code for finding in desk.assessment.findings]
    clock.wait(days=2)
    with qtbot.waitSignal(desk.record_changed):
        desk.follow_clock()
    assert "board-missed" in [finding.code for finding in desk.assessment.findings]


def test_what_was_expected_follows_an_older_weight_moved_into_this_round(qtbot, desk, view):
    keep(qtbot, view, "2801")
    entity = view.keeper.sheet.lines[1].entity
    before = view.keeper.sheet.lines[1].expected_low_g
    old = next(line.newest for line in desk.record.weighing if line.entries[0].fact.board == entity)
    with qtbot.waitSignal(desk.record_changed):
        desk.do(correct, "weighing", old.entity, old.fact, "wrong day", at("2026-11-25 07:46"))
    assert view.keeper.sheet.lines[1].expected_low_g != before


def test_a_form_takes_nothing_more_while_it_is_being_kept(qtbot, desk, view, appearance):
    old = desk.record.weighing[0].newest
    dialog = WeighingDialog(view, desk, appearance, desk.record, old, "1")
    dialog.open()
    qtbot.waitUntil(dialog.isActiveWindow)
    type_in(qtbot, dialog, "weight", "2905")
    type_in(qtbot, dialog, "reason", "misread")
    held = Held(desk)
    dialog.keep()
    assert not dialog.rows["weight"].field.isEnabled()
    held.let_go()
    settle(qtbot, desk)
    assert kept(desk, "1")[0][0] == "2905"


def test_a_correction_that_cannot_be_right_is_asked_about(qtbot, desk, view, appearance):
    old = desk.record.weighing[0].newest
    dialog = WeighingDialog(view, desk, appearance, desk.record, old, "1")
    dialog.open()
    qtbot.waitUntil(dialog.isActiveWindow)
    type_in(qtbot, dialog, "weight", "3190")
    type_in(qtbot, dialog, "reason", "misread")
    dialog.keep()
    settle(qtbot, desk)
    assert kept(desk, "1")[0][0] == "2900"
    assert dialog.told
    dialog.keep()
    settle(qtbot, desk)
    assert kept(desk, "1")[0][0] == "3190"


def test_enter_held_down_keeps_one_line_only(qtbot, desk, view):
    qtbot.keyClicks(QApplication.focusWidget(), "2801")
    field = view.round_page.table.field
    for again in (False, True, True):
        event = QKeyEvent(QEvent.Type.KeyPress, ENTER, Qt.KeyboardModifier.NoModifier, "\r", again)
        QApplication.sendEvent(field, event)
    settle(qtbot, desk)
    assert view.round_page.table.row == 1


def test_a_reason_being_typed_keeps_its_keys_while_the_chosen_time_lapses(qtbot, desk, view, clock):
    choose(qtbot, view, "2026-11-24 16:00")
    type_line(qtbot, "3280")
    press(qtbot, Qt.Key.Key_F8)
    qtbot.keyClicks(QApplication.focusWidget(), "rai")
    clock.wait(hours=2)
    view.keeper.follow_clock()
    with qtbot.waitSignal(view.keeper.kept):
        type_line(qtbot, "ned on")
    assert kept(desk, "1")[-1] == ("3280", "2026-11-24 16:00")
    assert desk.record.decision[-1].newest.fact.note == "rained on"


def test_a_notice_stays_until_it_is_read_and_one_of_the_moment_does_not(qtbot, appearance):
    notice = Notice(appearance, Mark.ACT, "act_bg")
    qtbot.addWidget(notice)
    notice.tell("Board 5 was not kept.")
    notice.tell("Nothing to take back.", passing=True)
    notice.hide_passing()
    assert "Board 5" in notice.text
    notice.dismiss()
    notice.tell("Nothing to take back.", passing=True)
    assert notice.text == "Nothing to take back."
    notice.hide_passing()
    assert notice.text == ""


def test_another_time_for_the_round_does_not_move_what_was_typed_for_the_one_before(qtbot, desk, view):
    choose(qtbot, view, "2026-11-22 08:00")
    qtbot.keyClicks(QApplication.focusWidget(), "2840")
    choose(qtbot, view, "2026-11-23 08:00")
    view.round_page.table.go_to(0)
    press(qtbot, ENTER)
    assert stands(view, "1").error.code == "when-read"
    with qtbot.waitSignal(view.keeper.kept):
        press(qtbot, Qt.Key.Key_F3)
    assert kept(desk, "1")[-1] == ("2840", "2026-11-22 08:00")


def test_another_sheet_begins_at_its_first_line(qtbot, desk, view):
    keep(qtbot, view, "2801")
    keep(qtbot, view, "2790")
    choose(qtbot, view, "2026-11-24 08:00")
    assert view.round_page.table.row == 0


def test_a_time_to_come_is_refused_and_bars_the_weights(qtbot, desk, view):
    choose(qtbot, view, "2026-11-26 08:00")
    assert view.keeper.time.unread.code == "time-to-come"
    assert "still to come" in view.round_page.aloud.said.remark
    view.round_page.table.setFocus()
    type_line(qtbot, "2801")
    settle(qtbot, desk)
    assert len(kept(desk, "1")) == 1


def test_a_time_that_cannot_be_read_leaves_the_window_its_width(qtbot, desk, view):
    before = view.minimumSizeHint().width()
    choose(qtbot, view, "22 Nov")
    assert view.minimumSizeHint().width() <= before + 90  # a few words beside the field, no sentence


def test_undo_begins_with_what_stands_typed_on_the_line(qtbot, desk, view):
    keep(qtbot, view, "2801")
    qtbot.keyClicks(QApplication.focusWidget(), "27")
    assert view.drop_typed()
    assert view.round_page.table.field.text() == ""
    assert not view.drop_typed()
    assert kept(desk, "1")[-1][0] == "2801"


@pytest.mark.parametrize(
    ("key", "taken"), [(Qt.Key.Key_E, False), (Qt.Key.Key_K, False), (Qt.Key.Key_V, True)]
)
def test_ctrl_with_a_letter_in_the_field_is_left_to_the_menus(qtbot, desk, view, key, taken):
    asked = QKeyEvent(QEvent.Type.ShortcutOverride, key, Qt.KeyboardModifier.ControlModifier)
    asked.ignore()
    QApplication.sendEvent(view.round_page.table.field, asked)
    assert asked.isAccepted() is taken

"""No weight typed in the round is lost, kept twice, or kept for another board, time or logbook."""

from __future__ import annotations

import shutil

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication, QWidget

from kilnlog.logbook.changes import Changes
from kilnlog.logbook.session import open_logbook
from kilnlog.logbook.writing import correct, take_back, write
from kilnlog.records.withdrawal import Withdrawal
from kilnlog.store.errors import DiskFull
from kilnlog.ui.look.fields import is_wrong
from kilnlog.ui.look.painting import Mark
from kilnlog.ui.weighing_round.model import Column
from kilnlog.ui.weighing_round.typed import TypedState
from kilnlog.ui.window import MainWindow
from tests.ui.boards import ENTER, press, settle, shown_view
from tests.ui.conftest import NOW, Blank, at, grams, open_book
from tests.ui.rounds import Clock, Held, kept, stands, type_line


@pytest.fixture
def clock(desk):
    return Clock()


@pytest.fixture
def view(qtbot, desk, appearance, book_path, clock):
    made = shown_view(qtbot, desk, appearance, book_path)
    desk._clock = clock
    return made


@pytest.fixture
def held(desk, view):
    made = Held(desk)
    yield made
    made.let_go()


@pytest.mark.parametrize("way", ["down", "click", "board"])
def test_digits_left_without_enter_stand_on_their_line(qtbot, desk, view, way):
    table = view.round_page.table
    qtbot.keyClicks(QApplication.focusWidget(), "2801")
    if way == "down":
        press(qtbot, Qt.Key.Key_Down)
    elif way == "click":
        cell = table.visualRect(table.model().index(2, Column.BOARD)).center()
        qtbot.mouseClick(table.viewport(), Qt.MouseButton.LeftButton, pos=cell)
    else:
        desk.set_board_in_hand(view.keeper.sheet.lines[3].entity)
    assert table.row != 0
    assert stands(view, "1").state is TypedState.HALF
    model = table.model()
    assert model.text(0, Column.NOW) == "2801"
    assert model.text(0, Column.SAYS) == "typed, not kept"
    assert model.mark(0, in_hand=False) is Mark.LOOK
    assert view.unkept() == ("1 (2801)",)
    table.go_to(0)
    assert table.field.text() == "2801"
    with qtbot.waitSignal(view.keeper.kept):
        press(qtbot, ENTER)
    assert kept(desk, "1")[-1] == ("2801", "2026-11-25 07:46")
    assert view.unkept() == ()


def test_a_line_left_half_typed_is_come_back_to(qtbot, desk, view):
    qtbot.keyClicks(QApplication.focusWidget(), "28")
    press(qtbot, Qt.Key.Key_Down)
    for typed in ("2790", "2805", "2799"):
        with qtbot.waitSignal(view.keeper.kept):
            type_line(qtbot, typed)
    assert view.round_page.table.row == 0
    assert view.round_page.table.field.text() == "28"


def test_another_charge_in_hand_drops_nothing(qtbot, desk, view):
    first = desk.record.entity
    type_line(qtbot, "3280")  # asked about
    press(qtbot, Qt.Key.Key_Down)
    qtbot.keyClicks(QApplication.focusWidget(), "27")
    other = next(line.entity for line in desk.lines if line.number == "2026-03")
    for entity in (other, first):
        with qtbot.waitSignal(desk.record_changed):
            desk.take_in_hand(entity)
    assert stands(view, "1").state is TypedState.ASKED
    assert stands(view, "2").text == "27"


def test_an_asked_weight_answered_the_next_morning_is_kept_for_its_own(qtbot, desk, view, clock):
    type_line(qtbot, "3280")
    clock.wait(hours=24)
    view.keeper.follow_clock()
    press(qtbot, Qt.Key.Key_F8)
    with qtbot.waitSignal(view.keeper.kept):
        type_line(qtbot, "rained on")
    assert kept(desk, "1")[-1] == ("3280", "2026-11-25 07:46")


def test_a_weight_left_asked_does_not_hold_the_next_morning_back(qtbot, desk, view, clock):
    with qtbot.waitSignal(view.keeper.kept):
        type_line(qtbot, "2801")
    type_line(qtbot, "7777")
    clock.wait(hours=24)
    view.round_page.table.go_to(0)
    view.keeper.follow_clock()
    assert view.round_page.table.field.text() == ""
    with qtbot.waitSignal(view.keeper.kept):
        type_line(qtbot, "2760")
    assert kept(desk, "1")[-2:] == [("2801", "2026-11-25 07:46"), ("2760", "2026-11-26 07:46")]


def test_a_machine_that_slept_draws_the_sheet_up_before_it_keeps(qtbot, desk, view, clock):
    with qtbot.waitSignal(view.keeper.kept):
        type_line(qtbot, "2801")
    view.round_page.table.go_to(0)
    clock.wait(hours=24)  # no timer ticked
    with qtbot.waitSignal(view.keeper.kept):
        type_line(qtbot, "2760")
    assert kept(desk, "1")[-2:] == [("2801", "2026-11-25 07:46"), ("2760", "2026-11-26 07:46")]


def choose(qtbot, view, text):
    field = view.round_page.time_field
    field.setFocus()
    field.selectAll()
    type_line(qtbot, text)


def test_a_chosen_time_is_dropped_after_an_hour_and_the_first_weight_asks(qtbot, desk, view, clock):
    choose(qtbot, view, "2026-11-24 16:00")
    with qtbot.waitSignal(view.keeper.kept):
        type_line(qtbot, "2820")
    clock.wait(hours=23)
    type_line(qtbot, "2815")
    settle(qtbot, desk)
    assert stands(view, "2").error.code == "time-lapsed"
    assert kept(desk, "2")[-1][1] != "2026-11-24 16:00"
    with qtbot.waitSignal(view.keeper.kept):
        press(qtbot, ENTER)
    assert kept(desk, "1")[-1] == ("2820", "2026-11-24 16:00")
    assert kept(desk, "2")[-1] == ("2815", "2026-11-26 06:46")


def test_a_weight_at_the_scale_does_not_become_late_while_the_round_goes_on(qtbot, desk, view, clock):
    choose(qtbot, view, "2026-11-25 07:40")
    clock.wait(minutes=40)
    with qtbot.waitSignal(view.keeper.kept):
        type_line(qtbot, "2801")
    newest = desk.record.weighing[-1].newest
    assert (newest.at, newest.fact.entered_late_from) == (at("2026-11-25 07:40"), None)


def test_choosing_a_time_lets_what_was_asked_be_offered_anew(qtbot, desk, view):
    type_line(qtbot, "3280")
    choose(qtbot, view, "2026-11-24 16:00")
    assert stands(view, "1").state is TypedState.HALF
    assert view.round_page.table.field.text() == "3280"


def test_a_time_that_cannot_be_read_bars_the_weights_until_it_is_mended(qtbot, desk, view):
    field = view.round_page.time_field
    choose(qtbot, view, "2026-11-24 1600")
    view.round_page.table.setFocus()
    type_line(qtbot, "2801")
    settle(qtbot, desk)
    assert is_wrong(field)
    assert field.text() == "2026-11-24 1600"
    assert len(kept(desk, "1")) == 1
    assert stands(view, "1").state is TypedState.REFUSED
    choose(qtbot, view, "2026-11-24 16:00")
    assert view.round_page.table.field.text() == "2801"
    with qtbot.waitSignal(view.keeper.kept):
        press(qtbot, ENTER)
    assert kept(desk, "1")[-1] == ("2801", "2026-11-24 16:00")


def test_escape_drops_a_time_that_cannot_be_read(qtbot, desk, view):
    choose(qtbot, view, "2026-11-24 1600")
    press(qtbot, Qt.Key.Key_Escape)
    with qtbot.waitSignal(view.keeper.kept):
        type_line(qtbot, "2801")
    assert kept(desk, "1")[-1] == ("2801", "2026-11-25 07:46")


def test_a_second_enter_while_the_first_is_being_kept_writes_once(qtbot, desk, view, held):
    type_line(qtbot, "2801")
    press(qtbot, Qt.Key.Key_Up)
    type_line(qtbot, "2810")
    held.let_go()
    settle(qtbot, desk)
    assert kept(desk, "1")[-1][0] == "2801"
    assert len(kept(desk, "1")) == 2
    assert view.round_page.table.field.text() == "2810"
    with qtbot.waitSignal(view.keeper.kept):
        press(qtbot, ENTER)  # now it overrules the one kept
    assert [text for text, _ in kept(desk, "1")][1:] == ["2810"]


def test_what_is_typed_over_a_weight_being_kept_stands_after_it(qtbot, desk, view, held):
    type_line(qtbot, "2801")
    press(qtbot, Qt.Key.Key_Up)
    qtbot.keyClicks(QApplication.focusWidget(), "28")
    press(qtbot, Qt.Key.Key_Down)
    held.let_go()
    settle(qtbot, desk)
    assert kept(desk, "1")[-1][0] == "2801"
    assert stands(view, "1").text == "28"


def test_a_correction_by_another_door_stands_in_the_field(qtbot, desk, view):
    for typed in ("2801", "2790", "2805", "2799"):
        with qtbot.waitSignal(view.keeper.kept):
            type_line(qtbot, typed)
    settle(qtbot, desk)
    table = view.round_page.table
    assert (table.row, table.field.text()) == (3, "2799")
    entry = desk.record.weighing[-1].newest
    with qtbot.waitSignal(desk.record_changed):
        desk.do(
            correct,
            "weighing",
            entry.entity,
            entry.fact.__class__(entry.fact.charge, entry.fact.board, grams("2798")),
            "misread",
        )
    assert table.field.text() == "2798"
    press(qtbot, ENTER)
    settle(qtbot, desk)
    assert kept(desk, "4")[-1][0] == "2798"


def fails(*_, **__) -> Changes:
    raise DiskFull(path="mill.kilnlog")


def test_a_refusal_for_a_charge_out_of_hand_is_told_and_its_weight_stands(
    qtbot, desk, view, held, monkeypatch
):
    monkeypatch.setattr("kilnlog.ui.weighing_round.keeper.keep_weight", fails)
    first = desk.record.entity
    told = []
    desk.refused.connect(told.append)
    other = next(line.entity for line in desk.lines if line.number == "2026-03")
    desk.take_in_hand(other)  # it comes in hand before the weight has its turn
    type_line(qtbot, "2801")
    held.let_go()
    settle(qtbot, desk)
    assert desk.record.entity == other
    assert [error.code for error in told] == ["weight-not-kept"]
    told.clear()
    with qtbot.waitSignal(desk.record_changed):
        desk.take_in_hand(first)
    assert stands(view, "1").state is TypedState.REFUSED
    view.hide()
    view.round_page.table.go_to(0)
    view.round_page.table._enter()
    settle(qtbot, desk)
    assert [(error.code, error.values["board"]) for error in told] == [("weight-not-kept", "1")]


def test_a_refused_weight_can_be_tried_again(qtbot, desk, view, monkeypatch):
    with monkeypatch.context() as full:
        full.setattr("kilnlog.ui.weighing_round.keeper.keep_weight", fails)
        type_line(qtbot, "2801")
        settle(qtbot, desk)
    assert stands(view, "1").state is TypedState.REFUSED
    view.round_page.table.go_to(0)
    with qtbot.waitSignal(view.keeper.kept):
        press(qtbot, ENTER)
    assert kept(desk, "1")[-1][0] == "2801"


def test_a_weight_typed_while_another_logbook_opens_does_not_go_into_it(
    qtbot, desk, view, held, book_path, tmp_path
):
    copy = tmp_path / "copy.kilnlog"
    shutil.copy(book_path, copy)
    told = []
    desk.refused.connect(told.append)
    desk.operations.open(lambda: open_logbook(copy, clock=lambda: NOW, who="mill"), desk.opened)
    type_line(qtbot, "2801")
    with qtbot.waitSignal(desk.register_changed):
        held.let_go()
    settle(qtbot, desk)
    desk.take_in_hand(next(line.entity for line in desk.lines if line.number == "2026-02"))
    qtbot.waitUntil(lambda: desk.record is not None and desk.record.particulars.charge == "2026-02")
    assert len(kept(desk, "1")) == 1
    assert [error.code for error in told] == ["weight-not-kept"]
    assert "mill.kilnlog" in told[0].values["reason"]


def test_undo_waits_for_the_weight_being_kept(qtbot, desk, view):
    with qtbot.waitSignal(view.keeper.kept):
        type_line(qtbot, "2801")
    held = Held(desk)
    type_line(qtbot, "2790")
    desk.undo("Taken back")
    held.let_go()
    settle(qtbot, desk)
    assert [kept(desk, label)[-1][0] for label in ("1", "2")] == ["2801", "2900"]


def test_undo_after_a_refusal_leaves_the_one_before(qtbot, desk, view, monkeypatch):
    with qtbot.waitSignal(view.keeper.kept):
        type_line(qtbot, "2801")
    monkeypatch.setattr("kilnlog.ui.weighing_round.keeper.keep_weight", fails)
    held = Held(desk)
    type_line(qtbot, "2790")
    desk.undo("Taken back")
    held.let_go()
    settle(qtbot, desk)
    monkeypatch.undo()
    with qtbot.waitSignal(view.keeper.kept):
        type_line(qtbot, "2805")  # the undo that was asked for does not wait for the next
    settle(qtbot, desk)
    assert [kept(desk, label)[-1][0] for label in ("1", "3")] == ["2801", "2805"]


def test_undo_goes_back_through_a_line_typed_twice(qtbot, desk, view):
    with qtbot.waitSignal(view.keeper.kept):
        type_line(qtbot, "2801")
    press(qtbot, Qt.Key.Key_Up)
    with qtbot.waitSignal(view.keeper.kept):
        type_line(qtbot, "2810")
    for left in (["2900", "2801"], ["2900"]):
        desk.undo("Taken back")
        settle(qtbot, desk)
        assert [text for text, _ in kept(desk, "1")] == left


def test_undo_keeps_to_the_charge_in_hand(qtbot, desk, view):
    with qtbot.waitSignal(view.keeper.kept):
        type_line(qtbot, "2801")
    first = desk.record.entity
    other = next(line.entity for line in desk.lines if line.number == "2026-03")
    with qtbot.waitSignal(desk.record_changed):
        desk.take_in_hand(other)
    assert not desk.can_undo
    desk.undo("Taken back")
    with qtbot.waitSignal(desk.record_changed):
        desk.take_in_hand(first)
    assert kept(desk, "1")[-1][0] == "2801"


def test_what_cannot_be_undone_does_not_bar_what_came_before(qtbot, desk, view):
    with qtbot.waitSignal(view.keeper.kept):
        type_line(qtbot, "2801")
    with qtbot.waitSignal(view.keeper.kept):
        type_line(qtbot, "2790")
    entry = desk.record.weighing[-1].newest
    fact = entry.fact.__class__(entry.fact.charge, entry.fact.board, grams("2791"))
    done = []
    desk.operations.submit(lambda book: correct(book, "weighing", entry.entity, fact, "misread"), done.append)
    qtbot.waitUntil(lambda: bool(done))
    desk.undo("Taken back")  # the weight it took was overruled by another door
    settle(qtbot, desk)
    desk.undo("Taken back")
    settle(qtbot, desk)
    assert [text for text, _ in kept(desk, "1")] == ["2900"]


def test_tab_leaves_the_lines(qtbot, desk, view):
    press(qtbot, Qt.Key.Key_Tab)
    assert not view.round_page.table.isAncestorOf(QApplication.focusWidget())


def test_moving_by_hand_speaks_of_the_line_in_hand(qtbot, desk, view):
    with qtbot.waitSignal(view.keeper.kept):
        type_line(qtbot, "2801")
    assert view.round_page.aloud.said.board == "1"
    press(qtbot, Qt.Key.Key_Down)
    assert view.round_page.aloud.said.board == "3"
    press(qtbot, ENTER)  # empty: left for later
    assert view.round_page.aloud.said.board == "4"


def test_f8_where_nothing_is_asked_leaves_the_keys_where_they_are(qtbot, desk, view):
    type_line(qtbot, "3280")
    press(qtbot, Qt.Key.Key_Down)
    before = QApplication.focusWidget()
    press(qtbot, Qt.Key.Key_F8)
    assert QApplication.focusWidget() is before


def test_a_board_withdrawn_after_its_weight_looks_withdrawn(qtbot, desk, view):
    with qtbot.waitSignal(view.keeper.kept):
        type_line(qtbot, "2801")
    entity = view.keeper.sheet.lines[0].entity
    with qtbot.waitSignal(desk.record_changed):
        desk.do(write, Withdrawal(desk.record.entity, entity, "split to the heart"), at("2026-11-25 07:46"))
    model = view.round_page.table.model()
    assert model.text(0, Column.NOW) == "2,801"
    assert model.text(0, Column.SAYS) == "withdrawn"
    assert model.mark(0, in_hand=False) is Mark.STRUCK_RING
    assert (view.keeper.sheet.weighed, view.keeper.sheet.to_weigh) == (0, 3)


def test_a_digit_on_a_closed_charge_is_answered(qtbot, desk, view):
    told = []
    desk.refused.connect(told.append)
    closed = next(line.entity for line in desk.lines if line.number == "2026-01")
    with qtbot.waitSignal(desk.record_changed):
        desk.take_in_hand(closed)
    view.setFocus()
    press(qtbot, Qt.Key.Key_2)
    assert [error.code for error in told] == ["charge-closed"]


def test_a_charge_taken_back_takes_no_weight(qtbot, desk, view):
    other = next(line.entity for line in desk.lines if line.number == "2026-03")
    with qtbot.waitSignal(desk.record_changed):
        desk.take_in_hand(other)
    with qtbot.waitSignal(desk.record_changed):
        desk.do(take_back, "lot", desk.record.lot[0].entity, "never came")
    with qtbot.waitSignal(desk.record_changed):
        desk.do(take_back, "charge", other, "never came")
    assert not desk.can_write
    assert desk.why_no_row.code == "charge-taken-back"


@pytest.mark.parametrize("size", ["regular", "large", "largest"])
def test_the_time_is_shown_whole(qtbot, desk, view, appearance, size):
    appearance.set_size(size)
    field = view.round_page.time_field
    text = field.fontMetrics().horizontalAdvance(field.text())
    # What a field gives its text: its width less the frame and padding its style sheet asks for, both sides.
    qtbot.waitUntil(lambda: field.width() >= text + 24)


class _Typed(QWidget):
    def __init__(self, boards):
        super().__init__()
        self.boards = boards

    def unkept(self):
        return self.boards


class Standing(Blank):
    """A view in which weights stand typed."""

    def __init__(self, *boards):
        super().__init__("", "")
        self.boards = boards

    def make(self, desk, appearance):
        return _Typed(self.boards)


def window_with(qtbot, desk, appearance, book_path, view):
    made = MainWindow(desk, appearance, late_views=(view, Blank("", "")))
    qtbot.addWidget(made)
    with qtbot.waitSignal(made.ready):
        made.show()
        qtbot.waitExposed(made)
    open_book(qtbot, desk, book_path)
    qtbot.waitUntil(lambda: desk.record is not None)
    settle(qtbot, desk)
    return made


def test_the_window_closes_once_all_is_kept(qtbot, desk, appearance, book_path):
    window = window_with(qtbot, desk, appearance, book_path, Standing())
    held = Held(desk)
    window.close()
    assert window.isVisible()
    held.let_go()
    qtbot.waitUntil(lambda: not window.isVisible())


def test_the_window_stays_where_the_last_weight_is_refused(qtbot, desk, appearance, book_path):
    window = window_with(qtbot, desk, appearance, book_path, Standing())
    held = Held(desk)
    desk.do(fails)
    window.close()
    held.let_go()
    settle(qtbot, desk)
    qtbot.waitUntil(lambda: bool(window.refusal.text))
    qtbot.wait(50)  # the closing that waits for the worker has had its turn
    assert window.isVisible()
    window.refusal.dismiss()
    window.close()
    assert not window.isVisible()


def test_the_window_tells_of_weights_nobody_kept_before_it_goes(qtbot, desk, appearance, book_path):
    window = window_with(qtbot, desk, appearance, book_path, Standing("3", "4"))
    window.close()
    assert window.isVisible()
    assert "3 and 4" in window.refusal.text
    window.close()
    assert not window.isVisible()


def test_opening_the_logbook_that_is_open_reads_it_anew(qtbot, desk, appearance, book_path):
    window = window_with(qtbot, desk, appearance, book_path, Standing())
    with qtbot.waitSignal(desk.register_changed):
        window.files.open_path(book_path.parent / ".." / book_path.parent.name / book_path.name)
    settle(qtbot, desk)
    assert desk.read_only is None
    assert desk.can_write

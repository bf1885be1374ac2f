"""The page of the board in hand, gone through by keys: what it shows, opens, takes back and explains."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication

from kilnlog.logbook.closing import close_charge
from kilnlog.logbook.writing import write
from kilnlog.records.version import VersionKind
from kilnlog.records.weighing import Weighing
from kilnlog.reference.tables import load
from kilnlog.ui.board_dialogs.board_dialog import BoardDialog
from kilnlog.ui.board_dialogs.section_dialog import SectionDialog
from kilnlog.ui.board_dialogs.weighing_dialog import WeighingDialog
from kilnlog.ui.board_dialogs.withdraw_dialog import WithdrawDialog
from kilnlog.ui.chosen_board import actions
from kilnlog.ui.chosen_board.working_dialog import NOTHING_YET, WorkingDialog
from kilnlog.ui.look.painting import Mark
from kilnlog.ui.register.reason import ReasonDialog
from kilnlog.ui.views import BOARDS, BOARDS_VIEW
from kilnlog.ui.weighing_round.boards_view import BoardsView
from kilnlog.ui.window import MainWindow
from tests.ui.boards import ENTER, figures, keep, press, settle, shown_view, take_board, texts, type_in
from tests.ui.conftest import Blank, at, dialog_open, dialog_with_keys, grams, open_book


@pytest.fixture
def view(qtbot, desk, appearance, book_path):
    return shown_view(qtbot, desk, appearance, book_path)


@pytest.fixture
def page(qtbot, desk, view):
    take_board(qtbot, desk, view, "2")
    return view.board_page


def type_in_round(qtbot, view, text):
    view.setFocus()
    qtbot.keyClicks(QApplication.focusWidget(), text)
    press(qtbot, ENTER)


def test_the_board_stands_there_in_figures(page):
    # 3000 g when cut at (90 / 50 - 1) x 100 = 80 %: 1666.67 g oven-dry; 2900 g is 74.0 %, 1783.3 g 7 %
    assert page.sheet.board == "2"
    assert page.figures.mc.value == "74.0"
    assert page.figures.at_target.value == "1,783"
    assert page.figures.to_lose.value == "1,117"
    assert page.oven_dry.value == "1,667 g"
    assert texts(page.sections) == [["A", "90.0", "50.0", "80.0", "24 h"]]
    assert page.sheet.sums == ("3,000 g when cut × 100 ÷ (100 + 80.00) = 1,667 g",)
    assert texts(page.weighings) == [
        ["Wed 18 Nov, 08:00", "2,900", "74.0", "2.40", ""],
        ["Sun 15 Nov, 20:00", "3,000", "80.0", "–", "when cut"],
    ]


def test_the_page_says_what_it_is_to_who_cannot_see_it(page):
    assert page.figures.mc.accessibleName().startswith("Moisture content 74.0 ±")
    model = page.weighings.model()
    spoken = model.data(model.index(0, 2), Qt.ItemDataRole.AccessibleTextRole)
    assert spoken == "Weight, g: 2,900"


def test_enter_on_a_weight_corrects_it_and_the_old_one_stays_struck_through(qtbot, desk, page):
    page.weighings.setFocus()
    press(qtbot, ENTER)
    dialog = dialog_with_keys(qtbot, WeighingDialog)
    type_in(qtbot, dialog, "weight", "2880")
    keep(qtbot, dialog)
    assert dialog.rows["reason"].wrong
    type_in(qtbot, dialog, "reason", "misread")
    keep(qtbot, dialog)
    settle(qtbot, desk)
    qtbot.waitUntil(lambda: len(page.weighings.lines) == 3)
    kept, struck = page.weighings.lines[:2]
    assert [cell.text for cell in kept.cells] == ["Wed 18 Nov, 08:00", "2,880", "72.8", "2.88", "corrected"]
    assert [cell.text for cell in struck.cells] == ["", "2,900", "", "", "misread, 25 Nov"]
    assert struck.cells[1].struck
    assert not any(cell.struck for cell in kept.cells)
    assert struck.key is None  # what no longer counts cannot be corrected


def test_delete_on_a_weight_takes_it_back_for_a_reason(qtbot, desk, page):
    page.weighings.setFocus()
    press(qtbot, Qt.Key.Key_Delete)
    dialog = dialog_with_keys(qtbot, ReasonDialog)
    press(qtbot, ENTER)
    assert dialog.rows["reason"].wrong
    type_in(qtbot, dialog, "reason", "wrong board")
    press(qtbot, ENTER)
    settle(qtbot, desk)
    board = figures(desk, "2")
    line = next(line for line in desk.record.weighing if line.newest.fact.board == board.entity)
    assert (line.newest.version.kind, line.newest.version.reason) == (VersionKind.VOID, "wrong board")
    qtbot.waitUntil(lambda: page.weighings.lines[0].cells[1].struck)
    assert page.weighings.lines[0].cells[4].text == "taken back: wrong board, 25 Nov"
    assert page.weighings.lines[0].mark is Mark.STRUCK_RING
    assert page.figures.mc.value == "80.0"


def test_arrows_go_from_the_figures_down_to_the_last_weight(qtbot, page):
    page.figures.mc.setFocus()
    seen = []
    for _ in range(8):
        press(qtbot, Qt.Key.Key_Down)
        seen.append(QApplication.focusWidget())
    assert [page.figures.to_lose, page.figures.at_target, page.oven_dry, page.sections] == seen[:4]
    assert page.weighings in seen
    assert page.weighings.currentIndex().row() == 1


def test_enter_on_a_section_opens_it(qtbot, page):
    page.sections.setFocus()
    press(qtbot, ENTER)
    assert dialog_with_keys(qtbot, SectionDialog).rows["wet_weight"].field.text() == "90.0"


@pytest.mark.parametrize(
    ("figure", "line"),
    [
        ("mc", "(2,900 g ÷ 1,666.7 g − 1) × 100 = 74.0 %"),
        ("to_lose", "1,666.7 g × (74.00 − 7) ÷ 100 = 1,117 g"),
        ("at_target", "1,666.7 g × (100 + 7) ÷ 100 = 1,783 g"),
    ],
)
def test_each_large_figure_shows_its_working(qtbot, page, figure, line):
    getattr(page.figures, figure).setFocus()
    press(qtbot, Qt.Key.Key_F2)
    assert line in dialog_with_keys(qtbot, WorkingDialog).lines


def test_a_weight_before_the_last_shows_its_own_working(qtbot, desk, view, page):
    type_in_round(qtbot, view, "2801")
    settle(qtbot, desk)
    qtbot.waitUntil(lambda: not view.keeper.unkept() and desk.operations.waiting == 0)
    take_board(qtbot, desk, view, "2")
    qtbot.waitUntil(lambda: page.weighings.lines[0].cells[1].text == "2,801")
    page.weighings.setFocus()
    page.weighings.setCurrentIndex(page.weighings.model().index(1, 1))
    press(qtbot, Qt.Key.Key_F2)
    lines = dialog_with_keys(qtbot, WorkingDialog).lines
    assert "(2,900 g ÷ 1,666.7 g − 1) × 100 = 74.0 %" in lines
    press(qtbot, Qt.Key.Key_F2)
    assert dialog_open() is None


def test_a_board_without_a_dry_section_says_why_there_is_no_working(qtbot, desk, view):
    view.board_commands.cut()
    dialog = dialog_with_keys(qtbot, BoardDialog)
    type_in(qtbot, dialog, "start_weight", "3000")
    type_in(qtbot, dialog, "wet_A", "90.0")
    keep(qtbot, dialog)
    settle(qtbot, desk)
    take_board(qtbot, desk, view, "5")
    page = view.board_page
    assert page.sheet.standing == "its sections are in the oven"
    assert texts(page.sections) == [["A", "90.0", "–", "–", "in the oven"]]
    assert page.figures.mc.value == "–"
    page.ask_working()
    found = dialog_with_keys(qtbot, WorkingDialog)
    assert found.lines == []
    assert NOTHING_YET in [text.text() for text in found.page.findChildren(type(found._wrong))]


def test_a_weight_asked_about_stands_on_top_until_it_is_kept(qtbot, desk, view):
    take_board(qtbot, desk, view, "1")
    type_in_round(qtbot, view, "3800")
    page = view.board_page
    qtbot.waitUntil(lambda: len(page.weighings.lines) == 3)
    asked = page.weighings.lines[0]
    assert [cell.text for cell in asked.cells] == ["today, 07:46", "3,800", "–", "–", "not kept yet"]
    assert (asked.mark, asked.ground, asked.key) == (Mark.LOOK, "look_bg", None)
    press(qtbot, Qt.Key.Key_Escape)
    qtbot.waitUntil(lambda: len(page.weighings.lines) == 2)


def test_a_withdrawn_board_says_so_and_offers_the_way_back(qtbot, desk, view, page):
    view.board_commands.withdraw()
    dialog = dialog_with_keys(qtbot, WithdrawDialog)
    type_in(qtbot, dialog, "reason", "split along the pith")
    keep(qtbot, dialog)
    settle(qtbot, desk)
    take_board(qtbot, desk, view, "2")
    qtbot.waitUntil(lambda: page.sheet.standing == "withdrawn 25 Nov")
    assert page.sheet.standing_why == "split along the pith"
    shown = {name for name, button in page.foot.buttons.items() if not button.isHidden()}
    assert actions.RESTORE in shown
    assert not {actions.RECUT, actions.WITHDRAW, actions.BROKE_OFF} & shown


def test_a_closed_charge_is_read_only(qtbot, desk, view, page):
    desk.do(close_charge, desk.record.entity, at("2026-11-25 07:45"), "target reached", load())
    settle(qtbot, desk)
    qtbot.waitUntil(page.foot.isHidden)
    told = dict(view.keys()).values()
    assert "show working" in told
    assert not {"accept, next", "take back", "correct"} & set(told)
    page.weighings.setFocus()
    press(qtbot, ENTER)
    press(qtbot, Qt.Key.Key_Delete)
    assert dialog_open() is None
    page.figures.mc.setFocus()
    press(qtbot, Qt.Key.Key_F2)
    assert dialog_with_keys(qtbot, WorkingDialog).lines  # what is sealed can still be asked about


def test_alone_the_page_has_room_for_every_action(qtbot, appearance, desk, view, page):
    beside = [name for name, button in page.foot.buttons.items() if not button.isHidden()]
    assert beside == [actions.RECUT, actions.BROKE_OFF, actions.WITHDRAW]
    appearance.set_size("large")
    press(qtbot, Qt.Key.Key_F4)
    alone = [name for name, button in page.foot.buttons.items() if not button.isHidden()]
    assert alone == [*beside, actions.SECTIONS, actions.CORRECT]
    assert not view.round_page.isVisible()
    keys = view.keys()
    assert ("F4", "the round") in keys


def test_ctrl_b_and_f2_work_in_the_window(qtbot, desk, appearance, book_path):
    window = MainWindow(desk, appearance, late_views=(BOARDS_VIEW, Blank("", "")))
    qtbot.addWidget(window)
    window.resize(1366, 768)
    with qtbot.waitSignal(window.ready):
        window.show()
        qtbot.waitExposed(window)
    open_book(qtbot, desk, book_path)
    qtbot.waitUntil(lambda: desk.record is not None and bool(desk.assessment.boards))
    window.show_view(BOARDS)
    qtbot.waitUntil(lambda: desk.board_in_hand is not None)
    press(qtbot, Qt.Key.Key_F2)
    dialog_with_keys(qtbot, WorkingDialog)
    press(qtbot, Qt.Key.Key_Escape)
    window.activateWindow()
    qtbot.waitUntil(window.isActiveWindow)
    press(qtbot, Qt.Key.Key_B, Qt.KeyboardModifier.ControlModifier)
    dialog_with_keys(qtbot, BoardDialog)
    press(qtbot, Qt.Key.Key_Escape)


def test_a_view_built_after_the_charge_was_taken_in_hand_shows_its_first_board(
    qtbot, desk, appearance, book_path
):
    open_book(qtbot, desk, book_path)
    line = next(line for line in desk.lines if line.number == "2026-02")
    with qtbot.waitSignal(desk.record_changed):
        desk.take_in_hand(line.entity)
    view = BoardsView(desk, appearance)
    qtbot.addWidget(view)
    view.show()
    qtbot.waitExposed(view)
    assert view.board_page.sheet.board == "1"
    assert view.round_page.table.row == 0


def test_a_charge_read_anew_keeps_a_board_in_hand(qtbot, desk, view, page):
    with qtbot.waitSignal(desk.record_changed):
        desk.reread()
    qtbot.waitUntil(lambda: page.sheet is not None)
    assert desk.board_in_hand is not None


def test_no_line_is_cut_through_above_the_foot(qtbot, desk, view, page):
    whole = page._whole_lines
    bar = page._area.verticalScrollBar()
    seen = set()
    for height in range(360, 420, 3):
        view.resize(1338, height)
        QApplication.processEvents()
        for value in {0, bar.maximum() // 2, bar.maximum()}:
            bar.setValue(value)
            end = page._area.viewport().height() - (whole.height() if whole.isVisible() else 0)
            for row in range(page.weighings.model().rowCount()):
                top = page.weighings.mapTo(page._area.viewport(), page.weighings._place_of(row).topLeft()).y()
                assert not top < end < top + page.weighings.rowHeight(row)
            seen.add(whole.isVisible())
    assert seen == {True, False}


def test_a_board_below_its_target_says_so_without_a_sign(qtbot, desk, page):
    # 3000 g when cut at 80 % is 1666.67 g oven-dry, 1783.3 g at 7 %.
    board = next(one.entity for one in desk.assessment.boards if one.board == "2")
    desk.do(write, Weighing(desk.record.entity, board, grams("1750")), desk.now())
    settle(qtbot, desk)
    assert page.sheet.to_lose_of == "Below target by"
    assert page.figures.to_lose.value == "33"
    assert page.figures.to_lose.accessibleName() == "Below target by 33 g"

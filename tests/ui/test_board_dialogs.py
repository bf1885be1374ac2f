"""Cutting, drying, recutting, breaking and withdrawing sample boards at the keyboard."""

from __future__ import annotations

import threading

import pytest
from PySide6.QtCore import QEvent, Qt
from PySide6.QtWidgets import QApplication
from shiboken6 import isValid

from kilnlog.drying.figures import BasisKind, BoardState
from kilnlog.logbook.cutting import DRIED
from kilnlog.records.version import VersionKind
from kilnlog.ui.board_dialogs.board_dialog import BoardDialog
from kilnlog.ui.board_dialogs.break_dialog import BreakDialog
from kilnlog.ui.board_dialogs.cautions import HOT_OVEN
from kilnlog.ui.board_dialogs.recut_dialog import RecutDialog
from kilnlog.ui.board_dialogs.section_dialog import SectionDialog
from kilnlog.ui.board_dialogs.weights import WhichReading
from kilnlog.ui.board_dialogs.withdraw_dialog import WithdrawDialog
from kilnlog.ui.commands import MenuName
from kilnlog.ui.look.form import BEING_KEPT, NEEDED
from kilnlog.ui.look.labels import Wrapped
from kilnlog.ui.look.typed_by_hand import NOT_KEPT
from kilnlog.ui.register.pick import PickDialog
from kilnlog.ui.register.reason import ReasonDialog
from tests.ui.boards import ENTER, figures, keep, press, settle, shown_view, take_board, type_in
from tests.ui.conftest import dialog_open, dialog_with_keys


@pytest.fixture
def view(qtbot, desk, appearance, book_path):
    return shown_view(qtbot, desk, appearance, book_path)


def newest(lines):
    return lines[-1].newest


def cut_board(qtbot, desk, view):
    view.board_commands.cut()
    return dialog_with_keys(qtbot, BoardDialog)


def test_the_board_menu_has_every_command_and_its_keys(view):
    commands = {command.text.replace("&", ""): command for command in view.commands()}
    assert {command.menu for command in commands.values()} == {MenuName.BOARD}
    assert commands["Cut a sample board…"].key == "Ctrl+B"
    assert commands["Show working"].key == "F2"
    assert all(command.writes for text, command in commands.items() if text != "Show working")
    can_work = {text for text, command in commands.items() if command.possible()}
    assert {"Sections…", "Recut…", "Piece broke off…", "Withdraw…"} <= can_work
    assert not {"Put back in use…", "The recut's section is dry…"} & can_work


def test_a_board_is_cut_with_its_sections_in_one_go(qtbot, desk, view):
    dialog = cut_board(qtbot, desk, view)
    assert dialog.rows["board"].field.text() == "5"  # after 1 to 4
    assert dialog.rows["cut_at"].field.text() == "2026-11-25 07:46"
    type_in(qtbot, dialog, "start_weight", "3120")
    type_in(qtbot, dialog, "wet_A", "101.5")
    type_in(qtbot, dialog, "wet_B", "99.8")
    type_in(qtbot, dialog, "position", "rear, low")
    keep(qtbot, dialog)
    settle(qtbot, desk)
    board = newest(desk.record.board)
    assert (board.fact.board, board.fact.start_weight.text, board.fact.position) == ("5", "3120", "rear, low")
    sections = [line.newest.fact for line in desk.record.section if line.newest.fact.board == board.entity]
    assert [(one.section, one.wet_weight.text) for one in sections] == [("A", "101.5"), ("B", "99.8")]
    assert desk.board_in_hand == board.entity
    assert figures(desk, "5").state is BoardState.DRYING_OVEN
    assert dialog_open() is None


def test_the_next_board_keeps_the_time_chosen_for_the_one_before(qtbot, desk, view):
    for label, proposed in (("5", "2026-11-25 07:46"), ("6", "2026-11-24 15:10")):
        dialog = cut_board(qtbot, desk, view)
        assert dialog.rows["board"].field.text() == label
        assert dialog.rows["cut_at"].field.text() == proposed
        type_in(qtbot, dialog, "start_weight", "3120")
        type_in(qtbot, dialog, "cut_at", "2026-11-24 15:10")
        keep(qtbot, dialog)
        settle(qtbot, desk)
    dialog = cut_board(qtbot, desk, view)
    type_in(qtbot, dialog, "start_weight", "3120")
    type_in(qtbot, dialog, "cut_at", "2026-11-25 07:46")  # now again
    keep(qtbot, dialog)
    settle(qtbot, desk)
    assert cut_board(qtbot, desk, view).rows["cut_at"].field.text() == "2026-11-25 07:46"


def test_a_taken_label_is_refused_beside_it_and_nothing_is_lost(qtbot, desk, view):
    boards = len(desk.record.board)
    dialog = cut_board(qtbot, desk, view)
    type_in(qtbot, dialog, "board", "2")
    type_in(qtbot, dialog, "start_weight", "3120")
    keep(qtbot, dialog)
    settle(qtbot, desk)
    assert "2" in dialog.rows["board"].wrong
    assert dialog.rows["start_weight"].field.text() == "3120"
    assert dialog_open() is dialog
    assert len(desk.record.board) == boards
    press(qtbot, Qt.Key.Key_Escape)
    assert dialog.told == NOT_KEPT  # one key does not lose what was typed
    press(qtbot, Qt.Key.Key_Escape)
    assert dialog_open() is None


def test_a_form_in_which_nothing_was_typed_is_left_at_once(qtbot, desk, view):
    cut_board(qtbot, desk, view)
    press(qtbot, Qt.Key.Key_Escape)
    assert dialog_open() is None


def test_what_is_missing_is_said_at_its_field(qtbot, desk, view):
    dialog = cut_board(qtbot, desk, view)
    type_in(qtbot, dialog, "cut_at", "yesterday")
    keep(qtbot, dialog)
    assert dialog.rows["start_weight"].wrong
    assert dialog.rows["cut_at"].wrong
    assert dialog.rows["cut_at"].field.text() == "yesterday"
    assert QApplication.focusWidget() is dialog.rows["start_weight"].field


def test_a_weight_that_can_be_read_in_two_ways_is_asked_about(qtbot, desk, view):
    dialog = cut_board(qtbot, desk, view)
    type_in(qtbot, dialog, "start_weight", "3,120")
    keep(qtbot, dialog)
    which = dialog_with_keys(qtbot, WhichReading)
    assert [button.text() for button in which.choices] == ["It is 3120", "It is 3.120"]
    press(qtbot, Qt.Key.Key_Space)
    settle(qtbot, desk)
    weight = newest(desk.record.board).fact.start_weight
    assert (weight.text, weight.grams) == ("3,120", 3120)


def open_section(qtbot, desk, view, label="1"):
    """By the list of sections: Enter on the first."""
    take_board(qtbot, desk, view, label)
    view.board_commands.sections()
    dialog_with_keys(qtbot, PickDialog)
    press(qtbot, ENTER)
    return dialog_with_keys(qtbot, SectionDialog)


def test_oven_dry_heavier_than_wet_asks_whether_the_two_are_swapped(qtbot, desk, view):
    dialog = open_section(qtbot, desk, view)
    type_in(qtbot, dialog, "oven_dry_weight", "91.0")
    keep(qtbot, dialog)
    assert "swapped?" in dialog.rows["oven_dry_weight"].wrong
    assert dialog.rows["oven_dry_weight"].field.text() == "91.0"
    assert all(len(line.entries) == 1 for line in desk.record.section)


def test_a_corrected_section_needs_its_reason(qtbot, desk, view):
    dialog = open_section(qtbot, desk, view)
    type_in(qtbot, dialog, "wet_weight", "95.0")
    keep(qtbot, dialog)
    assert dialog.rows["reason"].wrong
    type_in(qtbot, dialog, "reason", "misread")
    keep(qtbot, dialog)
    settle(qtbot, desk)
    entry = desk.record.section[0].newest
    assert (entry.version.kind, entry.version.reason) == (VersionKind.CORRECTION, "misread")
    # (95.0 / 50.0 - 1) x 100
    assert figures(desk, "1").start_mc_pct == pytest.approx(90.0)


def test_an_oven_dry_weight_is_added_without_a_word_but_not_written_over(qtbot, desk, view):
    dialog = cut_board(qtbot, desk, view)
    type_in(qtbot, dialog, "start_weight", "3000")
    type_in(qtbot, dialog, "wet_A", "90.0")
    keep(qtbot, dialog)
    settle(qtbot, desk)
    dialog = open_section(qtbot, desk, view, "5")
    type_in(qtbot, dialog, "wet_weight", "91.0")
    type_in(qtbot, dialog, "oven_dry_weight", "50.0")
    keep(qtbot, dialog)
    assert dialog.rows["reason"].wrong  # the wet weight is another one too
    type_in(qtbot, dialog, "wet_weight", "90.0")
    keep(qtbot, dialog)
    settle(qtbot, desk)
    entry = newest(desk.record.section)
    assert (entry.fact.oven_dry_weight.text, entry.version.reason) == ("50.0", DRIED)
    assert figures(desk, "5").start_mc_pct == pytest.approx(80.0)
    dialog_open().activateWindow()
    sections = dialog_with_keys(qtbot, PickDialog)
    assert sections.list.item(0).text().startswith("A   90.0 g wet, 50.0 oven-dry, 80.0 %")
    press(qtbot, ENTER)
    dialog = dialog_with_keys(qtbot, SectionDialog)
    type_in(qtbot, dialog, "oven_dry_weight", "51.0")
    keep(qtbot, dialog)
    assert dialog.rows["reason"].wrong


def test_an_impossible_section_is_asked_about_before_it_is_kept(qtbot, desk, view):
    dialog = open_section(qtbot, desk, view)
    type_in(qtbot, dialog, "wet_weight", "221.0")
    type_in(qtbot, dialog, "oven_dry_weight", "13.15")
    type_in(qtbot, dialog, "reason", "misread")
    keep(qtbot, dialog)
    settle(qtbot, desk)
    # 100 x (221.0 / 13.15 - 1), and with 131.5
    assert "Section A would be at 1,580.6 % MC" in dialog.told
    assert "131.5 g would give 68.1 %" in dialog.told
    assert "once more" in dialog.told
    assert all(len(line.entries) == 1 for line in desk.record.section)
    type_in(qtbot, dialog, "oven_dry_weight", "13.16")  # another one is asked about anew
    keep(qtbot, dialog)
    assert "1,579.3 %" in dialog.told
    keep(qtbot, dialog)
    settle(qtbot, desk)
    assert desk.record.section[0].newest.fact.oven_dry_weight.text == "13.16"
    assert [one.code for one in desk.assessment.findings if one.subject == "board 1"].count(
        "start-mc-odd"
    ) == 1


def test_a_section_far_from_its_sister_is_asked_about(qtbot, desk, view):
    take_board(qtbot, desk, view, "1")  # its section A is at 80 %
    view.board_commands.sections()
    keep(qtbot, dialog_with_keys(qtbot, PickDialog))
    dialog = dialog_with_keys(qtbot, SectionDialog)
    for column, text in (
        ("wet_weight", "90.0"),
        ("oven_dry_weight", "65.0"),
        ("dried_at", "2026-11-17 08:00"),
    ):
        type_in(qtbot, dialog, column, text)
    keep(qtbot, dialog)
    assert "Section B would be at 38.5 % MC, section A is at 80.0 %" in dialog.told
    type_in(qtbot, dialog, "oven_dry_weight", "50.5")
    keep(qtbot, dialog)
    settle(qtbot, desk)
    assert newest(desk.record.section).fact.oven_dry_weight.text == "50.5"


def test_an_unlikely_board_or_section_is_asked_about_as_it_is_cut(qtbot, desk, view):
    boards = len(desk.record.board)
    dialog = cut_board(qtbot, desk, view)
    type_in(qtbot, dialog, "start_weight", "52000")
    type_in(qtbot, dialog, "wet_A", "12")
    type_in(qtbot, dialog, "wet_B", "5300")
    keep(qtbot, dialog)
    settle(qtbot, desk)
    for said in ("Board 5 would weigh 52,000 g", "Section A would weigh 12 g", "5,200.0 g would fit"):
        assert said in dialog.told
    assert "Section B, 5,300 g, would be 10.2 % of its board" in dialog.told
    assert len(desk.record.board) == boards
    keep(qtbot, dialog)
    settle(qtbot, desk)
    assert newest(desk.record.board).fact.start_weight.text == "52000"


def test_an_oven_weighing_no_section_has_is_asked_about(qtbot, desk, view):
    dialog = open_section(qtbot, desk, view)
    type_in(qtbot, dialog, "oven_weight", "5.02")
    press(qtbot, ENTER)
    settle(qtbot, desk)
    assert "50.2 g would give 79.3 %" in dialog.told
    assert not desk.record.oven_weighing
    press(qtbot, ENTER)
    settle(qtbot, desk)
    assert newest(desk.record.oven_weighing).fact.weight.text == "5.02"
    assert dialog.told == ""


def test_an_unlikely_recut_is_asked_about(qtbot, desk, view):
    take_board(qtbot, desk, view, "1")
    view.board_commands.recut()
    dialog = dialog_with_keys(qtbot, RecutDialog)
    for column, text in (
        ("weight_before", "2800"),
        ("weight_after", "2600"),
        ("section_wet", "9.0"),
        ("section_oven_dry", "60.0"),
    ):
        type_in(qtbot, dialog, column, text)
    keep(qtbot, dialog)
    assert dialog.rows["section_oven_dry"].wrong  # heavier than wet
    type_in(qtbot, dialog, "section_wet", "900.0")
    keep(qtbot, dialog)
    assert "Its section would be at 1,400.0 % MC" in dialog.told
    assert "90 g would give 50.0 %" in dialog.told
    assert not desk.record.recut
    keep(qtbot, dialog)
    settle(qtbot, desk)
    assert newest(desk.record.recut).fact.section_wet.text == "900.0"


def test_a_section_is_rejected_for_the_reason_given(qtbot, desk, view):
    dialog = open_section(qtbot, desk, view)
    type_in(qtbot, dialog, "rejected_because", "scorched")
    keep(qtbot, dialog)
    settle(qtbot, desk)
    entry = desk.record.section[0].newest
    assert (entry.fact.rejected_because, entry.version.reason) == ("scorched", "scorched")
    assert figures(desk, "1").start_mc_pct is None
    assert figures(desk, "1").sections[0].rejected_because == "scorched"


def test_wherever_a_section_goes_into_the_oven_the_hazards_are_said(qtbot, desk, view):
    dialog = open_section(qtbot, desk, view)
    assert HOT_OVEN in [text.text() for text in dialog.findChildren(Wrapped)]
    for hazard in ("gloves", "fire", "local fire code"):
        assert hazard in HOT_OVEN


def test_oven_weighings_are_judged_by_the_rule_in_force(qtbot, desk, view):
    dialog = cut_board(qtbot, desk, view)
    type_in(qtbot, dialog, "start_weight", "3000")
    type_in(qtbot, dialog, "wet_A", "100.0")
    type_in(qtbot, dialog, "cut_at", "2026-11-24 08:00")
    keep(qtbot, dialog)
    settle(qtbot, desk)
    dialog = open_section(qtbot, desk, view, "5")
    for when, weight, said in (
        ("2026-11-24 20:00", "55.40", "weigh it again after 2 h"),
        ("2026-11-24 23:00", "55.10", "Not constant yet"),
        ("2026-11-25 02:00", "55.08", "Constant at 55.1 g"),
    ):
        type_in(qtbot, dialog, "oven_at", when)
        type_in(qtbot, dialog, "oven_weight", weight)
        press(qtbot, ENTER)
        settle(qtbot, desk)
        assert said in dialog.readings.said.text()
    assert [line.cells[2].text for line in dialog.readings.table.lines] == ["–", "−0.54", "−0.04"]
    # (100.0 / 55.08 - 1) x 100: the lower of the two readings compared
    assert figures(desk, "5").start_mc_pct == pytest.approx(81.554, abs=0.001)


def test_an_oven_weighing_is_taken_back_by_delete(qtbot, desk, view):
    dialog = open_section(qtbot, desk, view)
    type_in(qtbot, dialog, "oven_weight", "50.2")
    press(qtbot, ENTER)
    settle(qtbot, desk)
    dialog.readings.table.setFocus()
    press(qtbot, Qt.Key.Key_Delete)
    reason = dialog_with_keys(qtbot, ReasonDialog)
    type_in(qtbot, reason, "reason", "wrong piece")
    press(qtbot, ENTER)
    settle(qtbot, desk)
    assert newest(desk.record.oven_weighing).version.kind is VersionKind.VOID
    assert dialog.readings.table.lines == ()


def test_a_recut_is_provisional_until_its_section_is_dry(qtbot, desk, view):
    take_board(qtbot, desk, view, "1")
    view.board_commands.recut()
    dialog = dialog_with_keys(qtbot, RecutDialog)
    for column, text in (("weight_before", "2800"), ("weight_after", "2600"), ("section_wet", "90.0")):
        type_in(qtbot, dialog, column, text)
    keep(qtbot, dialog)
    settle(qtbot, desk)
    board = figures(desk, "1")
    assert board.basis.kind is BasisKind.PROVISIONAL
    # 3000 g at 80 % is 1666.67 g oven-dry; times 2600 / 2800
    assert board.oven_dry_weight_g == pytest.approx(3000 / 1.8 * 2600 / 2800)
    view.board_commands.recut_dry()
    dialog = dialog_with_keys(qtbot, RecutDialog)
    type_in(qtbot, dialog, "section_oven_dry", "60.0")
    keep(qtbot, dialog)
    settle(qtbot, desk)
    board, entry = figures(desk, "1"), newest(desk.record.recut)
    assert (entry.version.kind, entry.version.reason) == (VersionKind.CORRECTION, DRIED)
    assert board.basis.kind is BasisKind.RECUT
    # its section stood at (90 / 60 - 1) x 100 = 50 %: 100 x 2600 / 150
    assert board.oven_dry_weight_g == pytest.approx(100 * 2600 / 150)


def test_a_recut_written_down_wrong_is_corrected_for_a_reason(qtbot, desk, view):
    take_board(qtbot, desk, view, "1")
    view.board_commands.recut()
    dialog = dialog_with_keys(qtbot, RecutDialog)
    for column, text in (("weight_before", "2800"), ("weight_after", "2600"), ("section_wet", "90.0")):
        type_in(qtbot, dialog, column, text)
    keep(qtbot, dialog)
    settle(qtbot, desk)
    view.board_commands.recut_dry()
    dialog = dialog_with_keys(qtbot, RecutDialog)
    type_in(qtbot, dialog, "weight_after", "2620")
    keep(qtbot, dialog)
    assert dialog.rows["reason"].wrong
    type_in(qtbot, dialog, "reason", "misread")
    keep(qtbot, dialog)
    settle(qtbot, desk)
    entry = newest(desk.record.recut)
    assert (entry.fact.weight_after.text, entry.version.reason) == ("2620", "misread")


@pytest.mark.parametrize("left", ["2600", "2800"])
@pytest.mark.parametrize(
    ("open_dialog", "kind"), [("recut", RecutDialog), ("broke_off", BreakDialog)], ids=["recut", "break"]
)
def test_a_board_no_lighter_after_cutting_is_refused(qtbot, desk, view, open_dialog, kind, left):
    take_board(qtbot, desk, view, "1")
    getattr(view.board_commands, open_dialog)()
    dialog = dialog_with_keys(qtbot, kind)
    type_in(qtbot, dialog, "weight_before", "2600")
    type_in(qtbot, dialog, "weight_after", left)
    if kind is RecutDialog:
        type_in(qtbot, dialog, "section_wet", "90.0")
    keep(qtbot, dialog)
    assert "swapped?" in dialog.rows["weight_after"].wrong
    assert desk.record.recut == desk.record.breakage == ()


def test_a_break_leaves_the_moisture_content_as_it_was(qtbot, desk, view):
    take_board(qtbot, desk, view, "2")
    before = figures(desk, "2")
    view.board_commands.broke_off()
    dialog = dialog_with_keys(qtbot, BreakDialog)
    type_in(qtbot, dialog, "weight_before", "2900")
    type_in(qtbot, dialog, "weight_after", "2700")
    type_in(qtbot, dialog, "fact_reason", "caught on the track")
    keep(qtbot, dialog)
    settle(qtbot, desk)
    board = figures(desk, "2")
    assert board.basis.kind is BasisKind.BREAK
    assert board.oven_dry_weight_g == pytest.approx(before.oven_dry_weight_g * 2700 / 2900)
    assert board.mc_pct == pytest.approx(before.mc_pct)
    assert newest(desk.record.breakage).fact.reason == "caught on the track"


def test_a_withdrawn_board_is_replaced_and_put_back(qtbot, desk, view):
    take_board(qtbot, desk, view, "3")
    view.board_commands.withdraw()
    dialog = dialog_with_keys(qtbot, WithdrawDialog)
    keep(qtbot, dialog)
    assert dialog.rows["reason"].wrong  # a board does not leave without a word
    type_in(qtbot, dialog, "reason", "split")
    dialog.keep_and_replace()
    settle(qtbot, desk)
    assert figures(desk, "3").state is BoardState.WITHDRAWN
    cut = dialog_with_keys(qtbot, BoardDialog)
    assert cut.rows["replaces"].field.value == figures(desk, "3").entity
    assert cut.rows["position"].field.text() == "door"
    type_in(qtbot, cut, "start_weight", "2950")
    keep(qtbot, cut)
    settle(qtbot, desk)
    assert [board.board for board in desk.assessment.boards] == ["1", "2", "3", "5", "4"]
    take_board(qtbot, desk, view, "3")
    view.board_commands.restore()
    reason = dialog_with_keys(qtbot, ReasonDialog)
    type_in(qtbot, reason, "reason", "the split is shallow")
    press(qtbot, ENTER)
    settle(qtbot, desk)
    assert figures(desk, "3").state is BoardState.IN_USE


def test_particulars_are_corrected_for_a_reason(qtbot, desk, view):
    take_board(qtbot, desk, view, "4")
    view.board_commands.correct()
    dialog = dialog_with_keys(qtbot, BoardDialog)
    type_in(qtbot, dialog, "coating_weight", "20")
    keep(qtbot, dialog)
    assert dialog.rows["reason"].wrong
    type_in(qtbot, dialog, "reason", "the coat was weighed")
    keep(qtbot, dialog)
    settle(qtbot, desk)
    board = figures(desk, "4")
    assert board.fact.coating_weight.text == "20"
    # the coat is taken off what was weighed after it: (2900 - 20) of 1666.67 g oven-dry
    assert board.mc_pct == pytest.approx(100 * (2880 / (3000 / 1.8) - 1))


class Held:
    """Keeps the worker busy until it is let go, as a slow disk would."""

    def __init__(self, desk):
        self._go = threading.Event()
        desk.operations.submit(lambda _: self._go.wait(20))

    def let_go(self):
        self._go.set()


@pytest.fixture
def held(desk):
    holds = []

    def hold():
        holds.append(Held(desk))
        return holds[-1]

    yield hold
    for one in holds:
        one.let_go()


def break_filled(qtbot, desk, view):
    take_board(qtbot, desk, view, "2")
    view.board_commands.broke_off()
    dialog = dialog_with_keys(qtbot, BreakDialog)
    type_in(qtbot, dialog, "weight_before", "2900")
    type_in(qtbot, dialog, "weight_after", "2700")
    return dialog


def test_keep_pressed_twice_writes_once_and_says_that_it_is_being_kept(qtbot, desk, view, held):
    dialog = break_filled(qtbot, desk, view)
    hold = held()
    keep(qtbot, dialog)
    keep(qtbot, dialog)
    qtbot.mouseClick(dialog.main, Qt.MouseButton.LeftButton)
    dialog.keep()
    assert dialog.said.text() == BEING_KEPT
    assert not dialog.main.isEnabled()
    hold.let_go()
    settle(qtbot, desk)
    assert dialog_open() is None
    assert len(desk.record.breakage) == 1


def test_what_is_refused_can_be_mended_and_kept(qtbot, desk, view, held):
    dialog = cut_board(qtbot, desk, view)
    type_in(qtbot, dialog, "board", "2")
    type_in(qtbot, dialog, "start_weight", "3120")
    dialog.main.setFocus()
    hold = held()
    keep(qtbot, dialog)
    assert not dialog.main.isEnabled()
    hold.let_go()
    settle(qtbot, desk)
    assert dialog.rows["board"].wrong
    assert dialog.main.isEnabled()
    assert dialog.said.text() == "2026-02"
    type_in(qtbot, dialog, "board", "7")
    keep(qtbot, dialog)
    settle(qtbot, desk)
    assert newest(desk.record.board).fact.board == "7"


def test_left_while_it_is_being_kept_it_is_kept(qtbot, desk, view, held):
    dialog = break_filled(qtbot, desk, view)
    hold = held()
    keep(qtbot, dialog)
    press(qtbot, Qt.Key.Key_Escape)
    assert dialog_open() is None
    QApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    with qtbot.waitSignal(desk.saved) as saved:
        hold.let_go()
    settle(qtbot, desk)
    assert saved.args == ["Board 2: a piece broke off"]
    assert len(desk.record.breakage) == 1


def test_left_while_it_is_being_kept_a_refusal_is_told_across_the_window(qtbot, desk, view, held):
    dialog = cut_board(qtbot, desk, view)
    type_in(qtbot, dialog, "board", "2")
    type_in(qtbot, dialog, "start_weight", "3120")
    hold = held()
    keep(qtbot, dialog)
    press(qtbot, Qt.Key.Key_Escape)
    QApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    assert not isValid(dialog)
    with qtbot.waitSignal(desk.refused) as refused:
        hold.let_go()
    assert refused.args[0].code == "name-taken"


def test_an_oven_weighing_added_twice_is_kept_once_and_the_next_one_typed_meanwhile_stays(
    qtbot, desk, view, held
):
    dialog = open_section(qtbot, desk, view)
    type_in(qtbot, dialog, "oven_weight", "50.2")
    hold = held()
    press(qtbot, ENTER)
    press(qtbot, ENTER)
    qtbot.mouseClick(dialog.readings.add_button, Qt.MouseButton.LeftButton)
    type_in(qtbot, dialog, "oven_weight", "50.1")
    hold.let_go()
    settle(qtbot, desk)
    assert [line.newest.fact.weight.text for line in desk.record.oven_weighing] == ["50.2"]
    assert dialog.rows["oven_weight"].field.text() == "50.1"
    assert dialog_open() is dialog


def test_withdrawing_twice_and_cutting_another_withdraws_once(qtbot, desk, view, held):
    take_board(qtbot, desk, view, "3")
    view.board_commands.withdraw()
    dialog = dialog_with_keys(qtbot, WithdrawDialog)
    type_in(qtbot, dialog, "reason", "split")
    hold = held()
    keep(qtbot, dialog)
    dialog.keep_and_replace()
    hold.let_go()
    settle(qtbot, desk)
    assert len(desk.record.withdrawal) == 1
    assert dialog_open() is None


def test_what_has_to_be_filled_in_is_marked_and_named_as_it_stands(qtbot, desk, view):
    take_board(qtbot, desk, view, "3")
    view.board_commands.withdraw()
    dialog = dialog_with_keys(qtbot, WithdrawDialog)
    row = dialog.rows["reason"]
    assert row.title.text() == "Why *"
    assert row.field.accessibleName() == "Why, has to be filled in"
    assert NEEDED in [text.text() for text in dialog.findChildren(Wrapped)]
    keep(qtbot, dialog)
    assert row.wrong == "“Why” is empty. Fill it in."
    qtbot.keyClicks(row.field, "s")
    assert not row.wrong
    assert row.shown_reason.isHidden()


def test_what_is_wrong_with_a_narrow_field_has_the_width_of_its_row(qtbot, desk, view):
    dialog = cut_board(qtbot, desk, view)
    type_in(qtbot, dialog, "start_weight", "31.20.5")
    keep(qtbot, dialog)
    row = dialog.rows["start_weight"]
    qtbot.waitUntil(lambda: row.shown_reason.isVisible() and not row.shown_reason.visibleRegion().isEmpty())
    assert row.wrong.startswith("Weight when cut: “31.20.5”")
    assert row.shown_reason.width() > 2 * row.width()
    assert row.shown_reason.visibleRegion().boundingRect().height() == row.shown_reason.height()


def test_a_figure_without_a_lower_limit_is_refused_from_nothing_on(qtbot, desk, view):
    dialog = cut_board(qtbot, desk, view)
    type_in(qtbot, dialog, "minutes_to_weighing", "20000")
    keep(qtbot, dialog)
    wrong = dialog.rows["minutes_to_weighing"].wrong
    assert wrong.startswith("“Minutes until it was weighed” is 20000, and has to lie between 0 and 10,000.")

"""The guided close-out at the keyboard: gone through, left and come back to, sealed, reopened."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication

from kilnlog.logbook.close_out_steps import Code, Step, Way
from kilnlog.logbook.papers import Paper
from kilnlog.logbook.short_form import short_form
from kilnlog.logbook.writing import write
from kilnlog.records.board import Board
from kilnlog.records.lot import Lot
from kilnlog.records.version import current_entries
from kilnlog.records.words import AnswerKind, CloseOutStep, VolumeUnit
from kilnlog.ui.closing.after_seal import LaterNoteForm, ReopenForm
from kilnlog.ui.closing.cautions import UNLOADING
from kilnlog.ui.closing.seal_dialog import LOT_SEALED, SEALED, SealDialog
from kilnlog.ui.closing.which_dialog import WhichDialog
from kilnlog.ui.look.labels import Wrapped
from kilnlog.ui.look.painting import Mark
from kilnlog.ui.papers.paper_dialog import PaperDialog
from kilnlog.ui.register.reason import ReasonDialog
from kilnlog.ui.register.unloading_dialog import UnloadingDialog
from tests.ui.conftest import dialog_open, dialog_with_keys, grams

ALT, CTRL = Qt.KeyboardModifier.AltModifier, Qt.KeyboardModifier.ControlModifier
SHIFT = Qt.KeyboardModifier.ShiftModifier


def press(qtbot, key, modifier=Qt.KeyboardModifier.NoModifier):
    qtbot.keyClick(QApplication.focusWidget(), key, modifier)


def keys(qtbot, text):
    qtbot.keyClicks(QApplication.focusWidget(), text)


def settled(qtbot, window):
    qtbot.waitUntil(lambda: not window.desk.operations.waiting)


def back(qtbot, window):
    """The window has the keys again once a dialog went."""
    qtbot.waitUntil(lambda: dialog_open() is None)
    window.activateWindow()
    qtbot.waitUntil(lambda: QApplication.focusWidget() is not None)


def texts(widget):
    return [one.text() for one in widget.findChildren(Wrapped)]


@pytest.fixture
def view(qtbot, window):
    """Begun by its key, from the list."""
    window.activateWindow()
    window.register.table.setFocus()
    press(qtbot, Qt.Key.Key_C, CTRL | SHIFT)
    assert window.register.closing.isVisible()
    return window.register.closing


def button(view, code, way):
    """The button of one way about what stands before the seal."""
    block = next(block for block in view.before.blocks if block.of is not None and block.of.code is code)
    return block.buttons[way]


def codes(view):
    return [block.of.code for block in view.before.blocks if block.of is not None]


def seal(qtbot, window, view):
    """Seal it, and give back what was said before."""
    view.show_step(Step.SEAL)
    assert view.page.seal.hasFocus()
    press(qtbot, Qt.Key.Key_Return)
    dialog = dialog_with_keys(qtbot, SealDialog)
    if "closing_reason" in dialog.rows:
        dialog.set_text("closing_reason", "the kiln is needed")
    if dialog.never_unloaded is not None:
        dialog.never_unloaded.setChecked(True)
    told = texts(dialog)
    with qtbot.waitSignal(window.desk.saved):
        press(qtbot, Qt.Key.Key_Return, CTRL)
    back(qtbot, window)
    settled(qtbot, window)
    return told


def test_all_headings_are_gone_through_by_keys(qtbot, window, view):
    assert view.step is Step.UNLOADING  # the first one nobody answered
    assert UNLOADING in texts(view.page)
    gone = [view.step]
    for _ in range(len(Step) - 1):
        press(qtbot, Qt.Key.Key_Right, ALT)
        gone.append(view.step)
        assert QApplication.focusWidget() is not None
    assert gone == list(Step)
    press(qtbot, Qt.Key.Key_Right, ALT)
    assert view.step is Step.SEAL  # there is nothing behind it
    press(qtbot, Qt.Key.Key_Left, ALT)
    assert view.step is Step.REVIEW
    told = dict(window.register.keys())
    assert (told["Alt → ←"], told["Esc"]) == ("next step, back", "leave")


def test_esc_leaves_and_coming_back_goes_on_at_the_first_open_heading(qtbot, window, view):
    assert view.page.unload.hasFocus()
    press(qtbot, Qt.Key.Key_Return)
    dialog = dialog_with_keys(qtbot, UnloadingDialog)
    dialog.set_text("reason", "the customer came early")
    with qtbot.waitSignal(window.desk.saved):
        press(qtbot, Qt.Key.Key_Return, CTRL)
    back(qtbot, window)
    assert Code.NOT_UNLOADED not in codes(view)
    assert view.steps.buttons[Step.UNLOADING].said == "25 Nov, 07:46"
    assert view.steps.buttons[Step.UNLOADING].mark is Mark.TICK
    press(qtbot, Qt.Key.Key_Escape)
    assert not view.isVisible()
    assert window.register.table.hasFocus()
    press(qtbot, Qt.Key.Key_C, CTRL | SHIFT)
    assert view.step is Step.FINAL_MOISTURE


def test_f6_goes_to_what_is_missing_and_do_it_goes_to_its_heading(qtbot, view):
    press(qtbot, Qt.Key.Key_F6)
    assert button(view, Code.NOT_UNLOADED, Way.DO).hasFocus()
    button(view, Code.NO_TALLY, Way.DO).setFocus()
    press(qtbot, Qt.Key.Key_Return)
    assert view.step is Step.TALLY
    press(qtbot, Qt.Key.Key_F6)
    press(qtbot, Qt.Key.Key_F6)
    assert view.steps.buttons[Step.TALLY].hasFocus()
    press(qtbot, Qt.Key.Key_Down)
    press(qtbot, Qt.Key.Key_Return)
    assert view.step is Step.HEAT


def test_leaving_out_asks_why_and_can_be_taken_up_again(qtbot, window, view):
    button(view, Code.NO_STRESS, Way.LEAVE_OUT).setFocus()
    press(qtbot, Qt.Key.Key_Return)
    dialog = dialog_with_keys(qtbot, ReasonDialog)
    assert "The record will say “Stress: left out because: …” with your reason." in texts(dialog)
    assert dialog.main.text() == "Keep this reason"  # told apart from “Leave”, which keeps nothing
    press(qtbot, Qt.Key.Key_Return)
    assert dialog.rows["reason"].wrong  # not without a reason
    keys(qtbot, "not asked for")
    with qtbot.waitSignal(window.desk.saved):
        press(qtbot, Qt.Key.Key_Return)
    back(qtbot, window)
    settled(qtbot, window)
    (entry,) = current_entries(window.desk.record.step_answer)
    lot = window.desk.record.lot[0].entity
    assert (entry.fact.step, entry.fact.answer, entry.fact.note, entry.fact.lot) == (
        CloseOutStep.STRESS,
        AnswerKind.LEFT_OUT,
        "not asked for",
        lot,
    )
    assert view.steps.buttons[Step.STRESS].said == "left out"
    button(view, Code.LEFT_OUT, Way.TAKE_UP).setFocus()
    with qtbot.waitSignal(window.desk.saved):
        press(qtbot, Qt.Key.Key_Return)
    settled(qtbot, window)
    assert Code.NO_STRESS in codes(view)


def test_none_found_is_one_key(qtbot, window, view):
    button(view, Code.NO_DEFECTS, Way.NONE_FOUND).setFocus()
    with qtbot.waitSignal(window.desk.saved):
        press(qtbot, Qt.Key.Key_Return)
    settled(qtbot, window)
    assert view.steps.buttons[Step.DEFECTS].said == "none found"
    assert Code.NO_DEFECTS not in codes(view)
    assert QApplication.focusWidget() is not None  # the button went, the keyboard is still somewhere


def test_notes_are_kept_by_ctrl_enter_and_stay_typed_until_then(qtbot, window, view):
    view.show_step(Step.NOTES)
    assert view.page.field.toPlainText() == "Fan belt squeals."
    press(qtbot, Qt.Key.Key_End, CTRL)
    keys(qtbot, " New belt.")
    assert window.register.unkept() == ("notes of charge 2026-02",)
    press(qtbot, Qt.Key.Key_Right, ALT)
    press(qtbot, Qt.Key.Key_Left, ALT)
    assert view.page.field.toPlainText() == "Fan belt squeals. New belt."
    settled(qtbot, window)
    window.close()
    assert window.isVisible()  # said once before it goes
    assert "notes of charge 2026-02" in window.refusal.text
    view.page.field.setFocus()
    with qtbot.waitSignal(window.desk.saved):
        press(qtbot, Qt.Key.Key_Return, CTRL)
    settled(qtbot, window)
    assert window.desk.record.particulars.notes == "Fan belt squeals. New belt."
    assert window.register.unkept() == ()


def test_the_seal_is_shown_by_its_short_form_and_offers_its_papers(qtbot, window, view):
    told = seal(qtbot, window, view)
    assert SEALED in told
    assert any(text.startswith("No tally. The record will say “Tally: not tallied”.") for text in told)
    record = window.desk.record
    assert record.is_closed
    qtbot.waitUntil(lambda: bool(view.page.short.text()))
    assert view.page.short.text() == short_form(record.closing_of().fact.sealed_text)
    assert view.page.when.text().startswith("closed and sealed Wed 25 Nov 2026, 07:46 by mill")
    assert view.steps.buttons[Step.SEAL].mark is Mark.SEALED
    assert view.page.papers[Paper.QUALITY_RECORD].hasFocus()
    press(qtbot, Qt.Key.Key_Return)
    dialog_with_keys(qtbot, PaperDialog).reject()


def test_nothing_is_sealed_while_something_stands_typed_unless_it_is_meant(qtbot, window, view):
    view.show_step(Step.FINAL_MOISTURE)
    keys(qtbot, "7.4")
    view.show_step(Step.NOTES)
    keys(qtbot, " One more.")
    view.show_step(Step.SEAL)
    typed = "Typed and not kept: meter readings of lot A; notes of charge 2026-02."
    assert any(text.startswith(typed) for text in texts(view.page))
    press(qtbot, Qt.Key.Key_Return)
    dialog = dialog_with_keys(qtbot, SealDialog)
    dialog.set_text("closing_reason", "the kiln is needed")
    dialog.never_unloaded.setChecked(True)
    press(qtbot, Qt.Key.Key_Return, CTRL)
    assert dialog.told.startswith(typed)
    assert dialog.without_typed.hasFocus()
    settled(qtbot, window)
    assert not window.desk.record.is_closed
    press(qtbot, Qt.Key.Key_Space)
    with qtbot.waitSignal(window.desk.saved):
        press(qtbot, Qt.Key.Key_Return, CTRL)
    back(qtbot, window)
    settled(qtbot, window)
    assert window.desk.record.is_closed
    assert window.register.unkept() == ()  # given up by that tick, and shown nowhere as if it were kept
    view.show_step(Step.NOTES)
    assert view.page.field.toPlainText() == "Fan belt squeals."


def test_a_time_still_to_come_is_neither_an_unloading_nor_a_closing(qtbot, window, view):
    press(qtbot, Qt.Key.Key_Return)
    unloading = dialog_with_keys(qtbot, UnloadingDialog)
    unloading.set_text("reason", "the customer came early")
    unloading.set_text("at", "2027-11-25 07:40")
    press(qtbot, Qt.Key.Key_Return, CTRL)
    assert unloading.rows["at"].wrong
    unloading.reject()
    back(qtbot, window)
    view.show_step(Step.SEAL)
    press(qtbot, Qt.Key.Key_Return)
    dialog = dialog_with_keys(qtbot, SealDialog)
    dialog.set_text("closing_reason", "the kiln is needed")
    dialog.never_unloaded.setChecked(True)
    dialog.set_text("closed_at", "2027-01-01 10:00")
    press(qtbot, Qt.Key.Key_Return, CTRL)
    settled(qtbot, window)
    assert not window.desk.record.is_closed
    assert dialog.rows["closed_at"].wrong
    dialog.reject()


def test_undo_passes_no_seal_and_says_what_to_do(qtbot, window, view):
    view.show_step(Step.UNLOADING)
    with qtbot.waitSignal(window.desk.record_changed):
        window.desk.do(write, Lot(window.desk.record.entity, "B"), saying="Lot B")
    assert window.desk.can_undo
    seal(qtbot, window, view)
    told = (
        "What was written before a seal or a reopening is not undone. Where it is closed, reopen it "
        "with a reason; then choose the row itself to correct it."
    )
    press(qtbot, Qt.Key.Key_Z, CTRL)
    assert told in texts(window)
    view.page.reopen.setFocus()
    press(qtbot, Qt.Key.Key_Return)
    form = dialog_with_keys(qtbot, ReopenForm)
    form.set_text("reason", "tallied wrong")
    with qtbot.waitSignal(window.desk.saved):
        press(qtbot, Qt.Key.Key_Return, CTRL)
    back(qtbot, window)
    settled(qtbot, window)
    assert not window.desk.can_undo
    press(qtbot, Qt.Key.Key_Z, CTRL)
    settled(qtbot, window)
    assert [entry.fact.lot for entry in current_entries(window.desk.record.lot)] == ["A", "B"]
    with qtbot.waitSignal(window.desk.record_changed):
        window.desk.do(write, Lot(window.desk.record.entity, "C"), saying="Lot C")
    assert window.desk.can_undo  # what comes after it is undone as ever


def test_after_the_seal_come_a_note_and_a_reopening_with_its_reason(qtbot, window, view):
    seal(qtbot, window, view)
    view.page.note.setFocus()
    press(qtbot, Qt.Key.Key_Return)
    form = dialog_with_keys(qtbot, LaterNoteForm)
    form.set_text("text", "one board came back")
    with qtbot.waitSignal(window.desk.saved):
        press(qtbot, Qt.Key.Key_Return, CTRL)
    back(qtbot, window)
    settled(qtbot, window)
    assert any("one board came back" in text for text in texts(view.page))
    view.page.reopen.setFocus()
    press(qtbot, Qt.Key.Key_Return)
    form = dialog_with_keys(qtbot, ReopenForm)
    press(qtbot, Qt.Key.Key_Return, CTRL)
    assert form.rows["reason"].wrong
    form.set_text("reason", "tallied wrong")
    with qtbot.waitSignal(window.desk.saved):
        press(qtbot, Qt.Key.Key_Return, CTRL)
    back(qtbot, window)
    settled(qtbot, window)
    assert not window.desk.record.is_closed
    assert view.page.seal.isVisible()
    seal(qtbot, window, view)
    qtbot.waitUntil(lambda: view.page.when.text().endswith("version 2"))


def test_a_lot_that_leaves_is_chosen_and_sealed_by_itself(qtbot, window):
    record = window.desk.record
    with qtbot.waitSignal(window.desk.record_changed):
        window.desk.do(write, Lot(record.entity, "B", None, "red oak", "4/4", 100.0, VolumeUnit.BOARD_FEET))
    window.register.charge_commands.closing.close_out_lot()
    dialog = dialog_with_keys(qtbot, WhichDialog)
    dialog.set_choice("lot", record.lot[0].entity)
    press(qtbot, Qt.Key.Key_Return, CTRL)
    back(qtbot, window)
    view = window.register.closing
    assert [entry.fact.lot for entry in view.hand.close_out.lots] == ["A"]
    assert Code.NOT_UNLOADED not in codes(view)
    assert LOT_SEALED in seal(qtbot, window, view)
    record = window.desk.record
    assert record.is_lot_closed(record.lot[0].entity)
    assert not record.is_closed
    assert record.lot[0].newest.fact.out_at is not None
    assert window.desk.can_write


def test_another_charge_in_hand_leaves_the_close_out(qtbot, window, view):
    other = next(line.entity for line in window.desk.lines if line.number == "2026-03")
    window.desk.take_in_hand(other)
    qtbot.waitUntil(lambda: window.desk.record.particulars.charge == "2026-03")
    assert not view.isVisible()
    assert not view.is_going


def test_what_is_written_elsewhere_is_followed(qtbot, window, view):
    board = Board(window.desk.record.entity, "9", grams("3000"))
    with qtbot.waitSignal(window.desk.record_changed):
        window.desk.do(write, board)
    assert view.isVisible()
    assert view.step is Step.UNLOADING


def test_a_later_note_is_given_to_one_lot_where_there_are_several(qtbot, window, view):
    with qtbot.waitSignal(window.desk.record_changed):
        window.desk.do(write, Lot(window.desk.record.entity, "B", "Vintrey & Daughter"), saying="Lot B")
    seal(qtbot, window, view)
    view.page.note.setFocus()
    press(qtbot, Qt.Key.Key_Return)
    form = dialog_with_keys(qtbot, LaterNoteForm)
    assert form.rows["text"].field.hasFocus()
    keys(qtbot, "one board came back")
    press(qtbot, Qt.Key.Key_Backtab)
    press(qtbot, Qt.Key.Key_Down)
    press(qtbot, Qt.Key.Key_Down)  # past the whole charge and lot A
    with qtbot.waitSignal(window.desk.saved):
        press(qtbot, Qt.Key.Key_Return, CTRL)
    back(qtbot, window)
    settled(qtbot, window)
    (entry,) = current_entries(window.desk.record.later_note)
    lots = {one.entity: one.fact.lot for one in current_entries(window.desk.record.lot)}
    assert lots[entry.fact.lot] == "B"
    assert any(text.endswith("lot B: one board came back") for text in texts(view.page))

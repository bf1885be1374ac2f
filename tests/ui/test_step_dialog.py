"""The step taken: what it waits for and sets is told first, and an early one is kept only with a reason."""

from __future__ import annotations

from PySide6.QtWidgets import QApplication

from kilnlog.logbook.weighing_round import keep_weight
from kilnlog.ui.register.step_dialog import StepDialog
from tests.ui.boards import keep, settle, type_in
from tests.ui.conftest import dialog_with_keys, grams


def asked(qtbot, window):
    window.register.charge_commands.step_taken()
    return dialog_with_keys(qtbot, StepDialog)


def steps_of(window):
    return [(line.newest.fact.step, line.newest.fact.reason) for line in window.desk.record.step_taken]


def test_control_beginning_and_air_of_the_step_are_told(qtbot, window):
    control, begins, sets, _ = asked(qtbot, window).sentences
    assert control == "Controlling MC 74.0 % (wettest half)."
    assert begins == "Step 2 begins at 40 %."
    # ASHRAE's relations and the Wood Handbook's equation 4-5, which tests/drying/air checks against others.
    assert sets == "Set dry bulb 110 °F, wet bulb 102 °F: that is RH 76 %, EMC 13.5 %."


def test_an_early_step_says_so_and_is_kept_only_with_a_reason(qtbot, window):
    dialog = asked(qtbot, window)
    assert "It is early: the schedule calls for step 1 so far." in dialog.sentences[3]
    assert QApplication.focusWidget() is dialog.rows["reason"].field
    assert dialog.rows["reason"].title.text() == "Why *"
    keep(qtbot, dialog)
    assert dialog.rows["reason"].wrong
    assert steps_of(window) == []
    type_in(qtbot, dialog, "reason", "the mill stands still next week")
    keep(qtbot, dialog)
    settle(qtbot, window.desk)
    assert steps_of(window) == [(2, "the mill stands still next week")]


def test_a_step_that_is_due_needs_no_reason(qtbot, window):
    desk = window.desk
    for board in desk.assessment.boards:
        desk.do(keep_weight, desk.record.entity, board.entity, grams("2250"), desk.now())
    settle(qtbot, desk)
    dialog = asked(qtbot, window)
    assert dialog.sentences[0].startswith("Controlling MC 35.0 %")
    assert dialog.sentences[3] == ""
    assert dialog.rows["reason"].title.text() == "Why"
    keep(qtbot, dialog)
    settle(qtbot, desk)
    assert steps_of(window) == [(2, None)]


def test_a_step_written_down_for_an_earlier_day_is_judged_by_the_moisture_of_then(qtbot, window):
    desk = window.desk
    for board in desk.assessment.boards:
        desk.do(keep_weight, desk.record.entity, board.entity, grams("2250"), desk.now())
    settle(qtbot, desk)
    dialog = asked(qtbot, window)
    type_in(qtbot, dialog, "at", "2026-11-20 08:00")
    keep(qtbot, dialog)
    QApplication.processEvents()
    assert dialog.sentences[0].startswith("Controlling MC 74.0 %")
    assert dialog.rows["reason"].wrong
    assert steps_of(window) == []


def test_a_step_of_next_year_is_asked_about_once(qtbot, window):
    dialog = asked(qtbot, window)
    type_in(qtbot, dialog, "at", "2027-11-25 07:00")
    type_in(qtbot, dialog, "reason", "the buyer waits")
    keep(qtbot, dialog)
    settle(qtbot, window.desk)
    assert "is still to come" in dialog.told
    assert steps_of(window) == []
    keep(qtbot, dialog)
    settle(qtbot, window.desk)
    assert steps_of(window) == [(2, "the buyer waits")]


def test_any_step_can_be_written_down_and_going_back_needs_a_reason(qtbot, window):
    desk = window.desk
    for board in desk.assessment.boards:
        desk.do(keep_weight, desk.record.entity, board.entity, grams("2250"), desk.now())
    settle(qtbot, desk)
    keep(qtbot, asked(qtbot, window))
    settle(qtbot, desk)
    dialog = asked(qtbot, window)
    field = dialog.rows["step"].field
    assert [field.itemText(row) for row in range(field.count())] == ["1", "2, in force"]
    dialog.set_choice("step", "1")
    assert dialog.sentences[1] == "Step 1 begins at 100 %."
    assert dialog.sentences[3] == "It goes back: step 2 is in force. So say why it is taken again."
    keep(qtbot, dialog)
    assert dialog.rows["reason"].wrong
    type_in(qtbot, dialog, "reason", "checks at the ends")
    keep(qtbot, dialog)
    settle(qtbot, desk)
    assert steps_of(window) == [(2, None), (1, "checks at the ends")]

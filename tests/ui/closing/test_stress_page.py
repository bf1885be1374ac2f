"""Stress tests typed line by line in the close-out."""

from __future__ import annotations

from PySide6.QtCore import Qt

from kilnlog.logbook.close_out_steps import Step, StepState
from kilnlog.records.words import StressFound, StressTestKind
from kilnlog.ui.closing.line_form import LineForm
from kilnlog.ui.register.reason import ReasonDialog
from tests.ui.boards import keep, type_in
from tests.ui.closing.desk_of import enter, in_front, kept, keys, lines, press, settle, shown, working
from tests.ui.conftest import dialog_with_keys

CTRL = Qt.KeyboardModifier.ControlModifier


def first_test(qtbot, desk, view, measured="2.5 mm"):
    """The first walks through every field: found, measured, limit, waited."""
    enter(qtbot, desk, "fr", measured, "5", "24")


def test_a_test_is_kept_with_what_was_typed(qtbot, window, desk):
    view = shown(qtbot, window, Step.STRESS)
    assert view.page.entry.table.texts["piece"] == "1"
    first_test(qtbot, desk, view)
    (test,) = kept(view, "stress_test")
    assert (test.kind, test.found, test.value, test.unit) == (
        StressTestKind.PRONG,
        StressFound.FREE,
        2.5,
        "mm",
    )
    assert (test.piece, test.limit, test.hours_waited, test.lot) == ("1", 5.0, 24.0, view.hand.lot.entity)
    assert lines(view) == [["1", "prong", "free", "2.5 mm", "–", "5", "24", "passed"]]
    assert view.page.figures.shown == {"prong, passed": "1 of 1"}
    assert view.hand.close_out.line(Step.STRESS).state is StepState.DONE


def test_the_next_line_carries_limit_and_unit_and_enter_after_the_figure_keeps_it(qtbot, window, desk):
    view = shown(qtbot, window, Step.STRESS)
    first_test(qtbot, desk, view)
    enter(qtbot, desk, "case", "7")  # found, measured: kept
    second = kept(view, "stress_test")[1]
    assert (second.piece, second.found, second.value, second.unit, second.limit) == (
        "2",
        StressFound.CASEHARDENED,
        7.0,
        "mm",
        5.0,
    )
    assert lines(view)[1][-1] == "failed"
    assert view.page.figures.shown == {"prong, passed": "1 of 2"}


def test_what_failed_brings_its_cause_and_the_gradient_is_warned_of_before_any_test(qtbot, window, desk):
    view = shown(qtbot, window, Step.STRESS)
    assert any("moisture gradient bends prongs" in said for said in view.page.said.texts)
    assert any("FOR-128" in said for said in view.page.said.texts)  # where that is from
    first_test(qtbot, desk, view)
    assert not any(said.startswith("Casehardened") for said in view.page.said.texts)
    enter(qtbot, desk, "case", "7")
    assert any(said.startswith("Casehardened: ") for said in view.page.said.texts)
    assert any(said.startswith("Next time: Equalize") for said in view.page.said.texts)
    assert any("more pieces would tell" in said for said in view.page.said.texts)


def test_shell_and_core_asks_for_both_and_is_judged_by_their_difference(qtbot, window, desk):
    view = shown(qtbot, window, Step.STRESS)
    table = view.page.entry.table
    assert table.fields["core_value"].isHidden()
    table.take_keys("kind")
    enter(qtbot, desk, "sh", "", "7.2")  # kind, found, shell
    assert not table.fields["core_value"].isHidden()
    enter(qtbot, desk, "8.1", "0.5", "0")
    (test,) = kept(view, "stress_test")
    assert (test.kind, test.value, test.core_value, test.unit) == (
        StressTestKind.SHELL_AND_CORE,
        7.2,
        8.1,
        "%",
    )
    assert lines(view)[0][-1] == "failed"  # 0.9 apart, 0.5 allowed
    view.page.figures.show_working()
    assert "8.1 − 7.2 = 0.9, at most 0.5" in working(qtbot)


def test_what_is_refused_says_why_and_stays(qtbot, window, desk):
    view = shown(qtbot, window, Step.STRESS)
    table = view.page.entry.table
    enter(qtbot, desk, "bent", "2 mm", "5", "24")
    assert kept(view, "stress_test") == []
    assert "“Found” is “bent”" in table.told
    assert "casehardened" in table.told
    assert table.fields["found"].hasFocus()
    assert table.texts["value"] == "2 mm"
    keys(qtbot, "free")
    table.take_keys("value")
    keys(qtbot, "2")
    table.take_keys("hours_waited")
    enter(qtbot, desk, "24")
    assert "“2” has no unit" in table.told
    assert kept(view, "stress_test") == []


def test_a_piece_tested_twice_is_asked_about(qtbot, window, desk):
    view = shown(qtbot, window, Step.STRESS)
    first_test(qtbot, desk, view)
    view.page.entry.table.take_keys("piece")
    enter(qtbot, desk, "1", "", "free", "3")
    assert "tested by prong before" in view.page.entry.table.told
    assert len(kept(view, "stress_test")) == 1
    enter(qtbot, desk, "")
    assert len(kept(view, "stress_test")) == 2


def test_a_line_is_corrected_with_a_reason_taken_back_and_undone(qtbot, window, desk):
    view = shown(qtbot, window, Step.STRESS)
    first_test(qtbot, desk, view)
    press(qtbot, Qt.Key.Key_Up)
    press(qtbot, Qt.Key.Key_Return)
    form = dialog_with_keys(qtbot, LineForm)
    assert form.rows["value"].field.text() == "2.5 mm"
    type_in(qtbot, form, "value", "6 mm")
    keep(qtbot, form)
    assert form.rows["reason"].wrong  # nothing is corrected without
    type_in(qtbot, form, "reason", "misread")
    keep(qtbot, form)
    settle(qtbot, desk)
    assert [test.value for test in kept(view, "stress_test")] == [6.0]
    assert lines(view)[0][-1] == "failed"
    in_front(qtbot, window)
    view.page.entry.table.table.setFocus()
    press(qtbot, Qt.Key.Key_Delete)
    why = dialog_with_keys(qtbot, ReasonDialog)
    type_in(qtbot, why, "reason", "another lot's")
    why.keep()
    settle(qtbot, desk)
    assert kept(view, "stress_test") == []
    assert len(desk.record.stress_test) == 1  # it stays in the record
    in_front(qtbot, window)
    view.page.take_keys()
    press(qtbot, Qt.Key.Key_Z, CTRL)
    settle(qtbot, desk)
    assert [test.value for test in kept(view, "stress_test")] == [6.0]


def test_what_is_typed_stays_while_another_step_is_looked_at_and_esc_drops_it(qtbot, window, desk):
    view = shown(qtbot, window, Step.STRESS)
    keys(qtbot, "rev")
    assert view.page.unkept() == ("stress tests of lot A",)
    view.show_step(Step.NOTES)
    view.show_step(Step.STRESS)
    assert view.page.entry.table.texts["found"] == "reverse casehardened"
    press(qtbot, Qt.Key.Key_Escape)
    assert view.isVisible()
    assert view.page.entry.table.texts["found"] == ""
    assert view.page.unkept() == ()


def test_the_words_a_field_takes_are_told_before_any_error(qtbot, window, desk):
    view = shown(qtbot, window, Step.STRESS)
    in_front(qtbot, window)
    view.page.take_keys()  # to what was found
    offered = view.page.entry.table.offered
    assert offered.isVisible()
    assert offered.text() == "free, casehardened, reverse casehardened: the first letters will do."
    enter(qtbot, desk, "fr")
    assert not offered.isVisible()  # what was measured is a figure
    view.show_step(Step.DEFECTS)
    assert view.page.entry.table.offered.text().startswith("surface checks, end checks, honeycomb")


def test_what_enter_passes_by_is_named_with_its_key(qtbot, window, desk):
    view = shown(qtbot, window, Step.STRESS)
    assert "Tab" not in dict(view.keys())
    first_test(qtbot, desk, view)
    assert dict(view.keys())["Tab"] == "limit, wait"
    in_front(qtbot, window)
    view.page.take_keys()
    for _ in range(3):  # past what was found and measured, past the limit
        press(qtbot, Qt.Key.Key_Tab)
    assert view.page.entry.table.fields["hours_waited"].hasFocus()

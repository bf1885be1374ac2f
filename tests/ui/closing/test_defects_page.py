"""Defects noted line by line in the close-out."""

from __future__ import annotations

from kilnlog.logbook.close_out_steps import Step, StepState
from kilnlog.logbook.writing import write
from kilnlog.records.tally_line import TallyLine
from kilnlog.records.words import AnswerKind, DefectKind, LengthUnit, Severity, TallyTime, VolumeUnit
from tests.ui.closing.desk_of import enter, kept, lines, settle, shown, working


def test_a_defect_is_kept_and_brings_its_cause_with_its_source(qtbot, window, desk):
    view = shown(qtbot, window, Step.DEFECTS)
    enter(qtbot, desk, "hon", "sev", "3", "12.5", "pack 2")
    (fact,) = kept(view, "defect")
    assert (fact.kind, fact.severity, fact.pieces) == (DefectKind.HONEYCOMB, Severity.SEVERE, 3)
    assert (fact.volume, fact.volume_unit, fact.note) == (12.5, VolumeUnit.BOARD_FEET, "pack 2")
    assert lines(view) == [["honeycomb", "severe", "3", "12.5 bf", "", "pack 2"]]
    said = view.page.said.texts
    # 12.5 of the lot's 830 bf.
    assert said[0] == "Honeycomb, severe: 3 pieces; 12.5 bf, 1.5 % of its volume"
    assert any(text.startswith("Why: Opened late") and "Wengert, extension columns" in text for text in said)
    assert any(text.startswith("Next time: ") and "from memory" in text for text in said)
    assert view.page.figures.shown == {
        "kinds noted": "1",
        "degraded volume": "12.5",
        "share of the lot": "1.5",
    }
    view.page.figures.show_working()
    assert "12.5 ÷ 830 bf = 1.51 %" in working(qtbot)


def test_shares_are_of_the_tally_once_there_is_one(qtbot, window, desk):
    view = shown(qtbot, window, Step.DEFECTS)
    lot = view.hand.lot.entity
    sizes = ("4/4", 6.0, LengthUnit.INCHES, 10.0, LengthUnit.FEET, 50)
    desk.do(write, TallyLine(view.hand.record.entity, lot, TallyTime.NET, None, *sizes))
    settle(qtbot, desk)
    enter(qtbot, desk, "cup", "", "2", "10", "")
    # 2 of 50 pieces; 1 in x 6 in x 10 ft / 12 = 5 bf each, 250 bf in all.
    assert view.page.said.texts[0] == "Cup: 2 pieces, 4.0 % of the lot’s pieces; 10.0 bf, 4.0 % of its volume"


def test_none_found_is_written_and_can_be_looked_at_after_all(qtbot, window, desk):
    view = shown(qtbot, window, Step.DEFECTS)
    page = view.page
    assert not page.none_found.isHidden()
    page.none_found.setFocus()
    page.none_found.click()
    settle(qtbot, desk)
    (answer,) = kept(view, "step_answer")
    assert (answer.answer, answer.lot, answer.note) == (AnswerKind.NONE_FOUND, view.hand.lot.entity, None)
    assert view.hand.close_out.line(Step.DEFECTS).state is StepState.NONE_FOUND
    assert page.said.texts[0] == "Looked for, and none found."
    assert page.none_found.isHidden()
    assert page.next.hasFocus()
    page.after_all.click()
    settle(qtbot, desk)
    assert kept(view, "step_answer") == []
    assert page.entry.table.fields["kind"].hasFocus()


def test_a_line_written_after_none_found_goes_before_it(qtbot, window, desk):
    view = shown(qtbot, window, Step.DEFECTS)
    view.page.none_found.click()
    settle(qtbot, desk)
    view.page.take_keys()
    enter(qtbot, desk, "mou", "", "1", "", "")
    assert view.hand.close_out.line(Step.DEFECTS).state is StepState.DONE
    assert view.page.none_found.isHidden()
    assert view.page.after_all.isHidden()


def test_another_kind_has_to_be_described_and_pieces_are_whole(qtbot, window, desk):
    view = shown(qtbot, window, Step.DEFECTS)
    table = view.page.entry.table
    enter(qtbot, desk, "oth", "", "2.5", "", "")
    assert "“Note” is empty" in table.told
    enter(qtbot, desk, "resin bled out")
    assert "“2.5” is no whole number" in table.told
    assert table.fields["pieces"].hasFocus()
    assert kept(view, "defect") == []
    enter(qtbot, desk, "2", "", "")
    assert [(fact.kind, fact.note) for fact in kept(view, "defect")] == [(DefectKind.OTHER, "resin bled out")]
    assert view.page.said.texts[0].startswith("resin bled out: 2 pieces")


def test_more_than_the_lot_holds_is_asked_about(qtbot, window, desk):
    view = shown(qtbot, window, Step.DEFECTS)
    table = view.page.entry.table
    enter(qtbot, desk, "bow", "", "", "900", "")
    assert "The lot holds 830 bf, less than 900 bf" in table.told
    assert kept(view, "defect") == []
    enter(qtbot, desk, "")
    assert [fact.volume for fact in kept(view, "defect")] == [900.0]


def test_letters_that_leave_a_doubt_are_refused_with_the_words_they_could_be(qtbot, window, desk):
    view = shown(qtbot, window, Step.DEFECTS)
    table = view.page.entry.table
    table.fields["kind"].setCompleter(None)
    enter(qtbot, desk, "b", "", "", "", "")
    assert "It takes one of: bow, brown stain and blue stain" in table.told
    assert table.texts["kind"] == "b"

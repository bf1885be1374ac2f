"""What to do now: findings in order, answered by a decision or by taking the step."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication

from kilnlog.drying.finding import Severity
from kilnlog.logbook.closing import close_charge
from kilnlog.logbook.weighing_round import keep_weight
from kilnlog.logbook.writing import write
from kilnlog.records.charge import Charge
from kilnlog.records.decision import Decision
from kilnlog.records.errors import MissingValue
from kilnlog.records.words import EventKind, EventState
from kilnlog.reference.tables import load
from kilnlog.ui.drying_curve.finding_item import SAY_WHY
from kilnlog.ui.drying_curve.what_to_do import WhatToDoPage
from kilnlog.ui.look.buttons import QuietButton
from kilnlog.ui.look.labels import Wrapped
from kilnlog.ui.look.painting import Mark
from kilnlog.ui.register.reason import ReasonDialog
from tests.ui.conftest import at, dialog_with_keys, grams, open_book


@pytest.fixture
def page(qtbot, desk, appearance, book_path):
    made = WhatToDoPage(desk, appearance)
    qtbot.addWidget(made)
    made.resize(356, 630)
    with qtbot.waitActive(made):
        made.show()
    open_book(qtbot, desk, book_path)
    line = next(line for line in desk.lines if line.number == "2026-02")
    with qtbot.waitSignal(desk.record_changed):
        desk.take_in_hand(line.entity)
    return made


def settle(qtbot, desk):
    qtbot.waitUntil(lambda: desk.operations.waiting == 0)


def dry_to(qtbot, desk, weight):
    """Weigh every board at ``weight`` now."""
    for board in desk.assessment.boards:
        desk.do(keep_weight, desk.record.entity, board.entity, grams(weight), desk.now())
    settle(qtbot, desk)


def codes(page):
    return [item.finding.code for item in page.items]


def test_most_urgent_first_and_only_that_one_open(qtbot, desk, page):
    dry_to(qtbot, desk, "2250")  # 35 %: the step at 40 % is due
    severities = [list(Severity).index(item.finding.severity) for item in page.items]
    assert severities == sorted(severities)
    # From 80 % in a day is more than any red oak stands, too.
    assert list(dict.fromkeys(codes(page)))[:2] == ["rate-over-limit", "step-due"]
    assert page.items[0].mark is Mark.ACT


def test_another_charge_in_the_same_kiln_is_told_here_too_and_its_answer_holds(qtbot, desk, page):
    assert "two-charges-in-kiln" not in codes(page)
    fact = desk.record.particulars
    other = Charge("H1", fact.zone, fact.kiln, loaded_at=at("2026-11-24 08:00"))
    desk.do(write, other, desk.now())
    qtbot.waitUntil(lambda: "two-charges-in-kiln" in codes(page))
    decision = Decision(desk.record.entity, "two-charges-in-kiln", "charge", "half the kiln each")
    desk.do(write, decision, desk.now())
    settle(qtbot, desk)
    told = [one for one in desk.assessment.findings if one.code == "two-charges-in-kiln"]
    assert [one.answered for one in told] == [True]


def test_the_step_is_taken_by_one_key(qtbot, desk, page):
    dry_to(qtbot, desk, "2250")
    item = next(item for item in page.items if item.finding.code == "step-due")
    button = next(
        child for child in item.findChildren(type(item.main_button)) if child.text() == "I have stepped"
    )
    button.setFocus()
    with qtbot.waitSignal(desk.record_changed):
        qtbot.keyClick(button, Qt.Key.Key_Space)
    assert [line.newest.fact.step for line in desk.record.step_taken] == [2]
    assert "step-due" not in codes(page)


def test_seen_otherwise_is_kept_with_its_note_and_the_finding_is_struck(qtbot, desk, page):
    item = next(item for item in page.items if item.finding.code == "single-section")
    item.setFocus()
    qtbot.keyClick(item, Qt.Key.Key_Return)  # open it
    item.ask_note()
    qtbot.keyClicks(QApplication.focusWidget(), "the other one burned")
    with qtbot.waitSignal(desk.record_changed):
        qtbot.keyClick(QApplication.focusWidget(), Qt.Key.Key_Return)
    decision = desk.record.decision[-1].newest.fact
    assert (decision.code, decision.note) == ("single-section", "the other one burned")
    answered = next(one for one in page.items if one.finding.subject == item.finding.subject)
    assert answered.mark is Mark.STRUCK_RING


def test_a_count_in_the_strip_leads_to_its_first_finding(qtbot, desk, page):
    dry_to(qtbot, desk, "2250")
    page.show_kind("act")
    qtbot.waitUntil(lambda: QApplication.focusWidget() is page.items[0])


def test_enter_opens_and_goes_to_buttons_that_say_what_they_do(qtbot, desk, page):
    item = next(item for item in page.items if item.finding.board is not None)
    item.setFocus()
    qtbot.keyClick(item, Qt.Key.Key_Return)
    with qtbot.assertNotEmitted(page.led):
        qtbot.keyClick(item, Qt.Key.Key_Return)
    told = []
    for _ in item.stops[1:-1]:
        told.append(QApplication.focusWidget().text())
        last = QApplication.focusWidget()
        qtbot.keyClick(last, Qt.Key.Key_Tab)
    assert told == ["Done about it…", "I see it otherwise…", "Show its board"]
    with qtbot.waitSignal(page.led) as led:
        qtbot.keyClick(last, Qt.Key.Key_Return)
    assert led.args[0].board == item.finding.board


def test_the_finding_that_has_the_keys_is_open_and_tab_answers_it(qtbot, page):
    page.take_keys()
    for _ in range(2):
        qtbot.keyClick(QApplication.focusWidget(), Qt.Key.Key_Down)
    item = page.items[2]
    assert QApplication.focusWidget() is item
    qtbot.keyClick(item, Qt.Key.Key_Tab)
    assert item.isAncestorOf(QApplication.focusWidget())


def test_agreeing_tells_what_is_done_and_an_answer_can_be_read_and_taken_back(qtbot, desk, page):
    item = next(item for item in page.items if item.finding.code == "single-section")
    about = item.finding.subject
    item.setFocus()
    qtbot.keyClick(item, Qt.Key.Key_Return)
    qtbot.keyClick(item, Qt.Key.Key_Return)
    assert QApplication.focusWidget().text() == "Done about it…"
    qtbot.keyClick(QApplication.focusWidget(), Qt.Key.Key_Return)
    qtbot.keyClicks(QApplication.focusWidget(), "a second one is cut")
    with qtbot.waitSignal(desk.record_changed):
        qtbot.keyClick(QApplication.focusWidget(), Qt.Key.Key_Return)
    (decision,) = desk.record.decision
    assert decision.newest.fact.note == "noted, and done about it: a second one is cut"

    def here():
        return next(
            one for one in page.items if one.finding.code == "single-section" and one.finding.subject == about
        )

    answered = here()
    answered.set_open(True)
    told = [line.text() for line in answered.findChildren(Wrapped) if line.isVisible()]
    assert "Answered today, 07:46: noted, and done about it: a second one is cut" in told
    back = next(one for one in answered.findChildren(QuietButton) if one.text() == "Take this answer back…")
    qtbot.mouseClick(back, Qt.MouseButton.LeftButton)
    dialog = dialog_with_keys(qtbot, ReasonDialog)
    dialog.set_text("reason", "none was cut")
    with qtbot.waitSignal(desk.record_changed):
        dialog.keep()
    assert desk.record.decision[0].current is None
    assert not here().finding.answered


def test_a_finding_speaks_for_itself(page):
    for item in page.items:
        assert item.accessibleName()
        assert "{" not in item.accessibleName() + item.accessibleDescription()


def test_arrows_go_through_the_list_and_esc_leaves_it(qtbot, page):
    items = page.items
    assert len(items) > 2
    items[0].setFocus()
    for key, there in (
        (Qt.Key.Key_Down, 1),
        (Qt.Key.Key_Up, 0),
        (Qt.Key.Key_Up, 0),
        (Qt.Key.Key_End, -1),
        (Qt.Key.Key_Down, -1),
    ):
        qtbot.keyClick(QApplication.focusWidget(), key)
        assert QApplication.focusWidget() is items[there]
    with qtbot.waitSignal(page.left):
        qtbot.keyClick(QApplication.focusWidget(), Qt.Key.Key_Escape)


def test_after_an_answer_the_keys_are_on_what_takes_its_place(qtbot, desk, page):
    first, following = page.items[0], page.items[1].finding
    first.setFocus()
    if first.stops[-2].isHidden():
        qtbot.keyClick(first, Qt.Key.Key_Return)
    qtbot.keyClick(first, Qt.Key.Key_Tab)
    button = QApplication.focusWidget()
    assert button.text() == "Done about it…"
    qtbot.keyClick(button, Qt.Key.Key_Return)
    qtbot.keyClicks(QApplication.focusWidget(), "seen")
    with qtbot.waitSignal(desk.record_changed):
        qtbot.keyClick(QApplication.focusWidget(), Qt.Key.Key_Return)
    assert QApplication.focusWidget() is page.items[0]
    assert page.items[0].finding == following


def test_a_weight_kept_meanwhile_leaves_the_keys_on_the_same_finding(qtbot, desk, page):
    item = next(item for item in page.items if item.finding.code == "single-section")
    item.setFocus()
    dry_to(qtbot, desk, "2250")
    assert QApplication.focusWidget().finding.code == "single-section"
    assert QApplication.focusWidget().finding.subject == item.finding.subject


def test_a_closed_charge_takes_no_answers(qtbot, desk, page):
    page.items[0].set_open(True)
    desk.do(close_charge, desk.record.entity, at("2026-11-25 07:45"), "target reached", load())
    settle(qtbot, desk)
    assert page.items
    for item in page.items:
        item.set_open(True)
        shown = [button for button in item.findChildren(QuietButton) if button.isVisible()]
        assert shown == [item.lead_button]
    assert page._heading.text() == "How it ended"


def note_of(qtbot, page, code):
    """The line in which one says why, of the first finding of that code."""
    item = next(item for item in page.items if item.finding.code == code)
    item.setFocus()
    qtbot.keyClick(item, Qt.Key.Key_Return)  # open it
    item.ask_note()
    return QApplication.focusWidget()


def test_an_answer_half_typed_stands_while_weights_come_in(qtbot, desk, page):
    note = note_of(qtbot, page, "single-section")
    qtbot.keyClicks(note, "the other bu")
    qtbot.keyClick(note, Qt.Key.Key_Left)
    with qtbot.waitSignal(desk.record_changed):
        board = desk.assessment.boards[0]
        desk.do(keep_weight, desk.record.entity, board.entity, grams("2801"), desk.now())
    now = QApplication.focusWidget()
    assert now is not note  # the list was made anew
    assert (now.text(), now.cursorPosition()) == ("the other bu", 11)
    qtbot.keyClick(now, Qt.Key.Key_End)
    qtbot.keyClicks(now, "rned")
    with qtbot.waitSignal(desk.record_changed):
        qtbot.keyClick(now, Qt.Key.Key_Return)
    assert [line.newest.fact.note for line in desk.record.decision] == ["the other burned"]
    assert page.unkept() == ()


def test_an_answer_waits_with_its_charge_and_goes_to_no_other(qtbot, desk, page):
    here = desk.record.entity
    qtbot.keyClicks(note_of(qtbot, page, "single-section"), "it burned")
    told = page.unkept()
    assert len(told) == 1
    assert told[0].startswith("the answer to “")
    for entity in (next(line.entity for line in desk.lines if line.number == "2026-03"), here):
        with qtbot.waitSignal(desk.record_changed):
            desk.take_in_hand(entity)
        assert page.unkept() == told
    assert note_of(qtbot, page, "single-section").text() == "it burned"
    qtbot.keyClick(QApplication.focusWidget(), Qt.Key.Key_Escape)
    assert page.unkept() == ()
    assert note_of(qtbot, page, "single-section").text() == ""


def test_an_answer_is_not_left_to_another_charge_with_the_same_findings(qtbot, desk, page):
    for number in ("2026-04", "2026-05"):
        fact = Charge(number, "America/New_York", None, at("2026-11-20 08:00"))
        desk.do(write, fact, at("2026-11-20 08:00"))
    settle(qtbot, desk)
    with qtbot.waitSignal(desk.register_changed):
        desk.refresh_register()
    first, second = (
        next(line.entity for line in desk.lines if line.number == number) for number in ("2026-04", "2026-05")
    )
    with qtbot.waitSignal(desk.record_changed):
        desk.take_in_hand(first)
    found = desk.assessment.findings
    note = note_of(qtbot, page, found[0].code)
    qtbot.keyClicks(note, "small charge")
    with qtbot.waitSignal(desk.record_changed):
        desk.take_in_hand(second)
    assert desk.assessment.findings == found
    assert note_of(qtbot, page, found[0].code).text() == ""


def test_a_second_enter_while_an_answer_is_being_kept_sends_nothing(qtbot, desk, page):
    note = note_of(qtbot, page, "single-section")
    qtbot.keyClicks(note, "it burned")
    for _ in range(2):
        qtbot.keyClick(note, Qt.Key.Key_Return)
    settle(qtbot, desk)
    assert len(desk.record.decision) == 1


def test_a_step_pressed_twice_is_taken_once(qtbot, desk, page):
    dry_to(qtbot, desk, "2250")
    item = next(item for item in page.items if item.finding.code == "step-due")
    item.set_open(True)
    for _ in range(2):
        qtbot.mouseClick(item.main_button, Qt.MouseButton.LeftButton)
    settle(qtbot, desk)
    assert [line.newest.fact.step for line in desk.record.step_taken] == [2]


def test_an_answer_the_file_refuses_stays_typed_and_can_be_sent_again(qtbot, desk, page, monkeypatch):
    note = note_of(qtbot, page, "single-section")
    qtbot.keyClicks(note, "it burned")
    refuse = True

    def refusing(book, *arguments):
        if refuse:
            raise MissingValue(column="note")
        return write(book, *arguments)

    monkeypatch.setattr("kilnlog.ui.drying_curve.finding_item.write", refusing)
    with qtbot.waitSignal(desk.refused):
        qtbot.keyClick(note, Qt.Key.Key_Return)
    assert note.text() == "it burned"
    assert len(page.unkept()) == 1
    refuse = False
    with qtbot.waitSignal(desk.record_changed):
        qtbot.keyClick(note, Qt.Key.Key_Return)
    assert len(desk.record.decision) == 1


def test_enter_on_an_empty_answer_says_what_is_missing(qtbot, desk, page):
    note = note_of(qtbot, page, "single-section")
    item = note.parentWidget()
    assert not [line for line in item.findChildren(Wrapped) if line.text() == SAY_WHY and line.isVisible()]
    qtbot.keyClick(note, Qt.Key.Key_Return)
    assert [line for line in item.findChildren(Wrapped) if line.text() == SAY_WHY and line.isVisible()]
    settle(qtbot, desk)
    assert desk.record.decision == ()


def test_a_treatment_that_is_due_is_written_down_as_begun_by_one_button(qtbot, desk, page):
    dry_to(qtbot, desk, "1740")  # 4.4 %, below the target of 7 % on every board
    item = next(item for item in page.items if item.finding.code in ("equalize-due", "condition-due"))
    kind, words = {
        "equalize-due": (EventKind.EQUALIZING, "Equalizing has begun"),
        "condition-due": (EventKind.CONDITIONING, "Conditioning has begun"),
    }[item.finding.code]
    assert item.main_button.text() == words
    item.set_open(True)
    with qtbot.waitSignal(desk.record_changed):
        qtbot.mouseClick(item.main_button, Qt.MouseButton.LeftButton)
    (event,) = [line.current.fact for line in desk.record.event]
    assert (event.kind, event.state) == (kind, EventState.START)
    assert item.finding.code not in codes(page)


def test_each_change_shows_the_list_from_its_top(qtbot, desk, page):
    page.resize(356, 200)  # lower than its findings
    dry_to(qtbot, desk, "2250")
    bar = page._area.verticalScrollBar()
    qtbot.waitUntil(lambda: bar.maximum() > 100)
    bar.setValue(bar.maximum())
    desk.do(keep_weight, desk.record.entity, desk.assessment.boards[0].entity, grams("2249"), desk.now())
    settle(qtbot, desk)
    qtbot.wait(20)
    assert bar.value() == 0
    bar.setValue(bar.maximum())
    with qtbot.waitSignal(desk.record_changed):
        desk.take_in_hand(next(line.entity for line in desk.lines if line.number == "2026-03"))
    assert bar.value() == 0


def test_a_finding_higher_than_the_page_is_shown_from_its_title(qtbot, desk, page):
    dry_to(qtbot, desk, "2250")
    page.resize(356, 200)
    qtbot.wait(20)
    assert page.take_keys()
    bar, room = page._area.verticalScrollBar(), page._area.viewport().height()
    qtbot.wait(20)
    assert page.items[0].height() > room
    assert bar.value() == page.items[0].y() == 0
    for key, number in ((Qt.Key.Key_Down, 1), (Qt.Key.Key_Up, 0), (Qt.Key.Key_Home, 0)):
        qtbot.keyClick(QApplication.focusWidget(), key)
        item = page.items[number]
        assert QApplication.focusWidget() is item
        qtbot.wait(20)
        assert bar.value() <= item.y() <= bar.value() + max(0, room - item.height())


def test_an_answer_kept_leaves_no_line_open_where_its_finding_stands_on(qtbot, desk, page, monkeypatch):
    """The finding began anew after the answer, so that the answer does not hold it down."""

    def earlier(book, fact, moment):
        return write(book, fact, moment.plus_hours(-24 * 30))

    monkeypatch.setattr("kilnlog.ui.drying_curve.finding_item.write", earlier)
    code = next(item.finding.code for item in page.items if item.finding.since is not None)
    note = note_of(qtbot, page, code)
    qtbot.keyClicks(note, "seen to")
    with qtbot.waitSignal(desk.record_changed):
        qtbot.keyClick(note, Qt.Key.Key_Return)
    settle(qtbot, desk)
    item = next(item for item in page.items if item.finding.code == code)
    assert not item.finding.answered
    assert item.stops[-1].isHidden()
    assert item.stops[-1].text() == ""
    assert QApplication.focusWidget() is item  # where Ctrl Z means the answer

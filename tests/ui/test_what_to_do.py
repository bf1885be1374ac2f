"""What to do now: findings in order, answered by a decision or by taking the step."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication

from kilnlog.drying.finding import Severity
from kilnlog.logbook.closing import close_charge
from kilnlog.logbook.weighing_round import keep_weight
from kilnlog.reference.tables import load
from kilnlog.ui.drying_curve.what_to_do import WhatToDoPage
from kilnlog.ui.look.buttons import QuietButton
from kilnlog.ui.look.painting import Mark
from tests.ui.conftest import at, grams, open_book


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


def test_enter_on_an_open_finding_leads_to_its_board(qtbot, desk, page):
    item = next(item for item in page.items if item.finding.board is not None)
    item.setFocus()
    qtbot.keyClick(item, Qt.Key.Key_Return)
    with qtbot.waitSignal(page.led) as led:
        qtbot.keyClick(item, Qt.Key.Key_Return)
    assert led.args[0].board == item.finding.board


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
    assert button.text() == "I see it otherwise…"
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
        assert not [button for button in item.findChildren(QuietButton) if button.isVisible()]
    assert page._heading.text() == "How it ended"

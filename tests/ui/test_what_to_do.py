"""What to do now: findings in order, answered by a decision or by taking the step."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication

from kilnlog.drying.finding import Severity
from kilnlog.logbook.weighing_round import keep_weight
from kilnlog.ui.drying_curve.what_to_do import WhatToDoPage
from kilnlog.ui.look.painting import Mark
from tests.ui.conftest import grams, open_book


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

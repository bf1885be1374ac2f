"""Looking over all charges at the keyboard: narrowed, side by side, kilns in use, due in the week."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication

from kilnlog.logbook.closing import close_charge
from kilnlog.logbook.past_charges import Facet
from kilnlog.logbook.session import new_logbook, open_logbook
from kilnlog.reference.tables import load
from kilnlog.ui.past_charges.compare_dialog import CompareDialog
from kilnlog.ui.past_charges.use_dialog import UseDialog
from kilnlog.ui.past_charges.week_dialog import WeekDialog
from kilnlog.ui.register.model import Filter
from kilnlog.ui.register.narrowing import NarrowDialog
from tests.ui.conftest import NOW, at, charge, dialog_open, dialog_with_keys, open_book

CTRL, SHIFT = Qt.KeyboardModifier.ControlModifier, Qt.KeyboardModifier.ShiftModifier


def press(qtbot, key, modifier=Qt.KeyboardModifier.NoModifier):
    qtbot.keyClick(QApplication.focusWidget(), key, modifier)


def shown(window):
    return [line.number for line in window.register.model.lines]


def choose(qtbot, dialog, facet, words):
    """Go to a field by Tab and along its words by the arrows, as at the keyboard."""
    field = dialog.fields[facet]
    for _ in range(20):
        if field.hasFocus():
            break
        press(qtbot, Qt.Key.Key_Tab)
    assert field.hasFocus()
    press(qtbot, Qt.Key.Key_Home)
    while words not in field.currentText():
        before = field.currentIndex()
        press(qtbot, Qt.Key.Key_Down)
        assert field.currentIndex() == before + 1, f"{words} is not offered"


def turn_to(qtbot, desk, path):
    """Open another logbook; the first one's register may still be on its way."""
    open_book(qtbot, desk, path)
    qtbot.waitUntil(lambda: desk.path == path and not desk.operations.waiting)


@pytest.fixture
def more(qtbot, window, book_path):
    """With a second closed charge of white ash, of the year before."""
    path = Path(shutil.copy(book_path, book_path.with_name("more.kilnlog")))
    book = open_logbook(path, clock=lambda: NOW, who="mill")
    kiln = next(entry.entity for entry in book.file.entries("kiln"))
    entity = charge(book, "2025-09", kiln, "2025-09-01 08:00", "White-Ash", "rowan  JOINERY", loss_g=300)
    close_charge(book, entity, at("2025-09-10 09:00"), "sold", load())
    book.close()
    turn_to(qtbot, window.desk, path)
    qtbot.waitUntil(lambda: len(window.register.model.lines) == 4 and window.desk.record is not None)
    window.activateWindow()
    window.register.table.setFocus()
    return window


def test_f_narrows_by_words_combined_and_counts_them(qtbot, more):
    press(qtbot, Qt.Key.Key_F)
    dialog = dialog_with_keys(qtbot, NarrowDialog)
    assert dialog.said.text() == "4 charges fit"
    choose(qtbot, dialog, Facet.OWNER, "Rowan Joinery")
    assert dialog.said.text() == "2 charges fit"
    assert {field.currentText() for field in dialog.fields.values()} >= {"any"}
    years = [dialog.fields[Facet.YEAR].itemText(n) for n in range(dialog.fields[Facet.YEAR].count())]
    assert years == ["any", "2026  (1)", "2025  (1)"]
    choose(qtbot, dialog, Facet.YEAR, "2025")
    assert dialog.said.text() == "1 charge fits"
    press(qtbot, Qt.Key.Key_Return, CTRL)
    assert shown(more) == ["2025-09"]
    assert [word.text() for word in more.register.words.words][1:] == ["loaded in 2025  ×", "all of them  ×"]
    assert more.register.words.isVisible()
    counts = [more.register.model.count(which) for which in Filter]
    assert counts == [1, 0, 0, 1]


def test_a_word_is_cleared_by_its_own_key_and_all_of_them_by_one(qtbot, more):
    register = more.register
    register.narrow({Facet.OWNER: "rowan joinery", Facet.YEAR: "2025"})
    register.words.words[1].setFocus()
    press(qtbot, Qt.Key.Key_Delete)
    assert shown(more) == ["2026-01", "2025-09"]
    assert [word.text() for word in register.words.words] == ["Rowan Joinery  ×"]
    press(qtbot, Qt.Key.Key_Return)  # the keys are on the word that is left
    assert len(shown(more)) == 4
    assert register.words.isHidden()
    assert register.table.hasFocus()
    register.narrow({Facet.YEAR: "2025"})
    register.table.setFocus()
    press(qtbot, Qt.Key.Key_F, SHIFT)
    assert len(shown(more)) == 4
    register.narrow({Facet.YEAR: "2025", Facet.SPECIES: "white ash"})
    register.words.words[-1].click()
    assert len(shown(more)) == 4


def test_the_dialog_clears_all_and_leaving_it_changes_nothing(qtbot, more):
    more.register.narrow({Facet.YEAR: "2025"})
    more.register.ask_narrow()
    dialog = dialog_with_keys(qtbot, NarrowDialog)
    assert dialog.fields[Facet.YEAR].value == "2025"
    dialog.others[0].click()
    assert dialog.chosen == {}
    assert dialog.said.text() == "4 charges fit"
    press(qtbot, Qt.Key.Key_Escape)
    qtbot.waitUntil(lambda: dialog_open() is None)
    assert shown(more) == ["2025-09"]


def test_where_nothing_is_left_the_list_says_what_to_do(qtbot, more):
    register = more.register
    register.narrow({Facet.OWNER: "rowan joinery", Facet.SPECIES: "northern red oak"})
    assert shown(more) == []
    assert "red oak" in register.model.why_nothing
    assert "Shift F" in register.model.why_nothing
    register.narrow({Facet.YEAR: "2025"})
    register.filters.choose(Filter.RUNNING)
    assert shown(more) == []
    assert "running" in register.model.why_nothing
    register.search.setText("beech")
    assert "Esc" in register.model.why_nothing
    told = register.keys()
    assert ("Shift F", "show all again") in told


def test_the_search_and_the_words_count_together(qtbot, more):
    more.register.search.setText("ash")
    more.register.ask_narrow()
    dialog = dialog_with_keys(qtbot, NarrowDialog)
    assert dialog.said.text() == "2 charges fit"
    assert dialog.fields[Facet.SPECIES].count() == 2  # any, and white ash
    press(qtbot, Qt.Key.Key_Escape)


def test_another_logbook_is_shown_whole(qtbot, more, tmp_path):
    more.register.narrow({Facet.YEAR: "2025"})
    other = tmp_path / "other.kilnlog"
    book = new_logbook(other, clock=lambda: NOW, who="mill")
    kiln = None
    charge(book, "A", kiln, "2026-11-01 12:00", "red oak", None, loss_g=100)
    book.close()
    turn_to(qtbot, more.desk, other)
    assert shown(more) == ["A"]
    assert more.register.words.isHidden()


def cells(table):
    return [[cell.text.strip() for cell in line.cells] for line in table.lines]


def test_closed_charges_of_a_kind_stand_side_by_side(qtbot, more):
    qtbot.keyClick(more, Qt.Key.Key_P, CTRL | SHIFT)
    dialog = dialog_with_keys(qtbot, CompareDialog)
    qtbot.waitUntil(lambda: bool(dialog.table.lines))
    assert dialog.kind.currentText() == "4/4 white ash  (2)"
    # Four boards of 3000 g at 80 %, so 1666.7 g oven-dry: 2800 g is 68.0 %, 2700 g is 62.0 %; all alike.
    assert cells(dialog.table) == [
        [
            "✓",
            "2026-01",
            "North shed",
            "Oak, slow",
            "2026-10-02",
            "11",
            "80.0",
            "68.0",
            "0.00",
            "4 boards",
            "–",
        ],
        [
            "✓",
            "2025-09",
            "North shed",
            "Oak, slow",
            "2025-09-01",
            "10",
            "80.0",
            "62.0",
            "0.00",
            "4 boards",
            "–",
        ],
    ]
    assert dialog.together.text().startswith("2 charges chosen  ·  10 – 11 days in the kiln")
    assert "62.0 – 68.0 %" in dialog.together.text()
    dialog.table.setFocus()
    press(qtbot, Qt.Key.Key_Space)
    assert cells(dialog.table)[0][0] == ""
    assert dialog.together.text().startswith("1 charge chosen  ·  10 days")
    press(qtbot, Qt.Key.Key_Space)
    assert dialog.left_out == set()
    press(qtbot, Qt.Key.Key_Down)
    with qtbot.waitSignal(more.desk.record_changed):
        press(qtbot, Qt.Key.Key_Return)
    assert more.desk.record.particulars.charge == "2025-09"
    assert dialog_open() is None


def test_a_logbook_without_a_closed_charge_says_so(qtbot, window, tmp_path):
    other = tmp_path / "other.kilnlog"
    new_logbook(other, clock=lambda: NOW, who="mill").close()
    turn_to(qtbot, window.desk, other)
    window.register.over_all.compare()
    dialog = dialog_with_keys(qtbot, CompareDialog)
    assert dialog.said.text() == ""
    assert dialog.table.isHidden()
    press(qtbot, Qt.Key.Key_Escape)


def test_days_of_each_kiln_follow_the_period(qtbot, window):
    window.activateWindow()
    qtbot.keyClick(window, Qt.Key.Key_U, CTRL)
    dialog = dialog_with_keys(qtbot, UseDialog)
    qtbot.waitUntil(lambda: bool(dialog.table.lines))
    told = cells(dialog.table)
    # From 2 Oct 08:00 to closing on 12 Oct 09:00, and from 16 Nov 08:00 to now, 25 Nov 07:46.
    assert [line[:2] for line in told] == [
        ["North shed", "19.0"],
        ["2026-01", "10.0"],
        ["2026-02", "9.0"],
        ["Long shed", "0.0"],
    ]
    assert told[2][3] == "still there"
    assert told[3][3] == "stood empty"
    assert dialog.said.text() == "of 329 days"
    dialog.rows["first"].field.setFocus()
    dialog.rows["first"].field.selectAll()
    qtbot.keyClicks(dialog.rows["first"].field, "2026-11-20")
    qtbot.waitUntil(lambda: dialog.said.text() == "of 6 days")
    assert cells(dialog.table)[0][:3] == ["North shed", "5.3", "89 %"]
    assert dialog.period.value == "typed"
    dialog.rows["last"].field.selectAll()
    qtbot.keyClicks(dialog.rows["last"].field, "2026-11-19")
    qtbot.waitUntil(lambda: bool(dialog.rows["last"].wrong))
    assert "before the first" in dialog.rows["last"].wrong
    assert dialog.table.lines == ()
    dialog.rows["last"].field.selectAll()
    qtbot.keyClicks(dialog.rows["last"].field, "2026-13-01")
    qtbot.waitUntil(lambda: "calendar" in dialog.rows["last"].wrong)
    press(qtbot, Qt.Key.Key_Escape)
    assert dialog_open() is None


def test_what_is_due_in_the_week(qtbot, window):
    window.activateWindow()
    qtbot.keyClick(window, Qt.Key.Key_D, CTRL)
    dialog = dialog_with_keys(qtbot, WeekDialog)
    qtbot.waitUntil(lambda: bool(dialog.table.lines))
    assert cells(dialog.table)[0] == ["today", "2026-02", "Weigh all 4 boards", "6 days late"]
    assert dialog.table.hasFocus()
    press(qtbot, Qt.Key.Key_Return)
    assert dialog_open() is None


def test_where_nothing_is_due_it_says_so(qtbot, window, tmp_path):
    other = tmp_path / "other.kilnlog"
    new_logbook(other, clock=lambda: NOW, who="mill").close()
    turn_to(qtbot, window.desk, other)
    window.register.over_all.week()
    dialog = dialog_with_keys(qtbot, WeekDialog)
    qtbot.waitUntil(lambda: dialog.said.text() == "")
    assert dialog._nothing.isVisible()
    assert dialog.table.isHidden()
    press(qtbot, Qt.Key.Key_Escape)


def test_what_only_shows_is_left_by_one_esc_whatever_was_chosen_in_it(qtbot, window, book_path):
    path = Path(shutil.copy(book_path, book_path.with_name("kinds.kilnlog")))
    book = open_logbook(path, clock=lambda: NOW, who="mill")
    kiln = next(entry.entity for entry in book.file.entries("kiln"))
    entity = charge(book, "2025-09", kiln, "2025-09-01 08:00", "red oak", None, loss_g=300)
    close_charge(book, entity, at("2025-09-10 09:00"), "sold", load())
    book.close()
    turn_to(qtbot, window.desk, path)
    window.activateWindow()
    window.register.over_all.compare()
    dialog = dialog_with_keys(qtbot, CompareDialog)
    qtbot.waitUntil(lambda: bool(dialog.table.lines))
    dialog.kind.setFocus()
    chosen = dialog.kind.currentIndex()
    press(qtbot, Qt.Key.Key_Up if chosen else Qt.Key.Key_Down)
    assert dialog.kind.currentIndex() != chosen
    press(qtbot, Qt.Key.Key_Escape)
    assert dialog.told == ""
    assert dialog_open() is None

"""Earlier charges behind the present curve: read beside, drawn quietly, switched, remembered."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt

from kilnlog.logbook.closing import close_charge
from kilnlog.logbook.session import open_logbook
from kilnlog.logbook.weighing_round import keep_weight
from kilnlog.reference.tables import load
from kilnlog.ui.drying_curve.earlier_lines import AHEAD, shown_until_s
from kilnlog.ui.drying_curve.view import WHAT, DryingCurveView
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.preferences import Preferences, keep_look, load_preferences, save_preferences
from kilnlog.ui.window import MainWindow
from tests.ui.conftest import NOW, at, charge, grams, open_book


@pytest.fixture
def with_past(book_path):
    """Two closed charges of red oak beside the running one, of other spellings."""
    book = open_logbook(book_path, clock=lambda: NOW, who="mill")
    kiln = next(entry.entity for entry in book.file.entries("kiln"))
    for number, loaded, species in (
        ("2025-01", "2025-02-01 08:00", "Red oak"),
        ("2025-02", "2025-05-01 08:00", "red-oak"),
    ):
        entity = charge(book, number, kiln, loaded, species, "Somebody Else", loss_g=400)
        close_charge(book, entity, at(loaded).plus_hours(240), None, load())
    book.close()
    return book_path


@pytest.fixture
def view(qtbot, desk, appearance, with_past):
    made = DryingCurveView(desk, appearance)
    qtbot.addWidget(made)
    made.resize(1338, 630)
    made.show()
    qtbot.waitExposed(made)
    open_book(qtbot, desk, with_past)
    line = next(line for line in desk.lines if line.number == "2026-02")
    with qtbot.waitSignal(desk.record_changed):
        desk.take_in_hand(line.entity)
    made.setFocus()
    return made


def both_there(view):
    return [one.number for one in view.plot._earlier] == ["2025-02", "2025-01"]


def test_earlier_charges_of_the_same_wood_come_behind_the_present_one(qtbot, view):
    qtbot.waitUntil(lambda: both_there(view))
    assert view._remark.text() == "thin lines: 2025-02, 2025-01, at equal moisture"
    # All began at 80 %: the start weights lie on one another.
    first = view.plot.assessment.rounds[0]
    for one in view.plot._earlier:
        assert one.points[0] == (pytest.approx(first.at.utc.timestamp()), pytest.approx(80.0))
    named = {text for text, _, _ in view.plot._layers.words.boxes()}
    assert {"earlier: 2025-01", "earlier: 2025-02"} <= named


def test_e_switches_them_off_and_on_and_the_menu_does_too(qtbot, view, appearance):
    qtbot.waitUntil(lambda: both_there(view))
    qtbot.keyClick(view.plot, Qt.Key.Key_E)
    assert not appearance.earlier_curves
    assert list(view.plot._earlier) == []
    assert view._remark.text() == WHAT
    command = next(one for one in view.commands() if "earlier" in one.text)
    assert not command.checked()
    command.run()
    assert both_there(view)
    assert command.checked()


def test_a_charge_without_an_earlier_one_says_so(qtbot, desk, view):
    line = next(line for line in desk.lines if line.number == "2026-01")
    with qtbot.waitSignal(desk.record_changed):
        desk.take_in_hand(line.entity)
    assert list(view.plot._earlier) == []
    assert view._remark.text() == "no earlier charge of 4/4 white ash to lay behind"


def test_a_hidden_view_reads_nothing_and_a_shown_one_reads_one_at_a_time(qtbot, desk, view):
    qtbot.waitUntil(lambda: both_there(view))
    view.hide()
    view.earlier._known.clear()
    with qtbot.waitSignal(desk.record_changed):
        board = next(one for one in desk.assessment.boards if one.board == "1")
        desk.do(keep_weight, desk.record.entity, board.entity, grams("2850"), desk.now())
    qtbot.waitUntil(lambda: not desk.operations.waiting)
    assert view.earlier._known == {}
    waiting = []
    view.earlier.changed.connect(lambda: waiting.append(desk.operations.waiting))
    view.show()
    assert desk.operations.waiting == 1
    qtbot.waitUntil(lambda: both_there(view))
    assert waiting[-1] == 0


def test_another_logbook_forgets_them(qtbot, desk, view, with_past, tmp_path):
    qtbot.waitUntil(lambda: both_there(view))
    copy = tmp_path / "copy.kilnlog"
    copy.write_bytes(with_past.read_bytes())
    open_book(qtbot, desk, copy)
    qtbot.waitUntil(lambda: desk.path == copy and not desk.operations.waiting)
    line = next(line for line in desk.lines if line.number == "2026-02")
    with qtbot.waitSignal(desk.record_changed):
        desk.take_in_hand(line.entity)
    qtbot.waitUntil(lambda: both_there(view))
    assert view.earlier._path == copy


def test_what_lies_ahead_is_shown_as_far_as_it_serves():
    class Laid:
        def __init__(self, last):
            self.points = ((0.0, 80.0), (last, 8.0))

    whole = (0.0, 100.0)
    assert shown_until_s(whole, ()) == 100.0
    assert shown_until_s(whole, [Laid(50.0)]) == 100.0
    assert shown_until_s(whole, [Laid(110.0), Laid(120.0)]) == 120.0
    assert shown_until_s(whole, [Laid(1000.0)]) == pytest.approx(100.0 * (1 + AHEAD))


def test_the_choice_is_remembered(qtbot, qapp, tmp_path):
    kept_in = tmp_path / "window.json"
    save_preferences(Preferences(mode="dark"), kept_in)
    look = Appearance("dark")
    keep_look(look, kept_in)
    look.set_earlier_curves(False)
    assert load_preferences(kept_in) == Preferences(mode="dark", earlier_curves="hidden")
    kept_in.write_text('{"earlier_curves": "purple"}')
    assert load_preferences(kept_in).earlier_curves == "shown"


def test_the_line_of_the_menu_switches_and_shows_the_choice(qtbot, desk, appearance, with_past):
    window = MainWindow(desk, appearance)
    qtbot.addWidget(window)
    with qtbot.waitSignal(window.ready, timeout=20_000):
        window.show()
    menus = window.menu_row.menus
    action = next(action for _, action in menus._actions if "earlier charges" in action.text())
    menus.refresh()
    assert action.isChecked()
    for shown in (False, True, False):
        action.trigger()
        menus.refresh()
        assert (appearance.earlier_curves, action.isChecked()) == (shown, shown)

"""The drying curve: what is drawn, what the hairline reads off, what the keys do, what is saved."""

from __future__ import annotations

from datetime import UTC, datetime
from xml.etree import ElementTree

import numpy as np
import pyqtgraph as pg
import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QImage
from PySide6.QtWidgets import QApplication

from kilnlog.drying.assessment import assess
from kilnlog.drying.finding import Finding, Severity
from kilnlog.logbook.session import new_logbook
from kilnlog.logbook.weighing_round import keep_weight
from kilnlog.logbook.writing import write
from kilnlog.records.charge import Charge
from kilnlog.records.decision import Decision
from kilnlog.records.moment import Moment
from kilnlog.records.step_taken import StepTaken
from kilnlog.reference.tables import load
from kilnlog.ui.drying_curve.axes import MoistureAxis, TimeAxis
from kilnlog.ui.drying_curve.key_column import CARRIED
from kilnlog.ui.drying_curve.series import board_series, step_spans
from kilnlog.ui.drying_curve.styles import MARKERS, style_of
from kilnlog.ui.drying_curve.told import NO_CHARGE
from kilnlog.ui.drying_curve.view import DryingCurveView
from kilnlog.ui.errors import PictureNotSaved
from kilnlog.ui.look.tokens import TOKENS
from tests.builders import ChargeBuilder
from tests.ui.conftest import NOW, ZONE, at, grams, open_book


@pytest.fixture
def view(qtbot, desk, appearance, book_path):
    made = DryingCurveView(desk, appearance)
    qtbot.addWidget(made)
    made.resize(1338, 630)
    made.show()
    qtbot.waitExposed(made)
    open_book(qtbot, desk, book_path)
    line = next(line for line in desk.lines if line.number == "2026-02")
    with qtbot.waitSignal(desk.record_changed):
        desk.take_in_hand(line.entity)
    made.setFocus()
    return made


def board_entity(desk, label):
    return next(board.entity for board in desk.assessment.boards if board.board == label)


def test_the_key_reads_the_newest_round_wettest_first_control_boards_apart(view):
    lines = view.key.lines
    assert [line.feeds_control for line in lines] == [True, True, False, False]
    # 2900 g over 3000 / 1.8 g oven-dry: 74.0 %
    assert {line.mc_text for line in lines} == {"74.0"}


def test_the_key_says_what_the_c_behind_a_figure_is(qtbot, desk, view):
    assert not view.key.explains_carried
    assert CARRIED not in view.key.accessibleDescription()
    with qtbot.waitSignal(desk.record_changed):
        desk.do(keep_weight, desk.record.entity, board_entity(desk, "1"), grams("2800"), desk.now())
    assert view.key.explains_carried  # boards 2, 3 and 4 were not weighed with it
    assert "board 2 74.0 % c" in view.key.accessibleDescription()
    assert CARRIED in view.key.accessibleDescription()


def test_without_a_charge_no_time_is_told_and_no_key_is_offered(qtbot, desk, appearance, tmp_path):
    """A logbook just begun."""
    made = DryingCurveView(desk, appearance)
    qtbot.addWidget(made)
    made.resize(1338, 630)
    made.show()
    qtbot.waitExposed(made)
    path = tmp_path / "new.kilnlog"
    desk.operations.open(lambda: new_logbook(path, clock=lambda: NOW, who="mill"), desk.opened)
    qtbot.waitUntil(lambda: desk.path == path and desk.operations.waiting == 0)
    assert made.plot.accessibleDescription() == NO_CHARGE
    assert not [axis for axis in (made.plot._time, made.plot._moisture) if axis.style["showValues"]]
    shown = [item.toPlainText() for item in made.plot.plotItem.items if isinstance(item, pg.TextItem)]
    assert shown == [NO_CHARGE]
    assert made.keys() == ()
    charge = Charge("2026-01", ZONE, None, at("2026-11-20 08:00"))
    with qtbot.waitSignal(desk.register_changed):
        desk.do(write, charge, at("2026-11-20 08:00"))
    with qtbot.waitSignal(made.keys_changed):
        desk.take_in_hand(desk.lines[0].entity)
    assert made.plot._time.style["showValues"]
    keys = dict(made.keys())
    assert "+ −" in keys
    assert "1 … 9" not in keys  # it has no boards yet
    assert "N" not in keys


def test_a_kept_weight_moves_the_curve(qtbot, desk, view):
    before = view.plot.assessment.rounds
    with qtbot.waitSignal(desk.record_changed):
        desk.do(keep_weight, desk.record.entity, board_entity(desk, "1"), grams("2801"), desk.now())
    assert len(view.plot.assessment.rounds) == len(before) + 1
    assert view.key.lines[0].mc_text == "74.0"
    # 2801 / 1666.67 - 1
    assert next(line for line in view.key.lines if line.label == "1").mc_text == "68.1"
    carried = {line.label for line in view.key.lines if line.carried}
    assert carried == {"2", "3", "4"}


def test_a_hidden_curve_is_up_to_date_when_it_is_shown(qtbot, desk, view):
    view.hide()
    with qtbot.waitSignal(desk.record_changed):
        desk.do(keep_weight, desk.record.entity, board_entity(desk, "1"), grams("2801"), desk.now())
    view.show()
    assert next(line for line in view.key.lines if line.label == "1").mc_text == "68.1"


def test_arrows_move_the_hairline_from_round_to_round(qtbot, view):
    newest = view.plot.reading
    qtbot.keyClick(view.plot, Qt.Key.Key_Left)
    assert view.plot.reading == newest - 1
    assert view.key.lines[0].mc_text == "80.0"  # the start weights
    qtbot.keyClick(view.plot, Qt.Key.Key_Left)
    assert view.plot.reading == 0  # stays at the first
    qtbot.keyClick(view.plot, Qt.Key.Key_End)
    assert view.plot.reading == newest + 1  # the present, after the last round
    qtbot.keyClick(view.plot, Qt.Key.Key_Left)
    assert view.plot.reading == newest


def test_a_number_key_hides_and_shows_a_board(qtbot, view):
    qtbot.keyClick(view.plot, Qt.Key.Key_2)
    assert view.plot.hidden == {"2"}
    assert not next(line for line in view.key.lines if line.label == "2").shown
    qtbot.keyClick(view.plot, Qt.Key.Key_2)
    assert view.plot.hidden == frozenset()


def test_a_finding_leads_to_its_board(qtbot, desk, view):
    item = next(item for item in view.what_to_do.items if item.finding.board is not None)
    with qtbot.waitSignal(view.board_asked):
        item.led.emit(item.finding)
    assert desk.board_in_hand == item.finding.board


def test_the_hairline_goes_to_the_round_nearest_a_moment(view):
    view.plot.read_nearest(at("2026-11-15 09:00"))
    assert view.plot.reading == 0


def test_zoom_pan_and_back_to_the_whole_run(qtbot, view):
    def shown():
        return np.array(view.plot.plotItem.vb.viewRange()[0])

    whole = shown()
    qtbot.keyClick(view.plot, Qt.Key.Key_Plus)
    assert np.ptp(shown()) == pytest.approx(np.ptp(whole) / 1.25)
    zoomed = shown()
    qtbot.keyClick(view.plot, Qt.Key.Key_PageDown)
    assert np.ptp(shown()) == pytest.approx(np.ptp(zoomed))
    assert shown()[0] > zoomed[0]
    qtbot.keyClick(view.plot, Qt.Key.Key_0)
    assert shown() == pytest.approx(whole)


def told_keys(view):
    return dict(view.keys())


def shown_range(view):
    return np.array(view.plot.plotItem.vb.viewRange()[0])


def answer_first(qtbot, desk, view):
    finding = view.what_to_do.items[0].finding
    decision = Decision(desk.record.entity, finding.code, finding.subject, "seen")
    with qtbot.waitSignal(desk.record_changed):
        desk.do(write, decision, desk.now())


@pytest.mark.parametrize("chosen", ["whole", "step", "week"])
def test_the_time_shown_stays_as_chosen_when_a_finding_is_answered(qtbot, desk, view, chosen):
    with qtbot.waitSignal(desk.record_changed):
        desk.do(write, StepTaken(desk.record.entity, 2), at("2026-11-23 08:00"))
    view._ranges.choose(chosen)
    before = shown_range(view)
    answer_first(qtbot, desk, view)
    assert shown_range(view) == pytest.approx(before)
    assert view._ranges.key == chosen


def test_seven_days_of_a_younger_charge_stay_seven_days(qtbot, view):
    builder = ChargeBuilder(loaded_at="2026-11-03 06:00")
    daily_board(builder, [3, 4])
    record, now = builder.record(), builder.when("2026-11-04 09:00")
    view.plot.show_charge(record, assess(record, load(), now), anew=True)
    view.plot.show_since(view.plot.days_back(7))
    before = shown_range(view)
    view.plot.show_charge(record, assess(record, load(), now), anew=False)
    assert shown_range(view) == pytest.approx(before)


def test_zoomed_by_hand_no_range_is_underlined_and_an_answer_leaves_it_so(qtbot, desk, view):
    qtbot.keyClick(view.plot, Qt.Key.Key_Plus)
    before = shown_range(view)
    assert view._ranges.key is None
    answer_first(qtbot, desk, view)
    assert shown_range(view) == pytest.approx(before)
    qtbot.keyClick(view.plot, Qt.Key.Key_0)
    assert view._ranges.key == "whole"


def test_tab_goes_from_the_curve_to_the_findings(qtbot, view):
    view.activateWindow()
    qtbot.waitUntil(view.isActiveWindow)
    view.plot.setFocus()
    seen = []
    for _ in range(3):
        qtbot.keyClick(QApplication.focusWidget(), Qt.Key.Key_Tab)
        seen.append(QApplication.focusWidget())
    assert seen[:2] == [view.key, view.what_to_do.items[0]]
    assert seen[2].text() == "Done about it…"  # the first is open


def test_f6_turns_from_the_curve_to_the_findings_and_back_and_the_keys_shown_follow(qtbot, view):
    view.activateWindow()
    qtbot.waitUntil(view.isActiveWindow)
    view.plot.setFocus()
    assert told_keys(view)["F6"] == "what to do"
    with qtbot.waitSignal(view.keys_changed):
        qtbot.keyClick(view.plot, Qt.Key.Key_F6)
    assert QApplication.focusWidget() is view.what_to_do.items[0]
    assert told_keys(view)["Enter"] == "open, its buttons"
    with qtbot.waitSignal(view.keys_changed):
        qtbot.keyClick(QApplication.focusWidget(), Qt.Key.Key_F6)
    assert QApplication.focusWidget() is view.plot
    assert told_keys(view)["F6"] == "what to do"


def test_the_figures_can_be_heard(view):
    assert "board 1 74.0 %" in view.plot.accessibleDescription()
    assert "board 1 74.0 %" in view.key.accessibleDescription()


def test_a_png_is_a_picture_and_an_svg_holds_lines_only(view, tmp_path):
    view.save(tmp_path / "curve.png")
    picture = QImage(str(tmp_path / "curve.png"))
    assert picture.width() >= 2 * view.plot.width()
    view.save(tmp_path / "curve.svg")
    root = ElementTree.parse(tmp_path / "curve.svg").getroot()
    drawn = {element.tag.split("}")[1] for element in root.iter()}
    assert "polyline" in drawn or "path" in drawn
    assert "image" not in drawn
    assert "drying" in root.findtext("{http://www.w3.org/2000/svg}title", "").lower()


def test_a_picture_that_cannot_be_written_says_so(view, tmp_path):
    with pytest.raises(PictureNotSaved):
        view.save(tmp_path / "no such folder" / "curve.png")
    with pytest.raises(PictureNotSaved):
        view.save(tmp_path / "no such folder" / "curve.svg")


@pytest.mark.parametrize("mode", ["light", "dark"])
def test_the_curve_follows_the_appearance(view, appearance, mode):
    appearance.set_mode(mode)
    assert view.plot.backgroundBrush().color().name() == TOKENS[mode].sheet.lower()


def test_days_begin_at_the_charges_midnight_across_the_clock_change(qapp):
    axis = TimeAxis()
    axis.set_zone("America/New_York")
    low = Moment.from_text("2026-10-30 12:00", "America/New_York").utc.timestamp()
    high = Moment.from_text("2026-11-03 12:00", "America/New_York").utc.timestamp()
    ticks = axis.tickValues(low, high, 400)[0][1]
    local = [Moment(datetime.fromtimestamp(tick, UTC), "America/New_York").local for tick in ticks]
    assert [(one.day, one.hour) for one in local] == [(31, 0), (1, 0), (2, 0), (3, 0)]
    assert np.diff(ticks).tolist() == [86400, 90000, 86400]  # the autumn day has 25 hours
    assert axis.tickStrings(ticks, 1.0, 86400) == ["31 Oct", "1 Nov", "2", "3"]


def test_the_unit_stands_once_on_the_top_tick(qapp):
    axis = MoistureAxis()
    values = axis.tickValues(0, 84, 420)[0][1]
    assert axis.tickStrings(values, 1.0, 10.0) == ["0", "10", "20", "30", "40", "50", "60", "70", "80 %"]


def assessed(builder, when):
    return assess(builder.record(), load(), builder.when(when))


def daily_board(builder, days):
    board = builder.board("1", 3000, at="2026-11-02 08:00")
    builder.section(board, "A", 90, 50, at="2026-11-02 08:00", dried_at="2026-11-03 08:00")
    for number, day in enumerate(days):
        builder.weigh(board, 2950 - 25 * number, f"2026-11-{day:02d} 08:00")
    return board


def test_a_board_left_out_for_days_leaves_a_gap():
    builder = ChargeBuilder()
    daily_board(builder, [3, 4, 5, 6, 12, 13])
    series = board_series(assessed(builder, "2026-11-13 09:00").boards[0], 0)
    assert series.joined.tolist() == [True, True, True, True, False, True, True]


def test_a_recut_is_marked_and_its_first_estimate_kept():
    builder = ChargeBuilder()
    board = daily_board(builder, [3, 4, 5, 6])
    builder.recut(board, 2850, 2700, 80, 50, at="2026-11-07 08:00", dried_at="2026-11-08 08:00")
    series = board_series(assessed(builder, "2026-11-09 09:00").boards[0], 0)
    assert series.marked_words == ("recut",)
    assert series.marked_mc_pct.tolist() == pytest.approx([60.0])  # 100 x (80 / 50 - 1)
    # First estimate of the start: the sections' 80 %. Re-based on 2850 / 1.6 = 1781.25 g: 3000 g was 68.4 %.
    assert series.first_mc_pct[0] == pytest.approx(80.0)
    assert series.mc_pct[0] == pytest.approx(100 * (3000 / (2850 / 1.6) - 1))


def test_steps_span_from_one_taken_to_the_next():
    spans = step_spans([(at("2026-11-10 08:00"), 3), (at("2026-11-05 08:00"), 2)], at("2026-11-01 08:00"))
    assert [span.step for span in spans] == [1, 2, 3]
    assert spans[0].to_s == spans[1].from_s
    assert spans[-1].to_s is None


def test_no_two_boards_of_a_dozen_are_drawn_alike():
    tokens = TOKENS["light"]
    drawn = set()
    for number in range(12):
        style = style_of(number, tokens)
        drawn.add((style.colour, style.hollow, MARKERS.index(style.marker)))
    assert len(drawn) == 12


@pytest.mark.parametrize("key", [Qt.Key.Key_Minus, Qt.Key.Key_Plus, Qt.Key.Key_PageUp, Qt.Key.Key_PageDown])
def test_however_long_a_key_is_held_the_clock_still_tells_the_time_shown(qtbot, view, key):
    whole = np.ptp(shown_range(view))
    for _ in range(200):
        qtbot.keyClick(view.plot, key)
    QApplication.processEvents()  # paints: the axis tells the times
    low, high = shown_range(view)
    half_a_year = max(whole, 180 * 86400) + 1
    assert view.plot.whole[0] - half_a_year < low
    assert high < view.plot.whole[1] + half_a_year
    assert high - low >= 599


def test_a_finding_leads_to_its_moment_even_where_the_hairline_stands_there_out_of_sight(qtbot, desk, view):
    began = desk.assessment.rounds[0].at
    view.plot.read_nearest(began)
    for _ in range(6):
        view.plot.zoom(0.5)
    for _ in range(20):
        qtbot.keyClick(view.plot, Qt.Key.Key_PageDown)
    low, high = shown_range(view)
    assert not low <= view.plot.reading_s <= high
    view.what_to_do.led.emit(Finding("weighing-overdue", Severity.LOOK, "charge", since=began))
    low, high = shown_range(view)
    assert low <= view.plot.reading_s <= high


def test_what_began_after_the_last_round_is_read_off_at_the_present(desk, view):
    last = len(desk.assessment.rounds) - 1
    since = desk.assessment.at.plus_hours(-1)
    view.what_to_do.led.emit(Finding("weighing-overdue", Severity.LOOK, "charge", since=since))
    assert view.plot.reading == last + 1


def test_a_finding_without_board_or_moment_leads_to_the_present(desk, view):
    view.plot.read_at(0)
    view.what_to_do.led.emit(Finding("oven-rule-unknown", Severity.LOOK, "charge"))
    assert view.plot.reading == len(desk.assessment.rounds)


def test_a_charge_not_loaded_yet_shows_the_present_and_no_day_of_1970(qtbot, desk, view):
    planned = next(line.entity for line in desk.lines if line.number == "2026-03")
    with qtbot.waitSignal(desk.record_changed):
        desk.take_in_hand(planned)
    low, high = shown_range(view)
    assert low < desk.assessment.at.utc.timestamp() < high
    assert high - low < 2 * 86400

"""The air beneath the curve: on the same time, broken where nobody recorded it, read off with the boards."""

from __future__ import annotations

from datetime import date, timedelta

import numpy as np
import pyqtgraph as pg
import pytest
from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QTransform
from PySide6.QtWidgets import QApplication

from kilnlog.logbook.event_words import event_words
from kilnlog.logbook.weighing_round import keep_weight
from kilnlog.logbook.writing import change, write
from kilnlog.records.air_reading import AirReading
from kilnlog.records.event import Event
from kilnlog.records.logger_batch import LoggerBatch, LoggerDay
from kilnlog.records.meter_check import MeterCheck
from kilnlog.records.set_point import SetPoint
from kilnlog.records.step_taken import StepTaken
from kilnlog.records.version import Entry, Version, VersionKind
from kilnlog.records.words import EventKind, EventState, LoggerClock, SecondReading, TemperatureUnit
from kilnlog.ui.commands import MenuName
from kilnlog.ui.drying_curve.series import meter_series
from kilnlog.ui.drying_curve.view import DryingCurveView
from kilnlog.ui.kiln_air.curve_lines import ShownEvent
from kilnlog.ui.kiln_air.events_lane import Lane, told_length
from kilnlog.ui.kiln_air.water_dialog import WaterDialog
from kilnlog.ui.look.sizes import NAMES, Role
from tests.ui.boards import press, settle
from tests.ui.conftest import NOW, at, dialog_with_keys, grams, open_book

F = TemperatureUnit.FAHRENHEIT


@pytest.fixture
def view(qtbot, desk, appearance, book_path):
    made = DryingCurveView(desk, appearance)
    qtbot.addWidget(made)
    made.resize(1338, 630)
    made.show()
    qtbot.waitExposed(made)
    open_book(qtbot, desk, book_path)
    with qtbot.waitSignal(desk.record_changed):
        desk.take_in_hand(next(line.entity for line in desk.lines if line.number == "2026-02"))
    return made


def do(qtbot, desk, *arguments):
    desk.do(*arguments)
    settle(qtbot, desk)


def log_air(qtbot, desk, *, hole=True):
    """A logger of the charge: every ten minutes for two days, silent for fourteen hours between."""
    charge = desk.record.entity
    start = at("2026-11-18 00:00").utc

    def keep(book):
        days: dict[date, list] = {}
        for number in range(288):
            moment = start + timedelta(minutes=10 * number)
            if hole and 100 < number < 185:
                continue
            days.setdefault(moment.date(), []).append(
                (int(moment.timestamp()), f"{110 + number % 3 / 10:.1f}", "106.0")
            )
        batch = LoggerBatch(
            charge, "fan side", "a.csv", "0" * 64, LoggerClock.LOCAL, F, SecondReading.WET_BULB
        )
        version = Version(
            "batch", "batch", None, VersionKind.FIRST, None, at("2026-11-18 00:00"), NOW, "mill"
        )
        rows = (LoggerDay.from_rows(day, told) for day, told in sorted(days.items()))
        with book.file.immediate():
            return book.file.insert_logger_batch(Entry(version, batch), rows)

    done = []
    desk.operations.submit(keep, done.append)
    settle(qtbot, desk)
    desk.reread()
    settle(qtbot, desk)
    assert done


def read_lines(plot):
    """The lines of what loggers read."""
    return [item for item in plot.plotItem.listDataItems() if isinstance(item, pg.PlotDataItem)]


def test_a_charge_without_air_has_the_room_to_itself(view):
    assert view.plots.air.isHidden()
    assert view.plots.read_air() == ()


def test_a_reading_by_hand_opens_the_panel_and_is_read_off(qtbot, desk, view):
    reading = AirReading(desk.record.entity, dry_bulb=110.0, wet_bulb=106.0, temperature_unit=F)
    do(qtbot, desk, write, reading, at("2026-11-18 08:05"))
    assert view.plots.air.isVisible()
    told = {line.name: line.text for line in view.plots.read_air()}
    # 110 F dry and 106 F wet are 87 % RH (the schedule's worked example); EMC 17.6 there.
    assert told["dry, °F"] == "110.0"
    assert told["wet, °F"] == "106.0"
    assert told["RH, %"] == "87"
    assert told["read"] == "08:05"
    assert "dry bulb 110.0 °F" in view.plots.air.accessibleDescription()
    assert "RH, % 87" in view.key.accessibleDescription()


def test_both_plots_show_the_same_time(qtbot, desk, view):
    log_air(qtbot, desk)
    view.plot.pan(0.2)
    view.plot.zoom(0.8)
    qtbot.wait(20)
    above, below = (plot.plotItem.vb.viewRange()[0] for plot in (view.plot, view.plots.air))
    assert below == pytest.approx(above)
    left_above, left_below = (
        plot.plotItem.vb.sceneBoundingRect().left() for plot in (view.plot, view.plots.air)
    )
    assert left_above == pytest.approx(left_below)


def test_a_hole_is_a_hole(qtbot, desk, view):
    log_air(qtbot, desk)
    (line,) = desk.air.lines
    assert [round(hole.hours, 2) for hole in line.holes] == [14.17]
    curves = read_lines(view.plots.air)
    assert len(curves) == 2
    for curve in curves:
        drawn = np.isfinite(curve.yData)
        inside = (curve.xData > line.holes[0].from_s) & (curve.xData < line.holes[0].until_s)
        assert inside.any()
        assert not drawn[inside].any()


def test_emc_is_drawn_where_the_moisture_is(qtbot, desk, view):
    log_air(qtbot, desk, hole=False)
    levels = [float(np.nanmedian(item.yData)) for item in read_lines(view.plot)]
    # 110.1 F dry, 106 F wet: EMC 17.5 by the Wood Handbook equation (test_emc holds that against its table)
    assert levels == [pytest.approx(17.5, abs=0.3)]


def test_set_points_are_stairs(qtbot, desk, view):
    charge = desk.record.entity
    for told, wet in (("2026-11-16 08:00", 106.0), ("2026-11-19 08:00", 102.0)):
        do(qtbot, desk, write, SetPoint(charge, dry_bulb=110.0, wet_bulb=wet, temperature_unit=F), at(told))
    spans = view.plots.air.air.sets
    assert [span.to_s for span in spans] == [at("2026-11-19 08:00").utc.timestamp(), None]
    # Step 1 from the loading on, until the first setting: which was then.
    assert view.plots.air.air.asked == ()


def test_a_setting_replaces_the_steps_from_its_own_time_on(qtbot, desk, view):
    charge = desk.record.entity
    seen = AirReading(charge, dry_bulb=110.0, wet_bulb=106.0, temperature_unit=F)
    do(qtbot, desk, write, seen, at("2026-11-18 08:05"))
    loaded, stepped = at("2026-11-16 08:00").utc.timestamp(), at("2026-11-20 08:00").utc.timestamp()
    assert [(one.from_s, one.to_s) for one in view.plots.air.air.asked] == [(loaded, None)]
    do(qtbot, desk, write, StepTaken(charge, 2), at("2026-11-20 08:00"))
    setting = SetPoint(charge, dry_bulb=112.0, wet_bulb=101.0, temperature_unit=F)
    do(qtbot, desk, write, setting, at("2026-11-22 08:00"))
    set_s = at("2026-11-22 08:00").utc.timestamp()
    told = view.plots.air.air.asked
    assert [(one.from_s, one.to_s) for one in told] == [(loaded, stepped), (stepped, set_s)]
    # 106 and 102 F, the wet bulbs of the steps of the tests' own schedule.
    assert [one.wet_c for one in told] == pytest.approx([41.11, 38.89], abs=0.01)
    assert [one.from_s for one in view.plots.air.air.sets] == [set_s]


def test_equalizing_draws_what_it_asks_for_and_ends_the_step(qtbot, desk, view):
    charge = desk.record.entity
    for board in desk.assessment.boards:
        desk.do(keep_weight, charge, board.entity, grams("1740"), desk.now())  # 4.4 %, under the 7 % wanted
    settle(qtbot, desk)
    do(qtbot, desk, write, StepTaken(charge, 2), at("2026-11-20 08:00"))
    setting = SetPoint(charge, dry_bulb=110.0, wet_bulb=102.0, temperature_unit=F)
    do(qtbot, desk, write, setting, at("2026-11-20 08:00"))
    begun = at("2026-11-25 07:40")
    do(qtbot, desk, write, Event(charge, EventKind.EQUALIZING, EventState.START), begun)
    step, equalizing = view.plots.air.air.asked
    assert step.to_s == at("2026-11-20 08:00").utc.timestamp()
    assert (equalizing.from_s, equalizing.to_s) == (begun.utc.timestamp(), None)
    # 10 F over the last step's 110 F: Wengert, Drying Oak Lumber, step 6C.
    assert equalizing.dry_c == pytest.approx(48.89, abs=0.01)
    assert equalizing.rh_pct < 40


def test_a_kiln_described_anew_has_its_air_worked_out_anew(qtbot, desk, view):
    log_air(qtbot, desk, hole=False)
    before = float(desk.air.lines[0].rh_pct[0])
    kiln = desk.record.kiln[0].newest
    fact = kiln.fact.__class__(kiln.fact.kiln, kiln.fact.heat, kiln.fact.air_control, altitude_m=2000.0)
    do(qtbot, desk, change, "kiln", kiln.entity, fact, at("2026-11-01 08:00"), "measured")
    assert float(desk.air.lines[0].rh_pct[0]) != before


@pytest.mark.parametrize(
    ("event", "words"),
    [
        (Event("c", EventKind.VENT, EventState.START), "vent opened"),
        (Event("c", EventKind.POWER_CUT, EventState.END), "power back"),
        (Event("c", EventKind.WATER_COLLECTED, None, 12.5, "kg"), "water collected 12.5 kg"),
        (Event("c", EventKind.WICK_CHANGED), "wick changed"),
    ],
)
def test_events_in_two_or_three_words(event, words):
    assert event_words(event) == words


@pytest.mark.parametrize(
    ("hours", "words"),
    [
        (14 + 1 / 6, "14 h 10 min"),
        (0.4, "24 min"),
        (76.0, "3 days 4 h"),
        (24.0, "1 day"),
        (0.001, "a minute"),
    ],
)
def test_how_long_nobody_recorded(hours, words):
    assert told_length(hours) == words


@pytest.mark.parametrize("mode", ["light", "dark"])
@pytest.mark.parametrize("size", ["regular", "largest"])
def test_the_panel_leaves_the_window_its_width(qtbot, desk, view, appearance, mode, size):
    log_air(qtbot, desk)
    appearance.set_mode(mode)
    appearance.set_size(size)
    qtbot.wait(20)
    assert view.minimumSizeHint().width() <= 1338
    assert view.plots.air.height() > 100


def test_a_meter_is_a_series_of_its_own(qtbot, desk, view):
    board = desk.assessment.boards[0].entity
    before = desk.assessment.boards[0].mc_pct
    check = MeterCheck(desk.record.entity, board, reading_pct=24.5, corrected_pct=22.0)
    do(qtbot, desk, write, check, at("2026-11-18 08:30"))
    series = meter_series(desk.record, desk.assessment)
    assert series.mc_pct.tolist() == [22.0]
    assert series.words == ("meter on 1, read 24.5",)
    assert "meter on 1, read 24.5" in [text for text, *_ in view.plot._layers.words.boxes()]  # placed clear
    assert desk.assessment.boards[0].mc_pct == before


def test_two_keys_more_than_the_figures_keep_the_air_and_the_curve_follows(qtbot, desk, view):
    view.air_entry.take_keys()
    assert view.keys() == view.air_entry.keys()
    qtbot.keyClicks(QApplication.focusWidget(), "110")
    qtbot.keyClick(QApplication.focusWidget(), Qt.Key.Key_Tab)
    qtbot.keyClicks(QApplication.focusWidget(), "106")
    with qtbot.waitSignal(desk.record_changed):
        qtbot.keyClick(QApplication.focusWidget(), Qt.Key.Key_Return)
    settle(qtbot, desk)
    assert desk.assessment.air.rh_pct == pytest.approx(87, abs=0.5)
    assert view.plots.air.isVisible()
    assert view.unkept() == ()


def test_the_air_menu_is_there(desk, view):
    told = [command.text.replace("&", "") for command in view.commands() if command.menu is MenuName.AIR]
    assert "Air now" in told
    assert "Read a logger's file…" in told
    assert len(told) == len(set(told))
    letters = [
        command.text.partition("&")[2][:1].lower()
        for command in view.commands()
        if command.menu is MenuName.AIR
    ]
    assert sorted(letters) == sorted(set(letters))


def test_nothing_is_read_off_inside_a_hole(qtbot, desk, view):
    log_air(qtbot, desk)
    hole = desk.air.lines[0].holes[0]
    assert view.plots.air.air.read(hole.until_s - 600) is None
    assert view.plots.air.air.read(hole.until_s) is not None


def test_past_the_last_weighing_the_hairline_reads_the_present(qtbot, desk, view):
    do(
        qtbot,
        desk,
        write,
        AirReading(desk.record.entity, dry_bulb=112.0, rh_pct=60.0, temperature_unit=F),
        at("2026-11-25 07:40"),
    )
    view.plot.read_at(10**9)
    assert view.plot.reading == len(desk.assessment.rounds)
    told = {line.name: line.text for line in view.plots.read_air()}
    assert told["dry, °F"] == "112.0"
    assert view.key.accessibleDescription().startswith("today, 07:46")


def test_the_picture_follows_the_hairline(qtbot, desk, view):
    for _ in range(6):
        view.plot.zoom(0.5)
    view.plot.read_at(0)
    low, high = view.plot.plotItem.vb.viewRange()[0]
    assert low <= view.plot.reading_s <= high


def test_what_is_read_by_hand_says_whether_wet_bulb_or_humidity_is_drawn(qtbot, desk, view):
    wick = AirReading(desk.record.entity, dry_bulb=110.0, wet_bulb=105.0, temperature_unit=F)
    do(qtbot, desk, write, wick, at("2026-11-25 07:40"))
    assert not view.plots.air.air.by_rh
    for minute in (41, 42):
        humid = AirReading(desk.record.entity, dry_bulb=110.0, rh_pct=84.0, temperature_unit=F)
        do(qtbot, desk, write, humid, at(f"2026-11-25 07:{minute}"))
    assert view.plots.air.air.by_rh


def names_of(plot):
    """The names at the ends of the lines, and the part of the plot each takes [px]."""
    view = plot.plotItem.vb
    found = {}
    for item in plot.plotItem.items:
        if isinstance(item, pg.TextItem) and item.toPlainText():
            found[item.toPlainText()] = item.mapRectToScene(item.boundingRect())
    return found, view.sceneBoundingRect()


@pytest.mark.parametrize("size", NAMES)
def test_the_names_of_the_lines_stay_on_the_plot_and_off_the_hatching(qtbot, desk, view, appearance, size):
    appearance.set_size(size)
    log_air(qtbot, desk)
    hole = view.plots.air.air.logger.holes[-1]
    for _ in range(8):
        QApplication.processEvents()
        names, page = names_of(view.plots.air)
        assert [name.partition(" bulb")[0] for name in sorted(names)] == ["dry", "wet"]
        hatched = [
            view.plots.air.plotItem.vb.mapViewToScene(pg.QtCore.QPointF(at_s, 0)).x()
            for at_s in (hole.from_s, hole.until_s)
        ]
        for name, box in names.items():
            assert page.top() - 1 <= box.top()
            assert box.bottom() <= page.bottom() + 1
            assert "°F" in name  # there is room for the figure, before the hatching where not behind
            assert box.left() >= hatched[1] - 1 or box.right() <= hatched[0] + 1
        view.plot.zoom(0.6)


def test_both_plots_stay_together_at_the_limits(qtbot, desk, view):
    log_air(qtbot, desk)
    for _ in range(100):
        view.plots.air.plotItem.vb.scaleBy(x=2.0)
    QApplication.processEvents()
    above, below = (plot.plotItem.vb.viewRange()[0] for plot in (view.plot, view.plots.air))
    assert below == pytest.approx(above)
    assert above[1] - above[0] < 400 * 86400


def test_the_water_that_leaves_is_told_beside_the_curve_and_leads_to_its_working(qtbot, desk, view):
    assert view.water_line.figure.value.endswith(" kg a day")
    qtbot.keyClick(view.water_line.figure, Qt.Key.Key_F2)
    dialog = dialog_with_keys(qtbot, WaterDialog)
    shown = view.water_line.figure.value.partition(" ")[0]
    assert dialog.lines[0] == f"{shown} kg a day leave the lumber now."
    press(qtbot, Qt.Key.Key_Escape)
    with qtbot.waitSignal(desk.record_changed):
        desk.take_in_hand(next(line.entity for line in desk.lines if line.number == "2026-03"))
    assert view.water_line.isHidden()


class Painted:
    """Stands for a painter and keeps the words."""

    def __init__(self, font):
        self._font, self.words = font, []

    def font(self):
        return self._font

    def setPen(self, pen): ...

    def setBrush(self, brush): ...

    def drawPolygon(self, polygon): ...

    def fillRect(self, box, colour): ...

    def drawText(self, place, words):
        self.words.append((round(place.x()), words))


def told_in_lane(appearance, *events):
    lane = Lane(appearance)
    lane.show_all([ShownEvent(float(x), words) for x, words in events], ())
    painter = Painted(appearance.sizes.font(Role.LABEL))
    lane._write_events(painter, QTransform(), QRectF(0, 0, 900, 200))
    return painter.words


def test_events_too_close_for_words_between_are_told_together(appearance):
    told = told_in_lane(appearance, (100, "heat on"), (440, "power cut"), (452, "power back"))
    assert [words for _, words in told] == ["heat on", "power cut, power back"]
    assert told[1][0] > 452
    apart = told_in_lane(appearance, (100, "heat on"), (300, "power cut"), (500, "power back"))
    assert [words for _, words in apart] == ["heat on", "power cut", "power back"]


def test_n_takes_the_hairline_from_event_to_event(qtbot, desk, view):
    log_air(qtbot, desk)
    charge = desk.record.entity
    for kind, state, when in (
        (EventKind.DOOR, EventState.START, "2026-11-18 15:20"),
        (EventKind.POWER_CUT, EventState.START, "2026-11-20 03:10"),
    ):
        do(qtbot, desk, write, Event(charge, kind, state), at(when))
    view.plot.setFocus()
    view.plot.read_at(0)
    first = view.plot.reading_s
    assert first < at("2026-11-18 15:20").utc.timestamp()
    forth, back = Qt.KeyboardModifier.NoModifier, Qt.KeyboardModifier.ShiftModifier
    for modifier, when, words in (
        (forth, "2026-11-18 15:20", "door opened"),
        (forth, "2026-11-20 03:10", "power cut"),
        (forth, "2026-11-20 03:10", "power cut"),  # there is no other
        (back, "2026-11-18 15:20", "door opened"),
    ):
        qtbot.keyClick(view.plot, Qt.Key.Key_N, modifier)
        assert view.plot.reading_s == at(when).utc.timestamp()
        assert view.plots.air._hairline.value() == view.plot.reading_s
        assert words in view.key.accessibleDescription()
    assert view.key.accessibleDescription().startswith("Wed 18 Nov, 15:20, door opened: control ")
    assert all(line.carried for line in view.key.lines)
    qtbot.keyClick(view.plot, Qt.Key.Key_Home)
    assert (view.plot.reading_s, view.plot.happened) == (first, "")

"""Which series is in front, in what unit pieces are weighed, and how readings over the range are told.

The mill and its readings are invented.
"""

from __future__ import annotations

import statistics
from dataclasses import replace

from PySide6.QtCore import Qt
from PySide6.QtGui import QFontMetricsF

from kilnlog.logbook.close_out_steps import Step
from kilnlog.logbook.final_readings import DRY, READING, WET
from kilnlog.logbook.writing import correct, write, write_all
from kilnlog.records.final_reading import FinalReading
from kilnlog.records.lot import Lot
from kilnlog.records.typed_weight import weight_from_text
from kilnlog.records.version import current_entries
from kilnlog.records.weighing import Weighing
from kilnlog.records.weight import WeightUnit
from kilnlog.records.words import ReadingKind, TemperatureRule, TemperatureUnit, VolumeUnit
from kilnlog.ui.closing.moisture_page import Shown
from kilnlog.ui.look.sizes import GAP_4
from tests.ui.closing.desk_of import enter, press, settle, shown

ALT = Qt.KeyboardModifier.AltModifier
SPACE = Qt.Key.Key_Space


def oven_in_front(qtbot, view):
    view.page.turns[Shown.OVEN].setFocus()
    press(qtbot, SPACE)


def pieces(view):
    facts = [entry.fact for entry in current_entries(view.hand.record.final_reading)]
    return [(one.wet_weight.unit, one.oven_dry_weight.unit) for one in facts]


def weigh_in_pounds(qtbot, desk):
    record = desk.record
    weight = weight_from_text("6 lb 4 oz", WeightUnit.LB_OZ)
    desk.do(write, Weighing(record.entity, record.board[0].entity, weight), desk.now())
    settle(qtbot, desk)


def test_the_series_chosen_for_one_lot_is_not_chosen_for_another(qtbot, window, desk):
    view = shown(qtbot, window, Step.FINAL_MOISTURE)
    desk.do(write, Lot(desk.record.entity, "B", None, "red oak", "4/4", 100.0, VolumeUnit.BOARD_FEET))
    settle(qtbot, desk)
    view.page.turns[Shown.BOARDS].setFocus()
    press(qtbot, SPACE)
    assert view.page.shown is Shown.BOARDS
    press(qtbot, Qt.Key.Key_Down, ALT)
    assert view.page.lot.fact.lot == "B"
    assert view.page.shown is Shown.METER
    assert view.page.meter.table.fields[READING].hasFocus()
    press(qtbot, Qt.Key.Key_Up, ALT)
    assert view.page.shown is Shown.BOARDS


def test_pieces_are_weighed_in_the_unit_of_the_sections(qtbot, window, desk):
    view = shown(qtbot, window, Step.FINAL_MOISTURE)
    weigh_in_pounds(qtbot, desk)  # boards in pounds and ounces, sections in grams
    oven_in_front(qtbot, view)
    headings = [column.heading for column in view.page.oven.table.table.given]
    assert headings[2:4] == ["Wet, g", "Oven-dry, g"]
    enter(qtbot, desk, "84.1", "78.6")
    assert pieces(view) == [(WeightUnit.G, WeightUnit.G)]


def test_a_unit_typed_is_carried_to_the_next_piece_and_grams_are_offered(qtbot, window, desk):
    view = shown(qtbot, window, Step.FINAL_MOISTURE)
    oven_in_front(qtbot, view)
    enter(qtbot, desk, "6.4 oz", "6.0 oz", "6.6", "6.1")
    assert pieces(view) == [(WeightUnit.OZ, WeightUnit.OZ)] * 2
    assert view.page.oven.table.table.given[2].heading == "Wet, oz"
    enter(qtbot, desk, "1 lb 2 oz", "1 lb 1 oz", "84.1", "78.6")
    assert "“84.1 g”" in view.page.oven.table.told
    assert view.page.oven.table.texts[WET] == "84.1"
    view.page.oven.table.take_keys(WET)
    enter(qtbot, desk, "84.1 g", "")
    assert "“78.6 g”" in view.page.oven.table.told
    view.page.oven.table.take_keys(DRY)
    enter(qtbot, desk, "78.6 g")
    assert pieces(view)[-1] == (WeightUnit.G, WeightUnit.G)


def test_the_unit_is_carried_while_the_line_before_is_still_being_kept(qtbot, window, desk):
    view = shown(qtbot, window, Step.FINAL_MOISTURE)
    oven_in_front(qtbot, view)
    entry = view.page.oven
    for wet, dry in (("6.4 oz", "6.0 oz"), ("6.6", "6.1")):
        entry.table.set_texts({WET: wet, DRY: dry})
        entry.enter()  # the second before the file answered for the first
    settle(qtbot, desk)
    assert pieces(view) == [(WeightUnit.OZ, WeightUnit.OZ)] * 2


def test_figures_beside_a_reading_over_the_range_say_of_what_they_are(qtbot, window, desk):
    view = shown(qtbot, window, Step.FINAL_MOISTURE)
    lot, charge = view.hand.lot.entity, view.hand.record.entity
    typed = (6.3, 7.0, 7.7, 35.0)
    facts = [
        FinalReading(charge, lot, ReadingKind.PIN_METER, "2", str(n), reading_pct=value)
        for n, value in enumerate(typed)
    ]
    desk.do(write_all, [(fact, None) for fact in facts])
    settle(qtbot, desk)
    page = view.page
    assert page.figures.labels["mean"].text() == "mean of the 3 under 30 %"
    assert page.figures.figures["mean"].value == f"{statistics.fmean(typed[:3]):.2f}"
    assert page.figures.figures["range"].value == "6.3 – over 30"
    assert "4 readings, mean 7.0 % of 3" in page.plot.accessibleDescription()


def test_a_remark_of_two_words_finds_room_at_every_size(qtbot, window, desk, appearance):
    view = shown(qtbot, window, Step.FINAL_MOISTURE)
    lot, charge = view.hand.lot.entity, view.hand.record.entity
    far = FinalReading(
        charge,
        lot,
        ReadingKind.PIN_METER,
        "2",
        "1",
        reading_pct=4.0,
        wood_temperature=150.0,
        temperature_unit=TemperatureUnit.FAHRENHEIT,
        temperature_rule=TemperatureRule.EQUATION,
    )
    desk.do(write, far)
    settle(qtbot, desk)
    limits = replace(view.hand.lot.fact, limits_from="6 to 8 %")
    desk.do(correct, "lot", lot, limits, "the order")
    settle(qtbot, desk)
    table = view.page.meter.table.table
    cell = table.lines[0].cells[-1]
    assert cell.text == "below, extrapolated"
    for size in ("regular", "large", "largest"):
        appearance.set_size(size)
        qtbot.wait(10)
        wide = QFontMetricsF(appearance.sizes.font(cell.role)).horizontalAdvance(cell.text)
        assert wide + GAP_4 <= table.columnWidth(len(table.given)), size

"""The tally typed line by line in the close-out, and the owner's lines handed on."""

from __future__ import annotations

import csv

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication

from kilnlog.logbook.close_out_steps import Step, StepState
from kilnlog.logbook.errors import ReasonMissing
from kilnlog.logbook.writing import write
from kilnlog.records.final_reading import FinalReading
from kilnlog.records.lot import Lot
from kilnlog.records.tally_line import TallyLine
from kilnlog.records.version import current_entries
from kilnlog.records.words import LengthUnit, ReadingKind, TallyTime, VolumeUnit
from tests.ui.closing.desk_of import enter, kept, keys, lines, press, settle, shown, working


def test_a_line_is_kept_by_enter_after_the_pieces(qtbot, window, desk):
    view = shown(qtbot, window, Step.TALLY)
    table = view.page.entry.table
    assert table.texts["when"] == "net"
    assert table.texts["thickness"] == "4/4"  # the lot's
    assert table.fields["width"].hasFocus()
    keys(qtbot, "8")
    press(qtbot, Qt.Key.Key_Return)
    keys(qtbot, "10")
    press(qtbot, Qt.Key.Key_Return)
    keys(qtbot, "60")
    # T in x W in x L ft / 12, a board foot's own definition: 1 x 8 x 10 / 12 x 60 = 400.
    assert table.fields["volume"].placeholderText() == "400.0 bf"
    press(qtbot, Qt.Key.Key_Return)
    settle(qtbot, desk)
    (line,) = kept(view, "tally_line")
    assert (line.when, line.thickness, line.pieces, line.volume) == (TallyTime.NET, "4/4", 60, None)
    assert (line.width, line.width_unit) == (8.0, LengthUnit.INCHES)
    assert (line.length, line.length_unit) == (10.0, LengthUnit.FEET)
    assert lines(view) == [["net", "–", "4/4", "8 in", "10 ft", "60", "400.0 bf", ""]]
    assert view.hand.close_out.line(Step.TALLY).state is StepState.DONE
    assert table.fields["width"].hasFocus()


def test_units_typed_behind_a_size_are_carried(qtbot, window, desk):
    view = shown(qtbot, window, Step.TALLY)
    view.page.entry.table.take_keys("thickness")
    enter(qtbot, desk, "27 mm", "200 mm", "3 m", "10")
    enter(qtbot, desk, "150", "2.4", "4")
    first, second = kept(view, "tally_line")
    assert (first.width_unit, first.length_unit) == (LengthUnit.MILLIMETRES, LengthUnit.METRES)
    assert (second.thickness, second.width, second.width_unit) == ("27 mm", 150.0, LengthUnit.MILLIMETRES)
    assert (second.length, second.length_unit) == (2.4, LengthUnit.METRES)


def test_a_total_alone_is_kept_in_ink(qtbot, window, desk):
    view = shown(qtbot, window, Step.TALLY)
    table = view.page.entry.table
    enter(qtbot, desk, "", "", "", "0.5 m3")  # width, length, pieces passed by
    (line,) = kept(view, "tally_line")
    assert (line.volume, line.volume_unit, line.width) == (0.5, VolumeUnit.CUBIC_METRES, None)
    # 1 bf = 0.002359737216 m3, exactly: 0.5 m3 = 211.89 bf.
    cell = table.table.lines[0].cells[6]
    assert (cell.text, cell.colour) == ("211.9 bf", "ink")


def test_a_line_with_neither_is_refused_and_a_thickness_is_checked_as_it_is_typed(qtbot, window, desk):
    view = shown(qtbot, window, Step.TALLY)
    table = view.page.entry.table
    enter(qtbot, desk, "8", "10", "", "")
    assert "“Pieces” is empty" in table.told
    assert table.fields["pieces"].hasFocus()
    table.take_keys("thickness")
    enter(qtbot, desk, "thick", "", "", "4")
    assert "“thick”" in table.told
    assert table.fields["thickness"].hasFocus()
    assert kept(view, "tally_line") == []
    assert table.texts["width"] == "8"


def test_green_and_net_give_a_shrinkage_beside_the_one_print_expects(qtbot, window, desk):
    view = shown(qtbot, window, Step.TALLY)
    record, lot = view.hand.record, view.hand.lot.entity
    for piece, mc in (("1", 6.0), ("2", 6.0)):
        desk.do(write, FinalReading(record.entity, lot, ReadingKind.PIN_METER, None, piece, reading_pct=mc))
    settle(qtbot, desk)
    view.page.entry.table.take_keys("when")
    enter(qtbot, desk, "gr", "", "1.1 in", "8", "10", "60")
    view.page.entry.table.take_keys("when")
    enter(qtbot, desk, "net", "", "1 in", "7.8", "10", "60")
    # 440 bf green, 390 bf net: 11.4 % less.
    shown_figures = view.page.figures.shown
    assert shown_figures["green, 60 pieces"] == "440.0"
    assert shown_figures["net, 60 pieces"] == "390.0"
    assert shown_figures["shrinkage, of volume"] == "11.4"
    # Northern red oak, volumetric 13.7 % (Wood Handbook, Table 4-3), by equation 4-9 at 6 %: 13.7 x 24 / 30.
    assert shown_figures["expected of the wood"] == "11.0"
    assert any("Table 4-3" in said and "equation 4-9" in said for said in view.page.said.texts)
    view.page.figures.show_working()
    assert "100 × (440 − 390) ÷ 440 = 11.36 %" in working(qtbot)


def test_another_rounding_is_a_setting_of_the_logbook(qtbot, window, desk):
    view = shown(qtbot, window, Step.TALLY)
    enter(qtbot, desk, "6.5", "8", "3")
    assert lines(view)[0][6] == "13.0 bf"  # 1 x 6.5 x 8 / 12 x 3
    rounding = view.page.rounding
    rounding.setFocus()
    press(qtbot, Qt.Key.Key_Down)
    settle(qtbot, desk)
    (setting,) = [one for one in kept(view, "setting") if one.setting == "tally rounding"]
    assert setting.value == "surface measure"
    assert lines(view)[0][6] == "12.0 bf"  # 4.33 square feet of each are 4: 3 x 4 x 1 in
    assert "square feet" in view.page.rounded.text()
    assert any("rounds each piece" in said for said in view.page.said.texts) is False  # green is not tallied


def test_the_owners_lines_are_copied_and_saved_for_a_spreadsheet(qtbot, window, desk, tmp_path):
    view = shown(qtbot, window, Step.TALLY)
    assert view.page.copy.isHidden()
    view.page.entry.table.take_keys("grade")
    enter(qtbot, desk, "=FAS", "", "8", "10", "60")
    view.page.copy.click()
    heading, row = QApplication.clipboard().text().splitlines()
    assert heading.split("\t")[0] == "lot"
    cells = dict(zip(heading.split("\t"), row.split("\t"), strict=True))
    assert (cells["lot"], cells["pieces"], cells["volume"], cells["volume_unit"]) == ("A", "60", "400", "bf")
    assert cells["price"] == ""
    assert cells["grade"] == "'=FAS"  # shown, not worked out
    to = tmp_path / "lines.csv"
    view.page.save_to(to)
    qtbot.waitUntil(to.exists)
    with to.open(encoding="utf-8-sig", newline="") as file:
        (saved,) = csv.DictReader(file)
    assert (saved["volume"], saved["width"], saved["when"]) == ("400", "8", "net")


def test_every_lot_of_the_owner_is_handed_on_and_no_other(qtbot, window, desk):
    view = shown(qtbot, window, Step.TALLY)
    charge = view.hand.record.entity
    for label, owner, volume in (("B", "Rowan Joinery", 200.0), ("C", " ", 90.0)):
        desk.do(write, Lot(charge, label, owner, "white ash", "4/4", 300.0, VolumeUnit.BOARD_FEET))
        settle(qtbot, desk)
        lot = list(current_entries(desk.record.lot))[-1].entity
        total = TallyLine(charge, lot, TallyTime.NET, volume=volume, volume_unit=VolumeUnit.BOARD_FEET)
        desk.do(write, total)
        settle(qtbot, desk)
    view.page.take_keys()
    enter(qtbot, desk, "8", "10", "60")
    view.page.copy.click()
    rows = [row.split("\t") for row in QApplication.clipboard().text().splitlines()[1:]]
    assert [(row[0], row[9]) for row in rows] == [
        ("A", "400"),
        ("C", "90"),
    ]  # own stock, however it is written


def test_a_line_the_file_refuses_comes_back_to_be_typed_anew(qtbot, window, desk, monkeypatch):
    def refuse(book, fact, at=None):
        raise ReasonMissing(what="correction")

    monkeypatch.setattr("kilnlog.ui.closing.lines_entry.write", refuse)
    view = shown(qtbot, window, Step.TALLY)
    table = view.page.entry.table
    enter(qtbot, desk, "8", "10", "60")
    assert kept(view, "tally_line") == []
    assert [table.texts[key] for key in ("width", "length", "pieces")] == ["8", "10", "60"]
    assert table.told
    monkeypatch.undo()
    table.take_keys("pieces")
    enter(qtbot, desk, "60")
    assert [line.pieces for line in kept(view, "tally_line")] == [60]


def test_a_file_that_cannot_be_written_is_told(qtbot, window, desk, tmp_path):
    view = shown(qtbot, window, Step.TALLY)
    enter(qtbot, desk, "8", "10", "60")
    with qtbot.waitSignal(desk.refused) as told:
        view.page.save_to(tmp_path / "nowhere" / "lines.csv")
    assert told.args[0].code == "write-failed"


def test_a_total_far_from_the_sizes_is_asked_about(qtbot, window, desk):
    view = shown(qtbot, window, Step.TALLY)
    table = view.page.entry.table
    enter(qtbot, desk, "8", "10")
    keys(qtbot, "60")
    table.take_keys("volume")
    enter(qtbot, desk, "40")
    assert "The sizes come to 400.0 bf, and 40.0 bf is typed" in table.told
    assert kept(view, "tally_line") == []
    table.take_keys("volume")  # what was asked about is typed anew
    enter(qtbot, desk, "400")
    assert [line.volume for line in kept(view, "tally_line")] == [400.0]

"""The dialects of CSV and the ways spreadsheets keep things: all give the same entries."""

from __future__ import annotations

import csv
from datetime import UTC, datetime
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from openpyxl import Workbook

from kilnlog.exchange.read_source import read
from kilnlog.records.weight import WeightUnit
from tests.exchange.folders import NOW, SMALL, by_table, folder, places, refusal, replaced, taken_in


def _plain(tmp_path: Path) -> list[Any]:
    return taken_in(folder(tmp_path / "plain"))


@pytest.mark.parametrize(
    "written",
    [
        pytest.param(lambda text: "\ufeff" + text, id="byte order mark"),
        pytest.param(lambda text: text.replace("\n", "\r\n"), id="CRLF"),
        pytest.param(lambda text: text.replace("\n", "\r"), id="CR"),
        pytest.param(lambda text: text.rstrip("\n"), id="no newline at the end"),
        pytest.param(lambda text: text.replace("\n", "\n\n"), id="blank lines"),
        pytest.param(lambda text: text.replace("\n", ",,\n"), id="blank columns at the end"),
        pytest.param(lambda text: text + ",,,\n", id="a row of commas"),
        pytest.param(lambda text: text.replace(",", ";"), id="semicolons"),
        pytest.param(lambda text: text.replace(",", "\t"), id="tabs"),
    ],
)
def test_every_dialect_gives_the_same_entries(tmp_path: Path, written: Any) -> None:
    tables = {name: written(text) for name, text in SMALL.items()}
    assert taken_in(folder(tmp_path / "in", tables)) == _plain(tmp_path)


def test_rows_are_counted_as_a_spreadsheet_counts_them(tmp_path: Path) -> None:
    """Blank lines count, a quoted newline does not: the wrong weight stands in row 5 of the sheet."""
    text = (
        "charge,board,cut_at,start_weight,weight_unit,notes\n\n"
        '7,1,2025-02-28 10:00,1842,g,"two\nlines"\n\n'
        "7,2,2025-02-28 10:00,x,g,\n"
    )
    refused = refusal(
        folder(tmp_path / "in", {"charges": SMALL["charges"], "kilns": SMALL["kilns"]}, boards=text)
    )
    assert places(refused) == {("boards.csv", 5, "start_weight", "unreadable-number")}


def test_quoted_text_keeps_its_newlines_and_separators(tmp_path: Path) -> None:
    note = 'storm, "the" one;\nall night'
    source = folder(tmp_path / "in", **replaced("events", "storm", '"storm, ""the"" one;\nall night"'))
    assert by_table(taken_in(source))["event"][0].fact.note == note


def test_text_that_no_logbook_can_keep_is_refused(tmp_path: Path) -> None:
    refused = refusal(folder(tmp_path / "in", **replaced("events", "storm", "st\0rm")))
    assert places(refused) == {("events.csv", 2, "note", "unstorable-text")}
    rows = small_rows()
    rows["events"][1][-1] = "half of _xD83D_"  # as a workbook spells a lone surrogate
    refused = refusal(workbook(tmp_path / "in.xlsx", rows))
    assert places(refused) == {("in.xlsx, sheet events", 2, "note", "unstorable-text")}


def test_weights_are_kept_to_the_letter(tmp_path: Path) -> None:
    boards = by_table(_plain(tmp_path))["board"]
    assert [(b.fact.start_weight.text, b.fact.start_weight.unit) for b in boards] == [
        ("1842.50", WeightUnit.G),
        ("4.46", WeightUnit.LB),
        ("10 lb 13.6 oz", WeightUnit.LB_OZ),
    ]
    assert boards[0].fact.start_weight.step_g == Decimal("0.01")


def test_an_hour_that_occurs_twice_takes_its_offset(tmp_path: Path) -> None:
    """New York went back from EDT (-4) to EST (-5) at 02:00 on 2 November 2025 (IANA tzdata)."""
    rows = "7,1,2025-11-02 01:30-04:00,1700,g\n7,1,2025-11-02 01:30-05:00,1699,g\n"
    source = folder(tmp_path / "in", weighings="charge,board,weighed_at,weight,weight_unit\n" + rows)
    first, second = by_table(taken_in(source))["weighing"]
    assert first.at.utc == datetime(2025, 11, 2, 5, 30, tzinfo=UTC)
    assert second.at.utc == datetime(2025, 11, 2, 6, 30, tzinfo=UTC)
    assert second.at.text() == "2025-11-02 01:30-05:00"


def test_what_the_files_leave_out_is_filled_in(tmp_path: Path) -> None:
    tables = by_table(_plain(tmp_path))
    weighing = tables["weighing"][0].version
    assert (weighing.entered_utc, weighing.entered_by, weighing.reason) == (NOW, "tester", None)
    assert tables["lot"][0].at == tables["charge"][0].fact.loaded_at
    assert tables["kiln"][0].at.utc == NOW


def test_a_section_without_its_time_was_cut_with_its_board(tmp_path: Path) -> None:
    source = folder(tmp_path / "in", **replaced("sections", "7,2,a,2025-02-28 10:20", "7,2,a,"))
    tables = by_table(taken_in(source))
    assert tables["section"][1].at == tables["board"][1].at


def test_a_charge_without_zone_takes_the_one_given(tmp_path: Path) -> None:
    source = folder(tmp_path / "in", **replaced("charges", "America/New_York", ""))
    assert by_table(taken_in(source, zone="Europe/Vienna"))["charge"][0].fact.zone == "Europe/Vienna"


def test_a_closed_charge_ends_with_its_closing(tmp_path: Path) -> None:
    source = folder(tmp_path / "in", **replaced("charges", ",,,\n", ",,2025-05-01 12:00,\n"))
    entries = taken_in(source)
    assert type(entries[-1].fact).__name__ == "Closing"
    assert entries[-1].fact.charge == by_table(entries)["charge"][0].entity
    assert entries[-1].at.text() == "2025-05-01 12:00"


# --- workbooks ---------------------------------------------------------------------------------------------


def workbook(path: Path, tables: dict[str, list[list[Any]]]) -> Path:
    book = Workbook()
    del book["Sheet"]
    for name, rows in tables.items():
        sheet = book.create_sheet(name)
        for row in rows:
            sheet.append(row)
    book.save(path)
    return path


def small_rows() -> dict[str, list[list[Any]]]:
    """The small folder as rows of text."""
    return {name: list(csv.reader(text.splitlines())) for name, text in SMALL.items()}


def test_a_workbook_of_text_gives_the_same_entries(tmp_path: Path) -> None:
    assert taken_in(workbook(tmp_path / "in.xlsx", small_rows())) == _plain(tmp_path)


def test_a_workbook_of_numbers_and_dates_gives_the_same_entries(tmp_path: Path) -> None:
    """What a spreadsheet makes of the same cells: numbers, dates, and texts where nothing else fits."""
    rows = small_rows()
    path = workbook(tmp_path / "in.xlsx", rows)
    book = Workbook()
    del book["Sheet"]
    for name, table in rows.items():
        sheet = book.create_sheet(name)
        for row in table:
            sheet.append([_as_spreadsheet(text) for text in row])
        for line in sheet.iter_rows():
            for cell in line:
                text = table[cell.row - 1][cell.column - 1]
                if cell.data_type == "n" and "." in text:
                    cell.number_format = "0." + "0" * len(text.partition(".")[2])
    book.save(path)
    assert taken_in(path) == _plain(tmp_path)


def _as_spreadsheet(text: str) -> Any:
    for form in ("%Y-%m-%d %H:%M", "%Y-%m-%d"):
        try:
            return datetime.strptime(text, form)
        except ValueError:
            continue
    try:
        return float(text) if "." in text else int(text)
    except ValueError:
        return text or None


def test_a_number_without_format_has_no_binary_dust(tmp_path: Path) -> None:
    rows: dict[str, list[list[Any]]] = small_rows()
    rows["weighings"][1][3] = 0.1 + 0.2
    weight = by_table(taken_in(workbook(tmp_path / "in.xlsx", rows)))["weighing"][0].fact.weight
    assert (weight.text, weight.step_g) == ("0.3", Decimal("0.1"))


def test_a_thickness_taken_for_a_date_is_refused(tmp_path: Path) -> None:
    rows: dict[str, list[list[Any]]] = small_rows()
    rows["lots"][1][4] = datetime(2025, 4, 4)
    refused = refusal(workbook(tmp_path / "in.xlsx", rows))
    assert places(refused) == {("in.xlsx, sheet lots", 2, "thickness", "turned-into-date")}


def test_a_date_in_an_hour_that_occurs_twice_is_refused(tmp_path: Path) -> None:
    rows: dict[str, list[list[Any]]] = small_rows()
    rows["weighings"][1][2] = datetime(2025, 11, 2, 1, 30)
    refused = refusal(workbook(tmp_path / "in.xlsx", rows))
    assert places(refused) == {("in.xlsx, sheet weighings", 2, "weighed_at", "unreadable-time")}
    assert refused.values["why"] == "unreadable-time"
    assert refused.cause.values["why"] == "twice"


def test_formulas_nobody_worked_out_are_refused(tmp_path: Path) -> None:
    rows: dict[str, list[list[Any]]] = small_rows()
    rows["weighings"][2][3] = "=4.20+0.10"
    refused = refusal(workbook(tmp_path / "in.xlsx", rows))
    assert ("in.xlsx, sheet weighings", 3, None, "formula-without-value") in places(refused)


def test_a_sheet_that_is_none_of_ours_is_refused_and_an_empty_one_is_not(tmp_path: Path) -> None:
    rows = small_rows()
    assert taken_in(workbook(tmp_path / "in.xlsx", {**rows, "Sheet2": []})) == _plain(tmp_path)
    refused = refusal(workbook(tmp_path / "in.xlsx", {**rows, "prices": [["charge"], ["7"]]}))
    assert places(refused) == {("in.xlsx, sheet prices", None, None, "unknown-table")}


def test_readable_sheets_are_not_taken_in(tmp_path: Path) -> None:
    sheets = {"Summary": [["x"]], "Checking": [["y"]], "Moisture 2025-07": [["z"]]}
    assert taken_in(workbook(tmp_path / "in.xlsx", {**sheets, **small_rows()})) == _plain(tmp_path)


def test_yes_and_no_may_be_true_and_false(tmp_path: Path) -> None:
    rows: dict[str, list[list[Any]]] = small_rows()
    rows["lots"][1][-1], rows["lots"][2][-1] = True, False
    lots = by_table(taken_in(workbook(tmp_path / "in.xlsx", rows)))["lot"]
    assert [lot.fact.governs for lot in lots] == [True, False]


def test_reading_makes_nothing_of_the_cells_yet(tmp_path: Path) -> None:
    raw = read(folder(tmp_path / "in"))
    assert raw.tables["lots"].rows[0].number == 2
    assert raw.tables["lots"].rows[0].cells["thickness"] == "4/4"

"""Workbooks as people and spreadsheets leave them: days for times, percentages, spans, charts, damage."""

from __future__ import annotations

import re
import zipfile
from collections.abc import Callable
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from openpyxl import Workbook, load_workbook
from openpyxl.worksheet.datavalidation import DataValidation

from kilnlog.exchange.errors import ImportRefused, SourceUnreadable
from kilnlog.exchange.read_source import read
from tests.exchange.folders import by_table, places, refusal, taken_in
from tests.exchange.test_reading import small_rows, workbook


def changed(path: Path, table: str, cell: str, value: Any, number_format: str | None = None) -> Path:
    """The small workbook with one cell put otherwise."""
    workbook(path, small_rows())
    book = load_workbook(path)
    book[table][cell] = value
    if number_format is not None:
        book[table][cell].number_format = number_format
    book.save(path)
    return path


@pytest.mark.parametrize("number_format", ["yyyy-mm-dd", "d.m.yy", '"h" yyyy/mm/dd', "[$-409]mmm d, yyyy"])
def test_a_day_alone_is_no_time(tmp_path: Path, number_format: str) -> None:
    path = changed(tmp_path / "in.xlsx", "weighings", "C2", datetime(2025, 3, 2), number_format)
    refused = refusal(path)
    assert places(refused) == {("in.xlsx, sheet weighings", 2, "weighed_at", "unreadable-time")}
    assert refused.cause.values["why"] == "day-alone"


@pytest.mark.parametrize("number_format", ["yyyy-mm-dd hh:mm", "d/m/yy H:MM", "yyyy-mm-dd hh:mm:ss"])
def test_midnight_that_is_shown_is_a_time(tmp_path: Path, number_format: str) -> None:
    path = changed(tmp_path / "in.xlsx", "weighings", "C2", datetime(2025, 3, 2), number_format)
    assert by_table(taken_in(path))["weighing"][0].at.text() == "2025-03-02 00:00"


def test_a_time_kept_but_not_shown_is_a_time(tmp_path: Path) -> None:
    path = changed(tmp_path / "in.xlsx", "weighings", "C2", datetime(2025, 3, 2, 7, 15), "yyyy-mm-dd")
    assert by_table(taken_in(path))["weighing"][0].at.text() == "2025-03-02 07:15"


def test_a_day_will_do_where_it_does_in_a_csv_file(tmp_path: Path) -> None:
    path = changed(tmp_path / "in.xlsx", "instruments", "E2", datetime(2025, 1, 5), "yyyy-mm-dd")
    assert by_table(taken_in(path))["instrument"][0].fact.checked_at.text() == "2025-01-05 00:00"


@pytest.mark.parametrize("number_format", ["yyyy-mm-dd", "[h]:mm", "yyyy-mm-dd hh:mm"])
@pytest.mark.parametrize("value", [0.5, 1.25, 100.75])
def test_a_span_is_no_time_of_the_year_1900(tmp_path: Path, value: float, number_format: str) -> None:
    path = changed(tmp_path / "in.xlsx", "weighings", "C2", value, number_format)
    assert {place[3] for place in places(refusal(path))} == {"unreadable-time"}


def test_a_span_of_years_is_no_time_either(tmp_path: Path) -> None:
    path = changed(tmp_path / "in.xlsx", "weighings", "C2", timedelta(days=45_000, hours=1), "[h]:mm")
    assert {place[3] for place in places(refusal(path))} == {"unreadable-time"}


@pytest.mark.parametrize(
    ("value", "number_format", "meant"),
    [
        (0.07, "0%", 7),
        (0.075, "0.0%", 7.5),
        (0.0725, "0%", 7.25),  # shown shortened, kept in full
        (0.28, "0.00%", 28),
        (1, "0%", 100),
        (0.07, "0 %", 7),
        (7, '0" %"', 7),  # the sign is only written beside it
        (7, r"0\%", 7),
        (7, "0", 7),
    ],
)
def test_a_percentage_is_read_as_it_is_shown(
    tmp_path: Path, value: float, number_format: str, meant: float
) -> None:
    path = changed(tmp_path / "in.xlsx", "charges", "E2", value, number_format)
    assert by_table(taken_in(path))["charge"][0].fact.target_mc_pct == meant


def test_a_sheet_that_is_a_chart_is_passed_by(tmp_path: Path) -> None:
    path = workbook(tmp_path / "in.xlsx", small_rows())
    plain = taken_in(path)
    book = load_workbook(path)
    book.create_chartsheet("Chart")
    book.save(path)
    assert taken_in(path) == plain


def test_an_error_in_a_cell_is_called_one(tmp_path: Path) -> None:
    refused = refusal(changed(tmp_path / "in.xlsx", "weighings", "D2", "#REF!"))
    assert ("in.xlsx, sheet weighings", 2, None, "formula-without-value") in places(refused)
    causes = [problem.cause.values for problem in refused.problems if problem.column is None]
    assert causes == [{"typed": "#REF!", "why": "error"}]


def test_what_the_workbooks_library_warns_of_is_not_told(
    tmp_path: Path, recwarn: pytest.WarningsRecorder
) -> None:
    """A drop-down list in Excel's newer form: the library warns that it would not write it again."""
    path = workbook(tmp_path / "in.xlsx", small_rows())
    book = load_workbook(path)
    book["lots"].add_data_validation(DataValidation("list", formula1='"yes,no"'))
    book.save(path)
    extension = (
        '<extLst><ext uri="{CCE6A557-97BC-4b89-ADB6-D9C93CAAB3DF}"'
        ' xmlns:x14="http://schemas.microsoft.com/office/spreadsheetml/2009/9/main"/></extLst></worksheet>'
    )
    rewritten(path, "xl/worksheets/", lambda text: text.replace("</worksheet>", extension))
    taken_in(path)
    assert list(recwarn) == []


def rewritten(path: Path, prefix: str, change: Callable[[str], str | None]) -> None:
    """Change the parts of a workbook whose names begin so; None leaves the part out."""
    with zipfile.ZipFile(path) as archive:
        parts = {name: archive.read(name) for name in archive.namelist()}
    with zipfile.ZipFile(path, "w") as archive:
        for name, data in parts.items():
            text = change(data.decode()) if name.startswith(prefix) else data
            if text is not None:
                archive.writestr(name, text)


@pytest.mark.parametrize(
    "part", ["xl/styles.xml", "xl/workbook.xml", "[Content_Types].xml", "xl/worksheets/"]
)
def test_a_workbook_that_lacks_a_part_is_refused(tmp_path: Path, part: str) -> None:
    path = changed(tmp_path / "in.xlsx", "weighings", "C2", datetime(2025, 3, 2, 7), "yyyy-mm-dd hh:mm")
    rewritten(path, part, lambda _: None)
    with pytest.raises(SourceUnreadable) as refused:
        read(path)
    assert refused.value.values["path"] == str(path)


def test_a_number_spoilt_in_any_row_is_refused(tmp_path: Path) -> None:
    path = workbook(tmp_path / "in.xlsx", small_rows())
    book = load_workbook(path)
    for number, row in enumerate(range(2, 5)):
        book["weighings"].cell(row, 4).value = 1801.5 + number
    book.save(path)
    rewritten(path, "xl/worksheets/", lambda text: re.sub(r"<v>1803\.5</v>", "<v>18 03x</v>", text))
    with pytest.raises(SourceUnreadable):
        read(path)


@pytest.mark.parametrize("step", range(7))
def test_a_workbook_cut_or_flipped_anywhere_never_ends_in_a_defect(tmp_path: Path, step: int) -> None:
    """Bytes altered all over the parts: it is refused or read, whatever the library makes of it."""
    path = workbook(tmp_path / "in.xlsx", small_rows())
    with zipfile.ZipFile(path) as archive:
        parts = {name: archive.read(name) for name in archive.namelist()}
    told = set()
    for name, data in parts.items():
        for at in range(step * 11, len(data), max(len(data) // 3, 77)):
            spoilt = {**parts, name: data[:at] + b"\x07<&9" + data[at + 3 :]}
            with zipfile.ZipFile(path, "w") as archive:
                for part, content in spoilt.items():
                    archive.writestr(part, content)
            try:
                read(path)
            except (SourceUnreadable, ImportRefused) as error:
                told.add(error.code)
    assert "source-unreadable" in told


def test_a_workbook_of_another_kind_of_sheet_is_still_read_from_its_first_cell(tmp_path: Path) -> None:
    """The size a sheet claims need not be its size, in a workbook written by hand either."""
    book = Workbook()
    sheet = book.active
    sheet.title = "kilns"
    sheet.append(["kiln"])
    sheet.append(["North"])
    book.save(tmp_path / "in.xlsx")
    rewritten(tmp_path / "in.xlsx", "xl/worksheets/", lambda text: text.replace('ref="A1:A2"', 'ref="A1"'))
    assert [entry.fact.kiln for entry in taken_in(tmp_path / "in.xlsx")] == ["North"]

"""The workbook as a document: what it shows, what it never does, and what is left when it fails."""

from __future__ import annotations

import errno
import subprocess
import sys
import zipfile
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest
from openpyxl import Workbook, load_workbook

from kilnlog.exchange.errors import TextTooLong, WriteCancelled, WriteFailed
from kilnlog.exchange.tables import KNOWN_TABLES
from kilnlog.exchange.to_tables import rows_of
from kilnlog.records.words import EventKind
from tests.builders import ChargeBuilder
from tests.exchange.charges import entries_of, eventful, in_pounds, readable, written
from tests.exchange.folders import by_table, taken_in

DIGITS = 1e-15  # openpyxl writes sixteen digits


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Any:
    return load_workbook(written(tmp_path_factory.mktemp("book") / "out.xlsx", [eventful(), in_pounds()]))


def test_readable_sheets_come_first_and_the_tables_behind_them(book: Any) -> None:
    readable_names = ["Summary", "Moisture 24-07", "Moisture 24-08", "Checking"]
    assert book.sheetnames == [*readable_names, *KNOWN_TABLES]


def test_the_summary_holds_values_not_formulas(book: Any) -> None:
    cells = [cell for row in book["Summary"].iter_rows() for cell in row if cell.value is not None]
    assert len(cells) > 100
    assert all(cell.data_type in ("s", "n", "d") for cell in cells)


def test_the_summary_says_what_the_assessment_says(book: Any) -> None:
    """Every board with its oven-dry weight in the unit it was weighed in, and its MC."""
    rows = list(book["Summary"].iter_rows(values_only=True))
    for build, per_unit in ((eventful(), 1.0), (in_pounds(), 453.59237)):
        assessment = readable(build.record()).assessment
        controls = [row[1] for row in rows if row[0] == "Controlling MC %"]
        assert pytest.approx(assessment.control.mc_pct, rel=DIGITS) in controls
        for board in assessment.boards:
            (row,) = [
                row
                for row in rows
                if row[0] == board.board and row[9] == pytest.approx(board.weight_g / per_unit, rel=DIGITS)
            ]
            assert row[10] == (None if board.mc_pct is None else pytest.approx(board.mc_pct, rel=DIGITS))
            dry_g = board.oven_dry_weight_g
            assert row[5] == (None if dry_g is None else pytest.approx(dry_g / per_unit, rel=DIGITS))


def test_the_moisture_sheet_has_a_row_per_round_and_a_native_chart(book: Any) -> None:
    sheet = book["Moisture 24-07"]
    assessment = readable(eventful().record()).assessment
    rows = list(sheet.iter_rows(values_only=True))
    assert rows[0][:4] == ("Round", "Days", "Board 1", "Board 2")
    assert len(rows) == 1 + len(assessment.rounds)
    last = assessment.rounds[-1]
    assert rows[-1][0] == last.at.local.replace(tzinfo=None)
    assert rows[-1][2] == pytest.approx(last.mc_pct["1"], rel=DIGITS)
    (chart,) = sheet._charts  # openpyxl has no other way to the charts of a sheet it has read
    assert len(chart.series) == len(rows[0]) - 2
    assert f"$B$2:$B${len(rows)}" in chart.series[0].xVal.numRef.f


def test_a_board_missed_in_a_round_is_blank_there(tmp_path: Path) -> None:
    build = in_pounds()
    board = build.board("2", "4.50")
    build.section(board, "a", "90", "60", dried_at=1)
    build.weigh(board, "4.40", 3)
    sheet = load_workbook(written(tmp_path / "out.xlsx", [build]))["Moisture 24-08"]
    assert [row[3] is None for row in sheet.iter_rows(min_row=2, values_only=True)] == [False, False, True]


def test_every_sheet_is_set_up_to_be_read_and_printed(book: Any) -> None:
    for sheet in book.worksheets:
        assert sheet.freeze_panes == "A2"
        assert sheet.print_title_rows == "$1:$1"
        assert sheet.page_setup.orientation == "landscape"
        assert sheet.page_setup.fitToWidth == 1
        assert sheet.page_setup.fitToHeight == 0
        assert sheet.sheet_properties.pageSetUpPr.fitToPage
        assert sheet.oddHeader.left.text == "&A"
        assert "kilnlog 0.1.0" in sheet.oddFooter.left.text
        assert all(sheet.column_dimensions[letter].width >= 6 for letter in "ABC")


def test_weights_keep_their_noughts_and_times_are_dates(book: Any) -> None:
    sheet = book["boards"]
    headings = [cell.value for cell in sheet[1]]
    start = sheet.cell(2, headings.index("start_weight") + 1)
    assert (start.value, start.number_format) == (1842.5, "0.0")
    cut = sheet.cell(2, headings.index("cut_at") + 1)
    assert (cut.value, cut.number_format) == (datetime(2024, 3, 1, 8, 0), "yyyy-mm-dd hh:mm")


def test_the_document_says_who_wrote_it_and_when(book: Any) -> None:
    assert book.properties.creator == "kilnlog 0.1.0"
    assert book.properties.created == datetime(2024, 4, 20, 12, 0)
    told = {prop.name: prop.value for prop in book.custom_doc_props.props}
    assert told == {
        "kilnlog version": "0.1.0",
        "kilnlog exported at": "2024-04-20T08:00:00-04:00",
        "kilnlog form of tables": 2,
    }


STARTERS = ("=1+1", "+1", "-1", "@SUM(A1)", "\tx", "\nx", "\rx", "#N/A", "=")


def test_text_never_becomes_a_formula_on_any_sheet(tmp_path: Path) -> None:
    build = ChargeBuilder("=CHARGE()", notes="=NOTES()")
    for text in STARTERS:
        lot = build.lot(f"{text}lot", owner=text, species=text, thickness=text)
        board = build.board(f"{text}board", "1842.5", lot=lot, notes=text)
        build.section(board, f"{text}s", "100", "60", dried_at=1)
        build.event(EventKind.NOTE, 2, note=text)
    path = written(tmp_path / "out.xlsx", [build])
    book = load_workbook(path)
    formulas = [
        (sheet.title, cell.value)
        for sheet in book.worksheets
        for row in sheet.iter_rows()
        for cell in row
        if cell.data_type in ("f", "e")
    ]
    own = ("E", "H", "(E", "(G", "AVERAGE(", "100*G", "I", "MAX(ABS(MAX(")
    assert formulas
    assert all(title == "Checking" and value[1:].startswith(own) for title, value in formulas)
    owners = [row[2] for row in book["lots"].iter_rows(min_row=2)]
    assert all(cell.data_type == "s" and cell.quotePrefix for cell in owners)
    assert [fact.fact.owner for fact in by_table(taken_in(path))["lot"]] == list(STARTERS)


def test_control_characters_come_back(tmp_path: Path) -> None:
    ugly = "".join(map(chr, range(1, 32))) + "\x7f\x85\ufffe\uffff_x0041_ä😀"
    build = ChargeBuilder("24-10", notes=f"x{ugly}x")
    path = written(tmp_path / "out.xlsx", [build])
    assert by_table(taken_in(path))["charge"][0].fact.notes == f"x{ugly}x"


@pytest.mark.parametrize("text", ["x" * 32_768, "😀" * 16_384, "\x07" * 5_000])
def test_text_a_cell_cannot_hold_is_an_error_not_cut(tmp_path: Path, text: str) -> None:
    path = tmp_path / "out.xlsx"
    build = ChargeBuilder("24-10")
    build.event(EventKind.NOTE, 1, note=text)
    with pytest.raises(TextTooLong) as refused:
        written(path, [build])
    assert (refused.value.values["table"], refused.value.values["column"]) == ("events", "note")
    assert list(tmp_path.iterdir()) == []


def test_text_that_just_fits_comes_back_whole(tmp_path: Path) -> None:
    build = ChargeBuilder("24-10")
    build.event(EventKind.NOTE, 1, note="x" * 32_767)
    path = written(tmp_path / "out.xlsx", [build])
    assert by_table(taken_in(path))["event"][0].fact.note == "x" * 32_767


def test_a_number_of_seventeen_digits_comes_back(tmp_path: Path) -> None:
    build = ChargeBuilder("24-10", target_mc_pct=0.1 + 0.2)
    path = written(tmp_path / "out.xlsx", [build])
    assert by_table(taken_in(path))["charge"][0].fact.target_mc_pct == 0.1 + 0.2


def test_names_that_no_sheet_may_have(tmp_path: Path) -> None:
    numbers = ["a/b:c", "a?b*c", "x" * 40, "X" * 40, "'quoted'", "[1]"]
    path = written(tmp_path / "out.xlsx", [ChargeBuilder(number) for number in numbers])
    names = load_workbook(path, read_only=True).sheetnames
    assert len({name.casefold() for name in names}) == len(names)
    assert all(len(name) <= 31 for name in names)
    assert len(by_table(taken_in(path))["charge"]) == len(numbers)


def test_an_older_workbook_is_replaced_only_by_a_whole_one(tmp_path: Path) -> None:
    path = written(tmp_path / "out.xlsx", [in_pounds()])
    before = path.read_bytes()
    long = ChargeBuilder("24-10", notes="x" * 40_000)
    with pytest.raises(TextTooLong):
        written(path, [long])
    assert path.read_bytes() == before
    written(path, [eventful()])
    assert path.read_bytes() != before
    assert list(tmp_path.iterdir()) == [path]


def test_a_missing_folder_is_named(tmp_path: Path) -> None:
    with pytest.raises(WriteFailed) as refused:
        written(tmp_path / "nowhere" / "out.xlsx", [in_pounds()])
    assert refused.value.values["why"] == "no-folder"


@pytest.mark.parametrize(
    ("number", "why"), [(errno.ENOSPC, "disk-full"), (errno.EACCES, "not-allowed"), (errno.EIO, "other")]
)
def test_what_the_system_refuses_leaves_nothing_behind(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, number: int, why: str
) -> None:
    """The disk gives up at each write in turn, from the first to the last."""
    real = zipfile.ZipFile.writestr
    passed = 0

    def failing(limit: int) -> Any:
        def writestr(self: zipfile.ZipFile, *what: Any, **how: Any) -> None:
            nonlocal passed
            passed += 1
            if passed > limit:
                raise OSError(number, "refused")
            real(self, *what, **how)

        return writestr

    for limit in range(1000):
        passed = 0
        monkeypatch.setattr(zipfile.ZipFile, "writestr", failing(limit))
        told = None
        try:
            written(tmp_path / "out.xlsx", [in_pounds()])
            break
        except WriteFailed as refused:
            told = refused.values["why"]
        assert told == why
        assert list(tmp_path.iterdir()) == []
    assert limit > 5
    assert list(tmp_path.iterdir()) == [tmp_path / "out.xlsx"]


def test_it_can_be_stopped_and_says_how_far_it_is(tmp_path: Path) -> None:
    told: list[float] = []
    path = written(tmp_path / "out.xlsx", [eventful()], progress=told.append)
    assert told == sorted(told)
    assert told[-1] == 1.0
    path.unlink()
    for allowed in range(4):
        answers = iter([False] * allowed + [True])
        with pytest.raises(WriteCancelled):
            written(path, [eventful()], cancelled=lambda answers=answers: next(answers))
        assert list(tmp_path.iterdir()) == []


def test_the_record_behind_it_comes_back_cell_by_cell(tmp_path: Path) -> None:
    entries = entries_of(eventful(), in_pounds())
    path = written(tmp_path / "out.xlsx", [eventful(), in_pounds()])
    assert rows_of(by_table(taken_in(path))) == rows_of(entries)


def test_another_program_may_have_saved_it_in_between(tmp_path: Path) -> None:
    """Read and written anew by openpyxl, as a spreadsheet program would: values and formats, nothing else."""
    path = written(tmp_path / "out.xlsx", [eventful(), in_pounds()])
    saved = Workbook()
    del saved["Sheet"]
    for sheet in load_workbook(path).worksheets:
        copy = saved.create_sheet(sheet.title)
        for row in sheet.iter_rows():
            for cell in row:
                if cell.value is not None:
                    copied = copy.cell(cell.row, cell.column, cell.value)
                    copied.number_format = cell.number_format
    saved.save(tmp_path / "saved.xlsx")
    assert rows_of(by_table(taken_in(tmp_path / "saved.xlsx"))) == rows_of(
        entries_of(eventful(), in_pounds())
    )


def test_openpyxl_is_not_loaded_until_a_workbook_is_read_or_written() -> None:
    modules = "kilnlog.exchange.workbook, kilnlog.exchange.read_source, kilnlog.exchange.from_files"
    asked = f"import sys, {modules}; print('openpyxl' in sys.modules)"
    done = subprocess.run(
        [sys.executable, "-c", asked], capture_output=True, text=True, check=True, timeout=60
    )
    assert done.stdout.strip() == "False"

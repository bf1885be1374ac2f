"""The checking sheet, worked out by LibreOffice, gives the program's numbers.

Not collected where LibreOffice is not installed; the run says so then.
"""

from __future__ import annotations

import subprocess
from pathlib import Path
from typing import Any

import pytest
from openpyxl import load_workbook

from kilnlog.exchange.to_tables import rows_of
from kilnlog.records.moment import Moment
from tests.builders import ChargeBuilder, moment
from tests.exchange.charges import entries_of, eventful, in_pounds, readable, written
from tests.exchange.folders import by_table, taken_in

TOLERANCE = 1e-9  # points of MC, and grams: fifteen digits of some thousand grams leave so much
FIRST_ROW = 4


def recalculated(path: Path, place: Path) -> Any:
    """The workbook once LibreOffice has worked it out: openpyxl writes no values of formulas."""
    subprocess.run(
        [
            "soffice",
            f"-env:UserInstallation={(place / 'profile').as_uri()}",
            "--headless",
            "--convert-to",
            "xlsx:Calc MS Excel 2007 XML",
            "--outdir",
            str(place / "out"),
            str(path),
        ],
        check=True,
        capture_output=True,
        timeout=180,
    )
    return load_workbook(place / "out" / path.name, data_only=True)


@pytest.mark.parametrize(
    "at", [moment("2024-03-03 12:00"), moment("2024-03-14 12:00"), moment("2024-04-20 08:00")]
)
def test_the_checking_sheet_agrees_with_the_program(tmp_path: Path, at: Moment) -> None:
    builders = [eventful(), in_pounds()]
    charges = [readable(build.record(), at) for build in builders]
    path = written(tmp_path / "out.xlsx", builders, at=at)
    sheet = recalculated(path, tmp_path)["Checking"]
    rows = list(sheet.iter_rows(min_row=FIRST_ROW, values_only=True))
    program = _program_figures(charges)
    compared = []
    for row in rows:
        *_, dry, mc, says, difference = row
        if says is None:
            assert difference is None
            continue
        worked_out = dry if "oven-dry weight" in row[2] and row[2] != "oven-dry weight as typed" else mc
        assert worked_out == pytest.approx(says, abs=TOLERANCE), row
        assert abs(difference) <= TOLERANCE
        compared.append(worked_out)
    # Nothing the program worked out is missing: every section, point and basis stands there.
    for figure in program:
        assert any(figure == pytest.approx(value, abs=TOLERANCE) for value in compared)
    assert len(compared) >= len(program)
    assert sheet["K2"].value <= TOLERANCE


def _program_figures(charges: list[Any]) -> list[float]:
    figures: list[float] = []
    for charge in charges:
        for board in charge.boards:
            figures += [section.mc_pct for section in board.sections if section.mc_pct is not None]
            figures += [point.mc_pct for point in board.points if point.mc_pct is not None]
            figures += [b.oven_dry_weight_g for b in board.bases if board.fact.oven_dry_weight is None]
            figures += [
                basis.corrected_oven_dry_weight_g
                for basis in board.bases
                if basis.corrected_oven_dry_weight_g is not None
            ]
            if board.start_mc_pct is not None:
                figures.append(board.start_mc_pct)
    return figures


def test_a_wrong_weight_on_the_sheet_shows_as_a_difference(tmp_path: Path) -> None:
    """The formulas are live: one gram more in a section moves everything that rests on it."""
    path = written(tmp_path / "out.xlsx", [in_pounds()])
    book = load_workbook(path)
    sheet = book["Checking"]
    section = next(row for row in sheet.iter_rows(min_row=FIRST_ROW) if row[2].value == "section a")
    section[4].value += 1
    book.save(path)
    rows = list(recalculated(path, tmp_path)["Checking"].iter_rows(min_row=FIRST_ROW, values_only=True))
    moved = [abs(row[10]) > 0.01 for row in rows if row[10] is not None]
    assert len(moved) == 6  # section, mean, oven-dry weight, start weight, two weighings
    assert all(moved)


def test_what_the_spreadsheet_program_saved_comes_back_as_the_same_record(tmp_path: Path) -> None:
    """Opened and saved by LibreOffice: numbers keep their noughts by their formats, times stay times."""
    builders = [eventful(), in_pounds()]
    path = written(tmp_path / "out.xlsx", builders)
    recalculated(path, tmp_path)
    back = by_table(taken_in(tmp_path / "out" / "out.xlsx"))
    assert rows_of(back) == rows_of(entries_of(*builders))


def test_texts_pass_through_the_spreadsheet_program_as_texts(tmp_path: Path) -> None:
    names = ["=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "\n=1", "#N/A", "_x000D_", "007"]
    build = ChargeBuilder("24-09")
    for name in names:
        build.lot(name, owner=name)
    book = recalculated(written(tmp_path / "out.xlsx", [build]), tmp_path)
    lots = list(book["lots"].iter_rows(min_row=2, max_col=3, values_only=True))
    # A tab or newline at the edge is the spreadsheet program's to keep; the formula must not come alive.
    assert [str(label).strip() for _, label, _ in lots] == [name.strip() for name in names]

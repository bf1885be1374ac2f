"""What is told of a finished charge by hand: when it was seen, whose correction it is, rows alike."""

from __future__ import annotations

import csv
from pathlib import Path

from openpyxl import load_workbook

from kilnlog.exchange.to_tables import PIECE_LENGTH, rows_of
from kilnlog.exchange.workbook import write_workbook
from kilnlog.exchange.write_folder import write_folder
from kilnlog.records.closing import Closing
from kilnlog.records.moment import Moment
from kilnlog.records.words import TemperatureRule
from tests.builders import ChargeBuilder
from tests.exchange.charges import entries_of
from tests.exchange.folders import NOW, SMALL, by_table, folder, replaced, taken_in

LONGEST_CELL = 32_767  # characters, ECMA-376 part 1, 18.3.1.4, as the makers of sheets state it; from memory


def test_pieces_that_show_the_same_are_pieces_all_the_same(tmp_path: Path) -> None:
    tables = by_table(taken_in(folder(tmp_path / "in")))
    assert [entry.fact.reading_pct for entry in tables["final_reading"]] == [8.5, 8.5, 31.0, None]
    assert [entry.fact.pieces for entry in tables["tally_line"]] == [20, 19, 19, None]


def test_a_correction_without_a_rule_is_the_writers_own(tmp_path: Path) -> None:
    first, _, meter, _ = by_table(taken_in(folder(tmp_path / "in")))["final_reading"]
    assert (first.fact.temperature_rule, first.fact.temperature_correction_pct) == (
        TemperatureRule.TYPED,
        0.8,
    )
    assert meter.fact.temperature_rule is None


def test_what_a_logbook_wrote_without_a_rule_stays_without_one(tmp_path: Path) -> None:
    rows = (
        SMALL["final_readings"]
        .replace("weight_unit\n", "weight_unit,uid\n")
        .replace("0.8,-0.5,,,", "0.8,,,,,f1", 1)
    )
    head, first, *_ = rows.splitlines(keepends=True)
    (reading,) = by_table(taken_in(folder(tmp_path / "in", final_readings=head + first)))["final_reading"]
    assert reading.fact.temperature_rule is None
    assert reading.fact.temperature_correction_pct == 0.8


def test_what_does_not_say_when_was_seen_as_the_charge_came_out(tmp_path: Path) -> None:
    came_out = replaced("charges", "Slow,,,", "Slow,2025-04-18 07:00,,")
    tables = by_table(taken_in(folder(tmp_path / "out", **came_out)))
    green, *net = (entry.at.text() for entry in tables["tally_line"])
    assert (green, set(net)) == ("2025-03-01 08:00", {"2025-04-18 07:00"})
    for table in ("stress_test", "defect", "heat_choice", "step_answer"):
        assert {entry.at.text() for entry in tables[table]} == {"2025-04-18 07:00"}
    inside = by_table(taken_in(folder(tmp_path / "in")))
    assert {entry.at.text() for entry in inside["defect"]} == {"2025-03-01 08:00"}


def test_the_class_of_lumber_stands_in_a_column_of_that_name(tmp_path: Path) -> None:
    record = by_table(taken_in(folder(tmp_path / "in")))
    assert [entry.fact.grade for entry in record["tally_line"]] == ["FAS", "FAS", "FAS", None]
    (tmp_path / "out").mkdir()
    write_folder(tmp_path / "out", rows_of(record))
    with (tmp_path / "out" / "tally.csv").open(encoding="utf-8", newline="") as file:
        assert [row["class"] for row in csv.DictReader(file)] == ["FAS", "FAS", "FAS", ""]


def test_a_seal_longer_than_a_cell_goes_on_in_the_next(tmp_path: Path) -> None:
    build = ChargeBuilder("24-11")
    sealed = "".join(chr(0x20 + number % 90) for number in range(LONGEST_CELL + PIECE_LENGTH))
    build.first(Closing(build.entity, sealed_text=sealed, program_version="0.1.0"), 30)
    entries, path = entries_of(build), tmp_path / "out.xlsx"
    write_workbook(path, entries, [], program_version="0.1.0", made_at=Moment(NOW, "UTC"))
    sheet = load_workbook(path)["closings"]
    heading = [cell.value for cell in next(sheet.iter_rows())]
    assert [name for name in heading if name.startswith("sealed_text")] == [
        "sealed_text",
        "sealed_text_2",
        "sealed_text_3",
        "sealed_text_4",
    ]
    assert max(len(str(cell.value)) for row in sheet.iter_rows() for cell in row) <= LONGEST_CELL
    assert by_table(taken_in(path))["closing"][0].fact.sealed_text == sealed

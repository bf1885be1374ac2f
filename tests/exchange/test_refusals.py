"""Every refusal says which file, row and column, and why; and nothing is taken in."""

from __future__ import annotations

from pathlib import Path

import pytest

from kilnlog.exchange.errors import MOST_PROBLEMS, SourceEmpty, SourceMissing, SourceUnknown, SourceUnreadable
from kilnlog.exchange.read_source import read
from tests.exchange.folders import SMALL, by_table, folder, places, refusal, replaced, taken_in

#: What is put otherwise (table, old text, new text), and where and why it is refused (row, column, code).
WRONG_CELLS = [
    ("kilns", "1200", "0", 2, "capacity", "out-of-range"),
    ("kilns", "1200", "-5", 2, "capacity", "out-of-range"),
    ("kilns", "240", "9001", 2, "altitude_m", "out-of-range"),
    ("kilns", "wet bulb", "wetbulb", 2, "air_control", "unknown-word"),
    ("kilns", "North,", ",", 2, "kiln", "missing-value"),
    ("instruments", "scale", "balance", 2, "kind", "unknown-word"),
    ("instruments", "2025-01-05", "2025-02-29", 2, "checked_at", "unreadable-time"),
    ("schedule_steps", "Slow,1,", "Slow,1.5,", 2, "step", "not-whole"),
    ("schedule_steps", "Slow,1,", "Slow,0,", 2, "step", "out-of-range"),
    ("schedule_steps", "Slow,2,", "Slow,1,", 3, "step", "name-twice"),
    ("schedule_steps", "110,106", "106,110", 2, "wet_bulb", "wet-above-dry"),
    ("schedule_steps", ",,50,", ",40,50,", 2, "to_mc_pct", "impossible-step"),
    ("schedule_steps", "2,50,40", "2,50,60", 3, "to_mc_pct", "impossible-step"),
    ("schedule_steps", "1,,50,110", "1,50,,110", 3, "from_mc_pct", "impossible-step"),
    ("schedule_steps", "106", "1O6", 2, "wet_bulb", "unreadable-number"),
    ("charges", "North", "South", 2, "kiln", "unknown-name"),
    ("charges", "America/New_York", "America/Nowhere", 2, "zone", "unknown-zone"),
    ("charges", ",8,", ",-8,", 2, "target_mc_pct", "out-of-range"),
    ("charges", ",8,", ",NaN,", 2, "target_mc_pct", "unreadable-number"),
    ("charges", ",8,", ",inf,", 2, "target_mc_pct", "unreadable-number"),
    ("charges", "2025-03-01 08:00", "2025-03-01", 2, "loaded_at", "unreadable-time"),
    ("charges", "2025-03-01 08:00", "3/1/2025 8:00", 2, "loaded_at", "unreadable-time"),
    ("charges", "2025-03-01 08:00", "2025-03-09 02:30", 2, "loaded_at", "unreadable-time"),
    ("charges", "2025-03-01 08:00", "2025-11-02 01:30", 2, "loaded_at", "unreadable-time"),
    ("charges", "2025-03-01 08:00", "0025-03-01 08:00", 2, "loaded_at", "unreadable-time"),
    ("charges", "2025-03-01 08:00", "2025-03-01 08:00+99:00", 2, "loaded_at", "unreadable-time"),
    ("air", "105.0", "109.6", 2, "wet_bulb", "wet-above-dry"),
    ("air", "105.0,,,F", "105.0,,,", 2, "temperature_unit", "missing-value"),
    ("air", "86.5", "", 3, "dry_bulb", "missing-value"),
    ("air", "86.5", "100.1", 3, "rh_pct", "out-of-range"),
    ("air", "86.5", "-0.1", 3, "rh_pct", "out-of-range"),
    ("air", "109.5", "999", 2, "dry_bulb", "out-of-range"),
    ("air", "105.0,,,F", "105.0,,,K", 2, "temperature_unit", "unknown-word"),
    ("set_points", "110,106", "106,110", 2, "wet_bulb", "wet-above-dry"),
    ("set_points", "110,,6", "110,,-6", 3, "depression", "out-of-range"),
    ("set_points", "110,,6,,F", "110,,6,,", 3, "temperature_unit", "missing-value"),
    ("meter_checks", "pins", "pinless", 2, "instrument", "unknown-name"),
    ("meter_checks", "24.5,108,F", "24.5,108,", 2, "temperature_unit", "missing-value"),
    ("meter_checks", "22.5", "", 3, "reading_pct", "missing-value"),
    ("meter_checks", "7,1,2025-03-21", "7,9,2025-03-21", 3, "board", "unknown-name"),
    ("stays", "7,North", "8,North", 2, "charge", "unknown-name"),
    ("stays", "2025-03-01 08:00", "", 2, "in_at", "missing-value"),
    ("lots", "7,B", "7,A", 3, "lot", "name-twice"),
    ("lots", ",7,9,", ",9,7,", 2, "mc_high_pct", "limits-reversed"),
    ("lots", ",yes", ",maybe", 2, "governs", "not-yes-or-no"),
    ("lots", "1.2,m3", "1.2,cord", 3, "volume_unit", "unknown-word"),
    ("boards", "7,1,A", "7,1,C", 2, "lot", "unknown-name"),
    ("boards", "7,2,B", "7,1,B", 3, "board", "name-twice"),
    ("boards", ",1\n", ",9\n", 4, "replaces", "unknown-name"),
    ("boards", ",1\n", ",3\n", 4, "replaces", "replaces-itself"),
    ("boards", "yes,\n", "yes,,stray\n", 2, None, "column-unnamed"),
    ("boards", "1842.50", "1842,50", 2, "weight_unit", "unknown-word"),
    ("boards", "1842.50", '"1842,50"', 2, "start_weight", "unreadable-number"),
    ("boards", "1842.50", '"1,842"', 2, "start_weight", "ambiguous-number"),
    ("boards", "1842.50", "1842.5O", 2, "start_weight", "unreadable-number"),
    ("boards", "1842.50", "0", 2, "start_weight", "unreadable-number"),
    ("boards", "1842.50", "", 2, "start_weight", "missing-value"),
    ("boards", "1842.50", "1842.50 stone", 2, "start_weight", "unreadable-number"),
    ("boards", "1842.50", "1000001", 2, "start_weight", "unreadable-number"),
    ("boards", "4.46,lb", "4.46,", 3, "weight_unit", "missing-value"),
    ("boards", "4.46,lb", "4.46,stone", 3, "weight_unit", "unknown-word"),
    ("boards", "2025-02-28 10:20", "", 3, "cut_at", "missing-value"),
    ("sections", "7,2,a", "7,4,a", 3, "board", "unknown-name"),
    ("sections", "80.2", "180.2", 2, "oven_dry_weight", "sections-swapped"),
    ("sections", "7,2,a", "7,1,a", 3, "section", "name-twice"),
    ("oven_weighings", "7,2,a", "7,2,b", 2, "section", "unknown-name"),
    ("oven_weighings", "7,2,a", "7,3,a", 2, "section", "unknown-name"),
    ("weighings", "7,2,2025-03-02 07:01", "7,,2025-03-02 07:01", 3, "board", "missing-value"),
    ("weighings", "7,1,2025-03-03 07:00,1770.5", "7,1,2025-03-02 07:00,1801.0", 4, None, "name-twice"),
    ("recuts", "78.9", "101.3", 2, "section_oven_dry", "sections-swapped"),
    ("recuts", "1590", "", 2, "weight_after", "missing-value"),
    ("breaks", "4.1,3.9", "4.1,3.9x", 2, "weight_after", "unreadable-number"),
    ("withdrawals", "7,2,", "7,x,", 2, "board", "unknown-name"),
    ("events", "power cut", "flood", 2, "kind", "unknown-word"),
    ("events", "start", "begin", 2, "state", "unknown-word"),
    ("events", ",,storm", "1e10,,storm", 2, "value", "out-of-range"),
    ("steps_taken", ",2,", ",two,", 2, "step", "unreadable-number"),
    ("decisions", "too-fast", "", 2, "code", "missing-value"),
    ("final_readings", "7,A,2,12", "7,,2,12", 4, "lot", "missing-value"),
    ("final_readings", "7,A,2,12", "7,Z,2,12", 4, "lot", "unknown-name"),
    ("final_readings", "31.0", "", 4, "reading_pct", "missing-value"),
    ("final_readings", "31.0", "1000.5", 4, "reading_pct", "out-of-range"),
    ("final_readings", "pinless meter,", "pinless meter,rods", 4, "instrument", "unknown-name"),
    ("final_readings", "pinless meter", "radar", 4, "kind", "unknown-word"),
    ("final_readings", "31.0,,,", "31.0,60,,", 4, "temperature_unit", "missing-value"),
    ("final_readings", "31.0,,,", "31.0,601,F,", 4, "wood_temperature", "out-of-range"),
    ("final_readings", "2025-04-20 09:05", "", 4, "read_at", "missing-value"),
    ("final_readings", "54.2,50.1", "50.1,54.2", 5, "oven_dry_weight", "sections-swapped"),
    ("final_readings", "54.2,50.1", "54.2,", 5, "oven_dry_weight", "missing-value"),
    ("final_readings", "54.2,50.1", ",50.1", 5, "wet_weight", "missing-value"),
    ("final_readings", "54.2,50.1,g", "54.2,50.1,", 5, "weight_unit", "missing-value"),
    ("stress_tests", "0.05,in", "0.05,", 2, "unit", "missing-value"),
    ("stress_tests", "0.05,in", ",", 2, "value", "missing-value"),
    ("stress_tests", "prong", "shell and core", 2, "core_value", "missing-value"),
    ("stress_tests", "prong", "fork", 2, "kind", "unknown-word"),
    ("stress_tests", "0.08", "-0.08", 2, "limit", "out-of-range"),
    ("stress_tests", "-1.5", "-1000001", 3, "value", "out-of-range"),
    ("defects", "end checks", "end splits", 2, "kind", "unknown-word"),
    ("defects", "slight", "bad", 2, "severity", "unknown-word"),
    ("defects", ",4,", ",4.5,", 2, "pieces", "not-whole"),
    ("defects", ",4,", ",-1,", 2, "pieces", "out-of-range"),
    ("defects", "0.05,m3", "0.05,", 3, "volume_unit", "missing-value"),
    ("defects", "0.05,m3", "0,m3", 3, "volume", "out-of-range"),
    ("defects", "fork holes", "", 3, "note", "missing-value"),
    ("probes", "p1", "", 2, "probe", "missing-value"),
    ("probes", "core", "middle", 2, "placed_in", "unknown-word"),
    ("probes", "core", "", 2, "placed_in", "missing-value"),
    ("probes", "134,F", "134,", 2, "temperature_unit", "missing-value"),
    ("probes", "134", "601", 2, "temperature", "out-of-range"),
    ("probes", "7,2025-04-19 09:00,hall", "7,,hall", 3, "read_at", "missing-value"),
    ("tally", "20,green", ",green", 2, "pieces", "missing-value"),
    ("tally", "20,green", "0,green", 2, "pieces", "out-of-range"),
    ("tally", "20,green", "20,wet", 2, "when", "unknown-word"),
    ("tally", "20,green", "20,", 2, "when", "missing-value"),
    ("tally", "4/4,6,in,8,ft,20", "full inch,6,in,8,ft,20", 2, "thickness", "unreadable-number"),
    ("tally", "4/4,6,in,8,ft,20", "27 cubits,6,in,8,ft,20", 2, "thickness", "unreadable-number"),
    ("tally", "6,in,8,ft,20", "6,,8,ft,20", 2, "width_unit", "missing-value"),
    ("tally", "6,in,8,ft,20", "6,in,8,yd,20", 2, "length_unit", "unknown-word"),
    ("tally", "6,in,8,ft,20", "6,in,,ft,20", 2, "length", "missing-value"),
    ("tally", "1.11,m3", "1.11,", 5, "volume_unit", "missing-value"),
    ("heat_choices", "7,56,C", "7,56,", 2, "temperature_unit", "missing-value"),
    ("heat_choices", ",30,", ",0,", 2, "for_minutes", "out-of-range"),
    ("heat_choices", ",30,", ",,", 2, "for_minutes", "missing-value"),
    ("heat_choices", "7,56", "7,", 2, "at_least", "missing-value"),
    ("step_answers", "no saw at hand", "", 2, "note", "missing-value"),
    ("step_answers", "left out", "forgotten", 2, "answer", "unknown-word"),
    ("step_answers", "stress", "strain", 2, "step", "unknown-word"),
]


@pytest.mark.parametrize(("table", "old", "new", "row", "column", "code"), WRONG_CELLS)
def test_a_wrong_cell_is_refused_with_its_place(
    tmp_path: Path, table: str, old: str, new: str, row: int, column: str | None, code: str
) -> None:
    refused = refusal(folder(tmp_path / "in", **replaced(table, old, new)))
    assert (f"{table}.csv", row, column, code) in places(refused)


def test_the_small_folder_itself_is_taken_in(tmp_path: Path) -> None:
    tables = by_table(taken_in(folder(tmp_path / "in")))
    assert {table: len(rows) for table, rows in tables.items()} == {
        "setting": 1,
        "kiln": 1,
        "instrument": 2,
        "schedule_step": 2,
        "charge": 1,
        "stay": 1,
        "lot": 2,
        "board": 3,
        "section": 2,
        "oven_weighing": 1,
        "weighing": 3,
        "recut": 1,
        "breakage": 1,
        "withdrawal": 1,
        "event": 1,
        "step_taken": 1,
        "decision": 1,
        "air_reading": 2,
        "set_point": 2,
        "meter_check": 2,
        "logger_batch": 0,
        "final_reading": 4,
        "stress_test": 2,
        "defect": 2,
        "tally_line": 4,
        "probe_reading": 2,
        "heat_choice": 1,
        "step_answer": 1,
        "later_note": 0,
        "closing": 0,
    }


def test_the_first_problem_stands_in_the_values(tmp_path: Path) -> None:
    refused = refusal(folder(tmp_path / "in", **replaced("boards", "1842.50", "heavy")))
    assert refused.values["file"] == "boards.csv"
    assert refused.values["row"] == 2
    assert refused.values["column"] == "start_weight"
    assert refused.values["why"] == "unreadable-number"
    assert refused.values["typed"] == "heavy"


def test_many_problems_are_named_at_once(tmp_path: Path) -> None:
    rows = "".join(f"7,1,2025-03-{day:02d} 07:00,{day}O0,g\n" for day in range(1, 6))
    refused = refusal(folder(tmp_path / "in", weighings=_weighings(rows), **replaced("lots", "1.2", "-1")))
    assert places(refused) == {
        ("lots.csv", 3, "volume", "out-of-range"),
        *(("weighings.csv", row, "weight", "unreadable-number") for row in range(2, 7)),
    }


def test_no_more_than_twenty_are_named(tmp_path: Path) -> None:
    rows = "".join(f"7,1,2025-03-02 {n // 60:02d}:{n % 60:02d},x,g\n" for n in range(300))
    refused = refusal(folder(tmp_path / "in", weighings=_weighings(rows)))
    assert len(refused.problems) == MOST_PROBLEMS == 20
    assert [problem.row for problem in refused.problems] == list(range(2, 22))


def _weighings(rows: str) -> str:
    return "charge,board,weighed_at,weight,weight_unit\n" + rows


HEADINGS = [
    ("charge,board,weighed_at,wieght,weight_unit\n", 1, "wieght", "unknown-column"),
    ("charge,board,weighed_at,wieght,weight_unit\n", 1, "weight", "missing-column"),
    ("charge,board,weight,weight_unit\n", 1, "weighed_at", "missing-column"),
    ("charge,board,board,weighed_at,weight,weight_unit\n", 1, "board", "column-twice"),
    ("\n\ncharge,board,weighed_at,weight,unit\n", 3, "unit", "unknown-column"),
    ("charge,board;weighed_at,weight,weight_unit\n", 1, None, "mixed-separators"),
    ("", 1, None, "no-heading"),
    ("\n\n", 1, None, "no-heading"),
    ('charge,board,weighed_at,weight,weight_unit\n7,1,2025-03-02 07:00,"18"00,g\n', 2, None, "broken-csv"),
    ('charge,board,weighed_at,weight,weight_unit\n7,1,"2025-03-02 07:00,1800,g\n', 2, None, "broken-csv"),
]


@pytest.mark.parametrize(("text", "row", "column", "code"), HEADINGS)
def test_a_wrong_heading_or_broken_file_is_refused_with_its_place(
    tmp_path: Path, text: str, row: int, column: str | None, code: str
) -> None:
    refused = refusal(folder(tmp_path / "in", weighings=text))
    assert ("weighings.csv", row, column, code) in places(refused)


def test_text_that_is_not_utf8_is_refused_with_its_row(tmp_path: Path) -> None:
    data = SMALL["lots"].replace("Brook Mill", "Bröck").encode("latin-1")
    refused = refusal(folder(tmp_path / "in", lots=data))
    assert places(refused) == {("lots.csv", 3, None, "not-utf8")}


@pytest.mark.parametrize("name", ["prices", "wieghings", "Sheet1"])
def test_a_table_this_version_does_not_know_is_an_error_that_names_it(tmp_path: Path, name: str) -> None:
    source = folder(tmp_path / "in")
    (source / f"{name}.csv").write_text("charge\n7\n", encoding="utf-8")
    refused = refusal(source)
    assert places(refused) == {(f"{name}.csv", None, None, "unknown-table")}
    assert refused.values["table"] == name


def test_a_table_left_as_another_kind_of_file_is_not_passed_over(tmp_path: Path) -> None:
    source = folder(tmp_path / "in", weighings=None)
    (source / "weighings.tsv").write_text("charge\n", encoding="utf-8")
    assert places(refusal(source)) == {("weighings.tsv", None, None, "table-not-csv")}


def test_other_files_in_the_folder_are_nobodys_table(tmp_path: Path) -> None:
    source = folder(tmp_path / "in")
    (source / "README.md").write_text("about", encoding="utf-8")
    (source / ".lots.csv").write_text("hidden", encoding="utf-8")
    (source / "past").mkdir()
    assert len(taken_in(source)) == 47


def test_a_source_that_is_none_is_named(tmp_path: Path) -> None:
    with pytest.raises(SourceMissing):
        read(tmp_path / "nothing")
    (tmp_path / "empty").mkdir()
    with pytest.raises(SourceEmpty):
        read(tmp_path / "empty")
    (tmp_path / "notes.txt").write_text("x", encoding="utf-8")
    with pytest.raises(SourceUnknown):
        read(tmp_path / "notes.txt")
    (tmp_path / "book.xlsx").write_bytes(b"PK\x03\x04 no workbook at all")
    with pytest.raises(SourceUnreadable):
        read(tmp_path / "book.xlsx")

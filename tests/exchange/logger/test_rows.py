"""Rows of a logger's file: what is kept is what the logger took; what is not is counted by its reason."""

from __future__ import annotations

import random
import tracemalloc
from collections import Counter
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pytest

from kilnlog.exchange.logger import text as blocks
from kilnlog.exchange.logger.chunk import Hole, SetAside
from kilnlog.exchange.logger.errors import LoggerCancelled, LoggerUnclear
from kilnlog.exchange.logger.format import DateOrder, LoggerFormat, Unsure
from kilnlog.exchange.logger.recognise import recognise, recognise_file
from kilnlog.exchange.logger.rows import RowReader, read_rows
from kilnlog.records.words import LoggerClock, SecondReading, TemperatureUnit
from tests.exchange.logger.files import MONTH_FIRST, PLAIN, SEMICOLON, Reading, Style, readings

VIENNA, KOLKATA, NEW_YORK = "Europe/Vienna", "Asia/Kolkata", "America/New_York"


@dataclass
class Read:
    """All chunks of a file together."""

    kept: list[Reading]
    rows: int
    set_aside: Counter[SetAside]
    holes: list[Hole]


def read(path: Path, form: LoggerFormat, zone: str = VIENNA) -> Read:
    found = Read([], 0, Counter(), [])
    for chunk in read_rows(path, form, zone):
        found.kept += map(Reading, chunk.at_s.tolist(), chunk.dry, chunk.second)
        found.rows += chunk.rows
        found.set_aside.update(chunk.set_aside)
        found.holes += chunk.holes
    assert found.rows == len(found.kept) + found.set_aside.total()
    assert all(one.at_s < other.at_s for one, other in zip(found.kept, found.kept[1:], strict=False))
    return found


@pytest.fixture
def written(tmp_path):
    def write(data: bytes) -> Path:
        path = tmp_path / "kiln.csv"
        path.write_bytes(data)
        return path

    return write


def as_is(style: Style, taken: list[Reading], path: Path, zone: str, clock: str) -> Read:
    """Written by that clock, recognised, and read with the clock told."""
    path.write_bytes(style.text(taken, zone, clock))
    return read(path, recognise_file(path).answered(clock=LoggerClock(clock)), zone)


#: Both changes of the clocks; none; half an hour off; half an hour off with changes of half an hour.
SPANS = [
    (NEW_YORK, "2026-03-07 12:00"),
    (NEW_YORK, "2026-10-31 12:00"),
    (VIENNA, "2026-03-28 12:00"),
    (VIENNA, "2026-10-24 12:00"),
    ("Asia/Tokyo", "2026-03-28 12:00"),
    (KOLKATA, "2026-10-24 12:00"),
    ("Australia/Lord_Howe", "2026-04-03 12:00"),
    ("Australia/Lord_Howe", "2026-10-02 12:00"),
]


@pytest.mark.parametrize(("zone", "begin"), SPANS)
@pytest.mark.parametrize("clock", ["local", "standard", "utc"])
@pytest.mark.parametrize("style", [PLAIN, SEMICOLON, MONTH_FIRST, Style(newest_first=True)])
def test_across_the_changes_of_the_clock_nothing_is_lost_and_there_is_no_hole(
    zone, begin, clock, style, tmp_path
):
    taken = readings(begin, hours=60)
    found = as_is(style, taken, tmp_path / "kiln.csv", zone, clock)
    assert found == Read(taken, len(taken), Counter(), [])


@pytest.mark.parametrize("step_s", [60, 1800, 3600])
def test_at_any_pace_both_turns_of_the_hour_are_kept(step_s, tmp_path):
    taken = readings("2026-11-01 00:30", hours=12, step_s=step_s)
    assert as_is(PLAIN, taken, tmp_path / "kiln.csv", NEW_YORK, "local").kept == taken


def test_decimals_are_kept_as_the_logger_wrote_them(written):
    rows = ["2026-03-01 12:00,48.50,+40.0", "2026-03-01 12:10,.5,-0.10", "2026-03-01 12:20,048.5,40"]
    path = written("\n".join(["Time,Dry °C,Wet °C", *rows]).encode())
    kept = read(path, recognise_file(path)).kept
    assert [(each.dry, each.second) for each in kept] == [("48.50", "40.0"), ("0.5", "-0.10"), ("48.5", "40")]


def test_a_figure_nobody_wrote_stays_empty(written):
    rows = ["2026-03-01 12:00,48.5,", "2026-03-01 12:10,---,40.0", "2026-03-01 12:20,48.6,40.1"]
    path = written("\n".join(["Time,Dry °C,RH %", *rows]).encode())
    kept = read(path, recognise_file(path)).kept
    assert [(each.dry, each.second) for each in kept] == [
        ("48.5", "null"),
        ("null", "40.0"),
        ("48.6", "40.1"),
    ]


def test_units_in_the_cells(written):
    rows = [f"2026-03-01 12:{minute:02d};4{minute % 10}.5 °C;55 %" for minute in range(30)]
    path = written("\n".join(["Time;Temp;RH", *rows]).encode())
    form = recognise_file(path)
    assert (form.temperature_unit, form.to_ask) == (TemperatureUnit.CELSIUS, ())
    assert read(path, form).kept[1].dry == "41.5"


def test_headings_blank_lines_and_a_summary_are_no_rows(written):
    taken = readings("2026-05-20 06:00", 30)
    style = Style(
        above=("Logger 4711", "", "Read out: 2026-05-22 10:00"),
        below=("", "   ", "Minimum,46.00,37.0", "Average,52.00,41.0", "End of data", ""),
    )
    path = written(style.text(taken, VIENNA))
    assert read(path, recognise_file(path)) == Read(taken, len(taken), Counter(), [])


@pytest.mark.parametrize("block", [100, 2**20])
def test_a_row_without_a_time_among_the_readings_is_counted(written, monkeypatch, block):
    """However the file is cut into pieces; the summary below the last reading is still no row."""
    monkeypatch.setattr(blocks, "BLOCK_BYTES", block)
    taken = readings("2026-05-20 06:00", 30)
    changed = {
        3: "garbage,110,100",
        4: "--- restarted ---,,",
        5: "?2026-05-20 06:50:00,50.0,40.0",
        90: ",50.0,40.0",
    }
    text = with_rows(taken, changed).decode() + "Average,52.0,41.0\n"
    path = written(text.encode())
    found = read(path, recognise_file(path))
    assert found.set_aside == Counter({SetAside.TIME: 3})
    assert found.rows == len(taken) - 4 + 3


def with_rows(taken: list[Reading], changed: dict[int, str]) -> bytes:
    """The file with whole lines put in the place of others, counted from 0."""
    lines = list(PLAIN.lines(taken, VIENNA))
    for number, line in changed.items():
        lines[number] = line
    return "\n".join([PLAIN.heading or "", *lines, ""]).encode()


@pytest.mark.parametrize(
    ("line", "reason"),
    [
        ("2026-05-20 10:00:00,-999,40.0", SetAside.FAULT),
        ("2026-05-20 10:00:00,50.0,-999.0", SetAside.FAULT),
        ("2026-05-20 10:00:00,120,120", SetAside.FAULT),
        ("2026-05-20 10:00:00,120.0,40.0", SetAside.FAULT),
        ("2026-05-20 10:00:00,601,40.0", SetAside.RANGE),
        ("2026-05-20 10:00:00,50.0,-101", SetAside.RANGE),
        ("2026-05-20 10:00:00,50.0,50.1", SetAside.WET_ABOVE_DRY),
        ("2026-05-20 10:00:00,,", SetAside.EMPTY),
        ("2026-05-20 10:00:00,---,n/a", SetAside.EMPTY),
        ("2026-05-20 10:00:00,,40.0", SetAside.WET_ALONE),
        ("2026-05-20 10:00:00,---,40.0", SetAside.WET_ALONE),
        ("2026-05-20 10:00:00,ERR,40.0", SetAside.UNREADABLE),
        ("2026-05-20 10:00:00,5", SetAside.UNREADABLE),
        ("2026-05-20 07:50:00,50.0,40.0", SetAside.ORDER),
        ("2026-05-20 09:50:00,50.0,40.0", SetAside.TWICE),
        ("2026-05-32 10:00:00,50.0,40.0", SetAside.TIME),
        ("2026-05-20 10:61:00,50.0,40.0", SetAside.TIME),
    ],
)
def test_what_cannot_be_kept_is_set_aside_and_counted(line, reason, written):
    taken = readings("2026-05-20 06:00", 30)
    path = written(with_rows(taken, {12: line}))
    found = read(path, recognise_file(path))
    assert found.set_aside == Counter({reason: 1})
    assert found.kept == taken[:12] + taken[13:]
    assert found.holes == []


def test_one_leaping_stamp_does_not_cost_all_after_it(written):
    taken = readings("2026-05-20 06:00", 30)
    path = written(with_rows(taken, {12: "2062-05-20 10:00:00,50.0,40.0"}))
    found = read(path, recognise_file(path))
    assert (found.kept, found.set_aside) == (taken[:12] + taken[13:], Counter({SetAside.ORDER: 1}))
    path = written(with_rows(taken, {0: "2062-05-20 08:00:00,50.0,40.0"}))
    found = read(path, recognise_file(path))
    assert (found.kept, found.set_aside) == (taken[1:], Counter({SetAside.ORDER: 1}))


def test_a_kiln_near_120_degrees_is_no_fault(written):
    rows = [f"2026-05-20 10:{minute:02d}:00,{119 + minute / 10:.1f},80.{minute}" for minute in range(20)]
    path = written("\n".join([PLAIN.heading or "", *rows]).encode())
    assert read(path, recognise_file(path)).set_aside == Counter()


def test_120_fahrenheit_is_a_temperature_like_any_other(written):
    rows = [
        f"05/20/2026 10:{minute:02d}:00 AM,{120 if minute == 9 else 90 + minute},80.{minute}"
        for minute in range(20)
    ]
    path = written("\n".join([MONTH_FIRST.heading or "", *rows]).encode())
    assert read(path, recognise_file(path)).set_aside == Counter()


@pytest.mark.parametrize(
    ("rh", "reason"),
    [
        ("120", SetAside.FAULT),
        ("100.1", SetAside.RANGE),
        ("-0.1", SetAside.RANGE),
        ("100.0", None),
        ("0", None),
    ],
)
def test_humidity_goes_from_0_to_100(rh, reason, written):
    rows = [f"2026-05-20 10:{minute:02d},50.{minute},6{minute % 10}.5" for minute in range(20)]
    rows[7] = f"2026-05-20 10:07,50.7,{rh}"
    path = written("\n".join(["Time,Temp °C,RH %", *rows]).encode())
    assert read(path, recognise_file(path)).set_aside == (
        Counter() if reason is None else Counter({reason: 1})
    )


def held(taken: list[Reading], begin: int, end: int) -> list[Reading]:
    """The readings with those from ``begin`` on stuck at the first of them, until before ``end``."""
    stuck = [Reading(each.at_s, taken[begin].dry, taken[begin].second) for each in taken[begin:end]]
    return taken[:begin] + stuck + taken[end:]


@pytest.mark.parametrize("block", [300, 1 << 20])
def test_a_stuck_sensor_is_set_aside_but_for_what_it_measured_last(block, written, monkeypatch):
    monkeypatch.setattr(blocks, "BLOCK_BYTES", block)
    taken = readings("2026-05-20 06:00", 72)
    path = written(PLAIN.text(held(taken, 100, 160), VIENNA))
    found = read(path, recognise_file(path))
    assert found.set_aside == Counter({SetAside.STUCK: 59})
    assert found.kept == taken[:101] + taken[160:]
    assert [(hole.from_s, hole.to_s) for hole in found.holes] == [(taken[100].at_s, taken[160].at_s)]


@pytest.mark.parametrize("block", [300, 1 << 20])
def test_stuck_to_the_end(block, written, monkeypatch):
    monkeypatch.setattr(blocks, "BLOCK_BYTES", block)
    taken = readings("2026-05-20 06:00", 72)
    path = written(PLAIN.text(held(taken, 300, len(taken)), VIENNA))
    found = read(path, recognise_file(path))
    assert found.set_aside == Counter({SetAside.STUCK: len(taken) - 301})
    assert found.kept == taken[:301]


def test_alike_for_less_than_six_hours_is_a_steady_kiln(written):
    taken = held(readings("2026-05-20 06:00", 72), 100, 136)  # 36 readings: 5 h 50 min from first to last
    path = written(PLAIN.text(taken, VIENNA))
    assert read(path, recognise_file(path)).kept == taken


def test_one_figure_alike_while_the_other_moves_is_not_set_aside(written):
    taken = [Reading(each.at_s, "50.0", each.second) for each in readings("2026-05-20 06:00", 72)]
    path = written(PLAIN.text(taken, VIENNA))
    assert read(path, recognise_file(path)).kept == taken


@pytest.mark.parametrize(("hours", "stuck"), [(23.9, 0), (24.0, 144)])
def test_a_temperature_alone_may_be_alike_for_a_day(hours, stuck, written):
    rows = [f"{each.at_s}" for each in readings("2026-05-20 06:00", hours)]
    lines = [
        line.rsplit(",", 2)[0] + ",50.0" for line in PLAIN.lines(readings("2026-05-20 06:00", hours), VIENNA)
    ]
    path = written("\n".join(["Time,Temp °C", *lines]).encode())
    found = read(path, recognise_file(path))
    assert found.set_aside[SetAside.STUCK] == stuck
    assert len(found.kept) == len(rows) - stuck


def test_real_holes_are_told_with_their_length(written):
    taken = readings("2026-10-24 06:00", 72)
    left = taken[:20] + taken[21:50] + taken[52:100] + taken[130:]
    path = written(PLAIN.text(left, VIENNA))
    found = read(path, recognise_file(path))
    assert found.kept == left
    # one reading missing is no hole; of two missing the step is three intervals
    assert [(hole.from_s, hole.to_s) for hole in found.holes] == [
        (taken[49].at_s, taken[52].at_s),
        (taken[99].at_s, taken[130].at_s),
    ]
    assert [hole.hours for hole in found.holes] == pytest.approx([0.5, 31 / 6])


def test_a_logger_set_to_another_pace_has_no_holes(written):
    taken = readings("2026-05-20 06:00", 5, step_s=60) + readings("2026-05-20 11:10", 20, step_s=900)
    path = written(PLAIN.text(taken, VIENNA))
    assert read(path, recognise_file(path)).holes == []


def test_a_wrong_clock_shows(written):
    """Standard time read as daylight saving: an hour that never was in spring, and one too few in autumn."""
    path = written(PLAIN.text(readings("2026-03-07 00:00", 48), NEW_YORK, "standard"))
    found = read(path, recognise_file(path), NEW_YORK)
    assert found.set_aside == Counter({SetAside.SKIPPED: 6})
    path = written(PLAIN.text(readings("2026-10-31 00:00", 48), NEW_YORK, "standard"))
    assert len(read(path, recognise_file(path), NEW_YORK).holes) == 1


@pytest.mark.parametrize("encoding", ["utf-8-sig", "utf-16", "utf-16-be", "cp1252"])
@pytest.mark.parametrize("line_end", ["\n", "\r\n", "\r"])
@pytest.mark.parametrize("block", [64, 1001, 1 << 20])
def test_encodings_read_in_blocks_of_any_size(encoding, line_end, block, written, monkeypatch):
    monkeypatch.setattr(blocks, "BLOCK_BYTES", block)
    taken = readings("2026-10-24 06:00", 30)
    style = Style(SEMICOLON.heading, SEMICOLON.stamp, ";", ",", line_end, encoding)
    path = written(style.text(taken, VIENNA, ended=False))
    form = recognise_file(path)
    assert read(path, form).kept == taken


def test_offsets_in_the_stamps_are_believed(written):
    rows = [
        "2026-03-29T01:50:00+01:00,50.0,40",
        "2026-03-29T03:00:00+02:00,50.1,40",
        "2026-03-29T01:10:00Z,50.2,40",
    ]
    path = written("\n".join(["Time,Dry °C,Wet °C", *rows]).encode())
    kept = read(path, recognise_file(path), "Asia/Tokyo").kept
    assert np.diff([each.at_s for each in kept]).tolist() == [600, 600]


def test_nothing_is_read_with_a_question_open(written):
    path = written(Style(stamp="%d/%m/%Y %H:%M").text(readings("2026-04-03 05:00", 12), VIENNA))
    form = recognise_file(path)
    with pytest.raises(LoggerUnclear) as refused:
        next(read_rows(path, form, VIENNA))
    assert refused.value.values["why"] == Unsure.DATE_ORDER
    by_day, by_month = (
        read(path, form.answered(date_order=order)).kept[0].at_s
        for order in (DateOrder.DAY_FIRST, DateOrder.MONTH_FIRST)
    )
    assert round((by_day - by_month) / 86400) == 30  # 3 April and 4 March


def test_progress_and_giving_up(written, monkeypatch):
    monkeypatch.setattr(blocks, "BLOCK_BYTES", 1000)
    path = written(PLAIN.text(readings("2026-05-20 06:00", 72), VIENNA))
    told: list[float] = []
    list(read_rows(path, recognise_file(path), VIENNA, told.append))
    assert len(told) > 10
    assert told == sorted(told)
    assert told[-1] == 1.0
    rows = read_rows(path, recognise_file(path), VIENNA, told.append, lambda: told[-1] > 0.5)
    told.append(0.0)
    with pytest.raises(LoggerCancelled):
        list(rows)


def test_only_so_many_bytes_of_a_growing_file(written):
    taken = readings("2026-05-20 06:00", 72)
    path = written(PLAIN.text(taken, VIENNA))
    size = len(PLAIN.text(taken[:100], VIENNA))
    kept = [
        at for chunk in read_rows(path, recognise_file(path), VIENNA, size=size) for at in chunk.at_s.tolist()
    ]
    assert kept == [each.at_s for each in taken[:100]]


def test_memory_stays_flat(written, monkeypatch):
    """Four times the file takes no more than a tenth more at its height."""
    monkeypatch.setattr(blocks, "BLOCK_BYTES", 1 << 16)
    heights = []
    for days in (60, 240):
        path = written(PLAIN.text(readings("2026-01-01 00:00", 24 * days, step_s=300), VIENNA))
        form = recognise(path.read_bytes()[:10_000])
        tracemalloc.start()
        for _ in read_rows(path, form, VIENNA):
            pass
        heights.append(tracemalloc.get_traced_memory()[1])
        tracemalloc.stop()
    assert heights[1] < 1.1 * heights[0]


@pytest.mark.parametrize("seed", range(12))
def test_the_size_of_the_pieces_changes_nothing(seed, written, monkeypatch):
    """A file with every fault there is, read in pieces of any size, gives what it gives in one piece."""
    chance = random.Random(seed)
    taken = readings("2026-10-23 00:00", 96)
    begin = chance.randrange(100, 400)
    taken = held(taken, begin, begin + chance.randrange(20, 120))
    del taken[(hole := chance.randrange(50)) : hole + chance.randrange(2, 30)]
    lines = list(PLAIN.lines(taken, VIENNA))
    stamps = [line.partition(",")[0] for line in lines]
    for number in chance.sample(range(len(lines)), 60):
        stamp = stamps[number]
        lines[number] = chance.choice(
            [
                f"{stamp},-999,40",
                f"{stamp},50",
                f"{stamp},,",
                f"{stamp},40,50",
                f"{stamp},ERR,1",
                "",
                "Mean,50,40",
            ]
        )
    for number in chance.sample(range(20, len(lines) - 5, 20), 5):
        for leaping in range(number, number + chance.randrange(1, 5)):
            lines[leaping] = f"2062{stamps[leaping][4:]},50,40"
    data = "\n".join([PLAIN.heading or "", *lines]).encode()
    form = recognise(data)
    found = []
    for block in (len(data), *(chance.randrange(40, 4000) for _ in range(4))):
        monkeypatch.setattr(blocks, "BLOCK_BYTES", block)
        found.append(read(written(data), form))
    assert all(each == found[0] for each in found)
    assert found[0].set_aside.total() > 40


def test_the_second_reading_alone(written):
    rows = [f"2026-05-20 10:{minute:02d},6{minute % 10}.5" for minute in range(20)]
    path = written("\n".join(["Time,RH %", *rows]).encode())
    form = recognise_file(path)
    assert (form.dry_column, form.second, form.to_ask) == (None, SecondReading.RH, ())
    assert {each.dry for each in read(path, form).kept} == {"null"}


@pytest.mark.parametrize("before", range(10, 16))
def test_a_leaping_stamp_at_the_edge_of_a_piece_costs_itself_alone(before):
    taken = readings("2026-05-20 06:00", 5)
    lines = list(PLAIN.lines(taken, VIENNA))
    lines[12] = "2062-05-20 10:00:00,50.0,40.0"
    form = recognise("\n".join([PLAIN.heading or "", *PLAIN.lines(taken, VIENNA)]).encode())
    reader = RowReader(form, VIENNA, waits=False)
    chunks = [reader.take(lines[:before]), reader.take(lines[before:]), reader.finish()]
    assert [at for chunk in chunks for at in chunk.at_s.tolist()] == [
        each.at_s for each in taken[:12] + taken[13:]
    ]
    assert sum(chunk.set_aside.get(SetAside.ORDER, 0) for chunk in chunks) == 1
    assert sum(chunk.rows for chunk in chunks) == len(lines)


def test_what_comes_after_days_of_silence_is_kept_to_the_last_row(written):
    taken = readings("2026-05-20 06:00", 5)
    later = readings("2026-05-27 06:00", 5)[:1]
    path = written(PLAIN.text(taken + later, VIENNA))
    assert read(path, recognise_file(path)).kept == taken + later


def test_times_in_a_column_of_their_own_stay_whole_seconds(written):
    rows = [f"2026-05-20,10:{minute:02d},52.5,41.{minute}" for minute in range(20)]
    rows += [f"2026-05-20,{hour}:00,52.5,41.0" for hour in range(11, 15)]
    path = written("\n".join(["Date,Time,Dry bulb °C,Wet bulb °C", *rows]).encode())
    chunks = list(read_rows(path, recognise_file(path), VIENNA))
    assert {chunk.at_s.dtype for chunk in chunks if len(chunk.at_s)} == {np.dtype(np.int64)}


def test_a_stamp_without_its_offset_among_others_that_have_one_is_set_aside(written):
    rows = [f"2026-05-20T10:{minute:02d}:00+02:00,52.5,41.{minute}" for minute in range(20)]
    form = recognise("\n".join([PLAIN.heading or "", *rows]).encode())
    assert form.has_offset
    rows[7] = rows[7].replace("+02:00", "")
    found = read(written("\n".join([PLAIN.heading or "", *rows]).encode()), form)
    assert found.set_aside == Counter({SetAside.TIME: 1})
    assert len(found.kept) == 19


def test_a_cell_that_names_the_other_unit_is_set_aside(written):
    rows = [f"2026-05-20 10:{minute:02d}:00,52.{minute} °C,41.{minute}" for minute in range(40)]
    rows[30] = "2026-05-20 10:30:00,126.5 °F,41.7"
    found = read((path := written("\n".join(["Time,Temp,RH %", *rows]).encode())), recognise_file(path))
    assert found.set_aside == Counter({SetAside.UNREADABLE: 1})
    assert len(found.kept) == 39


@pytest.mark.parametrize(
    ("unit", "figure", "reason"),
    [
        ("°C", "200.0", None),
        ("°C", "200.1", SetAside.RANGE),
        ("°C", "-40.1", SetAside.RANGE),
        ("°F", "392.0", None),
        ("°F", "392.1", SetAside.RANGE),
        ("°F", "-40.1", SetAside.RANGE),  # the same in either unit
        ("°F", "248.0", SetAside.FAULT),  # the sign 120 °C, by a logger that tells °F
        ("°C", "120", SetAside.FAULT),
        ("°F", "120", None),
        ("°C", "248", SetAside.RANGE),
    ],
)
def test_no_temperature_that_no_kiln_has_is_kept(unit, figure, reason, written):
    rows = [f"2026-05-20 10:{minute:02d},90.{minute},41.{minute}" for minute in range(20)]
    rows[7] = f"2026-05-20 10:07,{figure},{'-50' if figure.startswith('-') else '41.7'}"
    path = written("\n".join([f"Time,Dry bulb {unit},Wet bulb {unit}", *rows]).encode())
    found = read(path, recognise_file(path))
    assert found.set_aside == (Counter() if reason is None else Counter({reason: 1}))


def test_a_kiln_near_248_fahrenheit_is_no_fault(written):
    rows = [f"2026-05-20 10:{minute:02d}:00,{240 + minute},80.{minute}" for minute in range(20)]
    path = written("\n".join(["Time,Dry bulb °F,Wet bulb °F", *rows]).encode())
    assert read(path, recognise_file(path)).set_aside == Counter()


@pytest.mark.parametrize(("leaping", "lost"), [(2, 2), (50, 50)])
@pytest.mark.parametrize("block", [300, 1 << 20])
def test_some_stamps_of_a_clock_gone_wrong_cost_themselves_alone(leaping, lost, block, written, monkeypatch):
    taken = readings("2026-05-20 06:00", 30)
    wrong = {20 + n: f"2062-05-20 10:{n:02d}:00,50.0,40.{n}" for n in range(leaping)}
    path = written(with_rows(taken, wrong))
    form = recognise_file(path)
    monkeypatch.setattr(blocks, "BLOCK_BYTES", block)
    found = read(path, form)
    assert found.set_aside == Counter({SetAside.ORDER: lost})
    assert found.kept == taken[:20] + taken[20 + leaping :]

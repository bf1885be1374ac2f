"""``kilnlog read-logger``: a logger's file into a charge, with a count of everything."""

from __future__ import annotations

import json
from datetime import datetime

import pytest

from kilnlog.logbook.session import new_logbook, open_logbook
from kilnlog.logbook.writing import write
from kilnlog.records.charge import Charge
from kilnlog.records.words import LoggerClock
from tests.exchange.logger.files import PLAIN, SEMICOLON, Style, readings

ZONE = "Europe/Vienna"
NIGHT = "2026-10-24 06:00"
KEYS = ["rows", "kept", "set_aside", "already_there", "first_utc", "last_utc", "gaps"]


@pytest.fixture
def mill(tmp_path):
    path = tmp_path / "mill.kilnlog"
    book = new_logbook(path)
    write(book, Charge("2026-4", ZONE))
    book.close()
    return path


@pytest.fixture
def read(kilnlog, mill, tmp_path):
    def call(data, *words, charge="2026-4"):
        source = tmp_path / "kiln.csv"
        if data is not None:
            source.write_bytes(data)
        return kilnlog("read-logger", source, "--into", mill, "--charge", charge, *words)

    return call


def figures(done):
    assert done.exit_code == 0, done.output
    return json.loads(done.output)


def batches(mill):
    book = open_logbook(mill, read_only=True)
    found = [entry.fact for entry in book.file.logger_batches(book.charge_numbered("2026-4").entity)]
    book.close()
    return found


def test_the_figures_have_their_names(read, mill):
    taken = readings(NIGHT, 60)
    told = figures(read(PLAIN.text(taken[:40] + taken[60:], ZONE), "--json"))
    assert list(told) == [*KEYS, "differing", "outside_stay"]
    assert (told["rows"], told["kept"], told["set_aside"], told["already_there"]) == (341, 341, 0, 0)
    assert datetime.fromisoformat(told["first_utc"]).timestamp() == taken[0].at_s
    assert datetime.fromisoformat(told["last_utc"]).timestamp() == taken[-1].at_s
    (gap,) = told["gaps"]
    assert list(gap) == ["from_utc", "to_utc", "hours"]
    assert datetime.fromisoformat(gap["from_utc"]).timestamp() == taken[39].at_s
    assert datetime.fromisoformat(gap["to_utc"]).timestamp() == taken[60].at_s
    assert gap["hours"] == 3.5
    assert [batch.sensor for batch in batches(mill)] == ["logger"]


def test_the_same_again_and_more(read):
    taken = readings(NIGHT, 60)
    figures(read(PLAIN.text(taken[:200], ZONE), "--json"))
    again = figures(read(PLAIN.text(taken[:200], ZONE), "--json"))
    assert (again["kept"], again["already_there"]) == (0, 200)
    more = figures(read(PLAIN.text(taken, ZONE), "--json"))
    assert (more["kept"], more["already_there"]) == (161, 200)


@pytest.mark.parametrize("clock", ["local", "standard", "utc"])
def test_the_clock_is_told(read, mill, clock):
    taken = readings(NIGHT, 60)
    told = figures(read(PLAIN.text(taken, ZONE, clock), "--clock", clock, "--json"))
    assert (told["kept"], told["set_aside"], told["gaps"]) == (361, 0, [])
    assert datetime.fromisoformat(told["first_utc"]).timestamp() == taken[0].at_s
    assert [batch.clock for batch in batches(mill)] == [LoggerClock(clock)]


def test_in_words(read):
    done = read(SEMICOLON.text(readings(NIGHT, 60), ZONE))
    assert done.output.splitlines() == [
        "kiln.csv, sensor logger: 361 rows, 361 readings new.",
        "From 2026-10-24 08:00 to 2026-10-26 19:00, by local time with daylight saving.",
        "Read as dry bulb in °C from column 2 and RH from column 3; dates day first.",
    ]


def test_a_clock_without_daylight_saving_is_noticed(read):
    done = read(PLAIN.text(readings("2026-03-28 06:00", 60), ZONE, "standard"))
    assert "Set aside: 6 × a time the clock skipped in spring." in done.output
    assert "--clock standard" in done.output


BOTH_WAYS = Style("Time,Dry,Wet", "%d/%m/%Y %H:%M")


def test_what_the_file_does_not_tell_is_asked(read, mill):
    data = BOTH_WAYS.text(readings("2026-06-03 05:00", 12), ZONE)
    done = read(data)
    assert (done.exit_code, "--dates day-first" in done.output) == (2, True)
    done = read(data, "--dates", "day-first")
    assert (done.exit_code, "--unit C" in done.output) == (2, True)
    assert batches(mill) == []
    told = figures(read(data, "--dates", "day-first", "--unit", "F", "--json"))
    assert told["first_utc"] == "2026-06-03T05:00:00+00:00"


def test_what_was_answered_once_is_remembered(read, mill):
    answers = ("--dates", "month-first", "--unit", "F", "--clock", "utc", "--sensor", "loft")
    data = Style("Time,Dry,Wet", "%m/%d/%Y %H:%M").text(readings("2026-06-03 05:00", 12), ZONE, "utc")
    figures(read(data, *answers, "--json"))
    later = Style("Time,Dry,Wet", "%m/%d/%Y %H:%M").text(readings("2026-06-05 05:00", 12), ZONE, "utc")
    assert figures(read(later, "--json"))["first_utc"] == "2026-06-05T05:00:00+00:00"
    assert [batch.sensor for batch in batches(mill)] == ["loft", "loft"]


def test_two_columns_without_headings(read, mill):
    data = Style(None).text(readings(NIGHT, 12), ZONE)
    done = read(data, "--unit", "C")
    assert (done.exit_code, "--second wet" in done.output) == (2, True)
    figures(read(data, "--unit", "C", "--second", "rh", "--json"))
    assert [str(batch.second) for batch in batches(mill)] == ["rh"]


@pytest.mark.parametrize(
    ("data", "words", "said"),
    [
        (b"", (), "kiln.csv: The file is empty."),
        (b"PK\x03\x04", (), "This is not a text file."),
        (b"nothing of the kind\n", (), "No line holds a date"),
        (None, (), "Check the name of the logger's file."),
    ],
)
def test_what_cannot_be_read_is_refused_in_a_sentence(read, data, words, said):
    done = read(data, *words)
    assert done.exit_code == 2
    assert said in done.output


def test_no_such_charge(read):
    done = read(PLAIN.text(readings(NIGHT, 5), ZONE), charge="2026-9")
    assert done.exit_code == 2
    assert "2026-9" in done.output

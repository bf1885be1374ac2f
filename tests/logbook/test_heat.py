"""Probes of a charge gathered from the file, and what was typed understood."""

from __future__ import annotations

import pytest

from kilnlog.drying.closing.heat_interval import heat_interval
from kilnlog.exchange.logger.recognise import recognise_file
from kilnlog.logbook.air_in_hand import logger_series
from kilnlog.logbook.charge_in_hand import waiting_line
from kilnlog.logbook.errors import UnreadableQuantity
from kilnlog.logbook.heat import asked_from, heat_answer, minutes_from, probes_of
from kilnlog.logbook.heat_words import MOST_RUNS, heat_text
from kilnlog.logbook.reading_logger import read_logger
from kilnlog.logbook.session import new_logbook
from kilnlog.logbook.watching_logger import LoggerWatch
from kilnlog.logbook.writing import take_back, write
from kilnlog.records.charge import Charge
from kilnlog.records.moment import Moment
from kilnlog.records.probe_reading import ProbeReading
from kilnlog.records.words import ProbePlace, TemperatureUnit

ZONE = "Europe/Vienna"
CORE, C = ProbePlace.CORE, TemperatureUnit.CELSIUS


@pytest.fixture
def book(tmp_path):
    made = new_logbook(tmp_path / "mill.kilnlog")
    write(made, Charge("2026-4", ZONE))
    yield made
    made.close()


@pytest.fixture
def charge(book):
    return book.charge_numbered("2026-4").entity


def trace(path, *shown):
    rows = [f"2026-05-20 {9 + n // 60:02}:{n % 60:02}:00,{text}" for n, text in enumerate(shown)]
    path.write_text("\n".join(["Time,Temperature (°C)", *rows, ""]), encoding="utf-8")
    return path


def read(book, charge, path, sensor="K1", place=CORE):
    form = recognise_file(path).as_probe(place)
    return read_logger(book, charge, path, form, sensor=sensor)


def test_a_batch_taken_back_counts_no_more(book, charge, tmp_path):
    reading = read(book, charge, trace(tmp_path / "k.csv", *["60.0", "60.1"] * 30))
    record = book.file.charge_record(charge)
    (probe,) = probes_of(book, record)
    assert heat_interval([probe], 56, C, 30).reached
    (entry,) = [one for one in reading.changes.entries if hasattr(one.fact, "sensor")]
    take_back(book, "logger_batch", entry.entity, "another charge's")
    assert probes_of(book, book.file.charge_record(charge)) == ()


def test_as_of_a_moment_only_what_was_read_by_then_counts(book, charge, tmp_path):
    read(book, charge, trace(tmp_path / "k.csv", *["60.0", "60.1"] * 30))
    write(book, ProbeReading(charge, "K1", CORE, 20.0, C), Moment.from_text("2026-05-20 09:30:30", ZONE))
    record = book.file.charge_record(charge)

    def minutes(at):
        moment = None if at is None else Moment.from_text(f"2026-05-20 {at}", ZONE)
        told = heat_interval(probes_of(book, record, moment), 56, C, 30)
        return [run.minutes for run in told.runs]

    assert minutes("08:59") == []
    assert minutes("09:20") == [20]
    assert minutes("09:30") == [30]
    assert minutes("09:40") == [30, 9]
    assert minutes(None) == [30, 28]


def test_a_probe_is_no_air_of_the_kiln_not_even_while_its_file_is_followed(book, charge, tmp_path):
    path = trace(tmp_path / "k.csv", *["60.0", "60.1"] * 5)
    form = recognise_file(path).as_probe(CORE)
    watch = LoggerWatch(book, charge, path, form, sensor="K1", keep_every_s=3600)
    watch.look(book)
    record = book.file.charge_record(charge)
    assert watch.waiting is not None
    assert len(watch.waiting.at_s) == 10
    assert waiting_line(watch.waiting, record, book.now(ZONE)) is None
    watch.look(book, keep_now=True)
    watch.close()
    record = book.file.charge_record(charge)
    assert [batch.current.fact.placed_in for batch in record.logger_batch] == [CORE]
    assert logger_series(book, record) == ()
    (probe,) = probes_of(book, record)
    assert (probe.name, probe.placed_in, len(probe.parts[0].at_s)) == ("K1", CORE, 10)


def test_many_runs_are_told_by_the_longest_and_all_of_them_as_figures(book, charge, tmp_path):
    shown = [text for n in range(30) for text in (*["60.0", "60.1"] * (1 + n // 20), "50")]
    read(book, charge, trace(tmp_path / "k.csv", *shown))
    answer = heat_answer(book, book.file.charge_record(charge), asked_from("56C", "30min"))
    assert len(answer.figures()["runs"]) == 30
    lines = heat_text(answer).splitlines()
    listed = [line for line in lines if line.startswith("  ") and " to " in line]
    assert len(listed) == MOST_RUNS
    assert sum(line.startswith("  3 min") for line in listed) == 10  # every longer one
    assert "  and 10 shorter ones; --json lists them all." in lines


@pytest.mark.parametrize(
    ("typed", "minutes"),
    [("30min", 30), ("30 minutes", 30), ("1h", 60), ("24 hours", 1440), ("1.5 h", 90), ("90 MIN", 90)],
)
def test_times_with_their_unit(typed, minutes):
    assert minutes_from(typed) == minutes


@pytest.mark.parametrize(
    ("typed", "why"),
    [("30", "duration-unit"), ("", "duration-unit"), ("3 days", "duration-unit"), ("0h", "duration")],
)
def test_times_that_are_none(typed, why):
    with pytest.raises(UnreadableQuantity) as refused:
        minutes_from(typed)
    assert refused.value.values["why"] == why


def test_a_threshold_is_what_was_typed():
    asked = asked_from("132.8F", "30min")
    assert [row.purpose for row in asked.published] == [
        row.purpose for row in asked_from("56C", "30min").published
    ]
    assert len(asked.published) == 2
    assert asked_from("133F", "30min").published == ()


def test_a_quick_logger_is_told_in_seconds_and_no_time_is_rounded_up(book, charge, tmp_path):
    rows = [f"2026-05-20 09:{10 * n // 60:02}:{10 * n % 60:02},60.{n % 2}" for n in range(360 // 2)]
    path = tmp_path / "k.csv"
    path.write_text("\n".join(["Time,Temperature (°C)", *rows, ""]), encoding="utf-8")
    read(book, charge, path)
    text = heat_text(heat_answer(book, book.file.charge_record(charge), asked_from("56C", "30min")))
    assert "Usual time between readings: 10 s." in text
    assert "Not reached. Longest unbroken time of every probe in the wood: 29.8 min" in text  # 29.83

"""A logger's file into a charge: all that is new in it or nothing, and how it was read is remembered."""

from __future__ import annotations

import hashlib
import json
from dataclasses import replace
from datetime import UTC, datetime

import numpy as np
import pytest

from kilnlog.exchange.logger import text as blocks
from kilnlog.exchange.logger.chunk import SetAside
from kilnlog.exchange.logger.errors import LoggerCancelled, LoggerUnclear
from kilnlog.exchange.logger.format import Unsure
from kilnlog.exchange.logger.recognise import recognise_file
from kilnlog.logbook.logger_settings import UNNAMED_SENSOR, suggestion
from kilnlog.logbook.logger_words import MOST_HOLES, reading_text
from kilnlog.logbook.reading_logger import read_logger
from kilnlog.logbook.watching_logger import LoggerWatch
from kilnlog.logbook.writing import take_back, take_back_last, write
from kilnlog.records.charge import Charge
from kilnlog.records.closing import Closing
from kilnlog.records.kiln import Kiln
from kilnlog.records.moment import Moment
from kilnlog.records.setting import Setting
from kilnlog.records.words import LoggerClock, SecondReading, TemperatureUnit
from kilnlog.store.errors import ChargeClosed
from kilnlog.store.logbook_file import LogbookFile
from tests.builders import moment
from tests.exchange.logger.files import MONTH_FIRST, PLAIN, Style, readings

ZONE = "America/New_York"
NIGHT = "2026-10-31 20:00"  # the clocks go back during it


@pytest.fixture
def kiln(book):
    return write(book, Kiln("One", entering_sensor="fan side", temperature_unit=TemperatureUnit.FAHRENHEIT))


@pytest.fixture
def charge(book, kiln):
    return write(book, Charge("2026-4", ZONE, kiln=kiln.entries[0].entity)).entries[0].entity


@pytest.fixture
def file(tmp_path):
    def made(taken, style=PLAIN, name="kiln.csv", clock="local"):
        path = tmp_path / name
        path.write_bytes(style.text(taken, ZONE, clock))
        return path

    return made


def taken_in(book, charge, path, sensor="fan side", **answers):
    return read_logger(book, charge, path, recognise_file(path).answered(**answers), sensor=sensor)


def in_logbook(book, charge, sensor="fan side"):
    (series,) = book.file.logger_series(charge, sensor)
    return series.at_s.tolist()


def test_every_reading_is_kept_with_its_file_and_its_clock(book, charge, file):
    taken = readings(NIGHT, 30)
    path = file(taken)
    done = taken_in(book, charge, path)
    (entry,) = book.file.logger_batches(charge)
    batch = entry.fact
    assert (batch.file_name, batch.file_sha256) == ("kiln.csv", hashlib.sha256(path.read_bytes()).hexdigest())
    assert (batch.clock, batch.second, batch.rows) == (
        LoggerClock.LOCAL,
        SecondReading.WET_BULB,
        len(taken),
    )
    assert entry.at == batch.first_at == done.first == moment_of(taken[0])
    assert (done.last, done.kept, done.rows) == (moment_of(taken[-1]), len(taken), len(taken))
    (series,) = book.file.logger_series(charge)
    assert series.at_s.tolist() == [each.at_s for each in taken]
    assert series.dry.tolist() == [float(each.dry) for each in taken]
    assert series.second.tolist() == [float(each.second) for each in taken]
    kept = "".join(day.text for day in book.file.logger_days(entry.entity))
    assert all(f"[{each.at_s},{each.dry},{each.second}]" in kept for each in taken)
    assert book.file.verify() == ()


def moment_of(reading):
    return Moment(datetime.fromtimestamp(reading.at_s, UTC), ZONE)


def test_the_same_file_again_adds_nothing(book, charge, file):
    path = file(readings(NIGHT, 30))
    taken_in(book, charge, path)
    before = book.file.ledger_head()
    again = taken_in(book, charge, path)
    assert (again.kept, again.already_there, again.rows) == (0, 181, 181)
    assert again.changes.entries == ()
    assert book.file.ledger_head() == before


def test_an_overlapping_file_adds_what_is_new_on_either_side(book, charge, file):
    taken = readings(NIGHT, 48)
    taken_in(book, charge, file(taken[100:200], name="second.csv"))
    done = taken_in(book, charge, file(taken, name="whole.csv"))
    assert (done.kept, done.already_there) == (len(taken) - 100, 100)
    assert in_logbook(book, charge) == [each.at_s for each in taken]
    assert [entry.fact.file_name for entry in book.file.logger_batches(charge)] == ["second.csv", "whole.csv"]
    assert book.file.verify() == ()


def otherwise(taken):
    return [replace(each, dry=f"{float(each.dry) + 3:.2f}") for each in taken]


def test_another_loggers_file_at_the_same_times_is_not_taken_for_the_first(book, charge, file):
    """A second logger in the same kiln, read without saying that it is another sensor."""
    taken = readings(NIGHT, 30)
    taken_in(book, charge, file(taken[:100]))
    path = file(otherwise(taken), name="other.csv")
    done = taken_in(book, charge, path)
    assert (done.kept, done.already_there, done.differing, done.rows) == (81, 0, 100, 181)
    assert done.figures()["differing"] == 100
    said = reading_text(done, recognise_file(path), path.name)
    assert "100 differ from what the logbook has of this sensor at the same times and were left out." in said
    assert "--sensor" in said
    assert "in the logbook already" not in said
    assert taken_in(book, charge, path, "door side").kept == 181


def test_a_file_partly_the_same_and_partly_not_is_counted_so(book, charge, file):
    taken = readings(NIGHT, 30)
    taken_in(book, charge, file(taken))
    done = taken_in(book, charge, file(taken[:100] + otherwise(taken[100:]), name="mended.csv"))
    assert (done.kept, done.already_there, done.differing) == (0, 100, 81)
    assert done.changes.entries == ()


def test_the_same_readings_in_fahrenheit_are_the_same(book, charge, file):
    taken = readings(NIGHT, 30)
    taken_in(book, charge, file(taken))

    def warm(text):
        return f"{float(text) * 1.8 + 32:.1f}"

    fahrenheit = [replace(each, dry=warm(each.dry), second=warm(each.second)) for each in taken]
    path = file(fahrenheit, Style("Time,Dry °F,Wet °F"), "f.csv")
    done = taken_in(book, charge, path)
    assert (done.kept, done.already_there, done.differing) == (0, 181, 0)
    path = file(taken, Style("Time,Dry °F,Wet °F"), "wrong.csv")
    assert taken_in(book, charge, path).differing == 181


def test_readings_from_before_and_after_the_charges_stay_are_told(book, kiln, file):
    stay = {"loaded_at": moment("2026-11-02 00:00", ZONE), "unloaded_at": moment("2026-11-05 00:00", ZONE)}
    charge = write(book, Charge("2026-9", ZONE, kiln=kiln.entries[0].entity, **stay)).entries[0].entity
    path = file(readings("2026-10-31 04:00", 24 * 7))  # in UTC: from midnight there, two days early
    done = taken_in(book, charge, path)
    # Loaded at 05:00 UTC on the 2nd and unloaded at 05:00 UTC on the 5th, a day's grace on either side.
    before = [each for each in readings("2026-10-31 04:00", 24 * 7) if each.at_s < utc_s("2026-11-01 05:00")]
    after = [each for each in readings("2026-10-31 04:00", 24 * 7) if each.at_s > utc_s("2026-11-06 05:00")]
    assert (len(before), len(after)) == (150, 138)
    assert (done.outside_stay, done.kept) == (len(before) + len(after), done.rows)
    said = reading_text(done, recognise_file(path), path.name)
    assert (
        "288 of the new ones lie more than a day before the charge was loaded or after it was unloaded"
        in said
    )


def test_readings_of_a_charge_not_loaded_yet_are_nowhere_outside(book, charge, file):
    path = file(readings(NIGHT, 30))
    assert taken_in(book, charge, path).outside_stay == 0


def utc_s(text):
    return datetime.fromisoformat(f"{text}+00:00").timestamp()


def test_another_sensor_has_its_own_readings(book, charge, file):
    path = file(readings(NIGHT, 5))
    taken_in(book, charge, path)
    assert taken_in(book, charge, path, "door side").kept == 31
    assert {series.sensor for series in book.file.logger_series(charge)} == {"fan side", "door side"}


def test_an_import_taken_back_can_be_made_again_by_another_clock(book, charge, file):
    path = file(readings(NIGHT, 30), clock="standard")
    wrong = taken_in(book, charge, path)
    assert len(wrong.holes) == 1
    take_back(book, "logger_batch", wrong.changes.entries[0].entity, "standard time")
    right = taken_in(book, charge, path, clock=LoggerClock.STANDARD)
    assert (right.kept, right.holes) == (181, ())
    assert in_logbook(book, charge) == [each.at_s for each in readings(NIGHT, 30)]


def test_undo_takes_back_the_readings_and_what_was_remembered(book, charge, file):
    path = file(readings(NIGHT, 30))
    take_back_last(book, taken_in(book, charge, path).changes)
    assert book.file.logger_series(charge) == ()
    assert not suggestion(book, charge, recognise_file(path)).is_remembered


def test_stopped_half_way_nothing_is_kept(book, charge, file, monkeypatch):
    monkeypatch.setattr(blocks, "BLOCK_BYTES", 2000)
    path = file(readings(NIGHT, 24 * 6))
    before, asked = book.file.ledger_head(), []

    def cancelled():
        asked.append(1)
        return len(asked) > 10

    with pytest.raises(LoggerCancelled):
        read_logger(book, charge, path, recognise_file(path), sensor="fan side", cancelled=cancelled)
    assert book.file.ledger_head() == before
    assert book.file.logger_series(charge) == ()
    assert taken_in(book, charge, path).kept == 24 * 6 * 6 + 1  # the file is not blocked by what was begun


def test_progress_goes_from_nothing_to_all(book, charge, file, monkeypatch):
    monkeypatch.setattr(blocks, "BLOCK_BYTES", 2000)
    path, told = file(readings(NIGHT, 24)), []
    read_logger(book, charge, path, recognise_file(path), sensor="fan side", progress=told.append)
    assert told == sorted(told)
    assert told[-1] == 1.0
    assert len(told) > 2


def test_a_question_left_open_keeps_nothing(book, charge, file):
    path = file(readings("2026-06-03 05:00", 5), Style(stamp="%d/%m/%Y %H:%M"))
    with pytest.raises(LoggerUnclear):
        taken_in(book, charge, path)
    assert book.file.logger_series(charge) == ()


def test_a_file_without_anything_to_keep_writes_nothing(book, charge, tmp_path):
    path = tmp_path / "kiln.csv"
    rows = [f"2026-05-20 10:{minute:02d},-999,-999" for minute in range(20)]
    path.write_text("\n".join(["Time,Dry °C,Wet °C", *rows]), encoding="utf-8")
    before = book.file.ledger_head()
    done = taken_in(book, charge, path)
    assert (done.rows, done.kept, done.set_aside, done.first) == (20, 0, {SetAside.FAULT: 20}, None)
    assert (done.changes.entries, book.file.ledger_head()) == ((), before)


def test_a_closed_charge_takes_no_readings(book, charge, file):
    path = file(readings(NIGHT, 5))
    write(book, Closing(charge), moment("2026-11-02 06:00"))
    with pytest.raises(ChargeClosed):
        taken_in(book, charge, path)


def test_how_a_logger_is_read_is_remembered_for_the_next_file(book, charge, file):
    style = Style("Time,Dry,Wet", "%d/%m/%Y %H:%M")
    first = file(readings("2026-06-03 05:00", 12), style)
    asked = recognise_file(first)
    assert asked.to_ask == (Unsure.DATE_ORDER, Unsure.UNIT)
    told = asked.answered(
        date_order=asked.date_order,
        temperature_unit=TemperatureUnit.CELSIUS,
        clock=LoggerClock.STANDARD,
    )
    done = read_logger(book, charge, first, told, sensor="loft")
    setting = done.changes.entries[-1].fact
    assert isinstance(setting, Setting)
    assert setting.setting == "logger: loft"
    assert json.loads(setting.value)["clock"] == "standard"
    second = file(readings("2026-06-04 05:00", 12), style, "second.csv")
    suggested = suggestion(book, charge, recognise_file(second))
    assert (suggested.sensor, suggested.is_remembered, suggested.form.unsure) == ("loft", True, frozenset())
    assert suggested.form.temperature_unit is TemperatureUnit.CELSIUS
    assert suggested.form.clock is LoggerClock.STANDARD
    done = read_logger(book, charge, second, suggested.form, sensor=suggested.sensor)
    assert len(done.changes.entries) == 1  # remembered so already


def test_another_choice_is_remembered_in_place_of_the_first(book, charge, file):
    taken = readings("2026-06-03 00:00", 12)
    taken_in(book, charge, file(taken[:30]), clock=LoggerClock.STANDARD)
    done = taken_in(book, charge, file(taken[30:]), clock=LoggerClock.UTC)
    assert [entry.fact.__class__.__name__ for entry in done.changes.entries] == ["LoggerBatch", "Setting"]
    assert suggestion(book, charge, recognise_file(file(taken))).form.clock is LoggerClock.UTC


def test_two_loggers_of_one_make_are_told_apart_by_their_sensor(book, charge, file, clock):
    path = file(readings("2026-06-03 00:00", 12))
    taken_in(book, charge, path, "fan side", clock=LoggerClock.STANDARD)
    clock.forward(minutes=1)
    taken_in(book, charge, path, "door side", clock=LoggerClock.UTC)
    form = recognise_file(path)
    assert suggestion(book, charge, form).sensors == ("door side", "fan side", UNNAMED_SENSOR)
    assert suggestion(book, charge, form, "fan side").form.clock is LoggerClock.STANDARD


def test_the_kiln_suggests_sensor_and_unit(book, charge, file):
    path = file(readings(NIGHT, 5), Style("Time,Dry,Wet"))
    suggested = suggestion(book, charge, recognise_file(path))
    assert (suggested.sensor, suggested.unit_by_kiln, suggested.is_remembered) == ("fan side", True, False)
    assert suggested.form.temperature_unit is TemperatureUnit.FAHRENHEIT
    assert suggested.form.to_ask == ()
    bare = write(book, Charge("2026-5", ZONE)).entries[0].entity
    assert suggestion(book, bare, recognise_file(path)).form.to_ask == (Unsure.UNIT,)
    assert suggestion(book, bare, recognise_file(path)).sensor == UNNAMED_SENSOR


@pytest.mark.parametrize("value", ["", "[]", "{}", '{"shape": 3}', "local"])
def test_a_setting_somebody_wrote_by_hand_suggests_nothing(book, charge, file, value):
    write(book, Setting("logger: loft", value))
    suggested = suggestion(book, charge, recognise_file(file(readings(NIGHT, 5))))
    assert (suggested.is_remembered, suggested.sensor) == (False, "fan side")


def test_the_figures_by_name(book, charge, file):
    taken = readings(NIGHT, 30)
    figures = taken_in(book, charge, file(taken[:50] + taken[70:])).figures()
    assert figures == {
        "rows": 161,
        "kept": 161,
        "set_aside": 0,
        "already_there": 0,
        "first_utc": "2026-10-31T20:00:00+00:00",
        "last_utc": "2026-11-02T02:00:00+00:00",
        "gaps": [
            {
                "from_utc": "2026-11-01T04:10:00+00:00",
                "to_utc": "2026-11-01T07:40:00+00:00",
                "hours": 3.5,
            }
        ],
        "differing": 0,
        "outside_stay": 0,
    }


def test_in_words(book, charge, file):
    taken = readings(NIGHT, 30)
    path = file(taken[:50] + taken[70:])
    done = taken_in(book, charge, path)
    assert reading_text(done, recognise_file(path), path.name).splitlines() == [
        "kiln.csv, sensor fan side: 161 rows, 161 readings new.",
        "From 2026-10-31 16:00 to 2026-11-01 21:00, by local time with daylight saving.",
        "Read as dry bulb in °C from column 2 and wet bulb in °C from column 3; dates year first.",
        "No readings for 3.5 h, from 2026-11-01 00:10 to 2026-11-01 02:40.",
    ]


def test_many_holes_are_not_all_told(book, charge, file):
    taken = [each for n, each in enumerate(readings(NIGHT, 72)) if n % 20 < 15]
    path = file(taken)
    done = taken_in(book, charge, path)
    said = reading_text(done, recognise_file(path), path.name)
    assert said.count("No readings for") == MOST_HOLES
    assert f"And {len(done.holes) - MOST_HOLES} more holes." in said


def test_fahrenheit_goes_in_as_it_was_written(book, charge, file):
    taken_in(book, charge, file(readings(NIGHT, 30), MONTH_FIRST))
    (series,) = book.file.logger_series(charge)
    assert series.temperature_unit is TemperatureUnit.FAHRENHEIT


@pytest.fixture
def watch(book, charge, tmp_path):
    path = tmp_path / "live.csv"
    path.write_bytes(PLAIN.text(readings(NIGHT, 5), ZONE))
    made = LoggerWatch(book, charge, path, recognise_file(path), sensor="fan side")
    yield made
    made.close()


def append(watch, taken):
    with watch.source.open("ab") as file:
        file.writelines(f"{line}\n".encode() for line in PLAIN.lines(taken, ZONE))


def test_a_watched_file_is_kept_look_by_look(book, charge, watch):
    taken = readings(NIGHT, 24)
    assert watch.look(book).kept == 31
    assert watch.look(book).changes.entries == ()
    append(watch, taken[31:33])
    done = watch.look(book)
    assert (done.kept, len(done.changes.entries), done.changes.charges) == (2, 1, frozenset({charge}))
    batch = done.changes.entries[0].fact
    assert batch.file_sha256 == hashlib.sha256(watch.source.read_bytes()).hexdigest()
    append(watch, taken[33:])
    watch.look(book)
    assert in_logbook(book, charge) == [each.at_s for each in taken]
    assert book.file.verify() == ()


def test_what_was_imported_before_is_not_kept_again_by_the_watch(book, charge, watch):
    taken_in(book, charge, watch.source)
    done = watch.look(book)
    assert (done.kept, done.already_there, done.changes.entries) == (0, 31, ())


def test_what_comes_in_by_another_way_while_watching(book, charge, watch):
    watch.look(book)
    taken = readings(NIGHT, 24)
    append(watch, taken[31:40])
    taken_in(book, charge, watch.source)
    append(watch, taken[40:])
    done = watch.look(book)
    assert (done.kept, done.already_there) == (len(taken) - 40, 9)
    assert in_logbook(book, charge) == [each.at_s for each in taken]


def test_what_could_not_be_kept_is_kept_at_the_next_look(book, charge, watch, monkeypatch):
    class DiskFullNow(Exception):
        pass

    def refuse(*_: object) -> None:
        raise DiskFullNow

    with monkeypatch.context() as patched:
        patched.setattr(LogbookFile, "insert_logger_batch", refuse)
        with pytest.raises(DiskFullNow):
            watch.look(book)
    assert watch.look(book).kept == 31
    assert np.array_equal(in_logbook(book, charge), [each.at_s for each in readings(NIGHT, 5)])


def test_readings_wait_until_they_are_worth_a_batch(book, charge, watch):
    watch = LoggerWatch(book, charge, watch.source, watch.form, sensor="fan side", keep_every_s=3600)
    taken = readings(NIGHT, 24)
    assert watch.look(book).kept == 31  # they span five hours already
    for number in range(31, 37):
        append(watch, [taken[number]])
        done = watch.look(book)
        assert (done.rows, done.changes.entries) == (0, ())
        waits = watch.waiting
        assert waits.at_s.tolist() == [each.at_s for each in taken[31 : number + 1]]
        assert waits.dry.tolist() == [float(each.dry) for each in taken[31 : number + 1]]
        assert waits.second.tolist() == [float(each.second) for each in taken[31 : number + 1]]
    append(watch, [taken[37]])
    assert watch.look(book).kept == 7
    assert watch.waiting is None
    append(watch, [taken[38]])
    assert watch.look(book).kept == 0
    assert watch.look(book, keep_now=True).kept == 1
    watch.close()
    assert in_logbook(book, charge) == [each.at_s for each in taken[:39]]
    assert len(book.file.logger_batches(charge)) == 3


def test_what_waited_when_the_program_ended_is_read_again(book, charge, watch):
    first = LoggerWatch(book, charge, watch.source, watch.form, sensor="fan side", keep_every_s=1e6)
    assert first.look(book).kept == 0
    first.close()
    assert watch.look(book).kept == 31

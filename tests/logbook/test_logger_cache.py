"""The readings kept beside their file are always those the file gives."""

from __future__ import annotations

import pytest

from kilnlog.exchange.logger.recognise import recognise_file
from kilnlog.logbook.logger_cache import kept_series
from kilnlog.logbook.reading_logger import read_logger
from kilnlog.logbook.writing import correct, take_back, write
from kilnlog.records.charge import Charge
from tests.exchange.logger.files import PLAIN, Style, readings

ZONE = "America/New_York"
TAKEN = readings("2026-06-03 05:00", 30)
HUMID = Style("Time,Temperature °C,RH %")


@pytest.fixture
def charge(book):
    return write(book, Charge("2026-4", ZONE)).entries[0].entity


@pytest.fixture
def take_in(book, charge, tmp_path):
    def made(taken, sensor="fan side", style=PLAIN, into=charge):
        path = tmp_path / "kiln.csv"
        path.write_bytes(style.text(taken, ZONE))
        return read_logger(book, into, path, recognise_file(path), sensor=sensor).changes.entries[0]

    return made


@pytest.fixture
def fetched(book, monkeypatch):
    """Each time all of a charge's readings come out of the file; the importer asks for one sensor's."""
    times = []
    plain = book.file.logger_series

    def series(charge, sensor=None):
        times.extend([charge] if sensor is None else [])
        return plain(charge, sensor)

    monkeypatch.setattr(book.file, "logger_series", series)
    return times


def told(series):
    arrays = [[each.tolist() for each in (one.at_s, one.dry, one.second)] for one in series]
    return [(one.sensor, one.temperature_unit, one.second_is) for one in series], arrays


def is_the_files(book, charge):
    record = book.file.charge_record(charge)
    given = told(kept_series(book, record))
    return given == told(type(book.file).logger_series(book.file, charge))


def test_what_a_followed_file_adds_is_all_that_is_read(book, charge, take_in, fetched):
    take_in(TAKEN[:20])
    assert is_the_files(book, charge)
    for begin in range(20, 60, 10):
        take_in(TAKEN[begin : begin + 10])
        assert is_the_files(book, charge)
    assert is_the_files(book, charge)
    assert fetched == [charge]


def test_each_sensor_grows_at_its_own_end(book, charge, take_in, fetched):
    take_in(TAKEN[:20])
    take_in(TAKEN[:30], "door side", HUMID)
    assert is_the_files(book, charge)
    take_in(TAKEN[20:40])
    take_in(TAKEN[30:35], "door side", HUMID)
    assert is_the_files(book, charge)
    assert fetched == [charge]


@pytest.mark.parametrize(
    "then",
    [
        pytest.param(lambda book, first, take_in: take_in(TAKEN[:20]), id="readings from before"),
        pytest.param(lambda book, first, take_in: take_in(TAKEN[:20], "door side"), id="another sensor"),
        pytest.param(
            lambda book, first, take_in: take_back(book, "logger_batch", first.entity, "wrong charge"),
            id="taken back",
        ),
    ],
)
def test_anything_else_is_read_anew(book, charge, take_in, fetched, then):
    first = take_in(TAKEN[20:40])
    take_in(TAKEN[40:50])
    assert is_the_files(book, charge)
    then(book, first, take_in)
    assert is_the_files(book, charge)
    assert fetched == [charge] * 2


def test_a_corrected_sensor_is_read_anew(book, charge, take_in, fetched):
    first = take_in(TAKEN[:20])
    assert is_the_files(book, charge)
    batch = book.file.history("logger_batch", first.entity).newest.fact
    correct(book, "logger_batch", first.entity, type(batch)(**{**fields(batch), "sensor": "loft"}), "name")
    assert is_the_files(book, charge)
    assert [one.sensor for one in kept_series(book, book.file.charge_record(charge))] == ["loft"]


def fields(fact):
    return {name: getattr(fact, name) for name in fact.__dataclass_fields__}


def test_another_charge_has_its_own(book, charge, take_in, fetched):
    take_in(TAKEN[:20])
    other = write(book, Charge("2026-5", ZONE)).entries[0].entity
    take_in(TAKEN[5:30], into=other)
    assert is_the_files(book, charge)
    assert is_the_files(book, other)
    assert is_the_files(book, charge)
    assert fetched == [charge, other, charge]

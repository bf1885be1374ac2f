"""What papers are drawn from: the record's own figures, at full precision, each series by its instruments."""

from __future__ import annotations

import pytest

from kilnlog.exchange.papers.for_owner import for_lot, for_owner
from kilnlog.logbook.paper_contents import contents_of
from kilnlog.logbook.paper_told import told_at
from kilnlog.logbook.writing import write
from kilnlog.records.final_reading import FinalReading
from kilnlog.records.heat_choice import HeatChoice
from kilnlog.records.probe_reading import ProbeReading
from kilnlog.records.words import ProbePlace, ReadingKind, TemperatureUnit
from kilnlog.reference.tables import load
from tests.seal.finished import (
    CLOSED,
    FINCH,
    FIRST_METER,
    LATER,
    OTHERS_METER,
    READ,
    ROWAN,
    SECOND_METER,
    finish,
)


@pytest.fixture
def done(book):
    return finish(book)


def made(book, done, lots=None):
    return contents_of(told_at(book, book.file.charge_record(done.charge), load(), CLOSED, lots))


def test_contents_of_an_open_charge_have_no_seal(book, done):
    contents = made(book, done)
    assert (contents["form"], contents["ledger"], contents["seal"]) == (2, None, None)
    assert [lot["lot"] for lot in contents["lots"]] == ["A", "B"]


def test_figures_stand_at_full_precision(book, done):
    boards = {board["board"]: board for board in made(book, done)["boards"]}
    # By hand: 1800 g at 80 % is 1000 g oven-dry; 1072 g is 7.2 %, 1068 g is 6.8 %.
    assert boards["1"]["mc_pct"] == pytest.approx(7.2, abs=1e-9)
    assert boards["2"]["mc_pct"] == pytest.approx(6.8, abs=1e-9)
    assert boards["1"]["start_weight"] == "1800 g"


def test_readings_over_the_range_are_counted_and_enter_no_mean(book, done):
    [pins, boards] = made(book, done)["lots"][0]["final"]
    assert (pins["kind"], boards["kind"]) == ("pin meter", "sample boards")
    whole = pins["whole"]
    assert (whole["n"], whole["over"]) == (4, 1)
    assert whole["mean_pct"] == pytest.approx((6.5 + 7.0 + 7.5) / 3)  # never with the boards' 7.2
    assert boards["whole"]["mean_pct"] == pytest.approx(7.2, abs=1e-9)


def test_shrinkage_is_what_the_tally_says(book, done):
    tally = made(book, done)["lots"][0]["tally"]
    assert (tally["green"], tally["net"]) == (500.0, 470.0)
    assert tally["shrinkage_pct"] == pytest.approx(6.0)  # 30 of 500


def test_a_series_read_with_two_meters_names_both_and_both_are_told(book, done):
    [pins, _] = made(book, done)["lots"][0]["final"]
    assert sorted(pins["instruments"]) == [FIRST_METER, SECOND_METER]
    assert FIRST_METER in pins["how"]
    assert SECOND_METER in pins["how"]
    told = [part["instrument"] for part in made(book, done)["instruments"]]
    assert told == [FIRST_METER, SECOND_METER, OTHERS_METER, "Bench"]


@pytest.mark.parametrize("seen", [lambda told: for_owner(told, ROWAN), lambda told: for_lot(told, "A")])
def test_an_owner_is_told_of_every_meter_their_lumber_was_read_with(book, done, seen):
    told = [part["instrument"] for part in seen(made(book, done))["instruments"]]
    assert told == [FIRST_METER, SECOND_METER, "Bench"]


def test_and_of_no_other(book, done):
    told = [part["instrument"] for part in for_owner(made(book, done), FINCH)["instruments"]]
    assert told == [OTHERS_METER, "Bench"]


def test_contents_of_one_lot_are_that_lots_alone(book, done):
    contents = made(book, done, frozenset({done.lots["B"]}))
    assert [lot["lot"] for lot in contents["lots"]] == ["B"]
    assert [board["board"] for board in contents["boards"]] == ["2"]
    for part in ("control", "events", "decisions"):
        assert contents[part] == []
    assert contents["status"] == {}


def test_what_was_read_after_the_moment_is_not_in_it(book, done):
    late = FinalReading(done.charge, done.lots["A"], ReadingKind.PIN_METER, "1", "9", reading_pct=9.9)
    write(book, late, LATER)
    [pins, _] = made(book, done)["lots"][0]["final"]
    assert [one["piece"] for one in pins["readings"]] == ["1", "2", "3", "4"]


def test_the_heat_asked_for_may_be_chosen_after_it(book, done):
    for minute in range(0, 60, 5):
        reading = ProbeReading(done.charge, "probe 1", ProbePlace.CORE, 57.0, TemperatureUnit.CELSIUS)
        write(book, reading, READ.plus_hours(minute / 60))
    for at_least, when in ((60.0, CLOSED), (56.0, LATER)):
        write(book, HeatChoice(done.charge, at_least, TemperatureUnit.CELSIUS, 30.0, "the order"), when)
    heat = made(book, done)["heat"]
    assert (heat["at_least"], heat["reached"], heat["longest"]["minutes"]) == (56.0, True, 55.0)

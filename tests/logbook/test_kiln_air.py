"""The air in the status, the register and the seal, by hand and by logger, and what its findings say."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import UTC, date, datetime

import numpy as np
import pytest

from kilnlog.drying.assessment import assess
from kilnlog.logbook.air_in_hand import air_digest, logger_series
from kilnlog.logbook.closing import close_charge, sealed_figures
from kilnlog.logbook.kiln_air_words import air_line
from kilnlog.logbook.register import register
from kilnlog.logbook.status import history, status
from kilnlog.logbook.wording import worded_finding
from kilnlog.logbook.writing import change, take_back, write
from kilnlog.records.air_reading import AirReading
from kilnlog.records.logger_batch import LoggerBatch, LoggerDay
from kilnlog.records.version import current_entries
from kilnlog.records.weighing import Weighing
from kilnlog.records.words import AirControl, LoggerClock, SecondReading, TemperatureUnit
from kilnlog.reference.tables import load
from tests.builders import ChargeBuilder, moment, weight
from tests.logbook.conftest import ZONE
from tests.logbook.filling import fill_charge, keep
from tests.store.mill import first

F, C = TemperatureUnit.FAHRENHEIT, TemperatureUnit.CELSIUS
AIR_KEYS = {
    "dry_bulb_c",
    "wet_bulb_c",
    "depression_c",
    "rh_pct",
    "emc_pct",
    "humidity_ratio",
    "pressure_pa",
    "read_at",
    "source",
    "sensor",
}


def logged(book, charge, day, *, dry, wet, sensor="door side"):
    """One day of readings every ten minutes."""
    begin_s = int(datetime(day.year, day.month, day.day, tzinfo=UTC).timestamp())
    rows = [(begin_s + 600 * n, f"{dry:.1f}", f"{wet:.1f}") for n in range(144)]
    days = [LoggerDay.from_rows(day, rows)]
    batch = LoggerBatch(charge, sensor, "door.csv", "0" * 64, LoggerClock.UTC, F, SecondReading.WET_BULB)
    with book.file.immediate():
        return book.file.insert_logger_batch(first(batch), days)


@pytest.fixture
def filled(book):
    """Two boards weighed on the 4th and 5th, the air read by hand with each round."""
    filled = fill_charge(book)
    for day, grams, wet in ((4, "1700", 106), (5, "1620", 104)):
        at = moment(f"2026-11-{day:02d} 07:40", ZONE)
        keep(book, AirReading(filled.charge, dry_bulb=110, wet_bulb=wet, temperature_unit=F), at)
        for board in filled.boards.values():
            keep(book, Weighing(filled.charge, board, weight(grams)), at.plus_hours(0.1))
    return filled


def told(book, filled, at):
    record = book.file.charge_record(filled.charge)
    when = moment(at, ZONE)
    return status(record, assess(record, load(), when, air_digest(book, record, load(), when)))


def test_the_status_tells_the_air_under_the_names_promised(book, filled):
    air = told(book, filled, "2026-11-05 09:00")["air"]
    assert set(air) == AIR_KEYS
    assert air["read_at"] == "2026-11-05T07:40:00-05:00"
    assert air["source"] == "read by hand"
    assert air["dry_bulb_c"] - air["depression_c"] == pytest.approx(air["wet_bulb_c"])
    assert 80 < air["rh_pct"] < 82  # 110 F with 6 F of depression: 81 % by any psychrometric chart
    json.dumps(air, allow_nan=False)
    assert told(book, filled, "2026-11-03 09:00")["air"] is None


def test_the_history_tells_the_air_of_each_round(book, filled):
    record = book.file.charge_record(filled.charge)
    at = moment("2026-11-06 09:00", ZONE)
    rounds = history(record, assess(record, load(), at))
    reads = [one["air"] and one["air"]["read_at"] for one in rounds]
    assert reads == [None, "2026-11-04T07:40:00-05:00", "2026-11-05T07:40:00-05:00"]


def test_a_logger_counts_in_status_history_and_seal(book, filled, clock):
    logged(book, filled.charge, date(2026, 11, 4), dry=112.0, wet=104.0)
    assert told(book, filled, "2026-11-04 12:00")["air"]["source"] == "logger"
    assert told(book, filled, "2026-11-05 12:00")["air"]["source"] == "read by hand"
    record = book.file.charge_record(filled.charge)
    at = moment("2026-11-06 09:00", ZONE)
    rounds = history(record, assess(record, load(), at), logger_series(book, record))
    assert rounds[1]["air"]["read_at"] == "2026-11-04T07:40:00-05:00"
    taken_back = next(current_entries(record.air_reading)).entity
    take_back(book, "air_reading", taken_back, "misread")
    record = book.file.charge_record(filled.charge)
    rounds = history(record, assess(record, load(), at), logger_series(book, record))
    assert rounds[1]["air"]["source"] == "logger"
    assert rounds[1]["air"]["sensor"] == "door side"
    close_charge(book, filled.charge, at, None, load())
    closing = book.file.charge_record(filled.charge).closing[0].newest
    assert sealed_figures(closing.fact)["status"]["air"]["source"] == "read by hand"


def test_the_register_knows_what_the_loggers_showed(book, filled, clock):
    logged(book, filled.charge, date(2026, 11, 4), dry=112.0, wet=111.8)
    at = moment("2026-11-05 00:30", ZONE)
    (line,) = register(book, load(), at)
    assert "wet-bulb-near-dry" in [finding.code for finding in line.findings]


def test_readings_are_fetched_once_for_the_batches_that_count(book, filled, monkeypatch):
    batch = logged(book, filled.charge, date(2026, 11, 4), dry=112.0, wet=104.0)
    fetched = []
    plain = book.file.logger_series
    monkeypatch.setattr(book.file, "logger_series", lambda charge: fetched.append(charge) or plain(charge))

    def digest(at):
        record = book.file.charge_record(filled.charge)
        return air_digest(book, record, load(), moment(at, ZONE))

    first_one = digest("2026-11-05 08:00")
    assert digest("2026-11-06 08:00") is first_one
    assert len(fetched) == 1
    early = digest("2026-11-04 08:00")  # of a moment before the last readings: worked out on its own
    assert early.traces[0].latest.at < first_one.traces[0].latest.at
    assert digest("2026-11-06 08:00") is first_one
    logged(book, filled.charge, date(2026, 11, 5), dry=115.0, wet=104.0)
    assert digest("2026-11-06 08:00").traces[0].latest.dry_bulb_c > first_one.traces[0].latest.dry_bulb_c
    take_back(book, "logger_batch", batch.entity, "wrong charge")
    assert len(digest("2026-11-06 08:00").traces[0].dry_c) == 24
    keep_high = book.file.charge_record(filled.charge).kiln[0]
    change(
        book,
        "kiln",
        keep_high.entity,
        replace(keep_high.current.fact, altitude_m=2000.0),
        moment("2026-11-01 08:00", ZONE),
    )
    low, high = first_one.traces[0].latest, digest("2026-11-06 08:00").traces[0].latest
    assert high.humidity_ratio > low.humidity_ratio


def test_without_a_logger_nothing_is_read(book, filled):
    record = book.file.charge_record(filled.charge)
    assert logger_series(book, record) == ()
    assert air_digest(book, record, load(), moment("2026-11-05 09:00", ZONE)) is None


def test_a_charge_is_not_closed_before_its_last_reading_of_the_air(book, filled):
    at = moment("2026-11-07 07:40", ZONE)
    write(book, AirReading(filled.charge, dry_bulb=110, wet_bulb=100, temperature_unit=F), at)
    with pytest.raises(Exception, match="closing-before-last"):
        close_charge(book, filled.charge, at.plus_hours(-1), None, load())


def charge(*daily, **particulars):
    build = ChargeBuilder(target_mc_pct=8, **particulars)
    board = build.board("1", "1800", lot=build.lot("A"), oven_dry_weight="1000", coated=True)
    for day, mc_pct in enumerate(daily, start=1):
        build.weigh(board, f"{1000 + 10 * mc_pct:.0f}", day)
    return build


def said(build, code, at):
    (finding,) = (
        finding for finding in assess(build.record(), load(), build.when(at)).findings if finding.code == code
    )
    return worded_finding(finding)


def test_air_that_is_too_wet_is_told_with_the_humidity_that_would_serve():
    build = charge(12, 9)
    build.air(2, dry_bulb=110, wet_bulb=95)
    told = said(build, "air-too-wet", 2.1)
    assert told.headline == "The air stands at EMC 9.7 %, and board 1 is at 9.0 %"
    assert "At RH 58 % and 110 °F wood goes to 9.7 %" in told.why
    assert "at this temperature RH 40 % would serve" in told.do


def test_a_kiln_in_celsius_is_spoken_to_in_celsius():
    build = charge(60, 55, schedule="S")
    build.correct(build.entity, kiln=build.kiln("north", temperature_unit=C))
    build.steps("S", None, 30, dry_bulb=110, wet_bulb=106, temperature_unit=F)
    build.air(2, dry_bulb=50, wet_bulb=40, temperature_unit=C)
    assert said(build, "air-too-hot", 2.1).headline == "The kiln stood at 50 °C, step 1 allows 43.3 °C"


def test_equalizing_is_told_with_the_full_figure_and_what_to_set():
    build = charge(9, 5.96, schedule="S")
    build.weigh(build.board("2", "1800", oven_dry_weight="1000", coated=True), "1110", 2)
    build.steps("S", None, 30, dry_bulb=140, wet_bulb=110, temperature_unit=F)
    build.correct("weighing-0002", weight="1059.6")
    told = said(build, "equalize-due", 2.1)
    assert told.headline == "Equalizing is due: board 1 is at 5.96 %"
    assert "board 2, at 11.00 %" in told.why
    assert told.do.startswith("Set dry bulb 140 °F, wet bulb 109 °F (depression 31 °F): that is RH 37 %")
    assert "EMC 6.0 %. Write down that equalizing began." in told.do


def test_a_kiln_kept_by_humidity_is_told_what_keeps_the_emc_at_its_present_temperature():
    """Wood Handbook FPL-GTR-190 (2010), Table 4-2: EMC 16.2 % at 120 F and 85 % RH, at 90 F and 82.1 %."""
    build = charge(60, 45, schedule="S")
    kiln = build.kiln("north", air_control=AirControl.HUMIDISTAT)
    build.correct(build.entity, kiln=kiln)
    build.steps("S", None, 50, dry_bulb=120, emc_pct=16.2, temperature_unit=F)
    build.air(2, dry_bulb=90, rh_pct=70)
    assert "While it stands at 90 °F, RH 82 % keeps that EMC." in said(build, "step-due", 2.1).do
    build.correct(kiln, air_control=AirControl.WET_BULB)
    assert "While" not in said(build, "step-due", 2.1).do
    build.correct(kiln, air_control=AirControl.HUMIDISTAT)
    build.air(2.05, dry_bulb=120, rh_pct=70)
    assert "While" not in said(build, "step-due", 2.1).do


def test_boards_never_recut_are_named_once():
    build = ChargeBuilder(target_mc_pct=8)
    for label in ("1", "2"):
        board = build.board(label, "1800", lot="A", coated=True)
        for section, wet in (("a", "178.00"), ("b", "182.00")):
            build.section(board, section, wet, "100.00")
        build.weigh(board, "1190", 20)
    told = said(build, "recut-advised", 20.1)
    assert told.headline.startswith("Near the end, boards known to ")
    assert told.headline.endswith("% at best: 1")  # the wetter half: of two boards alike, the first


def test_without_a_temperature_the_emc_is_told_alone():
    build = charge(9, 5.5)
    build.weigh(build.board("2", "1800", oven_dry_weight="1000", coated=True), "1110", 2)
    assert said(build, "equalize-due", 2.1).do.startswith("Set the kiln to an EMC of 6.0 %.")


def test_a_meter_that_disagrees_is_told_with_both_limits():
    build = charge(15, 14)
    build.meter("board-0001", 24.0, 2, wood_temperature=40.0, temperature_unit=C)
    told = said(build, "meter-disagrees", 2.1)
    assert told.headline == "The meter says 22.2 %, and board 1 is worked out at 14.0 %"
    assert "it read 24.0 %, 22.2 % for the wood's temperature" in told.why
    assert told.do.startswith("Recut the board")
    build.meter("board-0001", 24.0, 2.05)
    assert "it read 24.0 %. Board and meter" in said(build, "meter-disagrees", 2.1).why


def test_the_air_in_one_line():
    build = charge(12, 9)
    build.air(2, dry_bulb=110, wet_bulb=106, sensor="door side")
    assessment = assess(build.record(), load(), build.when(2.1))
    line = air_line(assessment.air, assessment.at, assessment.temperature_unit)
    assert line == (
        "Air 110 °F dry, 106 °F wet (4 °F less), RH 87 %, EMC 17.7 %, read by hand, door side, today, 08:00"
    )
    build.air(2.05, dry_bulb=110)
    assessment = assess(build.record(), load(), build.when(2.1))
    assert np.isclose(assessment.air.dry_bulb_c, 43.333, atol=0.01)

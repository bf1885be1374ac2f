"""A small invented mill, and rows of every kind for it."""

from __future__ import annotations

import hashlib
import json
import sqlite3
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Any
from uuid import uuid4

import pytest

from kilnlog.records.air_reading import AirReading
from kilnlog.records.board import Board
from kilnlog.records.breakage import Breakage
from kilnlog.records.charge import Charge
from kilnlog.records.closing import Closing
from kilnlog.records.decision import Decision
from kilnlog.records.defect import Defect
from kilnlog.records.event import Event
from kilnlog.records.facts import TABLE_OF, TABLES
from kilnlog.records.final_reading import FinalReading
from kilnlog.records.heat_choice import HeatChoice
from kilnlog.records.instrument import Instrument
from kilnlog.records.kiln import Kiln
from kilnlog.records.later_note import LaterNote
from kilnlog.records.logger_batch import LoggerBatch, LoggerDay
from kilnlog.records.lot import Lot
from kilnlog.records.meter_check import MeterCheck
from kilnlog.records.moment import Moment
from kilnlog.records.oven_weighing import OvenWeighing
from kilnlog.records.probe_reading import ProbeReading
from kilnlog.records.recut import Recut
from kilnlog.records.schedule_step import ScheduleStep
from kilnlog.records.section import Section
from kilnlog.records.set_point import SetPoint
from kilnlog.records.setting import Setting
from kilnlog.records.stay import Stay
from kilnlog.records.step_answer import StepAnswer
from kilnlog.records.step_taken import StepTaken
from kilnlog.records.stress_test import StressTest
from kilnlog.records.tally_line import TallyLine
from kilnlog.records.typed_weight import weight_from_text
from kilnlog.records.version import Entry, Version, VersionKind
from kilnlog.records.weighing import Weighing
from kilnlog.records.weight import Weight, WeightUnit
from kilnlog.records.withdrawal import Withdrawal
from kilnlog.records.words import (
    AnswerKind,
    CloseOutStep,
    DefectKind,
    EventKind,
    InstrumentKind,
    LoggerClock,
    ProbePlace,
    ReadingKind,
    SecondReading,
    Severity,
    StressFound,
    StressTestKind,
    TallyTime,
    TemperatureUnit,
    VolumeUnit,
)
from kilnlog.store.fact_tables import fact_table, quoted
from kilnlog.store.logbook_file import LogbookFile
from kilnlog.store.logger_digest import BatchDigest, day_hash

ZONE = "Europe/Vienna"
OPEN_TABLES = [table for table in TABLES if table != "closing"]
#: Tables whose rows belong to a charge; a closed one takes none of them but notes.
IN_A_CHARGE = [table for table in OPEN_TABLES if fact_table(table).names_a_charge]
#: Rows on which nothing else in ``one_of_each`` rests.
PARENTS = ("kiln", "instrument", "charge", "lot", "board", "section")
CHILDLESS = [table for table in OPEN_TABLES if table not in PARENTS]
#: What a logger wrote over two days, with all its decimals and a hole.
DAYS = (
    LoggerDay(date(2026, 3, 2), "[[1772433000,48.50,61.0],[1772433600,48.62,null],[1772434200,48.70,60.5]]"),
    LoggerDay(date(2026, 3, 3), "[[1772496000,49.10,58.25]]"),
)
MONDAY = Moment(datetime(2026, 3, 2, 6, 30, tzinfo=UTC), ZONE)


def grams(text: str) -> Weight:
    return weight_from_text(text, WeightUnit.G)


def first(fact: Any, at: Moment = MONDAY, uid: str | None = None) -> Entry[Any]:
    uid = uid or uuid4().hex
    entered = at.utc + timedelta(seconds=20, microseconds=250)
    return Entry(Version(uid, uid, None, VersionKind.FIRST, None, at, entered, "Hanna"), fact)


def successor(
    entry: Entry[Any],
    kind: VersionKind = VersionKind.CORRECTION,
    reason: str | None = "misread",
    fact: Any = None,
    at: Moment | None = None,
) -> Entry[Any]:
    version = Version(
        uuid4().hex,
        entry.entity,
        entry.version.uid,
        kind,
        reason,
        at or entry.at,
        entry.version.entered_utc,
        "Hanna",
    )
    return Entry(version, entry.fact if fact is None else fact)


def void(entry: Entry[Any], reason: str = "typed twice") -> Entry[Any]:
    return successor(entry, VersionKind.VOID, reason)


def logged(
    charge: str,
    days: Sequence[LoggerDay] = DAYS,
    sensor: str = "entering",
    placed_in: ProbePlace | None = None,
) -> Entry[LoggerBatch]:
    """A batch of these readings as the store will hold it."""
    digest, instants = BatchDigest(), []
    for each in days:
        digest.add(each.day.isoformat(), day_hash(each.text))
        instants += [Moment(datetime.fromtimestamp(at_s, UTC), ZONE) for at_s, *_ in json.loads(each.text)]
    return first(
        LoggerBatch(
            charge,
            sensor,
            "kiln 2026-03.csv",
            hashlib.sha256(b"the file").hexdigest(),
            LoggerClock.STANDARD,
            TemperatureUnit.CELSIUS,
            SecondReading.RH,
            len(instants),
            instants[0],
            instants[-1],
            digest.hex,
            placed_in,
        ),
        instants[0],
    )


def one_of_each() -> dict[str, Entry[Any]]:
    """A row for every table, in writing order; the closing is last."""
    kiln = first(Kiln("South kiln"))
    charge = first(Charge("2026-4", ZONE, kiln.entity, MONDAY, 8.0))
    at = charge.entity
    lot = first(Lot(at, "A"))
    board = first(Board(at, "1", grams("1842.50"), lot.entity))
    section = first(Section(at, board.entity, "1a", grams("54.32")))
    meter = first(Instrument("Pin meter", InstrumentKind.METER, 0.5, "%", MONDAY))
    rows = [
        first(Setting("constant_weight_rule", "own: 0.05 % in 4 h")),
        kiln,
        meter,
        first(ScheduleStep("Slow ash", 1, from_mc_pct=60.0)),
        charge,
        first(Stay(at, kiln.entity)),
        lot,
        board,
        section,
        first(OvenWeighing(at, board.entity, section.entity, grams("38.11"))),
        first(Weighing(at, board.entity, grams("1790.5"))),
        first(Recut(at, board.entity, grams("1500"), grams("61.20"), grams("1430"))),
        first(Breakage(at, board.entity, grams("1425"), grams("1390.5"), "fork lift")),
        first(Withdrawal(at, board.entity, "end check")),
        first(Event(at, EventKind.VENT, value=2.0, unit="notches")),
        first(StepTaken(at, 1)),
        first(Decision(at, "gain", "1", "scale was wet")),
        first(AirReading(at, "entering", 48.5, 41.0, temperature_unit=TemperatureUnit.CELSIUS)),
        first(SetPoint(at, dry_bulb=49.0, depression=8.0, temperature_unit=TemperatureUnit.CELSIUS)),
        first(MeterCheck(at, board.entity, 21.5, meter.entity)),
        logged(at),
        first(FinalReading(at, lot.entity, ReadingKind.PIN_METER, "1", "7", meter.entity, reading_pct=7.5)),
        first(StressTest(at, lot.entity, StressTestKind.PRONG, "7", StressFound.FREE)),
        first(Defect(at, lot.entity, DefectKind.CUP, Severity.SLIGHT, 3)),
        first(TallyLine(at, lot.entity, TallyTime.NET, volume=1204.5, volume_unit=VolumeUnit.BOARD_FEET)),
        first(ProbeReading(at, "probe 1", ProbePlace.CORE, 56.5, TemperatureUnit.CELSIUS)),
        first(HeatChoice(at, 56.0, TemperatureUnit.CELSIUS, 30.0, "the buyer's order")),
        first(StepAnswer(at, CloseOutStep.STRESS, AnswerKind.LEFT_OUT, lot.entity, "no saw at hand")),
        first(LaterNote(at, "the buyer measured 7.4 %", lot.entity)),
        first(Closing(at, "dry")),
    ]
    return {TABLE_OF[type(row.fact)]: row for row in rows}


def write(book: LogbookFile, *entries: Entry[Any]) -> list[Entry[Any]]:
    with book.immediate():
        return [
            book.insert_logger_batch(entry, DAYS)
            if isinstance(entry.fact, LoggerBatch) and entry.version.kind is VersionKind.FIRST
            else book.insert(entry)
            for entry in entries
        ]


def filled(path: Path, *, closed: bool = False) -> dict[str, Entry[Any]]:
    """Make a logbook with one row of each kind; the charge stays open unless asked."""
    rows = one_of_each()
    if not closed:
        del rows["closing"]
    with LogbookFile.create(path) as book:
        return {TABLE_OF[type(row.fact)]: row for row in write(book, *rows.values())}


@contextmanager
def plain(path: Path) -> Iterator[sqlite3.Connection]:
    """The file as any program sees it, with none of our settings."""
    connection = sqlite3.connect(path, isolation_level=None)
    connection.execute("PRAGMA synchronous = OFF")  # the rules do not wait for the disk
    try:
        yield connection
    finally:
        connection.close()


@contextmanager
def unruled(path: Path) -> Iterator[sqlite3.Connection]:
    """The file with its triggers gone, for tampering; they are put back so that only the rows differ."""
    with plain(path) as connection:
        rules = connection.execute("SELECT name, sql FROM sqlite_schema WHERE type = 'trigger'").fetchall()
        for name, _ in rules:
            connection.execute(f"DROP TRIGGER {name}")
        yield connection
        for _, sql in rules:
            connection.execute(sql)


def raw_insert(
    connection: sqlite3.Connection, entry: Entry[Any], how: str = "INSERT", **altered: object
) -> None:
    """Write a row past the one door, by plain SQL; ``altered`` overrides columns."""
    table = TABLE_OF[type(entry.fact)]
    row = {**fact_table(table).row_of(entry), **altered}
    connection.execute(
        f"{how} INTO {table} ({', '.join(map(quoted, row))}) VALUES ({', '.join('?' * len(row))})",
        tuple(row.values()),
    )


def every_row(path: Path) -> dict[str, list[tuple[Any, ...]]]:
    """All that the file holds."""
    with plain(path) as connection:
        return {
            table: connection.execute(f"SELECT * FROM {table}").fetchall()
            for table in ("logbook", "ledger", *TABLES, "logger_day")
        }


def second_charge(other: sqlite3.Connection) -> dict[str, str]:
    """A second charge with a lot, a board and a section of its own."""
    charge = first(Charge("2026-5", ZONE))
    lot = first(Lot(charge.entity, "A"))
    board = first(Board(charge.entity, "1", grams("1700"), lot.entity))
    section = first(Section(charge.entity, board.entity, "1a", grams("50")))
    for entry in (charge, lot, board, section):
        raw_insert(other, entry)
    return {"charge": charge.entity, "lot": lot.entity, "board": board.entity, "section": section.entity}


def refused(why: str) -> pytest.RaisesExc[sqlite3.IntegrityError]:
    """A rule of the file refuses, and says so."""
    return pytest.raises(sqlite3.IntegrityError, match=f"^kilnlog:{why}$")


def renamed(fact: Any) -> Any:
    """The same fact under another name, where it has one."""
    match fact:
        case ScheduleStep():
            return replace(fact, step=fact.step + 1)
        case Setting(name) | Kiln(name) | Charge(name):
            return replace(fact, **{type(fact).__name__.lower(): name + "'"})
        case Lot() | Board() | Section():
            column = type(fact).__name__.lower()
            return replace(fact, **{column: getattr(fact, column) + "'"})
    return replace(fact, instrument=fact.instrument + "'") if hasattr(fact, "instrument") else fact

"""What the file refuses, the operator hears as an error with a code and its values, and nothing is kept."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from kilnlog.records.charge import Charge
from kilnlog.records.closing import Closing
from kilnlog.records.errors import MissingValue, OutOfRange, UnknownWord
from kilnlog.records.instrument import Instrument
from kilnlog.records.kiln import Kiln
from kilnlog.records.lot import Lot
from kilnlog.records.schedule_step import ScheduleStep
from kilnlog.records.version import VersionKind
from kilnlog.records.weight import Weight, WeightUnit
from kilnlog.records.words import InstrumentKind
from kilnlog.store.errors import (
    AlreadySuperseded,
    ChargeClosed,
    HasCurrentChildren,
    NameTaken,
    ReadOnlyLogbook,
    RefusedByRecord,
)
from kilnlog.store.logbook_file import LogbookFile
from tests.store.mill import ZONE, first, grams, one_of_each, successor, void, write


@pytest.fixture
def rows(book):
    rows = one_of_each()
    del rows["closing"]
    write(book, *rows.values())
    return rows


def refusal_of(book: LogbookFile, *entries):
    """The error that writing raises; what is in the file must not change by it."""
    before = (book.everything(), book.ledger_head())
    with pytest.raises(Exception) as refused:  # noqa: PT011 - each test looks at its type and values
        write(book, *entries)
    assert (book.everything(), book.ledger_head()) == before
    return refused.value


def test_a_closed_charge_is_named_by_its_number(book, rows):
    write(book, first(Closing(rows["charge"].entity)))
    for late in (first(rows["weighing"].fact), successor(rows["charge"]), void(rows["board"])):
        error = refusal_of(book, late)
        assert isinstance(error, ChargeClosed)
        assert error.values == {"charge": "2026-4"}


def test_a_taken_name_is_told(book, rows):
    for table, name in (
        ("setting", "constant_weight_rule"),
        ("kiln", "South kiln"),
        ("instrument", "Pin meter"),
        ("schedule_step", "Slow ash step 1"),
        ("charge", "2026-4"),
        ("lot", "A"),
        ("board", "1"),
        ("section", "1a"),
    ):
        error = refusal_of(book, first(rows[table].fact))
        assert isinstance(error, NameTaken)
        assert error.values == {"table": table, "name": name}


def test_a_parent_with_children_is_named_with_them(book, rows):
    error = refusal_of(book, void(rows["section"]))
    assert isinstance(error, HasCurrentChildren)
    assert error.values == {"table": "section", "name": "1a", "children": "oven_weighing"}


def test_a_second_successor_is_told(book, rows):
    write(book, successor(rows["weighing"]))
    error = refusal_of(book, successor(rows["weighing"]))
    assert isinstance(error, AlreadySuperseded)
    assert error.values == {"table": "weighing"}


@pytest.mark.parametrize(
    ("make", "why"),
    [
        (lambda rows: rows["weighing"], "uid-taken"),
        (lambda rows: successor(rows["weighing"], reason=None), "no-reason"),
        (lambda rows: first(replace(rows["weighing"].fact, board="nobody")), "no-such-board"),
        (lambda rows: replace(rows["event"], fact=rows["weighing"].fact), "uid-taken"),
    ],
)
def test_a_rule_the_program_should_have_kept_is_told_by_its_name(book, rows, make, why):
    error = refusal_of(book, make(rows))
    assert isinstance(error, RefusedByRecord)
    assert error.values == {"table": "weighing", "why": why}


NOTHING = Weight("0", WeightUnit.G, Decimal(0), Decimal(1))
OUT_OF_RANGE = [
    (Kiln("K", capacity=0.0), "capacity", 0, 1e9),
    (Kiln("K", altitude_m=-501.0), "altitude_m", -500, 9000),
    (Kiln("K", exhaust_m3_per_h=-1.0), "exhaust_m3_per_h", 0, 1e9),
    (Instrument("I", InstrumentKind.SCALE, division=0.0), "division", 0, 1e9),
    (ScheduleStep("S", 0), "step", 1, 1000),
    (ScheduleStep("S", 1, from_mc_pct=-0.1), "from_mc_pct", 0, 1000),
    (ScheduleStep("S", 1, to_mc_pct=1001.0), "to_mc_pct", 0, 1000),
    (ScheduleStep("S", 1, from_hours=-1.0), "from_hours", 0, 1e6),
    (ScheduleStep("S", 1, dry_bulb=601.0), "dry_bulb", -100, 600),
    (ScheduleStep("S", 1, wet_bulb=-101.0), "wet_bulb", -100, 600),
    (ScheduleStep("S", 1, depression=-1.0), "depression", 0, 600),
    (ScheduleStep("S", 1, rh_pct=100.1), "rh_pct", 0, 100),
    (ScheduleStep("S", 1, emc_pct=-1.0), "emc_pct", 0, 100),
    (Charge("C", ZONE, target_mc_pct=-1.0), "target_mc_pct", 0, 1000),
]
IN_CHARGE = [
    ("lot", {"volume": 0.0}, "volume", 0, 1e9),
    ("lot", {"mc_low_pct": -1.0}, "mc_low_pct", 0, 1000),
    ("lot", {"mc_high_pct": 1001.0}, "mc_high_pct", 0, 1000),
    ("lot", {"target_mc_pct": 1001.0}, "target_mc_pct", 0, 1000),
    ("lot", {"safe_rate_pct_per_day": 0.0}, "safe_rate_pct_per_day", 0, 1000),
    ("lot", {"basic_specific_gravity": 2.1}, "basic_specific_gravity", 0, 2),
    ("board", {"minutes_to_weighing": -1.0}, "minutes_to_weighing", 0, 1e6),
    ("board", {"start_weight": NOTHING}, "start_weight", 0, 1e6),
    ("section", {"oven_temperature": 1001.0}, "oven_temperature", -100, 1000),
    ("event", {"value": 1.1e9}, "value", -1e9, 1e9),
    ("step_taken", {"step": 0}, "step", 1, 1000),
    ("final_reading", {"reading_pct": -0.1}, "reading_pct", 0, 1000),
    ("final_reading", {"reading_pct": 1000.1}, "reading_pct", 0, 1000),
    ("final_reading", {"species_correction_pct": -1000.1}, "species_correction_pct", -1000, 1000),
    ("stress_test", {"limit": -0.1}, "limit", 0, 1e6),
    ("stress_test", {"core_value": 1000.1}, "core_value", 0, 1000),
    ("stress_test", {"hours_waited": -0.1}, "hours_waited", 0, 1e6),
    ("defect", {"pieces": -1}, "pieces", 0, 1e9),
    ("tally_line", {"pieces": 0}, "pieces", 1, 1e9),
    ("tally_line", {"volume": 0.0}, "volume", 0, 1e9),
    ("probe_reading", {"temperature": 600.1}, "temperature", -100, 600),
    ("heat_choice", {"at_least": -100.1}, "at_least", -100, 600),
    ("heat_choice", {"for_minutes": 0.0}, "for_minutes", 0, 1e6),
]


@pytest.mark.parametrize(("fact", "column", "low", "high"), OUT_OF_RANGE)
def test_what_cannot_be_is_refused_with_its_bounds(book, fact, column, low, high):
    error = refusal_of(book, first(fact))
    assert isinstance(error, OutOfRange)
    assert error.values == {"column": column, "value": getattr(fact, column), "low": low, "high": high}


@pytest.mark.parametrize(("table", "altered", "column", "low", "high"), IN_CHARGE)
def test_what_cannot_be_in_a_charge_is_refused_with_its_bounds(book, rows, table, altered, column, low, high):
    error = refusal_of(book, successor(rows[table], fact=replace(rows[table].fact, **altered)))
    assert isinstance(error, OutOfRange)
    value = "0" if altered[column] is NOTHING else altered[column]
    assert error.values == {"column": column, "value": value, "low": low, "high": high}


@pytest.mark.parametrize(
    ("fact", "column"),
    [
        (Kiln(" "), "kiln"),
        (Charge("", ZONE), "charge"),
        (Charge("C", ""), "zone"),
        (ScheduleStep("", 1), "schedule"),
    ],
)
def test_an_empty_name_is_missing(book, fact, column):
    error = refusal_of(book, first(fact))
    assert isinstance(error, MissingValue)
    assert error.values == {"column": column}


def test_an_absent_value_is_missing(book):
    error = refusal_of(book, first(replace(Kiln("K"), kiln=None)))
    assert isinstance(error, MissingValue)
    assert error.values == {"column": "kiln"}


def test_a_word_of_no_list_is_unknown(book):
    error = refusal_of(book, first(replace(Instrument("I", InstrumentKind.SCALE), kind="sundial")))
    assert isinstance(error, UnknownWord)
    assert error.values == {
        "column": "kind",
        "value": "sundial",
        "known": ("scale", "oven", "meter", "hygrometer"),
    }


def test_a_section_heavier_dry_than_wet_is_refused_by_the_file_too(book, rows):
    fact = replace(rows["section"].fact, oven_dry_weight=grams("54.33"), rejected_because="scorched")
    object.__setattr__(fact, "rejected_because", None)  # past the fact's own check
    error = refusal_of(book, successor(rows["section"], fact=fact))
    assert isinstance(error, RefusedByRecord)
    assert error.values == {"table": "section", "why": "oven_dry_weight: not above wet_weight"}


def test_a_refused_row_takes_the_whole_transaction_with_it(book):
    charge = first(Charge("1", ZONE))
    lots = [first(Lot(charge.entity, "A")), first(Lot(charge.entity, "A"))]
    assert isinstance(refusal_of(book, charge, *lots), NameTaken)


def test_a_refusal_that_is_swallowed_keeps_nothing(book):
    charge = first(Charge("1", ZONE))

    def swallow() -> None:
        with book.immediate():
            book.insert(charge)
            with pytest.raises(NameTaken):
                book.insert(first(charge.fact))

    with pytest.raises(RuntimeError, match="given up"):
        swallow()
    assert book.charges() == ()
    write(book, charge)  # and the file goes on


def test_an_error_of_the_caller_keeps_nothing(book):
    def stumble() -> None:
        with book.immediate():
            book.insert(first(Charge("1", ZONE)))
            raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        stumble()
    assert book.charges() == ()
    assert book.ledger_head().number == 0


def test_rows_enter_inside_a_transaction_only(book):
    with pytest.raises(RuntimeError, match="outside"):
        book.insert(first(Kiln("K")))
    with book.immediate(), pytest.raises(RuntimeError, match="already open"), book.immediate():
        pass


def test_a_logbook_opened_for_reading_says_so_when_written_to(path, book):
    with LogbookFile.open(path, read_only=True) as reading:
        assert reading.read_only
        with pytest.raises(ReadOnlyLogbook) as refused, reading.immediate():
            pass
        assert refused.value.values == {"path": str(path), "why": "asked"}
        with pytest.raises(Exception, match="readonly"):
            reading._connection.execute("INSERT INTO kiln (kiln) VALUES ('x')")


def test_versions_come_back_as_one_history(book, rows):
    changed = successor(
        rows["charge"], VersionKind.CHANGE, fact=replace(rows["charge"].fact, target_mc_pct=7.0)
    )
    write(book, changed)
    (history,) = book.charges()
    assert history == book.history("charge", rows["charge"].entity)
    assert history.entries == (rows["charge"], changed)
    with pytest.raises(KeyError):
        book.history("charge", "nobody")
    with pytest.raises(KeyError):
        book.entries("no_such_table")


def test_a_charge_record_holds_its_own_rows_and_all_particulars(book, rows):
    other = one_of_each()
    renamed = {
        "setting": "s",
        "kiln": "North kiln",
        "instrument": "i",
        "charge": "2026-5",
    }
    entries = []
    for table, entry in other.items():
        fact = replace(entry.fact, **{table: renamed[table]}) if table in renamed else entry.fact
        entries.append(replace(entry, fact=replace(fact, step=2) if table == "schedule_step" else fact))
    write(book, *entries)
    record = book.charge_record(rows["charge"].entity)
    assert not record.is_closed
    assert book.charge_record(other["charge"].entity).is_closed
    for table, entry in rows.items():
        lines = getattr(record, table)
        shared = table in ("setting", "kiln", "instrument", "schedule_step")
        assert len(lines) == (2 if shared else 1)
        assert lines[0].entries == (entry,)
    assert [entry.entity for entry in book.entries("board", charge=other["charge"].entity)] == [
        other["board"].entity
    ]
    with pytest.raises(KeyError):
        book.charge_record("nobody")

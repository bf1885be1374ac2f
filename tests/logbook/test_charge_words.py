"""What the strip, the particulars page and the history say of a charge."""

from dataclasses import replace

from kilnlog.drying.assessment import assess
from kilnlog.drying.figures import ChargeState
from kilnlog.logbook.charge_words import charge_words, due_next, phases
from kilnlog.logbook.closing import close_charge
from kilnlog.logbook.register import register
from kilnlog.logbook.register_summary import register_summary
from kilnlog.logbook.version_words import version_words
from kilnlog.logbook.writing import change, correct
from kilnlog.records.event import Event
from kilnlog.records.words import EventKind, EventState, VolumeUnit
from kilnlog.reference.tables import load
from tests.builders import moment
from tests.logbook.conftest import ZONE
from tests.logbook.filling import fill_charge, keep


def read(book, charge):
    record = book.file.charge_record(charge)
    return record, assess(record, load(), book.now())


def test_a_running_charge_tells_its_day_and_what_it_is(book, clock):
    there = fill_charge(book)
    clock.forward(days=10)
    record, assessment = read(book, there.charge)
    words = charge_words(record, assessment, book.now())
    assert (words.number, words.kiln, words.what) == ("2026-14", "kiln of 2026-14", "4/4 red oak, 500 bf")
    assert (words.day_of, words.day, words.rule) == ("Drying", "day 10", "wettest half")
    assert words.control == "80.0 %"
    assert words.step == ""


def test_a_planned_charge_is_told_as_such(book):
    there = fill_charge(book, loaded_at=None)
    record, assessment = read(book, there.charge)
    words = charge_words(record, assessment, book.now())
    assert (words.day_of, words.day) == ("Planned", "not loaded yet")
    assert [(stop.name, stop.passed, stop.now) for stop in phases(record, assessment, book.now())] == [
        ("planned", False, True),
        ("drying", False, False),
        ("unloaded", False, False),
        ("closed", False, False),
    ]
    assert "Load the kiln, and say when" in [row.text for row in due_next(record, assessment, (), book.now())]


def test_a_charge_taken_back_is_told_as_such(book):
    there = fill_charge(book)
    record, assessment = read(book, there.charge)
    words = charge_words(record, replace(assessment, state=ChargeState.TAKEN_BACK), book.now())
    assert (words.day_of, words.day) == ("State", "taken back")


def test_the_phases_follow_the_record(book, clock):
    there = fill_charge(book)
    clock.forward(days=10)
    keep(book, Event(there.charge, EventKind.EQUALIZING, EventState.START), "2026-11-10 09:00")
    record, assessment = read(book, there.charge)
    assert [(stop.name, stop.under, stop.now) for stop in phases(record, assessment, book.now())] == [
        ("loaded", "3 Nov", False),
        ("drying", "day 10", False),
        ("equalize", "10 Nov", True),
        ("unloaded", "", False),
        ("closed", "", False),
    ]
    close_charge(book, there.charge, book.now(), "done", load())
    record, assessment = read(book, there.charge)
    assert [stop.passed for stop in phases(record, assessment, book.now())] == [True, True, True, False, True]
    words = charge_words(record, assessment, book.now())
    assert (words.day_of, words.day) == ("Closed", "12 Nov, after 10 days")
    assert words.rule == "when closed"  # nobody wrote that it was unloaded
    assert due_next(record, assessment, assessment.findings, book.now()) == ()


def test_boards_are_asked_for_until_they_are_weighed(book, clock):
    there = fill_charge(book)
    clock.forward(days=10)
    record, assessment = read(book, there.charge)
    assert [(row.text, row.when) for row in due_next(record, assessment, (), book.now())] == [
        ("Weigh both boards", "today")
    ]


def test_boards_that_left_with_their_lot_are_not_counted(book, clock):
    there = fill_charge(book)
    clock.forward(days=10)
    lot = book.file.charge_record(there.charge).lot[0]
    third = replace(book.file.charge_record(there.charge).board[0].newest.fact, board="3", lot=None)
    keep(book, third, "2026-11-03 07:00")
    out = replace(lot.newest.fact, out_at=moment("2026-11-10 12:00", ZONE))
    change(book, "lot", lot.entity, out, moment("2026-11-10 12:00", ZONE))
    record, assessment = read(book, there.charge)
    assert [(row.text, row.when) for row in due_next(record, assessment, (), book.now())] == [
        ("Weigh the one board", "today")
    ]


def test_every_version_says_who_when_why_and_what(book, clock):
    there = fill_charge(book)
    fact = book.file.charge_record(there.charge).particulars
    clock.forward(days=5)
    correct(book, "charge", there.charge, replace(fact, target_mc_pct=8.0), "order says 8")
    change(book, "charge", there.charge, replace(fact, target_mc_pct=9.0), moment("2026-11-06 10:00", ZONE))
    record = book.file.charge_record(there.charge)
    first, second, third = version_words(record.charge[0], {there.kiln: "North shed"})
    assert "kiln: North shed" in first.changes
    assert "target MC, %: 7" in first.changes
    assert first.superseded
    assert (second.changes, second.reason, second.who) == (("target MC, %: 7 → 8",), "order says 8", "Wren")
    assert second.kind == "corrected, counts from the start"
    assert third.changes == ("target MC, %: 8 → 9", "time: 2026-11-03 07:30 → 2026-11-06 10:00")
    assert not third.superseded


def test_the_summary_counts_what_is_shown(book, clock):
    fill_charge(book)
    fill_charge(book, "2026-15", loaded_at=moment("2026-11-05 08:00", ZONE))
    clock.forward(days=10)
    lines = register(book, load(), book.now())
    assert register_summary(lines, book.now()) == "2 charges, 1,000 bf since 3 Nov"
    assert register_summary(lines[:1], book.now()) == "1 charge, 500 bf since 5 Nov"
    mixed = (lines[0], replace(lines[1], volume=2.0, volume_unit=VolumeUnit.CUBIC_METRES))
    assert register_summary(mixed, book.now()) == "2 charges, 500 bf and 2.00 m³ since 3 Nov"
    assert register_summary((), book.now()) == "0 charges"
    gone = (lines[0], replace(lines[1], state=ChargeState.TAKEN_BACK))
    assert register_summary(gone, book.now()) == "1 charge, 500 bf since 5 Nov"


def test_a_year_that_is_not_this_one_stands_once_along_the_phases(book, clock):
    there = fill_charge(book)
    keep(book, Event(there.charge, EventKind.EQUALIZING, EventState.START), "2026-11-10 09:00")
    clock.forward(days=10)
    close_charge(book, there.charge, book.now(), "done", load())
    clock.forward(days=400)
    record, assessment = read(book, there.charge)
    told = [stop.under for stop in phases(record, assessment, book.now())]
    assert told == ["3 Nov 2026", "10 days", "10 Nov", "", "12 Nov"]

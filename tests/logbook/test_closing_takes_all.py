"""Whatever was kept is under the seal that follows, seconds later too; nothing is closed before any of it."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import timedelta

import pytest

from kilnlog.logbook.closing import add_later_note, close_charge, close_lot, reopen
from kilnlog.logbook.errors import ClosingBeforeLast
from kilnlog.logbook.wording import worded
from kilnlog.logbook.writing import change, write
from kilnlog.records.decision import Decision
from kilnlog.records.heat_choice import HeatChoice
from kilnlog.records.lot import Lot
from kilnlog.records.moment import Moment
from kilnlog.records.step_answer import StepAnswer
from kilnlog.records.words import AnswerKind, CloseOutStep, TemperatureUnit
from kilnlog.reference.tables import load
from tests.seal.finished import CLOSED, ZONE, finish

#: The clock at the desk: 16:30:17 on the day everything of the charge is done.
SECONDS_LATER = CLOSED.plus_hours(17 / 3600)


@pytest.fixture
def done(book, clock):
    clock.utc = SECONDS_LATER.utc
    return finish(book)


def particulars(book, done):
    return book.file.charge_record(done.charge).particulars


def sealed(entry):
    return json.loads(entry.fact.sealed_text)


def lot_of(book, done, label="A"):
    record = book.file.charge_record(done.charge)
    return next(line for line in record.lot if line.entity == done.lots[label]).newest.fact


def note(book, done, text):
    fact = replace(particulars(book, done), notes=text)
    change(book, "charge", done.charge, fact, book.now(ZONE))


def test_the_minute_typed_is_that_of_the_clock_a_note_of_seconds_ago_is_sealed(book, done, clock):
    note(book, done, "stacked under the east roof")
    clock.utc += timedelta(seconds=3)
    [entry] = close_charge(book, done.charge, CLOSED, None, load()).entries
    assert sealed(entry)["charge"]["notes"] == "stacked under the east roof"
    assert entry.at == Moment(clock.utc, ZONE)  # to the second


def test_sealed_a_minute_after_it_was_proposed_it_takes_what_that_minute_brought(book, done, clock):
    note(book, done, "stacked under the east roof")
    clock.utc += timedelta(minutes=2)
    [entry] = close_charge(book, done.charge, CLOSED, None, load()).entries
    assert sealed(entry)["charge"]["notes"] == "stacked under the east roof"
    assert entry.at == SECONDS_LATER


def test_reopened_noted_and_closed_within_one_minute_the_new_note_is_sealed(book, done, clock):
    note(book, done, "first")
    close_charge(book, done.charge, CLOSED, None, load())
    clock.utc += timedelta(seconds=8)
    reopen(book, done.charge, None, "the note was wrong")
    clock.utc += timedelta(seconds=8)
    note(book, done, "second")
    clock.utc += timedelta(seconds=8)
    [entry] = close_charge(book, done.charge, CLOSED, None, load()).entries
    assert sealed(entry)["charge"]["notes"] == "second"
    assert entry.at == Moment(clock.utc, ZONE)


def _later_change(book, done, at):
    fact = replace(particulars(book, done), notes="later")
    change(book, "charge", done.charge, fact, at)


def _later_limits(book, done, at):
    change(book, "lot", done.lots["A"], replace(lot_of(book, done), mc_high_pct=9.0), at)


def _later_lot(book, done, at):
    write(book, Lot(done.charge, "C"), at)


def _later_answer(book, done, at):
    write(book, StepAnswer(done.charge, CloseOutStep.DEFECTS, AnswerKind.NONE_FOUND, done.lots["A"]), at)


def _later_decision(book, done, at):
    write(book, Decision(done.charge, "some-finding", "A", "seen"), at)


def _later_choice(book, done, at):
    write(book, HeatChoice(done.charge, 56.0, TemperatureUnit.CELSIUS, 30.0), at)


def _later_reopening(book, done, at):
    close_charge(book, done.charge, CLOSED, None, load())
    reopen(book, done.charge, None, "misread", at)


def _later_note_then_reopened(book, done, at):
    close_charge(book, done.charge, CLOSED, None, load())
    add_later_note(book, done.charge, "sold", at=at)
    reopen(book, done.charge, None, "misread", CLOSED.plus_hours(0.1))


@pytest.mark.parametrize(
    "keep",
    [
        _later_change,
        _later_limits,
        _later_lot,
        _later_answer,
        _later_decision,
        _later_choice,
        _later_reopening,
        _later_note_then_reopened,
    ],
)
def test_nothing_is_closed_before_anything_kept(book, done, keep):
    late = CLOSED.plus_hours(2)
    keep(book, done, late)
    early = CLOSED.plus_hours(1)
    with pytest.raises(ClosingBeforeLast) as refused:
        close_charge(book, done.charge, early, None, load())
    assert refused.value.values["last"] == late
    assert "Close it at a later time" in worded(refused.value).text
    close_charge(book, done.charge, late, None, load())


@pytest.mark.parametrize(
    "keep", [_later_change, _later_limits, _later_answer, _later_choice, _later_decision]
)
def test_nor_is_a_lot_before_what_its_papers_show(book, done, keep):
    late = CLOSED.plus_hours(2)
    keep(book, done, late)
    with pytest.raises(ClosingBeforeLast):
        close_lot(book, done.charge, done.lots["A"], CLOSED.plus_hours(1), None, load())
    close_lot(book, done.charge, done.lots["A"], late, None, load())


def test_what_is_said_of_another_lot_does_not_hold_a_lot_back(book, done):
    change(
        book,
        "lot",
        done.lots["B"],
        replace(lot_of(book, done, "B"), mc_high_pct=9.0),
        CLOSED.plus_hours(2),
    )
    write(
        book,
        StepAnswer(done.charge, CloseOutStep.DEFECTS, AnswerKind.NONE_FOUND, done.lots["B"]),
        CLOSED.plus_hours(2),
    )
    close_lot(book, done.charge, done.lots["A"], CLOSED.plus_hours(1), None, load())

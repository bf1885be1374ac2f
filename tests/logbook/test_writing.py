"""Each verb is one transaction, and what it wrote is what the file holds."""

from __future__ import annotations

from dataclasses import replace

import pytest

from kilnlog.logbook.errors import NothingToTakeBack, ReasonMissing
from kilnlog.logbook.session import new_uid
from kilnlog.logbook.writing import change, correct, take_back, take_back_last, write, write_all
from kilnlog.records.charge import Charge
from kilnlog.records.errors import KilnlogError
from kilnlog.records.event import Event
from kilnlog.records.kiln import Kiln
from kilnlog.records.lot import Lot
from kilnlog.records.setting import Setting
from kilnlog.records.version import VersionKind
from kilnlog.records.words import EventKind
from tests.builders import moment
from tests.logbook.conftest import ZONE
from tests.logbook.filling import fill_charge, keep


def test_a_new_fact_is_kept_with_who_and_when(book, clock):
    clock.forward(hours=1)
    changes = write(book, Kiln("North shed"))
    [entry] = changes.entries
    assert book.file.entries("kiln") == [entry]
    assert entry.version.entered_by == "Wren"
    assert entry.version.entered_utc == clock.utc == entry.at.utc
    assert changes.charges == frozenset()


def test_facts_of_a_charge_are_told_in_its_zone(book):
    charge = keep(book, Charge("1", "Europe/Warsaw"))
    changes = write(book, Event(charge, EventKind.NOTE, note="fan belt squeals"))
    assert changes.entries[0].at.zone == "Europe/Warsaw"
    assert changes.charges == {charge}


def test_facts_written_together_may_refer_to_one_another(book):
    uid = new_uid()
    changes = write_all(book, [(Charge("1", ZONE), None, uid), (Lot(uid, "A"), None)])
    assert [entry.fact for entry in changes.entries] == [
        Charge("1", ZONE),
        Lot(uid, "A"),
    ]
    assert len(book.file.charge_record(uid).lot) == 1


def test_one_refused_fact_keeps_none_of_them(book):
    keep(book, Kiln("North shed"))
    with pytest.raises(KilnlogError) as refused:
        write_all(book, [(Kiln("Long shed"), None), (Kiln("North shed"), None)])
    assert refused.value.code == "name-taken"
    assert [entry.fact.kiln for entry in book.file.entries("kiln")] == ["North shed"]


def test_a_correction_counts_from_the_start_and_keeps_the_moment(book):
    kiln = keep(book, Kiln("Nort shed"), "2026-01-02 10:00")
    [entry] = correct(book, "kiln", kiln, Kiln("North shed"), "misspelt").entries
    line = book.file.history("kiln", kiln)
    assert line.newest == entry
    assert entry.version.kind is VersionKind.CORRECTION
    assert entry.version.reason == "misspelt"
    assert entry.at == moment("2026-01-02 10:00", ZONE)
    assert line.at(moment("2026-01-02 10:00", ZONE)).fact.kiln == "North shed"


def test_a_change_leaves_what_was_true_before_it(book):
    charge = fill_charge(book).charge
    fact = book.file.history("charge", charge).current.fact
    later = moment("2026-11-10 08:00", ZONE)
    change(book, "charge", charge, replace(fact, target_mc_pct=8.0), later)
    line = book.file.history("charge", charge)
    assert line.at(later.plus_hours(-1), particulars=True).fact.target_mc_pct == 7.0
    assert line.at(later).fact.target_mc_pct == 8.0


@pytest.mark.parametrize("reason", ["", "  "])
def test_what_overrules_needs_a_reason(book, reason):
    kiln = keep(book, Kiln("North shed"))
    with pytest.raises(ReasonMissing):
        correct(book, "kiln", kiln, Kiln("South shed"), reason)
    with pytest.raises(ReasonMissing):
        take_back(book, "kiln", kiln, reason)
    assert len(book.file.entries("kiln")) == 1


def test_a_fact_taken_back_is_still_there_to_be_read(book):
    kiln = keep(book, Kiln("North shed"))
    take_back(book, "kiln", kiln, "typed twice")
    line = book.file.history("kiln", kiln)
    assert line.is_void
    assert line.newest.fact == Kiln("North shed")


def test_undo_of_a_new_fact_takes_it_back(book):
    changes = write(book, Kiln("North shed"))
    undone = take_back_last(book, changes)
    assert [entry.version.kind for entry in undone.entries] == [VersionKind.VOID]
    assert book.file.history("kiln", changes.entries[0].entity).is_void


def test_undo_of_several_facts_goes_from_the_last_to_the_first(book):
    uid = new_uid()
    changes = write_all(book, [(Charge("1", ZONE), None, uid), (Lot(uid, "A"), None)])
    undone = take_back_last(book, changes)
    assert [type(entry.fact) for entry in undone.entries] == [Lot, Charge]
    assert book.file.charges()[0].is_void


@pytest.mark.parametrize("verb", ["correction", "change"])
def test_undo_of_a_successor_brings_back_what_stood_before(book, verb):
    setting = keep(book, Setting("about", "first"), "2026-01-01 08:00")
    later = moment("2026-06-01 08:00", ZONE)
    if verb == "correction":
        changes = correct(book, "setting", setting, Setting("about", "second"), "wrong", at=later)
    else:
        changes = change(book, "setting", setting, Setting("about", "second"), later)
    take_back_last(book, changes)
    line = book.file.history("setting", setting)
    for at in (moment("2026-01-01 08:00", ZONE), later):
        assert line.at(at).fact.value == "first"
    assert len(line.entries) == 3


def test_undo_of_a_taking_back_writes_the_fact_afresh(book):
    kiln = keep(book, Kiln("North shed"), "2026-01-01 08:00")
    undone = take_back_last(book, take_back(book, "kiln", kiln, "typed twice"))
    [entry] = undone.entries
    assert entry.fact == Kiln("North shed")
    assert entry.version.kind is VersionKind.FIRST
    assert entry.entity != kiln
    assert entry.at == moment("2026-01-01 08:00", ZONE)


def test_nothing_is_undone_once_something_else_succeeded_it(book):
    changes = write(book, Kiln("North shed"))
    entity = changes.entries[0].entity
    correct(book, "kiln", entity, Kiln("South shed"), "misnamed")
    with pytest.raises(NothingToTakeBack):
        take_back_last(book, changes)
    assert book.file.history("kiln", entity).current.fact.kiln == "South shed"


def test_changes_extend_the_record_to_what_the_file_holds(book):
    filled = fill_charge(book)
    record = book.file.charge_record(filled.charge)
    fact = record.particulars
    vented = write(book, Event(filled.charge, EventKind.VENT))
    for changes in (
        vented,
        correct(book, "charge", filled.charge, replace(fact, notes="stickers 24 in"), "forgotten"),
        take_back_last(book, vented),
    ):
        record = record.with_entries(changes.entries)
    assert record == book.file.charge_record(filled.charge)


def test_changes_of_another_charge_leave_a_record_alone(book):
    filled = fill_charge(book)
    record = book.file.charge_record(filled.charge)
    other = write(book, Charge("2026-15", ZONE))
    record = record.with_entries(other.entries)
    record = record.with_entries(write(book, Lot(other.entries[0].entity, "A")).entries)
    assert record == book.file.charge_record(filled.charge)

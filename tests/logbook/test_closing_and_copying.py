"""A closing seals the final figures; a copy carries over what was planned."""

from __future__ import annotations

import hashlib
import json
from dataclasses import replace

import pytest

from kilnlog import __version__
from kilnlog.logbook.changes import Changes
from kilnlog.logbook.closing import close_charge, sealed_figures
from kilnlog.logbook.copying import copy_as_new
from kilnlog.logbook.errors import ClosingBeforeLast, NothingToClose
from kilnlog.logbook.weighing_round import keep_weight
from kilnlog.logbook.writing import correct, take_back_last, write
from kilnlog.records.errors import KilnlogError
from kilnlog.records.event import Event
from kilnlog.records.words import EventKind
from kilnlog.reference.tables import load
from tests.builders import moment, weight
from tests.logbook.conftest import ZONE
from tests.logbook.filling import fill_charge

WEIGHED = moment("2026-11-20 07:44", ZONE)
CLOSED = moment("2026-11-21 16:30", ZONE)


def closed_charge(book):
    filled = fill_charge(book)
    for label, grams in (("1", "1072"), ("2", "1068")):
        keep_weight(book, filled.charge, filled.boards[label], weight(grams), WEIGHED)
    before = book.file.ledger_head()
    [entry] = close_charge(book, filled.charge, CLOSED, "sold to the shop", load()).entries
    return filled, before, entry


def test_a_closing_seals_the_figures_the_ledger_and_the_version(book):
    filled, before, entry = closed_charge(book)
    assert book.file.charge_record(filled.charge).is_closed
    assert (entry.fact.ledger_number, entry.fact.ledger_head) == (before.number, before.hash_hex)
    assert entry.fact.program_version == __version__
    assert entry.fact.closing_reason == "sold to the shop"
    boards = {board["board"]: board for board in sealed_figures(entry.fact)["status"]["boards"]}
    # By hand: 1800 g at 80 % is 1000 g oven-dry, so 1072 g is 7.2 % and 1068 g is 6.8 %.
    assert boards["1"]["oven_dry_weight_g"] == pytest.approx(1000, rel=1e-12)
    assert boards["1"]["mc_pct"] == pytest.approx(7.2, abs=1e-9)
    assert boards["2"]["mc_pct"] == pytest.approx(6.8, abs=1e-9)


def test_the_sealed_text_is_canonical(book):
    _, _, entry = closed_charge(book)
    text = entry.fact.sealed_text
    again = json.dumps(json.loads(text), sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    assert hashlib.sha256(text.encode()).digest() == hashlib.sha256(again.encode()).digest()


def test_a_closed_charge_takes_no_further_rows(book):
    filled, _, _ = closed_charge(book)
    before = book.file.ledger_head()
    with pytest.raises(KilnlogError) as refused:
        write(book, Event(filled.charge, EventKind.NOTE), CLOSED)
    assert refused.value.code == "charge-closed"
    with pytest.raises(KilnlogError) as twice:
        close_charge(book, filled.charge, CLOSED, None, load())
    assert twice.value.code == "charge-closed"
    assert book.file.ledger_head() == before


def test_a_closing_is_not_undone(book):
    # Opening a closed charge again, with a reason and a new seal, is another verb than undo.
    filled, _, entry = closed_charge(book)
    with pytest.raises(KilnlogError) as refused:
        take_back_last(book, Changes.of([entry]))
    assert refused.value.code == "charge-closed"
    assert book.file.charge_record(filled.charge).is_closed


def test_a_planned_charge_is_not_closed(book):
    filled = fill_charge(book, loaded_at=None)
    with pytest.raises(NothingToClose):
        close_charge(book, filled.charge, CLOSED, None, load())


def test_a_closing_does_not_stand_before_what_it_closes(book):
    filled = fill_charge(book)
    keep_weight(book, filled.charge, filled.boards["1"], weight("1072"), WEIGHED)
    with pytest.raises(ClosingBeforeLast) as refused:
        close_charge(book, filled.charge, WEIGHED.plus_hours(-1), None, load())
    assert refused.value.values["last"] == WEIGHED
    assert not book.file.charge_record(filled.charge).is_closed


def test_a_closing_does_not_stand_before_the_loading_or_the_unloading(book):
    filled = fill_charge(book)
    fact = book.file.charge_record(filled.charge).particulars
    assert fact.loaded_at is not None
    with pytest.raises(ClosingBeforeLast) as refused:
        close_charge(book, filled.charge, fact.loaded_at.plus_hours(-0.1), None, load())
    assert refused.value.values["last"] == fact.loaded_at
    unloaded = replace(fact, unloaded_at=CLOSED.plus_hours(1))
    correct(book, "charge", filled.charge, unloaded, "unloaded")
    with pytest.raises(ClosingBeforeLast):
        close_charge(book, filled.charge, CLOSED, None, load())
    close_charge(book, filled.charge, CLOSED.plus_hours(1), None, load())


def test_a_copy_carries_the_plan_and_nothing_observed(book, clock):
    filled, _, _ = closed_charge(book)
    clock.forward(days=30)
    changes = copy_as_new(book, filled.charge, "2026-17")
    charge, lot = changes.entries
    assert charge.fact.charge == "2026-17"
    assert (charge.fact.kiln, charge.fact.target_mc_pct) == (filled.kiln, 7.0)
    assert (charge.fact.loaded_at, charge.fact.notes) == (None, None)
    assert (lot.fact.charge, lot.fact.owner, lot.fact.species) == (charge.entity, "Rowan Joinery", "red oak")
    record = book.file.charge_record(charge.entity)
    assert record.board == ()
    assert not record.is_closed

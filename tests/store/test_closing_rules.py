"""Closing, reopening and closing again, of charges and of lots that leave early."""

from __future__ import annotations

import sqlite3
from dataclasses import replace
from typing import Any

import pytest

from kilnlog.records.board import Board
from kilnlog.records.charge_record import closings_in_force
from kilnlog.records.closing import Closing
from kilnlog.records.lot import Lot
from kilnlog.records.version import Entry, VersionKind
from kilnlog.store.errors import ChargeClosed, LotClosed, RefusedByRecord
from kilnlog.store.logbook_file import LogbookFile
from tests.store.mill import (
    IN_A_CHARGE,
    first,
    grams,
    logged,
    one_of_each,
    raw_insert,
    refused,
    second_charge,
    successor,
    void,
    write,
)

CHANGE = VersionKind.CHANGE
#: Rows that name a lot, or a board of it.
OF_THE_LOT = [
    "lot",
    "board",
    "section",
    "oven_weighing",
    "weighing",
    "recut",
    "breakage",
    "withdrawal",
    "meter_check",
    "final_reading",
    "stress_test",
    "defect",
    "tally_line",
    "step_answer",
]
OF_NO_LOT = [table for table in IN_A_CHARGE if table not in OF_THE_LOT]


def closed(rows: dict[str, Entry[Any]], *, lot: bool) -> Entry[Closing]:
    of = rows["lot"].entity if lot else None
    # A row past the door carries some head; the door works it out.
    return first(Closing(rows["charge"].entity, ledger_number=1, ledger_head="0" * 64, lot=of))


def opened(closing: Entry[Closing], reason: str | None = "misread", **altered: Any) -> Entry[Closing]:
    fact = replace(closing.fact, reopened=True, sealed_text=None)
    return successor(closing, CHANGE, reason, replace(fact, **altered))


def again(opening: Entry[Closing]) -> Entry[Closing]:
    return successor(opening, CHANGE, None, replace(opening.fact, reopened=False, sealed_text="{}"))


@pytest.fixture
def lot_closed(rows, other) -> Entry[Closing]:
    closing = closed(rows, lot=True)
    raw_insert(other, closing)
    return closing


def renewed(table: str, fact: Any) -> Any:
    """The fact as another row of the same lot or board, under a name of its own where it has one."""
    return replace(fact, **{table: "new"}) if table in ("board", "section") else fact


@pytest.mark.parametrize("table", OF_THE_LOT)
def test_a_closed_lot_takes_no_row_of_its_own(rows, other, lot_closed, table):
    for kind in (VersionKind.CORRECTION, CHANGE, VersionKind.VOID):
        with refused("lot-closed"):
            raw_insert(other, successor(rows[table], kind))
    if table != "lot":
        with refused("lot-closed"):
            raw_insert(other, first(renewed(table, rows[table].fact)))
    opening = opened(lot_closed)
    raw_insert(other, opening)
    raw_insert(other, successor(rows[table], CHANGE))
    raw_insert(other, again(opening))
    with refused("lot-closed"):
        raw_insert(other, successor(rows[table], CHANGE))


@pytest.mark.parametrize("table", OF_NO_LOT)
def test_a_charge_goes_on_while_a_lot_of_it_is_closed(rows, other, lot_closed, table):
    raw_insert(other, successor(rows[table], CHANGE))


def test_another_lot_and_its_boards_go_on(rows, other, lot_closed):
    charge = rows["charge"].entity
    lot = first(Lot(charge, "B"))
    board = first(Board(charge, "9", grams("1700"), lot.entity))
    free = first(Board(charge, "10", grams("1700")))
    for entry in (lot, board, free):
        raw_insert(other, entry)
    for of in (board, free):
        raw_insert(other, first(replace(rows["weighing"].fact, board=of.entity)))
    raw_insert(other, first(replace(rows["defect"].fact, lot=lot.entity)))
    raw_insert(other, first(replace(rows["step_answer"].fact, lot=None)))


@pytest.mark.parametrize("goes_in", [False, True])
def test_nothing_goes_over_into_a_closed_lot_or_out_of_it(rows, other, goes_in):
    charge = rows["charge"].entity
    lot = first(Lot(charge, "B"))
    board = first(Board(charge, "9", grams("1700"), lot.entity))
    raw_insert(other, lot)
    raw_insert(other, board)
    closing = closed(rows, lot=True)
    if goes_in:  # then it is B that is closed
        closing = replace(closing, fact=replace(closing.fact, lot=lot.entity))
    raw_insert(other, closing)
    moved = replace(rows["board"].fact, lot=lot.entity)
    with refused("lot-closed"):
        raw_insert(other, successor(rows["board"], fact=moved))
    with refused("lot-closed"):
        raw_insert(other, successor(rows["defect"], fact=replace(rows["defect"].fact, lot=lot.entity)))
    with refused("lot-closed"):
        raw_insert(
            other, successor(rows["weighing"], fact=replace(rows["weighing"].fact, board=board.entity))
        )


def test_notes_may_be_written_on_a_closed_lot(rows, other, lot_closed):
    raw_insert(other, first(rows["later_note"].fact))
    raw_insert(other, successor(rows["later_note"], VersionKind.VOID))


def test_a_charge_is_closed_while_a_lot_is_and_then_the_charge_is_what_is_told(rows, other, lot_closed):
    raw_insert(other, closed(rows, lot=False))
    with refused("charge-closed"):
        raw_insert(other, first(rows["weighing"].fact))
    opening = opened(lot_closed)
    raw_insert(other, opening)  # the charge is closed all the same
    with refused("charge-closed"):
        raw_insert(other, first(rows["weighing"].fact))
    raw_insert(other, again(opening))


@pytest.mark.parametrize("table", [table for table in (*IN_A_CHARGE, "charge") if table != "later_note"])
def test_a_reopened_charge_takes_rows_again_until_it_is_closed_again(rows, other, table):
    closing = closed(rows, lot=False)
    raw_insert(other, closing)
    with refused("charge-closed"):
        raw_insert(other, successor(rows[table], CHANGE))
    opening = opened(closing)
    raw_insert(other, opening)
    raw_insert(other, successor(rows[table], CHANGE))
    raw_insert(other, again(opening))
    with refused("charge-closed"):
        raw_insert(other, successor(rows[table], CHANGE))


@pytest.mark.parametrize("lot", [False, True])
@pytest.mark.parametrize("reason", [None, "", "  "])
def test_a_reopening_says_why(rows, other, lot, reason):
    closing = closed(rows, lot=lot)
    raw_insert(other, closing)
    with refused("no-reason"):
        raw_insert(other, opened(closing, reason))


def test_a_reopening_has_no_seal(rows, other, lot_closed):
    with pytest.raises(sqlite3.IntegrityError, match="sealed_text: none where reopened"):
        raw_insert(other, opened(lot_closed, sealed_text="{}"))


@pytest.mark.parametrize("lot", [False, True])
def test_closings_follow_one_another_in_turn(rows, other, lot):
    why = "lot-closed" if lot else "charge-closed"
    closing = closed(rows, lot=lot)
    with refused("not-closed"):
        raw_insert(
            other, replace(closing, fact=replace(closing.fact, reopened=True)), version_reason="misread"
        )
    raw_insert(other, closing)
    with refused(why):
        raw_insert(other, successor(closing, CHANGE))
    with refused(why):
        raw_insert(other, closed(rows, lot=lot))
    opening = opened(closing)
    raw_insert(other, opening)
    with refused("not-closed"):
        raw_insert(other, opened(opening))
    with refused("closed-before"):
        raw_insert(other, closed(rows, lot=lot))
    raw_insert(other, again(opening))


@pytest.mark.parametrize("lot", [False, True])
@pytest.mark.parametrize("kind", [VersionKind.CORRECTION, VersionKind.VOID])
def test_a_closing_is_neither_corrected_nor_taken_back(rows, other, lot, kind):
    closing = closed(rows, lot=lot)
    raw_insert(other, closing)
    with refused("lot-closed" if lot else "charge-closed"):
        raw_insert(other, successor(closing, kind))
    opening = opened(closing)
    raw_insert(other, opening)
    with refused("closing-stays"):
        raw_insert(other, successor(opening, kind))


def test_a_closing_stays_with_its_charge_and_lot(rows, other, lot_closed):
    with refused("other-lot"):
        raw_insert(other, opened(lot_closed, lot=None))
    elsewhere = second_charge(other)
    with refused("other-charge"):
        raw_insert(other, opened(lot_closed, charge=elsewhere["charge"], lot=elsewhere["lot"]))
    with refused("no-such-lot"):
        raw_insert(other, first(replace(lot_closed.fact, lot=elsewhere["lot"])))
    raw_insert(other, first(replace(lot_closed.fact, charge=elsewhere["charge"], lot=elsewhere["lot"])))


def test_no_lot_is_closed_in_a_closed_charge_or_once_taken_back(rows, other):
    taken_back = first(Lot(rows["charge"].entity, "B"))
    raw_insert(other, taken_back)
    raw_insert(other, void(taken_back))
    with refused("taken-back-lot"):
        raw_insert(
            other,
            replace(
                closed(rows, lot=True),
                fact=Closing(
                    rows["charge"].entity, ledger_number=1, ledger_head="0" * 64, lot=taken_back.entity
                ),
            ),
        )
    raw_insert(other, closed(rows, lot=False))
    with refused("charge-closed"):
        raw_insert(other, closed(rows, lot=True))


def test_a_lot_once_closed_is_not_taken_back(rows, other):
    lot = first(Lot(rows["charge"].entity, "B"))
    raw_insert(other, lot)
    closing = replace(closed(rows, lot=True), fact=replace(closed(rows, lot=True).fact, lot=lot.entity))
    raw_insert(other, closing)
    raw_insert(other, opened(closing))
    with refused("has-current-children:closing"):
        raw_insert(other, void(lot))


@pytest.fixture
def filled_book(book: LogbookFile) -> tuple[LogbookFile, dict[str, Entry[Any]]]:
    rows = one_of_each()
    del rows["closing"]
    write(book, *rows.values())
    return book, rows


def refusal_of(book: LogbookFile, entry: Entry[Any]) -> Exception:
    before = book.ledger_head()
    with pytest.raises(Exception) as told:  # noqa: PT011 - each test looks at its type and values
        write(book, entry)
    assert book.ledger_head() == before
    return told.value


def test_the_operator_hears_which_lot_is_closed(filled_book):
    book, rows = filled_book
    lot = first(Lot(rows["charge"].entity, "B"))
    write(book, lot, first(Closing(rows["charge"].entity, "fetched", lot=rows["lot"].entity)))
    moved = replace(rows["board"].fact, lot=lot.entity)
    for late in (
        first(rows["weighing"].fact),
        successor(rows["lot"], CHANGE),
        successor(rows["board"], fact=moved),
        first(replace(rows["board"].fact, board="2")),
        first(rows["final_reading"].fact),
    ):
        error = refusal_of(book, late)
        assert isinstance(error, LotClosed)
        assert error.values == {"charge": "2026-4", "lot": "A"}


def test_the_operator_hears_what_a_closing_may_not_do(filled_book):
    book, rows = filled_book
    (closing,) = write(book, first(Closing(rows["charge"].entity)))
    assert isinstance(refusal_of(book, void(closing)), ChargeClosed)
    (opening,) = write(book, opened(closing))
    for late, why in (
        (void(opening), "closing-stays"),
        (opened(opening), "not-closed"),
        (first(Closing(rows["charge"].entity)), "closed-before"),
    ):
        error = refusal_of(book, late)
        assert isinstance(error, RefusedByRecord)
        assert error.values == {"table": "closing", "why": why}


def test_every_closing_and_reopening_carries_the_head_at_its_place(filled_book):
    book, rows = filled_book
    heads = []
    closing = first(Closing(rows["charge"].entity, sealed_text="{}", lot=rows["lot"].entity))
    row: Entry[Any] = closing
    for make in (lambda _: closing, opened, again, opened, again):
        heads.append(book.ledger_head())
        with book.immediate():
            row = book.close_charge(make(row))
        assert (row.fact.ledger_number, row.fact.ledger_head) == (heads[-1].number, heads[-1].hash_hex)
    assert book.verify(heads[0]) == ()
    record = book.charge_record(rows["charge"].entity)
    chain = record.closings_of(rows["lot"].entity)
    assert chain is not None
    assert [entry.fact.sealed_text for entry in chain.entries] == ["{}", None, "{}", None, "{}"]
    assert book.entries("closing") == list(chain.entries)


def test_a_record_knows_what_is_closed(filled_book):
    book, rows = filled_book
    charge, lot = rows["charge"].entity, rows["lot"].entity

    def told() -> tuple[bool, bool, bool]:
        record = book.charge_record(charge)
        in_force = charge in closings_in_force(book.entries("closing"))
        assert in_force == record.is_closed
        return record.is_closed, record.closing_of(lot) is not None, record.is_lot_closed(lot)

    assert told() == (False, False, False)
    (of_lot,) = write(book, first(Closing(charge, lot=lot)))
    assert told() == (False, True, True)
    (whole,) = write(book, first(Closing(charge)))
    assert told() == (True, True, True)
    write(book, opened(of_lot))
    assert told() == (True, False, True)
    opening = successor(whole, CHANGE, "misread", replace(whole.fact, reopened=True), whole.at.plus_hours(1))
    write(book, opening)
    assert told() == (False, False, False)
    record = book.charge_record(charge)
    assert record.closing_at(whole.at) == whole
    assert record.closing_at(opening.at) is None
    assert record.with_entries([again(opening)]).is_closed
    assert record.closings_of("nobody") is None


def test_a_name_used_for_a_probe_and_for_the_air_makes_two_series(filled_book):
    book, rows = filled_book
    charge = rows["charge"].entity
    write(book, logged(charge, placed_in="core"), logged(charge, placed_in="air"))  # at the same instants
    (air,) = book.logger_series(charge, "entering")
    core, beside = sorted(book.probe_series(charge, "entering"), key=lambda one: one.placed_in, reverse=True)
    assert [(one.sensor, one.placed_in) for one in (air, core, beside)] == [
        ("entering", None),
        ("entering", "core"),
        ("entering", "air"),
    ]
    assert list(core.at_s) == list(air.at_s)
    assert book.probe_series(charge, "leaving") == ()
    with pytest.raises(RefusedByRecord, match="reading-twice"):
        write(book, logged(charge, placed_in="core"))

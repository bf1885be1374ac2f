"""Closing, reopening, closing again, later notes: what stands in the file afterwards, and what is refused."""

from __future__ import annotations

import json
from dataclasses import replace
from hashlib import sha256

import pytest

from kilnlog import __version__
from kilnlog.drying import assessment
from kilnlog.logbook import closing, importing
from kilnlog.logbook.closing import add_later_note, close_charge, close_lot, reopen
from kilnlog.logbook.errors import ClosingBeforeLast, NotClosed, NothingToSay, ReasonMissing
from kilnlog.logbook.importing import import_into
from kilnlog.logbook.seals import seals_of
from kilnlog.logbook.short_form import LETTERS, short_form, typed_short_form
from kilnlog.logbook.writing import correct, write
from kilnlog.records.errors import KilnlogError
from kilnlog.records.event import Event
from kilnlog.records.final_reading import FinalReading
from kilnlog.records.words import EventKind, ReadingKind
from kilnlog.reference.tables import load
from tests.seal.exports import as_folder, as_workbook
from tests.seal.finished import CLOSED, LATER, READ, a_book, finish
from tests.store.mill import every_row


def close(book, done, reason=None, at=CLOSED):
    return close_charge(book, done.charge, at, reason, load()).entries[-1]


def sealed(entry):
    return json.loads(entry.fact.sealed_text)


def canonical_by_hand(value):
    """RFC 8259 with names sorted and no blanks, put together token by token."""
    if isinstance(value, dict):
        parts = (f"{canonical_by_hand(name)}:{canonical_by_hand(value[name])}" for name in sorted(value))
        return "{" + ",".join(parts) + "}"
    if isinstance(value, list):
        return "[" + ",".join(map(canonical_by_hand, value)) + "]"
    return json.dumps(value, ensure_ascii=False)


def test_the_sealed_text_is_canonical_and_names_the_ledger_before_it(book):
    done = finish(book)
    before = book.file.ledger_head()
    entry = close(book, done, "  all out  ")
    text = sealed(entry)
    assert canonical_by_hand(text) == entry.fact.sealed_text
    assert "Ødegaard & Finch" in entry.fact.sealed_text  # letters stand for themselves
    assert text["ledger"] == {"logbook": book.file.uid, "number": before.number, "head": before.hash_hex}
    assert (entry.fact.ledger_number, entry.fact.ledger_head) == (before.number, before.hash_hex)
    assert text["seal"] == {
        "sealed_at": "2026-11-21T16:30:00-05:00",
        "sealed_by": "Wren",
        "version": 1,
        "reopened_because": None,
        "closing_reason": "all out",
        "program": f"kilnlog {__version__}",
        "lot": None,
        "replaces": None,
    }
    assert text["form"] == 2


def test_the_short_form_is_sixty_bits_of_the_text_in_letters_that_are_not_mistaken(book):
    entry = close(book, finish(book))
    number = int(sha256(entry.fact.sealed_text.encode()).hexdigest(), 16) >> 196
    letters = ""
    for _ in range(12):
        number, last = divmod(number, 32)
        letters = LETTERS[last] + letters
    assert short_form(entry.fact.sealed_text).replace("-", "") == letters
    assert set("01IO").isdisjoint(LETTERS)
    assert len(set(LETTERS)) == 32
    assert typed_short_form(f" {letters.lower()} ") == short_form(entry.fact.sealed_text)


def test_closing_twice_is_refused_and_leaves_no_row(book):
    done = finish(book)
    close(book, done)
    before = book.file.ledger_head()
    with pytest.raises(KilnlogError) as refused:
        close(book, done)
    assert refused.value.code == "charge-closed"
    assert book.file.ledger_head() == before


@pytest.mark.parametrize("reason", ["", "   "])
def test_reopening_needs_a_reason_and_something_closed(book, reason):
    done = finish(book)
    with pytest.raises(NotClosed):
        reopen(book, done.charge, None, "misread", LATER)
    close(book, done)
    with pytest.raises(ReasonMissing):
        reopen(book, done.charge, None, reason, LATER)
    assert book.file.charge_record(done.charge).is_closed


def test_closing_again_is_version_2_and_version_1_stays_as_it_was(book):
    done = finish(book)
    first = close(book, done)
    reopen(book, done.charge, None, "  piece 3 was misread ", LATER)
    record = book.file.charge_record(done.charge)
    assert not record.is_closed
    reading = next(
        line for line in record.final_reading if line.newest.fact.piece == "3" and line.newest.fact.lot
    )
    correct(
        book, "final_reading", reading.entity, replace(reading.newest.fact, reading_pct=8.5), "misread", READ
    )
    second = close(book, done, "again", LATER.plus_hours(1))
    seals = seals_of(book, book.file.charge_record(done.charge))
    assert [(seal.version, seal.in_force, seal.fits, seal.lot) for seal in seals] == [
        (1, False, True, None),
        (2, True, True, None),
    ]
    assert [seal.entry.fact.sealed_text for seal in seals] == [
        first.fact.sealed_text,
        second.fact.sealed_text,
    ]
    assert (sealed(second)["seal"]["version"], sealed(second)["seal"]["reopened_because"]) == (
        2,
        "piece 3 was misread",
    )
    readings = [
        [one["reading_pct"] for one in sealed(entry)["lots"][0]["final"][0]["readings"]]
        for entry in (first, second)
    ]
    assert readings == [[6.5, 7.0, 7.5, 34.0], [6.5, 7.0, 8.5, 34.0]]
    assert book.file.verify() == ()


def test_a_reopened_charge_takes_rows_again(book):
    done = finish(book)
    close(book, done)
    note = Event(done.charge, EventKind.NOTE)
    with pytest.raises(KilnlogError):
        write(book, note, CLOSED)
    reopen(book, done.charge, None, "the vents were left out", LATER)
    write(book, note, CLOSED)


def test_later_notes_are_dated_and_alter_nothing_sealed(book):
    done = finish(book)
    entry = close(book, done)
    with pytest.raises(NothingToSay):
        add_later_note(book, done.charge, "  ")
    add_later_note(book, done.charge, " the buyer measured 7.4 % ", at=LATER)
    record = book.file.charge_record(done.charge)
    [note] = record.later_note
    assert (note.newest.fact.text, note.newest.at) == ("the buyer measured 7.4 %", LATER)
    assert record.closing_of() == entry
    [seal] = seals_of(book, record)
    assert seal.fits
    assert book.file.verify() == ()


def test_nothing_is_closed_before_what_was_last_observed(book):
    done = finish(book)
    seconds_later = READ.plus_hours(20 / 3600)
    write(
        book,
        FinalReading(done.charge, done.lots["A"], ReadingKind.PIN_METER, "1", "9", reading_pct=7.0),
        seconds_later,
    )
    with pytest.raises(ClosingBeforeLast) as refused:
        close(book, done, at=READ.plus_hours(-1 / 60))
    assert refused.value.values["last"] == seconds_later
    assert not book.file.charge_record(done.charge).is_closed


def test_a_time_typed_to_the_minute_of_the_last_reading_means_after_it(book):
    done = finish(book)
    seconds_later = READ.plus_hours(20 / 3600)
    write(
        book,
        FinalReading(done.charge, done.lots["A"], ReadingKind.PIN_METER, "1", "9", reading_pct=7.0),
        seconds_later,
    )
    entry = close(book, done, at=READ)
    assert entry.at == seconds_later
    assert [one["piece"] for one in sealed(entry)["lots"][0]["final"][0]["readings"]][-1] == "9"


def test_answers_given_after_the_moment_of_closing_are_sealed_too(book):
    """The lumber came out on Saturday; what was left out was said on Tuesday, when the charge was closed."""
    text = sealed(close(book, finish(book)))
    assert text["answers"] == [{"step": "heat", "answer": "left out", "note": "not asked for"}]
    assert text["lots"][0]["answers"] == [{"step": "stress", "answer": "none found", "note": None}]


class PulledOut(BaseException):
    """Power goes, or a disk, or somebody's patience."""


class Failing:
    """A connection that gives way before its n-th statement, once."""

    def __init__(self, connection, after):
        self._connection, self._left = connection, after

    def execute(self, *asked):
        self._left -= 1
        if self._left == -1:
            raise PulledOut
        return self._connection.execute(*asked)

    def __getattr__(self, name):
        return getattr(self._connection, name)


def attempts(book, verb):
    """Run the verb with the connection giving way before each of its statements in turn; how many."""
    path, real = book.file.path, book.file._connection
    before = every_row(path)
    for after in range(2000):
        book.file._connection = Failing(real, after)
        try:
            verb()
        except PulledOut:
            assert every_row(path) == before
            assert not real.in_transaction
            book.file._connection = real
            assert book.file.verify() == ()
        else:
            book.file._connection = real
            return after
    raise AssertionError("never done")


def test_nothing_of_a_closing_is_half_written_wherever_it_gives_way(book):
    done = finish(book)
    in_lot = attempts(book, lambda: close_lot(book, done.charge, done.lots["A"], CLOSED, "fetched", load()))
    in_whole = attempts(book, lambda: close_charge(book, done.charge, CLOSED, None, load()))
    in_reopening = attempts(book, lambda: reopen(book, done.charge, None, "misread", LATER))
    again = attempts(book, lambda: close_charge(book, done.charge, LATER, None, load()))
    # A transaction, a record of many tables, a row or two with their ledger lines.
    assert min(in_lot, in_whole, in_reopening, again) > 20
    assert [seal.fits for seal in seals_of(book, book.file.charge_record(done.charge))] == [True] * 3
    assert book.file.verify() == ()


@pytest.mark.parametrize("where", ["sealed_text", "successor"])
def test_a_fault_while_the_seal_is_worked_out_leaves_the_lot_in_the_charge(book, monkeypatch, where):
    done = finish(book)
    before = every_row(book.file.path)
    real, asked = getattr(closing, where), []

    def giving_way(*args, **kwargs):
        asked.append(args)
        raise PulledOut

    monkeypatch.setattr(closing, where, giving_way)
    with pytest.raises(PulledOut):
        close_lot(book, done.charge, done.lots["A"], CLOSED, None, load())
    assert asked
    assert every_row(book.file.path) == before
    monkeypatch.setattr(closing, where, real)
    close_lot(book, done.charge, done.lots["A"], CLOSED, None, load())


@pytest.mark.parametrize("form", [as_folder, as_workbook])
def test_import_export_import_keeps_every_seal_to_the_byte(book, tmp_path, form):
    done = finish(book)
    close_lot(book, done.charge, done.lots["A"], CLOSED, "fetched", load())
    close(book, done)
    reopen(book, done.charge, None, "misread", LATER)
    close(book, done, at=LATER)
    add_later_note(book, done.charge, "sold", at=LATER)
    texts = [entry.fact.sealed_text for entry in book.file.entries("closing")]
    assert [text is None for text in texts] == [False, False, True, False]
    with a_book(tmp_path / "first.kilnlog") as first, a_book(tmp_path / "second.kilnlog") as second:
        for taken, source in ((first, book), (second, first)):
            import_into(taken, form(source, tmp_path / f"{taken.file.path.stem}.xlsx"))
            assert [entry.fact.sealed_text for entry in taken.file.entries("closing")] == texts
            seals = seals_of(taken, taken.file.charge_record(taken.charge_numbered("2026-12").entity))
            assert [(seal.fits, seal.brought_in) for seal in seals] == [(True, True)] * 3
            assert taken.file.verify() == ()


def test_a_charge_called_closed_in_files_without_a_text_is_sealed_on_import(book, tmp_path):
    done = finish(book)
    close_lot(book, done.charge, done.lots["A"], CLOSED, "fetched", load())
    entry = close(book, done, "all out")
    folder = as_folder(book, tmp_path / "out", without_seals=True)
    with a_book(tmp_path / "in.kilnlog") as taken:
        import_into(taken, folder)
        of_lot, whole = taken.file.entries("closing")
        there = sealed(whole)
        assert there["ledger"]["logbook"] == taken.file.uid
        assert there["ledger"]["number"] == whole.fact.ledger_number
        assert there["seal"]["closing_reason"] == "all out"
        assert [lot["lot"] for lot in sealed(of_lot)["lots"]] == ["A"]
        kept = sealed(entry)
        for part in ("charge", "lots", "boards", "control", "instruments", "answers"):
            assert there[part] == kept[part]
        assert taken.file.verify() == ()


def test_one_import_seals_nothing_when_it_fails_at_the_seal(book, tmp_path, monkeypatch):
    done = finish(book)
    close(book, done)
    folder = as_folder(book, tmp_path / "out", without_seals=True)
    with a_book(tmp_path / "in.kilnlog") as taken:
        before = every_row(tmp_path / "in.kilnlog")

        def giving_way(*args, **kwargs):
            raise PulledOut

        monkeypatch.setattr(importing, "sealed_text", giving_way)
        with pytest.raises(PulledOut):
            import_into(taken, folder)
        assert every_row(tmp_path / "in.kilnlog") == before


def test_assessing_is_what_a_seal_is_made_by(book, monkeypatch):
    """The guard of the papers' tests: without figures worked out there is no seal."""
    done = finish(book)

    def never(*args, **kwargs):
        raise AssertionError("worked out")

    monkeypatch.setattr("kilnlog.logbook.paper_told.assess", never)
    with pytest.raises(AssertionError, match="worked out"):
        close(book, done)
    assert assessment.assess is not never

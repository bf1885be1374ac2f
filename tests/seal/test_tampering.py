"""Rows deleted, swapped, cut off, an older file put back: seen by whoever holds a printed short form."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner

from kilnlog.cli import main
from kilnlog.logbook.closing import add_later_note, close_charge, close_lot
from kilnlog.logbook.seals import all_seals
from kilnlog.reference.tables import load
from tests.seal.finished import CLOSED, LATER, a_book, finish, opened
from tests.seal.tampering import rebuilt, rows
from tests.seal.verifier import check


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    """The file before the charge was closed, after, and the short forms that went out on paper."""
    folder = tmp_path_factory.mktemp("tampering")
    path, older = folder / "mill.kilnlog", folder / "older.kilnlog"
    with a_book(path) as book:
        done = finish(book)
        close_lot(book, done.charge, done.lots["A"], CLOSED, "fetched", load())
    shutil.copy(path, older)
    with opened(path) as book:
        close_charge(book, done.charge, CLOSED, None, load())
        add_later_note(book, done.charge, "the buyer measured 7.4 %", at=LATER)
        return path, older, [seal.short_form for seal in all_seals(book)]


@pytest.fixture
def file(made, tmp_path):
    return Path(shutil.copy(made[0], tmp_path / "mill.kilnlog"))


@pytest.fixture
def lot_seal(made):
    return made[2][0]


@pytest.fixture
def seal(made):
    return made[2][1]


def verified(file, short):
    return CliRunner().invoke(main, ["verify", str(file), "--seal", short])


def seen(file, short):
    """Both the program and the outsider's check, asked for what is printed on the page, say no."""
    told = verified(file, short)
    try:
        wrong, seals = check(file)
    except Exception:  # whatever stops the check is no yes
        wrong, seals = ["stopped"], []
    by_program = told.exit_code != 0 and "All " not in told.output
    by_outsider = bool(wrong) or short not in seals
    assert by_program == by_outsider, (told.output, wrong, seals)
    return by_program


def unnoticed_inside(file):
    """Without what is printed, the ledger alone finds nothing: the attacker did it well."""
    with opened(file) as book:
        return book.file.why_read_only is None and book.file.verify() == ()


def test_untouched_both_say_yes(file, seal, lot_seal):
    for short in (seal, lot_seal):
        told = verified(file, short)
        assert told.exit_code == 0, told.output
        assert not seen(file, short)


ROWS = ("weighing", "final_reading", "section", "stress_test", "defect", "tally_line", "step_answer")


@pytest.mark.parametrize("table", ROWS)
def test_a_row_deleted_and_the_ledger_closed_over_it(file, seal, lot_seal, table):
    ((uid,), *_) = rows(file, f"SELECT uid FROM {table} ORDER BY id")
    with rebuilt(file) as other:
        other.execute(f"DELETE FROM {table} WHERE uid = ?", (uid,))
        other.execute("DELETE FROM ledger WHERE uid = ?", (uid,))
    assert unnoticed_inside(file)
    assert seen(file, seal)
    assert seen(file, lot_seal)


@pytest.mark.parametrize("table", ROWS[:-1])
def test_two_rows_swapped_with_their_places_and_lines(file, seal, lot_seal, table):
    (one, two, *_) = rows(file, f"SELECT id, uid FROM {table} ORDER BY id")
    with rebuilt(file) as other:
        for place, uid in ((10**6, one[1]), (one[0], two[1]), (two[0], one[1])):
            other.execute(f"UPDATE {table} SET id = ? WHERE uid = ?", (place, uid))
        number = dict(other.execute("SELECT uid, number FROM ledger"))
        for to, uid in ((10**6, one[1]), (number[one[1]], two[1]), (number[two[1]], one[1])):
            other.execute("UPDATE ledger SET number = ? WHERE uid = ?", (to, uid))
    assert unnoticed_inside(file)
    assert seen(file, seal)
    assert seen(file, lot_seal)


def test_a_figure_altered_under_both_seals(file, seal, lot_seal):
    with rebuilt(file) as other:
        other.execute("UPDATE final_reading SET reading_pct = 7.0 WHERE reading_pct = 34.0")
    assert unnoticed_inside(file)
    assert seen(file, seal)
    assert seen(file, lot_seal)


def test_a_row_slipped_in_before_a_seal(file, seal):
    with rebuilt(file) as other:
        other.execute("UPDATE ledger SET number = number + 1000000")
        other.execute("UPDATE ledger SET number = 1 WHERE uid = (SELECT uid FROM later_note)")
    assert unnoticed_inside(file)
    assert seen(file, seal)  # the note now stands at the very beginning


def cut(file, *, from_seal):
    """Everything from the charge's closing on, or after it, gone with its lines."""
    ((at,),) = rows(file, "SELECT number FROM ledger JOIN closing USING (uid) WHERE lot IS NULL")
    with rebuilt(file) as other:
        tail = other.execute(
            "SELECT table_name, uid FROM ledger WHERE number >= ? ORDER BY number DESC",
            (at if from_seal else at + 1,),
        ).fetchall()
        for table, uid in tail:
            other.execute(f"DELETE FROM {table} WHERE uid = ?", (uid,))
            other.execute("DELETE FROM ledger WHERE uid = ?", (uid,))
    return len(tail)


def test_the_tail_cut_off_with_the_seal(file, seal, lot_seal):
    assert cut(file, from_seal=True) == 2
    assert unnoticed_inside(file)
    assert seen(file, seal)
    assert not seen(file, lot_seal)  # what it covers is all there


def test_the_tail_cut_off_behind_the_seal_is_for_a_later_seal_or_head_to_show(file, seal):
    """As the help page says: a short form tells nothing of what was written after it."""
    with opened(file) as book:
        head = book.file.ledger_head()
    assert cut(file, from_seal=False) == 1
    assert unnoticed_inside(file)
    assert not seen(file, seal)
    with opened(file) as book:
        assert [misfit.why for misfit in book.file.verify(head)] == ["cut-short"]


def test_an_older_file_put_back(made, seal, lot_seal):
    _, older, _ = made
    assert unnoticed_inside(older)
    assert seen(older, seal)
    assert not seen(older, lot_seal)


def test_another_seal_written_in_the_place_of_the_one_handed_out(made, tmp_path, seal):
    """The older file, closed anew with a reading altered: a sound file, and another short form."""
    again = Path(shutil.copy(made[1], tmp_path / "again.kilnlog"))
    with rebuilt(again) as other:
        other.execute("UPDATE final_reading SET reading_pct = 7.0 WHERE reading_pct = 34.0")
    with opened(again) as book:
        close_charge(book, book.file.charges()[0].entity, CLOSED, None, load())
    assert unnoticed_inside(again)
    assert seen(again, seal)


def test_a_seal_carried_into_another_file(made, tmp_path, seal):
    """The sealed row copied into a logbook whose weights are others: its text names another ledger's head."""
    text = rows(made[0], "SELECT sealed_text FROM closing WHERE lot IS NULL")[0][0]
    forged = Path(shutil.copy(made[0], tmp_path / "forged.kilnlog"))
    with rebuilt(forged) as other:
        other.execute(
            "UPDATE weighing SET weight_text = '1050', weight_g = 1050.0 WHERE weight_text = '1068'"
        )
        other.execute("UPDATE closing SET sealed_text = ? WHERE lot IS NULL", (text,))
    assert unnoticed_inside(forged)
    assert seen(forged, seal)

"""``kilnlog verify --seal``: the printed short form is found again, or the file is not what it was."""

from __future__ import annotations

import shutil

import pytest

from kilnlog.logbook.closing import close_charge, close_lot, reopen
from kilnlog.logbook.seals import all_seals
from kilnlog.logbook.short_form import LETTERS
from kilnlog.reference.tables import load
from tests.seal.finished import CLOSED, LATER, a_book, finish, opened
from tests.seal.tampering import rebuilt
from tests.store.mill import unruled


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    path = tmp_path_factory.mktemp("verify") / "mill.kilnlog"
    with a_book(path) as book:
        done = finish(book)
        close_lot(book, done.charge, done.lots["A"], CLOSED, "fetched", load())
        close_charge(book, done.charge, CLOSED, None, load())
        reopen(book, done.charge, None, "misread", LATER)
        close_charge(book, done.charge, LATER, None, load())
        return path, [seal.short_form for seal in all_seals(book)]


@pytest.fixture
def shorts(made):
    return made[1]


@pytest.fixture
def file(made, tmp_path):
    return shutil.copy(made[0], tmp_path / "mill.kilnlog")


def test_each_seal_is_found_and_told(kilnlog, file, shorts):
    for short, what in zip(
        shorts,
        ("lot A of charge 2026-12, version 1", "charge 2026-12, version 1", "charge 2026-12, version 2"),
        strict=True,
    ):
        told = kilnlog("verify", file, "--seal", short.lower().replace("-", " "))
        assert told.exit_code == 0, told.output
        seal, fit = told.output.splitlines()
        assert seal.startswith(f"Seal {short} is {what}, sealed as of ")
        assert ("reopened since" in seal) == (short == shorts[1])
        assert fit.startswith("All ")


def test_no_letter_of_a_short_form_may_be_another(kilnlog, file, shorts):
    """Every one of the twelve, by the next letter of the alphabet it is written in."""
    short = shorts[2]
    for place, letter in enumerate(short):
        if letter != "-":
            other = LETTERS[(LETTERS.index(letter) + 1) % 32]
            told = kilnlog("verify", file, "--seal", short[:place] + other + short[place + 1 :])
            assert told.exit_code == 2
            assert "No seal of this logbook has the short form" in told.stderr
            assert "All " not in told.output


@pytest.mark.parametrize("typed", ["", "7QD4", "7QD4-M2XH-9KT0", "7QD4-M2XH-9KTB2"])
def test_what_is_no_short_form_is_told(kilnlog, file, typed):
    told = kilnlog("verify", file, "--seal", typed)
    assert (told.exit_code, told.stdout) == (2, "")
    assert f"“{typed}” is no short form of a seal." in told.stderr


def test_a_seal_altered_is_named_and_its_short_form_not_found(kilnlog, file, shorts):
    with unruled(file) as other:
        other.execute(
            "UPDATE closing SET sealed_text = replace(sealed_text, 'red oak', 'elm') WHERE lot IS NOT NULL"
        )
    told = kilnlog("verify", file)
    assert told.exit_code == 1
    assert "of the table closing was altered after it was written" in told.output
    assert "The seal of lot A of charge 2026-12, version 1, is not verified" in told.output
    assert "All " not in told.output
    found = kilnlog("verify", file, "--seal", shorts[0])
    assert found.exit_code == 2
    assert f"short form {shorts[0]}" in found.stderr
    assert kilnlog("verify", file, "--seal", shorts[2]).exit_code == 1  # found, in a file that does not fit


def test_rows_altered_under_a_seal_left_as_it_was_are_seen_though_the_ledger_is_made_to_fit(
    kilnlog, file, shorts
):
    """The attacker keeps the text, so that the page still matches: the text names the ledger it stood on."""
    with rebuilt(file) as other:
        other.execute(
            "UPDATE weighing SET weight_text = '1060', weight_g = 1060.0 WHERE weight_text = '1072'"
        )
    with opened(file) as book:
        assert book.file.verify() == ()
    told = kilnlog("verify", file, "--seal", shorts[0])
    assert told.exit_code == 1
    assert told.output.count("is not verified") == 3
    assert "All " not in told.output


def test_a_file_that_takes_another_name_for_its_seals_to_pass_is_told_as_brought_in(kilnlog, file, shorts):
    """As a record carried from another logbook would be: then the page vouches for the text, not for rows."""
    with rebuilt(file) as other:
        other.execute(
            "UPDATE weighing SET weight_text = '1060', weight_g = 1060.0 WHERE weight_text = '1072'"
        )
        other.execute("UPDATE logbook SET uid = 'another'")
        other.execute("UPDATE ledger SET logbook = 'another'")
    told = kilnlog("verify", file, "--seal", shorts[2])
    assert told.exit_code == 0
    assert "It was sealed in another logbook" in told.output
    assert "its rows are not vouched for" in told.output

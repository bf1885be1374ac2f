"""One bit of every byte of a small closed logbook flipped: detected, or nobody reads anything different.

Every bit: ``python -m tests.seal.bit_flips --every-bit``.
"""

from __future__ import annotations

import sqlite3

import pytest

from kilnlog.store.errors import DamagedLogbook
from kilnlog.store.logbook_file import LogbookFile
from tests.seal import bit_flips
from tests.seal.bit_flips import DETECTED, NEUTRAL, OUTSIDE, UNSEEN, Flipper, by_program, small_closed_file
from tests.seal.pages import page_map

#: Changes which bit of a byte is flipped.
SEED = 1


@pytest.fixture(scope="module")
def closed(tmp_path_factory):
    path = tmp_path_factory.mktemp("flips") / "closed.kilnlog"
    small_closed_file(path)
    return path


@pytest.fixture(scope="module")
def swept(closed):
    before = closed.read_bytes()
    report = bit_flips.sweep(closed, bit_flips.one_of_each(SEED), audit=0.0004, seed=SEED)
    assert closed.read_bytes() == before
    return report


def test_no_flip_goes_unseen(closed, swept):
    assert swept.unseen == []
    total = swept.total()
    assert total[UNSEEN] == 0
    assert sum(total.values()) == closed.stat().st_size  # one of every byte
    # Whatever holds a row, a line or a rule, for the most part.
    assert total[DETECTED] > 250_000
    assert swept.split["tables and indexes"][DETECTED] > 25_000


def test_only_when_and_by_what_the_file_was_made_is_outside_the_ledger(closed, swept):
    ((made, version),) = sqlite3.connect(closed).execute("SELECT made_utc, program_version FROM logbook")
    assert 0 < swept.total()[OUTSIDE] <= len(made) + len(version)


def test_unused_bytes_are_flipped_all_at_once_and_nothing_is_read_otherwise(swept):
    assert swept.split["unused"][NEUTRAL] == sum(swept.split["unused"].values()) > 700_000


def test_the_shortcuts_say_what_the_program_says(swept):
    assert swept.disagreed == []
    assert swept.asked > 1000


def test_a_flip_that_changes_a_row_would_be_told_from_a_neutral_one(closed):
    """The search is not blind: with the program's eyes shut, the changed row is told as unseen."""
    flipper = Flipper(closed)
    at = closed.read_bytes().index(b"1790.5")
    try:
        with flipper.flipped([(at, 0)]):
            assert by_program(closed, flipper.before) == DETECTED
            with pytest.MonkeyPatch.context() as shut:
                shut.setattr(LogbookFile, "verify", lambda self: ())
                assert by_program(closed, flipper.before) == UNSEEN
        assert by_program(closed, flipper.before) == NEUTRAL
    finally:
        flipper.close()


def test_every_byte_belongs_to_something(closed):
    told = page_map(closed)
    assert len(told.schema_rows) > 500
    assert {"ledger", "weighing", "closing", "logger_day"} <= set(told.trees)


def test_a_schema_that_holds_no_text_is_told_as_damage(closed, tmp_path):
    """Found by flipping bits: the name of a table stored as a number ended in an error nobody had worded."""
    copy = tmp_path / "copy.kilnlog"
    copy.write_bytes(closed.read_bytes())
    with sqlite3.connect(copy) as other:
        other.execute("PRAGMA writable_schema = ON")
        other.execute("UPDATE sqlite_schema SET sql = CAST(sql AS BLOB) WHERE name = 'weighing_no_update'")
    with LogbookFile.open(copy, read_only=True) as book:
        assert isinstance(book.why_read_only, DamagedLogbook)

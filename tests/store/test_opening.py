"""Opening what is not ours, not whole or not writable: one error, nothing changed, reading where possible."""

from __future__ import annotations

import sqlite3
from pathlib import Path

import pytest

from kilnlog.records.errors import KilnlogError
from kilnlog.store.errors import (
    DamagedLogbook,
    MissingLogbook,
    NewerLogbook,
    NotALogbook,
)
from kilnlog.store.logbook_file import LogbookFile
from kilnlog.store.migrations import SCHEMA
from tests.store.folders import nothing_changes
from tests.store.mill import filled, plain, unruled


def refusal(path: Path, *, read_only: bool = False) -> KilnlogError:
    with nothing_changes(path.parent), pytest.raises(KilnlogError) as refused:
        LogbookFile.open(path, read_only=read_only)
    return refused.value


both = pytest.mark.parametrize("read_only", [False, True])


@both
def test_a_missing_file_is_missing_and_is_not_made(path, read_only):
    error = refusal(path, read_only=read_only)
    assert isinstance(error, MissingLogbook)
    assert error.values == {"path": str(path)}


@both
@pytest.mark.parametrize(
    ("content", "why"),
    [
        (b"", "empty"),
        (b"\0" * 4096, "not-a-database"),
        (b"charge,kiln\n12,South\n" * 300, "not-a-database"),
        (b"PK\x03\x04 a workbook" + b"x" * 2000, "not-a-database"),
        (b"SQLite format 3\0", "not-a-database"),
    ],
)
def test_a_file_of_something_else_is_no_logbook(path, content, why, read_only):
    path.write_bytes(content)
    error = refusal(path, read_only=read_only)
    assert isinstance(error, NotALogbook)
    assert error.values == {"path": str(path), "why": why}


@both
def test_a_folder_is_no_logbook(path, read_only):
    path.mkdir()
    assert refusal(path, read_only=read_only).values == {"path": str(path), "why": "folder"}


@both
@pytest.mark.parametrize("application", [0, 0x0F055112])
@pytest.mark.parametrize("mode", ["DELETE", "WAL"])
def test_the_database_of_another_program_is_no_logbook(path, application, mode, read_only):
    with sqlite3.connect(path) as connection:
        connection.execute(f"PRAGMA journal_mode = {mode}")
        connection.execute(f"PRAGMA application_id = {application}")
        connection.execute("CREATE TABLE notes (note)")
    connection.close()
    error = refusal(path, read_only=read_only)
    assert isinstance(error, NotALogbook)
    assert error.values == {"path": str(path), "why": "other-program"}


@both
def test_a_newer_logbook_is_left_alone(path, read_only):
    filled(path)
    with plain(path) as other:
        other.execute(f"PRAGMA user_version = {SCHEMA + 1}")
    error = refusal(path, read_only=read_only)
    assert isinstance(error, NewerLogbook)
    assert error.values == {"path": str(path), "schema": SCHEMA + 1, "known": SCHEMA}


@both
@pytest.mark.parametrize("keep", [17, 100, 4096, 8192, 0.5, -1])
def test_a_file_cut_off_is_damaged(path, keep, read_only):
    filled(path)
    whole = path.read_bytes()
    length = int(len(whole) * keep) if isinstance(keep, float) else keep
    path.write_bytes(whole[:length])
    with nothing_changes(path.parent):
        try:
            with LogbookFile.open(path, read_only=read_only) as book:
                error = book.why_read_only
                # What is offered for reading can be read.
                assert len(book.everything()["kiln"]) == 1
        except KilnlogError as refused:
            error = refused
    assert isinstance(error, (DamagedLogbook, NotALogbook) if length <= 100 else DamagedLogbook)


def test_a_page_overwritten_is_found_on_opening_and_what_can_be_read_is_offered(path):
    """Every page in turn: either the file is refused as damaged, or it is read and says that it is."""
    filled(path)
    whole = path.read_bytes()
    seen = set()
    for start in range(0, len(whole), 4096):
        path.write_bytes(whole[:start] + b"\xa5" * 4096 + whole[start + 4096 :])
        with nothing_changes(path.parent):
            try:
                with LogbookFile.open(path) as book:
                    assert isinstance(book.why_read_only, DamagedLogbook), start
                    assert book.verify() != (), start
                    book.everything()
                    seen.add("read")
            except (DamagedLogbook, NotALogbook) as error:
                seen.add(f"{error.code} {start == 0}")
    assert seen == {"read", "damaged-logbook False", "not-a-logbook True"}


def test_a_logbook_whose_rules_were_taken_away_is_read_only(path):
    rows = filled(path)
    with plain(path) as other:
        other.execute("DROP TRIGGER weighing_no_delete")
    with nothing_changes(path.parent), LogbookFile.open(path) as book:
        assert isinstance(book.why_read_only, DamagedLogbook)
        assert book.why_read_only.values == {"path": str(path), "why": "schema", "detail": ""}
        assert book.entries("weighing") == [rows["weighing"]]
        with pytest.raises(DamagedLogbook), book.immediate():
            pass


@both
def test_a_logbook_without_its_tables_is_refused(path, read_only):
    filled(path)
    with plain(path) as other:
        other.execute("PRAGMA writable_schema = ON")
        other.execute("DELETE FROM sqlite_schema WHERE name = 'weighing'")
    assert isinstance(refusal(path, read_only=read_only), DamagedLogbook)


def test_a_logbook_without_its_uid_is_refused(path):
    filled(path)
    with unruled(path) as other:
        other.execute("DELETE FROM logbook")
    assert isinstance(refusal(path), DamagedLogbook)

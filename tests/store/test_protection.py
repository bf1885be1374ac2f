"""A logbook that may not be written is read, and says why it is not written."""

from __future__ import annotations

import sqlite3
from pathlib import Path

import pytest

from kilnlog.records.errors import KilnlogError
from kilnlog.store.errors import (
    NoAccess,
    ReadOnlyLogbook,
)
from kilnlog.store.logbook_file import LogbookFile
from tests.store.folders import as_somebody, nothing_changes, protected
from tests.store.mill import filled, first, one_of_each, write

both = pytest.mark.parametrize("read_only", [False, True])


@pytest.fixture
def kept(folder):
    """A logbook that anybody may write in a folder where anybody may make files."""
    rows = filled(folder / "Mill.kilnlog")
    (folder / "Mill.kilnlog").chmod(0o666)
    folder.chmod(0o777)
    return folder / "Mill.kilnlog", rows


def why_not(path: Path) -> KilnlogError:
    """Why it opens for reading only; what it holds is read, and nothing is changed by all that."""
    with nothing_changes(path.parent), as_somebody(), LogbookFile.open(path) as book:
        assert len(book.charges()) == 1
        error = book.why_read_only
        assert error is not None
        with pytest.raises(type(error)), book.immediate():
            pass
        return error


def test_anybody_may_write_where_nothing_is_protected(kept):
    path, _ = kept
    with as_somebody(), LogbookFile.open(path) as book:
        assert book.why_read_only is None
        write(book, first(one_of_each()["setting"].fact.__class__("x", "y")))
    assert [file.name for file in path.parent.iterdir()] == [path.name]


def test_a_write_protected_file_is_read(kept):
    path, _ = kept
    with protected(path, 0o444):
        error = why_not(path)
    assert isinstance(error, ReadOnlyLogbook)
    assert error.values == {"path": str(path), "why": "file"}


def test_a_file_in_a_write_protected_folder_is_read(kept):
    path, _ = kept
    with protected(path.parent, 0o555):
        error = why_not(path)
    assert isinstance(error, ReadOnlyLogbook)
    assert error.values == {"path": str(path), "why": "folder"}


def test_a_lock_left_behind_does_not_hide_that_the_folder_is_protected(kept):
    path, _ = kept
    left = Path(f"{path}-lock")
    left.touch()
    left.chmod(0o666)
    with protected(path.parent, 0o555):
        error = why_not(path)
    assert isinstance(error, ReadOnlyLogbook)
    assert error.values == {"path": str(path), "why": "folder"}


def test_a_file_one_may_not_read_says_so(kept):
    path, _ = kept
    with protected(path, 0o000), as_somebody(), pytest.raises(NoAccess) as refused:
        LogbookFile.open(path)
    assert refused.value.values == {"path": str(path)}


def test_a_cut_off_write_that_cannot_be_undone_is_told(kept):
    path, _ = kept
    cut_off(path)
    protection = protected(path, 0o444)
    with protection, nothing_changes(path.parent), as_somebody(), pytest.raises(ReadOnlyLogbook) as refused:
        LogbookFile.open(path)
    assert refused.value.values == {"path": str(path), "why": "unfinished-write"}


@both
def test_a_cut_off_write_is_undone_on_opening(kept, read_only):
    path, rows = kept
    cut_off(path)
    with LogbookFile.open(path, read_only=read_only) as book:
        assert book.entries("weighing") == [rows["weighing"]]
        assert book.verify() == ()
        assert book.read_only == read_only


def cut_off(path: Path) -> None:
    """Leave the file as a power cut in the middle of a commit does: written over, its journal beside it."""
    whole = path.read_bytes()
    connection = sqlite3.connect(path, isolation_level=None)
    connection.execute("PRAGMA cache_size = 1")  # pages are written before the commit
    connection.execute("PRAGMA cache_spill = 1")
    connection.execute("BEGIN IMMEDIATE")
    connection.execute("CREATE TABLE filler (text)")
    for _ in range(200):
        connection.execute("INSERT INTO filler VALUES (zeroblob(5000))")
    broken, journal = path.read_bytes(), Path(f"{path}-journal").read_bytes()
    connection.execute("ROLLBACK")
    connection.close()
    assert broken != whole
    path.write_bytes(broken)
    Path(f"{path}-journal").write_bytes(journal)

"""Opening what is not ours, not whole or not writable: one error, nothing changed, reading where possible."""

from __future__ import annotations

import errno
import os
import shutil
import sqlite3
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from kilnlog.records.errors import KilnlogError
from kilnlog.store.errors import (
    AlreadyExists,
    DamagedLogbook,
    MissingFolder,
    MissingLogbook,
    NewerLogbook,
    NoAccess,
    NotALogbook,
    ReadOnlyLogbook,
)
from kilnlog.store.logbook_file import LogbookFile
from tests.store.mill import filled, first, grams, one_of_each, plain, unruled, write


def contents(folder: Path) -> dict[str, bytes]:
    return {str(path): path.read_bytes() for path in sorted(folder.rglob("*")) if path.is_file()}


@contextmanager
def nothing_changes(folder: Path) -> Iterator[None]:
    before = contents(folder)
    yield
    assert contents(folder) == before


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
        other.execute("PRAGMA user_version = 2")
    error = refusal(path, read_only=read_only)
    assert isinstance(error, NewerLogbook)
    assert error.values == {"path": str(path), "schema": 2, "known": 1}


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


# --- What may not be written --------------------------------------------------------------------------------


@pytest.fixture
def folder() -> Iterator[Path]:
    """A folder that other users can reach, which pytest's own are not."""
    made = Path(tempfile.mkdtemp())
    made.chmod(0o755)
    yield made
    made.chmod(0o755)
    shutil.rmtree(made)


@contextmanager
def as_somebody() -> Iterator[None]:
    """Without the rights of root, for whom nothing is write-protected."""
    if os.geteuid() != 0:
        yield
        return
    os.seteuid(65534)
    try:
        yield
    finally:
        os.seteuid(0)


@contextmanager
def protected(path: Path, mode: int) -> Iterator[None]:
    before = path.stat().st_mode
    path.chmod(mode)
    try:
        yield
    finally:
        path.chmod(before)


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


# --- Making -------------------------------------------------------------------------------------------------


def test_a_new_logbook_is_empty_and_leaves_nothing_else(path):
    with LogbookFile.create(path) as book:
        assert book.why_read_only is None
        assert all(rows == [] for rows in book.everything().values())
        assert book.verify() == ()
    assert list(path.parent.iterdir()) == [path]


def test_two_logbooks_have_two_uids(tmp_path):
    uids = set()
    for name in ("a", "b"):
        with LogbookFile.create(tmp_path / name) as book:
            uids.add(book.uid)
    assert len(uids) == 2


@pytest.mark.parametrize("what", ["file", "folder", "dangling link", "logbook"])
def test_nothing_that_exists_is_replaced(path, what):
    match what:
        case "file":
            path.write_bytes(b"accounts")
        case "folder":
            path.mkdir()
        case "dangling link":
            path.symlink_to(path.parent / "elsewhere")
        case "logbook":
            filled(path)
    with nothing_changes(path.parent), pytest.raises(AlreadyExists) as refused:
        LogbookFile.create(path)
    assert refused.value.values == {"path": str(path)}


def test_a_folder_that_is_not_there_is_told(tmp_path):
    with pytest.raises(MissingFolder) as refused:
        LogbookFile.create(tmp_path / "nowhere" / "Mill.kilnlog")
    assert refused.value.values == {"path": str(tmp_path / "nowhere")}
    assert list(tmp_path.iterdir()) == []


def test_a_protected_folder_takes_no_new_logbook(folder):
    with protected(folder, 0o555), as_somebody(), pytest.raises(ReadOnlyLogbook) as refused:
        LogbookFile.create(folder / "Mill.kilnlog")
    assert refused.value.values == {"path": str(folder / "Mill.kilnlog"), "why": "folder"}
    assert list(folder.iterdir()) == []


@pytest.mark.parametrize(
    "name", ["Köhler & Söhne?.kilnlog", "100 % dry #2.kilnlog", "木材.kilnlog", "no ending"]
)
def test_a_file_may_have_any_name(tmp_path, name):
    with LogbookFile.create(tmp_path / name) as book:
        write(book, *one_of_each().values())
    with LogbookFile.open(tmp_path / name) as book:
        assert book.path == tmp_path / name
        assert book.entries("weighing")[0].fact.weight == grams("1790.5")
    assert [file.name for file in tmp_path.iterdir()] == [name]


def test_a_memory_stick_without_second_names_takes_a_logbook_too(path, monkeypatch):
    def no_links(*_: object) -> None:
        raise PermissionError(errno.EPERM, "no hard links here")

    monkeypatch.setattr("os.link", no_links)
    LogbookFile.create(path).close()
    assert list(path.parent.iterdir()) == [path]


@pytest.mark.parametrize("links", [True, False])
def test_a_file_that_appears_meanwhile_is_not_replaced(path, monkeypatch, links):
    def appears(*_: object) -> None:
        path.write_bytes(b"accounts")
        raise FileExistsError(errno.EEXIST, "exists") if links else PermissionError(errno.EPERM, "no links")

    monkeypatch.setattr("os.link", appears)
    with pytest.raises(AlreadyExists):
        LogbookFile.create(path)
    assert contents(path.parent) == {str(path): b"accounts"}

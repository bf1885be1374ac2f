"""A logbook is made whole under a name nothing else had, or not at all."""

from __future__ import annotations

import errno

import pytest

from kilnlog.store.errors import (
    AlreadyExists,
    MissingFolder,
    ReadOnlyLogbook,
)
from kilnlog.store.logbook_file import LogbookFile
from tests.store.folders import as_somebody, contents, nothing_changes, protected
from tests.store.mill import filled, grams, one_of_each, write


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
    assert refused.value.values == {"path": str(folder / "Mill.kilnlog"), "why": "new-file"}
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

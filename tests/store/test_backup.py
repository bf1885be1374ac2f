"""A backup is the logbook whole, checked, under a name nothing else had; or there is none."""

from __future__ import annotations

import pytest

from kilnlog.store import backing_up
from kilnlog.store.errors import AlreadyExists, BackupDiffers, MissingFolder
from kilnlog.store.logbook_file import LogbookFile
from kilnlog.store.verifying import Misfit
from tests.store.mill import every_row, first, unruled, write


def test_a_backup_holds_every_row_and_can_be_written_to(path, rows, tmp_path):
    with LogbookFile.open(path) as book:
        head = book.ledger_head()
        copy = book.backup(tmp_path / "copy.kilnlog")
        uid = book.uid
    assert copy == tmp_path / "copy.kilnlog"
    assert every_row(copy) == every_row(path)
    with LogbookFile.open(copy) as opened:
        assert opened.why_read_only is None
        assert opened.uid == uid
        assert opened.verify(head) == ()
        write(opened, first(type(rows["setting"].fact)("unit", "g")))
    assert sorted(file.name for file in tmp_path.iterdir()) == ["Mill.kilnlog", "copy.kilnlog"]


def test_in_a_folder_it_is_named_for_the_logbook_and_its_rows(path, rows, tmp_path):
    (tmp_path / "copies").mkdir()
    with LogbookFile.open(path) as book:
        copy = book.backup(tmp_path / "copies")
        assert copy == tmp_path / "copies" / f"Mill {len(rows)}.kilnlog"
        with pytest.raises(AlreadyExists) as refused:
            book.backup(tmp_path / "copies")
        assert refused.value.values == {"path": str(copy)}
        write(book, first(type(rows["setting"].fact)("unit", "g")))
        assert book.backup(tmp_path / "copies").name == f"Mill {len(rows) + 1}.kilnlog"


def test_a_backup_replaces_no_file(path, rows, tmp_path):
    (tmp_path / "accounts").write_bytes(b"accounts")
    with LogbookFile.open(path) as book:
        with pytest.raises(AlreadyExists):
            book.backup(tmp_path / "accounts")
        with pytest.raises(AlreadyExists):
            book.backup(path)
        with pytest.raises(MissingFolder):
            book.backup(tmp_path / "nowhere" / "copy.kilnlog")
    assert (tmp_path / "accounts").read_bytes() == b"accounts"


def test_a_read_only_window_can_back_up_too(path, rows, tmp_path):
    with LogbookFile.open(path), LogbookFile.open(path) as second:
        assert second.read_only
        assert every_row(second.backup(tmp_path / "copy.kilnlog")) == every_row(path)


def test_what_is_not_committed_is_not_in_a_backup_of_another_program(path, rows, tmp_path):
    with LogbookFile.open(path) as writer, LogbookFile.open(path) as reader, writer.immediate():
        writer.insert(first(type(rows["setting"].fact)("unit", "g")))
        copy = reader.backup(tmp_path / "copy.kilnlog")
    with LogbookFile.open(copy) as opened:
        assert opened.entries("setting") == [rows["setting"]]


def test_a_row_that_comes_while_the_copy_is_made_spoils_no_backup(path, rows, tmp_path):
    class WritingMeanwhile:
        """A connection beside which another program writes as soon as its pages are copied."""

        def __init__(self, connection, writer):
            self._connection, self._writer = connection, writer

        def backup(self, copy, **settings):
            self._connection.backup(copy, **settings)
            write(self._writer, first(type(rows["setting"].fact)("unit", "g")))

        def __getattr__(self, name):
            return getattr(self._connection, name)

    target = tmp_path / "copy.kilnlog"
    with LogbookFile.open(path) as writer, LogbookFile.open(path) as reader:
        before = reader.ledger_head()
        backing_up.back_up(WritingMeanwhile(reader._connection, writer), reader.uid, target)
        assert writer.ledger_head().number == before.number + 1
    with LogbookFile.open(target) as opened:
        assert opened.ledger_head() == before
        assert opened.verify() == ()


def test_a_damaged_logbook_makes_no_backup(path, rows, tmp_path):
    with unruled(path) as other:
        other.execute("UPDATE weighing SET weight_text = '1790.6'")
    with LogbookFile.open(path) as book:
        with pytest.raises(BackupDiffers) as refused:
            book.backup(tmp_path / "copy.kilnlog")
        assert refused.value.values == {"path": str(tmp_path / "copy.kilnlog"), "misfit": "row-changed"}
    assert [file.name for file in tmp_path.iterdir()] == [path.name]


def test_a_copy_that_went_wrong_is_thrown_away(path, rows, tmp_path, monkeypatch):
    monkeypatch.setattr(backing_up, "misfits", lambda *_: (Misfit("pages", detail="page 7"),))
    with LogbookFile.open(path) as book, pytest.raises(BackupDiffers):
        book.backup(tmp_path / "copy.kilnlog")
    assert [file.name for file in tmp_path.iterdir()] == [path.name]

"""Two programs at one logbook: the first writes, the second reads; no lock outlives its holder."""

from __future__ import annotations

import errno
import os
import subprocess
import sys
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from pathlib import Path

import pytest

from kilnlog.records.weighing import Weighing
from kilnlog.store.errors import DiskFailed, LockedLogbook
from kilnlog.store.logbook_file import LogbookFile
from tests.store.mill import first, grams, plain, raw_insert, write


@contextmanager
def other_program(path: Path, verb: str) -> Iterator[tuple[subprocess.Popen[str], str]]:
    """Another program at work, and the line it said when it was ready."""
    with subprocess.Popen(
        [sys.executable, "-m", "tests.store.other_program", str(path), verb],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    ) as program:
        assert program.stdout is not None
        try:
            yield program, program.stdout.readline().strip()
        finally:
            program.kill()


def weighing(rows, text: str):
    return first(Weighing(rows["charge"].entity, rows["board"].entity, grams(text)))


def test_the_second_program_reads_and_the_first_goes_on(path, rows):
    with other_program(path, "hold") as (program, said):
        assert said == "writing"
        with LogbookFile.open(path) as book:
            assert isinstance(book.why_read_only, LockedLogbook)
            assert book.why_read_only.values == {"path": str(path), "why": "writing"}
            assert book.entries("weighing") == [rows["weighing"]]
            with pytest.raises(LockedLogbook), book.immediate():
                pass
        program.communicate("close\n")
        assert program.returncode == 0
    with LogbookFile.open(path) as book:
        assert book.why_read_only is None


def test_a_reader_sees_what_the_writer_has_committed_and_no_more(path, rows):
    with LogbookFile.open(path) as writer, LogbookFile.open(path) as reader:
        assert isinstance(reader.why_read_only, LockedLogbook)
        added = weighing(rows, "1702")
        with writer.immediate():
            writer.insert(added)
            assert reader.entries("weighing") == [rows["weighing"]]
        assert reader.entries("weighing") == [rows["weighing"], added]
        assert reader.verify() == ()


def test_a_long_check_keeps_nobody_from_writing(path, rows):
    """A reader in the middle of a statement bars every commit, and a large logbook takes long to check."""
    with LogbookFile.open(path) as writer, LogbookFile.open(path) as reader:
        write(writer, *(weighing(rows, f"{1800 + n}") for n in range(1200)))
        before = writer.ledger_head().number
        written = []

        def write_one(done: int, of: int) -> None:
            write(writer, weighing(rows, "1702"))
            written.append(done)

        assert reader.verify(progress=write_one) == ()
        assert written == [0, 500, 1000, before]
        assert writer.ledger_head().number == before + 4


def test_the_other_program_reads_while_this_one_writes(path, rows):
    with LogbookFile.open(path) as writer:
        with other_program(path, "hold") as (_, said):
            assert said == "locked-logbook"
            write(writer, weighing(rows, "1702"))
        assert len(writer.entries("weighing")) == 2


def test_the_lock_dies_with_its_holder(path, rows):
    with other_program(path, "half") as (program, said):
        assert said == "half written"
        program.kill()
        program.wait()
        with LogbookFile.open(path) as book:
            assert book.why_read_only is None
            assert book.entries("weighing") == [rows["weighing"]]
            assert book.verify() == ()


def test_a_lock_file_left_behind_hinders_nobody(path, rows):
    left = Path(f"{path}-lock")
    left.write_text("left over from a crash")
    with LogbookFile.open(path) as book:
        assert book.why_read_only is None
    assert not left.exists()


def test_one_file_by_two_names_has_one_writer(path, rows):
    alias = path.parent / "alias.kilnlog"
    alias.symlink_to(path)
    with LogbookFile.open(path), LogbookFile.open(alias) as second:
        assert isinstance(second.why_read_only, LockedLogbook)


def test_opening_a_second_time_takes_no_lock_away_from_the_first(path, rows):
    """Closing any handle on a file drops this process's locks on it (POSIX); SQLite's must survive that."""
    with LogbookFile.open(path) as writer, writer.immediate():
        writer.insert(weighing(rows, "1702"))
        LogbookFile.open(path).close()
        LogbookFile.open(path, read_only=True).close()
        code = (
            "import sqlite3, sys\n"
            "c = sqlite3.connect(sys.argv[1], timeout=0, isolation_level=None)\n"
            "try: c.execute('BEGIN IMMEDIATE')\n"
            "except sqlite3.OperationalError as error: print(error)\n"
        )
        tried = subprocess.run(
            [sys.executable, "-c", code, str(path)], capture_output=True, text=True, check=True
        )
        assert tried.stdout == "database is locked\n"


def test_a_program_that_holds_the_file_too_long_is_told_of(path, rows, monkeypatch):
    monkeypatch.setattr("kilnlog.store.connection.PATIENCE_S", 0.05)
    with LogbookFile.open(path) as book, plain(path) as other:
        other.execute("BEGIN IMMEDIATE")
        with pytest.raises(LockedLogbook) as refused:
            write(book, weighing(rows, "1702"))
        assert refused.value.values == {"path": str(path), "why": "busy"}
        other.execute("ROLLBACK")
        write(book, weighing(rows, "1702"))
        assert book.verify() == ()


def test_a_reader_that_never_ends_keeps_nothing_half_written(path, rows, monkeypatch):
    monkeypatch.setattr("kilnlog.store.connection.PATIENCE_S", 0.05)
    with LogbookFile.open(path) as book, plain(path) as other:
        other.execute("BEGIN")
        other.execute("SELECT count(*) FROM kiln").fetchone()
        with pytest.raises(LockedLogbook):
            write(book, weighing(rows, "1702"))
        other.execute("ROLLBACK")
        assert book.entries("weighing") == [rows["weighing"]]
        write(book, weighing(rows, "1702"))


def test_closing_takes_back_what_was_not_committed(path, rows):
    book = LogbookFile.open(path)
    book._connection.execute("BEGIN IMMEDIATE")
    raw_insert(book._connection, weighing(rows, "1702"))
    book.close()
    book.close()
    with LogbookFile.open(path) as again:
        assert again.entries("weighing") == [rows["weighing"]]
        assert again.verify() == ()


def test_the_file_may_be_worked_on_by_another_thread(path, rows):
    with LogbookFile.open(path) as book, ThreadPoolExecutor(1) as worker:
        worker.submit(write, book, weighing(rows, "1702")).result()
        assert len(worker.submit(book.entries, "weighing").result()) == 2


@pytest.mark.parametrize(
    ("number", "error"),
    [
        (errno.ENOLCK, DiskFailed),
        (errno.EWOULDBLOCK, LockedLogbook),
    ],
)
def test_where_no_lock_can_be_had_the_file_is_read(path, rows, monkeypatch, number, error):
    def no_lock(*_: object) -> None:
        raise OSError(number, os.strerror(number))

    monkeypatch.setattr("kilnlog.store.writing_lock._seize", no_lock)
    with LogbookFile.open(path) as book:
        assert type(book.why_read_only) is error
        assert book.entries("weighing") == [rows["weighing"]]


def test_a_lock_taken_on_a_file_just_removed_is_taken_again(path, rows, monkeypatch):
    """Its holder may remove the lock's file between our opening it and our locking it."""
    removed = []

    def seize(handle: int) -> None:
        if not removed:
            Path(f"{path}-lock").unlink()
        removed.append(handle)

    monkeypatch.setattr("kilnlog.store.writing_lock._seize", seize)
    with LogbookFile.open(path) as book:
        assert book.why_read_only is None
        assert len(removed) == 2
        assert Path(f"{path}-lock").exists()

"""Let a disk run full at every place: ``python -m tests.store.fault_sweep FOLDER OPERATION STEP``.

The system refuses to let any file grow beyond a limit, which is raised by STEP bytes until the operation
completes. After every refusal the file is looked at by the same program and by a fresh one: it must hold what
it held before, pass every check, and take the very rows refused once there is room. One JSON line tells the
outcomes.
"""

from __future__ import annotations

import json
import os
import resource
import shutil
import sys
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

from kilnlog.store.errors import DiskFailed, DiskFull
from kilnlog.store.logbook_file import LogbookFile
from kilnlog.store.migrations import SCHEMA
from tests.store.make_past import PAST
from tests.store.mill import every_row, filled, first, grams, write

MOST = 3 * 2**20


@contextmanager
def no_file_beyond(limit: int) -> Iterator[None]:
    unlimited, most = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (limit, most))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (unlimited, most))


def advanced(attempt: Callable[[int], str], step: int) -> Counter[str]:
    """Attempt under a rising limit [bytes] until all goes well; the outcomes, counted."""
    outcomes: Counter[str] = Counter()
    for limit in range(0, MOST, step):
        outcome = attempt(limit)
        outcomes[outcome] += 1
        if outcome == "done":
            return outcomes
    raise AssertionError(f"never done: {outcomes}")


def heard(operation: Callable[[], object], limit: int) -> str:
    try:
        with no_file_beyond(limit):
            operation()
    except (DiskFull, DiskFailed) as error:
        return error.code
    return "done"


def sound(path: Path, expected: object) -> None:
    with LogbookFile.open(path) as book:
        assert book.why_read_only is None, book.why_read_only
        assert book.verify() == ()
    assert every_row(path) == expected
    assert [file.name for file in path.parent.iterdir()] == [path.name]


def inserting(folder: Path, step: int) -> Counter[str]:
    """Rows enough that the file grows by many pages."""
    template = folder / "template.kilnlog"
    rows = filled(template)
    before = every_row(template)
    weighing = rows["weighing"].fact
    added = [first(type(weighing)(weighing.charge, weighing.board, grams(str(1800 - n)))) for n in range(60)]

    def attempt(limit: int) -> str:
        here = folder / "work"
        here.mkdir()
        path = here / "Mill.kilnlog"
        shutil.copy(template, path)
        with LogbookFile.open(path) as book:
            outcome = heard(lambda: write(book, *added), limit)
            if outcome != "done":
                assert book.entries("weighing") == [rows["weighing"]]  # the same program still reads
                assert every_row(path) == before
                write(book, *added)  # and writes, once there is room
            assert book.entries("weighing") == [rows["weighing"], *added]
            assert book.verify() == ()
            after = every_row(path)
        sound(path, after)
        shutil.rmtree(here)
        return outcome

    return advanced(attempt, step)


def dying(folder: Path, step: int) -> Counter[str]:
    """The same, but the program ends at the refusal: what it left behind is put right by the next one."""
    template = folder / "template.kilnlog"
    rows = filled(template)
    before = every_row(template)
    weighing = rows["weighing"].fact
    added = [first(type(weighing)(weighing.charge, weighing.board, grams(str(1800 - n)))) for n in range(60)]

    def attempt(limit: int) -> str:
        here = folder / "work"
        here.mkdir()
        path = here / "Mill.kilnlog"
        shutil.copy(template, path)
        child = os.fork()
        if child == 0:
            book = LogbookFile.open(path)
            os._exit(0 if heard(lambda: write(book, *added), limit) == "done" else 1)
        status = os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
        assert status in (0, 1), status
        if status == 1:
            sound(path, before)
        shutil.rmtree(here)
        return "done" if status == 0 else "died"

    return advanced(attempt, step)


def creating(folder: Path, step: int) -> Counter[str]:
    def attempt(limit: int) -> str:
        path = folder / "Mill.kilnlog"

        def create() -> None:
            LogbookFile.create(path).close()

        outcome = heard(create, limit)
        if outcome == "done":
            assert [file.name for file in folder.iterdir()] == [path.name]
        elif path.exists():  # it was made whole; only opening it for writing failed
            with LogbookFile.open(path) as book:
                assert book.verify() == ()
            path.unlink()
        assert outcome == "done" or list(folder.iterdir()) == []
        return outcome

    return advanced(attempt, step)


def backing_up(folder: Path, step: int) -> Counter[str]:
    path = folder / "Mill.kilnlog"
    filled(path)
    before = every_row(path)
    with LogbookFile.open(path) as book:

        def attempt(limit: int) -> str:
            copies = folder / "copies"
            copies.mkdir()
            outcome = heard(lambda: book.backup(copies / "copy.kilnlog"), limit)
            if outcome == "done":
                sound(copies / "copy.kilnlog", before)
            else:
                assert list(copies.iterdir()) == []
            shutil.rmtree(copies)
            assert book.verify() == ()
            return outcome

        return advanced(attempt, step)


def upgrading(folder: Path, step: int) -> Counter[str]:
    """A file of the first schema: upgraded, or read as it is, and then upgraded once there is room."""
    source = PAST / "schema_1.kilnlog"

    def attempt(limit: int) -> str:
        here = folder / "work"
        here.mkdir()
        path = here / "Mill.kilnlog"
        shutil.copyfile(source, path)
        with no_file_beyond(limit):
            book = LogbookFile.open(path)
        with book:
            assert book.verify() == ()
            assert len(book.charges()) == 1
            why = book.why_read_only
        if why is not None:
            assert isinstance(why, DiskFull | DiskFailed)
            assert path.read_bytes() == source.read_bytes()
            with LogbookFile.open(path) as book:
                assert book.why_read_only is None
                assert book.verify() == ()
        with LogbookFile.open(here / f"Mill before schema {SCHEMA}.kilnlog", read_only=True) as copy:
            assert copy.verify() == ()
        assert len(list(here.iterdir())) == 2
        shutil.rmtree(here)
        return "done" if why is None else why.code

    return advanced(attempt, step)


OPERATIONS = {function.__name__: function for function in (inserting, dying, creating, backing_up, upgrading)}

if __name__ == "__main__":
    print(json.dumps(OPERATIONS[sys.argv[2]](Path(sys.argv[1]), int(sys.argv[3]))))

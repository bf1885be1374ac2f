"""A disk that runs full, or takes no more, at every place of an operation: told, and nothing is lost."""

from __future__ import annotations

import json
import subprocess
import sys

import pytest

from kilnlog.store.errors import DiskFull
from kilnlog.store.logbook_file import LogbookFile
from tests.store.mill import every_row, filled, first, grams, write

#: Thirteen sectors: no multiple of a page, so that pages are torn as well as missed [bytes].
STEP = 6656


@pytest.mark.parametrize("operation", ["inserting", "dying", "creating", "backing_up", "upgrading"])
def test_a_refused_operation_changes_nothing_wherever_it_is_refused(tmp_path, operation):
    swept = subprocess.run(
        [sys.executable, "-m", "tests.store.fault_sweep", str(tmp_path), operation, str(STEP)],
        capture_output=True,
        text=True,
        check=False,
    )
    assert swept.returncode == 0, swept.stderr
    outcomes = json.loads(swept.stdout)
    assert outcomes.pop("done") == 1
    assert set(outcomes) <= {"disk-full", "disk-failed", "died"}
    assert sum(outcomes.values()) > 50


def test_a_full_disk_is_told_page_by_page_until_there_is_room(path):
    rows = filled(path)
    weighing = rows["weighing"].fact
    added = [first(type(weighing)(weighing.charge, weighing.board, grams(str(1900 - n)))) for n in range(100)]
    before = every_row(path)
    with LogbookFile.open(path) as book:
        (pages,) = book._connection.execute("PRAGMA page_count").fetchone()
        refusals = []
        while len(refusals) < pages:
            book._connection.execute(f"PRAGMA max_page_count = {pages + len(refusals)}")
            try:
                write(book, *added)
                break
            except DiskFull as error:
                refusals.append(error.values)
            assert every_row(path) == before
            assert book.ledger_head().number == len(rows)
        assert len(refusals) > 10
        assert refusals == [{"path": str(path)}] * len(refusals)
        assert book.entries("weighing") == [rows["weighing"], *added]
        assert book.verify() == ()

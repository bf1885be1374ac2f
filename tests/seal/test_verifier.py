"""An outsider's verifier, written from the help page, says what ``kilnlog verify`` says of every file."""

from __future__ import annotations

import ast
import shutil
import sqlite3
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner

from kilnlog.cli import main
from kilnlog.logbook.demo import fresh_sample
from kilnlog.logbook.seals import all_seals
from kilnlog.records.facts import TABLES
from kilnlog.reference.resources import resource
from tests.seal import verifier
from tests.seal.bit_flips import small_closed_file
from tests.seal.finished import opened
from tests.store.make_past import PAST
from tests.store.mill import unruled

SOURCE = Path(verifier.__file__)


def test_it_is_short_and_knows_nothing_of_kilnlog():
    text = SOURCE.read_text(encoding="utf-8")
    assert len(text.splitlines()) < 80
    imported = {
        name.split(".")[0]
        for node in ast.walk(ast.parse(text))
        if isinstance(node, (ast.Import, ast.ImportFrom))
        for name in ([node.module] if isinstance(node, ast.ImportFrom) else [one.name for one in node.names])
    }
    assert imported == {"json", "sqlite3", "sys", "hashlib"}


def test_the_help_page_gives_the_letters_and_a_short_form_to_check_oneself_by():
    page = resource("help", "ledger.md").read_text(encoding="utf-8")
    assert verifier.LETTERS in page
    assert verifier.short_form("") in page


@pytest.fixture(scope="module")
def sample(tmp_path_factory):
    return fresh_sample(tmp_path_factory.mktemp("sample"))


@pytest.fixture(scope="module")
def small(tmp_path_factory):
    path = tmp_path_factory.mktemp("small") / "small.kilnlog"
    small_closed_file(path)
    return path


def by_outsider(path, *short_forms):
    return subprocess.run(
        [sys.executable, str(SOURCE), str(path), *short_forms], capture_output=True, text=True, check=False
    )


def by_program(path, *short_forms):
    asked = [part for short in short_forms for part in ("--seal", short)]
    return CliRunner().invoke(main, ["verify", str(path), *asked])


def test_both_agree_on_every_seal_of_the_sample(sample):
    """Every closed charge of the sample, each by the short form its papers bear."""
    with opened(sample) as book:
        seals = list(all_seals(book))
        closed = {
            line.entity for line in book.file.charges() if book.file.charge_record(line.entity).is_closed
        }
    assert {seal.entry.fact.charge for seal in seals} == closed
    assert len(closed) > 10
    wrong, found = verifier.check(sample)
    assert wrong == []
    assert sorted(found) == sorted(seal.short_form for seal in seals)
    assert by_outsider(sample, *found).returncode == 0
    assert all(seal.fits for seal in seals)
    told = by_program(sample, found[-1])  # which goes through all of it
    assert told.exit_code == 0
    assert found[-1] in told.output


@pytest.mark.parametrize("file", sorted(PAST.glob("*.kilnlog")), ids=lambda path: path.stem)
def test_both_agree_on_files_of_earlier_schemas(file, tmp_path):
    copy = Path(shutil.copy(file, tmp_path / "past.kilnlog"))
    assert by_outsider(copy).returncode == 0
    assert by_program(copy).exit_code == 0


def test_both_agree_that_a_short_form_is_not_there(small):
    assert by_program(small, "7QD4-M2XH-9KTB").exit_code == 2
    assert by_outsider(small, "7QD4-M2XH-9KTB").returncode == 1


TAMPERINGS = {
    **{f"a name in {table}": f"UPDATE {table} SET entered_by = 'Eve'" for table in TABLES},
    **{f"a row of {table}": f"DELETE FROM {table}" for table in TABLES},
    "a line": "DELETE FROM ledger WHERE number = 5",
    "the last line": "DELETE FROM ledger WHERE number = (SELECT max(number) FROM ledger)",
    "a line's hash": "UPDATE ledger SET chain_sha256 = lower(hex(randomblob(32))) WHERE number = 7",
    "a row's hash": "UPDATE ledger SET row_sha256 = lower(hex(randomblob(32))) WHERE number = 7",
    "another logbook": "UPDATE logbook SET uid = 'other'",
    "a seal's text": "UPDATE closing SET sealed_text = sealed_text || ' '",
    "a seal's place": "UPDATE closing SET ledger_number = ledger_number - 1",
    "a seal's head": "UPDATE closing SET ledger_head = lower(hex(randomblob(32)))",
    "a day's readings": "UPDATE logger_day SET readings = replace(readings, '48.62', '48.26')",
    "a day's hash": "UPDATE logger_day SET sha256 = lower(hex(randomblob(32)))",
    "a day's count": "UPDATE logger_day SET rows = rows + 1",
    "a day": "DELETE FROM logger_day WHERE day = (SELECT max(day) FROM logger_day)",
    "the order of a table": "UPDATE lot SET id = id + 5",
}
#: One row alone has no order: where it stands in its table says nothing.
HARMLESS = {"the order of a table"}


@pytest.mark.parametrize("what", TAMPERINGS)
def test_both_agree_on_files_tampered_with(small, tmp_path, what):
    copy = Path(shutil.copy(small, tmp_path / "mill.kilnlog"))
    with unruled(copy) as other:
        other.execute(TAMPERINGS[what])
    program, (wrong, _) = by_program(copy), verifier.check(copy)
    assert (program.exit_code == 0, wrong == []) == ((what in HARMLESS,) * 2), (program.output, wrong)
    assert program.exception is None or isinstance(program.exception, SystemExit)


def test_neither_is_content_with_pages_that_are_damaged(small, tmp_path):
    copy = tmp_path / "mill.kilnlog"
    raw = bytearray(small.read_bytes())
    with sqlite3.connect(small) as other:
        ((root,),) = other.execute("SELECT rootpage FROM sqlite_schema WHERE name = 'weighing_by_board'")
    raw[(root - 1) * 4096] ^= 1
    copy.write_bytes(raw)
    assert by_program(copy).exit_code != 0
    assert by_outsider(copy).returncode == 1

"""What loggers wrote goes out and comes in again to the letter, or not at all."""

from __future__ import annotations

import csv
import hashlib
import zipfile
from contextlib import closing
from dataclasses import replace
from datetime import date

import pytest

from kilnlog.exchange.errors import ImportRefused, ReadingsDiffer
from kilnlog.exchange.to_tables import PIECE_LENGTH, rows_of
from kilnlog.exchange.write_folder import write_folder
from kilnlog.logbook.exporting import export
from kilnlog.logbook.importing import import_into
from kilnlog.logbook.session import new_logbook
from kilnlog.records.charge import Charge
from kilnlog.records.logger_batch import LoggerDay
from kilnlog.records.version import VersionKind
from tests.store.mill import DAYS, ZONE, first, logged, successor, void, write

#: 1,440 readings a day, as a logger writes them; longer than a cell of a sheet may be.
LONG = LoggerDay.from_rows(
    date(2026, 3, 4),
    ((1772582400 + 60 * n, f"{45 + n % 83 / 10:.2f}", f"{60 - n % 17}.0") for n in range(1440)),
)


@pytest.fixture
def mill(book):
    """A charge with a batch renamed, one taken back and a long one."""
    charge = first(Charge("2026-4", ZONE))
    write(book.file, charge)
    with book.file.immediate():
        renamed = book.file.insert_logger_batch(logged(charge.entity), DAYS)
        wrong = book.file.insert_logger_batch(logged(charge.entity, DAYS, "leaving"), DAYS)
        book.file.insert_logger_batch(logged(charge.entity, [LONG]), [LONG])
        book.file.insert(
            successor(renamed, VersionKind.CORRECTION, "other plug", replace(renamed.fact, sensor="fan side"))
        )
        book.file.insert(void(wrong, "wrong clock"))
    return book


def as_folder(book, place):
    place.mkdir()
    write_folder(place, rows_of(book.file.everything(), book.file.logger_days))
    return place


def as_workbook(book, place):
    return export(book, place.with_suffix(".xlsx"))


FORMS = pytest.mark.parametrize("written", [as_folder, as_workbook])


def everything(book):
    batches = {entry.entity for entry in book.file.entries("logger_batch")}
    return book.file.everything(), {batch: tuple(book.file.logger_days(batch)) for batch in batches}


@FORMS
def test_readings_go_out_and_come_in_again(mill, tmp_path, written):
    assert len(LONG.text) > 32_767 > PIECE_LENGTH
    with closing(new_logbook(tmp_path / "Second.kilnlog")) as other:
        import_into(other, written(mill, tmp_path / "out"))
        assert everything(other) == everything(mill)
        assert other.file.verify() == ()
        again = written(other, tmp_path / "again")
        assert import_into(other, again).entries == ()  # it holds them all already
    assert import_into(mill, again).entries == ()


def altered(folder, change):
    """The folder with the text of its readings changed, row by row."""
    path = folder / "logger_readings.csv"
    with path.open(encoding="utf-8", newline="") as file:
        heading, *rows = csv.reader(file)
    with path.open("w", encoding="utf-8", newline="") as file:
        csv.writer(file).writerows([heading, *(row for row in map(change, rows) if row is not None)])
    return folder


def one_digit(row):
    return [*row[:2], row[2].replace("48.50", "48.51"), *row[3:]]


@pytest.mark.parametrize(
    "change",
    [
        one_digit,
        lambda row: None if row[1] == "2026-03-02" else row,
        lambda row: [*row[:2], "[[", *row[3:]],
        lambda row: [row[0], "2026-03-02" if row[1] == "2026-03-03" else row[1], *row[2:]],
    ],
)
def test_readings_that_were_altered_refuse_the_whole(mill, tmp_path, change):
    source = altered(as_folder(mill, tmp_path / "out"), change)
    with closing(new_logbook(tmp_path / "Second.kilnlog")) as other:
        with pytest.raises(ReadingsDiffer) as error:
            import_into(other, source)
        assert error.value.values["file_name"] == "kiln 2026-03.csv"
        assert other.file.ledger_head().number == 0


def test_a_batch_without_its_readings_is_refused(mill, tmp_path):
    source = as_folder(mill, tmp_path / "out")
    (source / "logger_readings.csv").unlink()
    with closing(new_logbook(tmp_path / "Second.kilnlog")) as other, pytest.raises(ReadingsDiffer):
        import_into(other, source)


@pytest.mark.parametrize(
    ("change", "column", "code"),
    [
        (lambda row: ["nobody", *row[1:]], "batch", "unknown-uid"),
        (lambda row: [row[0], "2026-02-30", *row[2:]], "day", "unreadable-time"),
        (lambda row: [row[0], "", *row[2:]], "day", "unreadable-time"),
        (lambda row: [*row[:2], "", *row[3:]], "readings", "missing-value"),
    ],
)
def test_a_row_of_readings_that_says_nothing_is_refused_with_its_place(mill, tmp_path, change, column, code):
    source = altered(as_folder(mill, tmp_path / "out"), change)
    with closing(new_logbook(tmp_path / "Second.kilnlog")) as other, pytest.raises(ImportRefused) as refused:
        import_into(other, source)
    problem = refused.value.problems[0]
    assert (problem.file, problem.row, problem.column) == ("logger_readings.csv", 2, column)
    assert problem.cause.code == code


def test_one_charge_alone_takes_its_own_readings(mill, tmp_path):
    other = first(Charge("2026-5", ZONE))
    write(mill.file, other)
    alone = export(mill, tmp_path / "alone.xlsx", charge=other.entity)
    with zipfile.ZipFile(alone) as archive:
        assert not any(b"48.50" in archive.read(name) for name in archive.namelist())
    whole = export(mill, tmp_path / "whole.xlsx")
    with zipfile.ZipFile(whole) as archive:
        assert any(b"48.50" in archive.read(name) for name in archive.namelist())


def test_the_digest_in_the_files_can_be_worked_out_from_them(mill, tmp_path):
    source = as_folder(mill, tmp_path / "out")
    with (source / "logger_readings.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.reader(file))[1:]
    with (source / "logger_batches.csv").open(encoding="utf-8", newline="") as file:
        batches = list(csv.DictReader(file))
    for batch in (each for each in batches if each["version"] == "first"):
        lines = [
            f"{day} {hashlib.sha256(''.join(pieces).encode()).hexdigest()}\n"
            for uid, day, *pieces in rows
            if uid == batch["uid"]
        ]
        assert hashlib.sha256("".join(lines).encode()).hexdigest() == batch["digest"]

"""Out and in again: a random logbook comes back the same, through CSV files and through a workbook."""

from __future__ import annotations

import tempfile
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from kilnlog.exchange.logger_readings import Readings, readings_from
from kilnlog.exchange.read_source import read
from kilnlog.exchange.to_tables import TableRows, rows_of
from kilnlog.exchange.workbook import write_workbook
from kilnlog.exchange.write_folder import write_folder
from kilnlog.records.logger_batch import LoggerBatch, LoggerDay
from kilnlog.records.moment import Moment
from kilnlog.records.version import Entry, VersionKind
from kilnlog.store.logbook_file import LogbookFile
from tests.exchange.folders import NOW, by_table, taken_in
from tests.exchange.logbooks import logbooks
from tests.store.mill import DAYS

SLOW_TO_DRAW = settings(
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
    max_examples=40,
    # A logbook is too large a thing to be made small step by step: that takes minutes and says no more.
    phases=[Phase.explicit, Phase.reuse, Phase.generate],
)
MADE_AT = Moment(NOW, "Europe/Vienna")
SAMPLE = Path(__file__).parents[2] / "sample_db"
FORMS = ("folder", "workbook")


def same_days(_: str) -> Iterable[LoggerDay]:
    """The readings of every batch of a random logbook."""
    return DAYS


def written(
    entries: Mapping[str, Sequence[Entry[Any]]], form: str, place: Path, readings: Readings = same_days
) -> Path:
    """The record as files of that form."""
    if form == "folder":
        (place / "out").mkdir()
        write_folder(place / "out", rows_of(entries, readings))
        return place / "out"
    write_workbook(
        place / "out.xlsx",
        entries,
        [],
        program_version="0.1.0",
        made_at=MADE_AT,
        readings=readings,
    )
    return place / "out.xlsx"


def cells(tables: Sequence[TableRows]) -> dict[str, tuple[Any, Any]]:
    return {rows.table.name: (rows.columns, rows.rows) for rows in tables}


@SLOW_TO_DRAW
@given(entries=logbooks(), form=st.sampled_from(FORMS))
def test_export_import_export_gives_the_same_records(entries: list[Entry[Any]], form: str) -> None:
    record = by_table(entries)
    with tempfile.TemporaryDirectory() as place:
        source = written(record, form, Path(place))
        # Another machine: another zone and another clock than the logbook was written with.
        back = taken_in(source, zone="Asia/Tokyo")
        assert taken_in(source, record) == []  # the logbook it came from holds it all already
    assert cells(rows_of(by_table(back))) == cells(rows_of(record))
    assert by_table(back) == record


@SLOW_TO_DRAW
@given(entries=logbooks())
def test_rows_come_in_an_order_that_a_logbook_accepts(entries: list[Entry[Any]]) -> None:
    with tempfile.TemporaryDirectory() as place:
        back = taken_in(written(by_table(entries), "folder", Path(place)))
    there: set[str] = set()
    taken_back: set[str] = set()
    for entry in back:
        version, fact = entry.version, entry.fact
        assert version.supersedes is None or version.supersedes in there
        references = {
            getattr(fact, name)
            for name in ("kiln", "charge", "lot", "board", "section", "replaces", "instrument")
            if hasattr(fact, name) and getattr(fact, name) is not None
        }
        referred = {name for name in references if str(name).startswith("uid-")}
        assert referred <= there | {entry.entity}
        assert version.kind is VersionKind.VOID or not referred & taken_back
        there.add(version.uid)
        if version.kind is VersionKind.VOID:
            taken_back.add(entry.entity)


@settings(SLOW_TO_DRAW, max_examples=15)
@given(entries=logbooks(), form=st.sampled_from(FORMS))
def test_through_the_logbook_file_and_back(entries: list[Entry[Any]], form: str) -> None:
    with tempfile.TemporaryDirectory() as place:
        here = Path(place)
        first = kept(here / "first.kilnlog", entries)
        source = written(first, form, here)
        second = kept(here / "second.kilnlog", taken_in(source, zone="Asia/Tokyo"))
    assert cells(rows_of(second)) == cells(rows_of(first))


@pytest.mark.parametrize("form", FORMS)
def test_the_sample_goes_out_and_comes_back(tmp_path: Path, form: str) -> None:
    entries = taken_in(SAMPLE)
    logged = readings_in(SAMPLE, entries)
    first = kept(tmp_path / "first.kilnlog", entries, logged)
    assert len(first["weighing"]) > 1000
    assert sum(len(day.text) for batch in first["logger_batch"] for day in logged(batch.entity)) > 50_000
    source = written(first, form, tmp_path, logged)
    back = taken_in(source, zone="Asia/Tokyo")
    again = readings_in(source, back)
    second = kept(tmp_path / "second.kilnlog", back, again)
    assert cells(rows_of(second, again)) == cells(rows_of(first, logged))


def readings_in(source: Path, entries: Sequence[Entry[Any]]) -> Readings:
    """The logger readings among the files."""
    found = readings_from(read(source), by_table(entries)["logger_batch"])
    return lambda batch: found[batch]


def kept(
    path: Path, entries: Sequence[Entry[Any]], readings: Readings = same_days
) -> dict[str, list[Entry[Any]]]:
    """Everything a new logbook file holds once these rows were written to it."""
    with LogbookFile.create(path) as book:
        with book.immediate():
            for entry in entries:
                if isinstance(entry.fact, LoggerBatch) and entry.version.kind is VersionKind.FIRST:
                    assert book.insert_logger_batch(entry, readings(entry.entity)) == entry
                else:
                    book.insert(entry)
        return book.everything()

"""The files and the logbook file agree on what is possible, so that no row is refused without its place."""

from __future__ import annotations

import re
import sqlite3
from pathlib import Path

import pytest

from kilnlog.exchange.columns import Column, Holds
from kilnlog.exchange.tables import FILE_TABLES
from kilnlog.store.logbook_file import LogbookFile


@pytest.fixture(scope="module")
def schema(tmp_path_factory: pytest.TempPathFactory) -> dict[str, str]:
    """The SQL of each table of a logbook file."""
    path: Path = tmp_path_factory.mktemp("bounds") / "Mill.kilnlog"
    LogbookFile.create(path).close()
    connection = sqlite3.connect(path)
    try:
        return dict(connection.execute("SELECT name, sql FROM sqlite_master WHERE type = 'table'"))
    finally:
        connection.close()


COLUMNS = [
    pytest.param(table.table, column, id=f"{table.name}.{column.name}")
    for table in FILE_TABLES.values()
    for column in table.columns
    if column.holds in (Holds.NUMBER, Holds.COUNT, Holds.WORD) and column.name != "weight_unit"
]


@pytest.mark.parametrize(("table", "column"), COLUMNS)
def test_bounds_and_words_are_those_of_the_logbook_file(
    schema: dict[str, str], table: str, column: Column
) -> None:
    stated = re.search(rf'CONSTRAINT "{column.name}: ([^"]*)"', schema[table])
    assert stated is not None
    if column.words is not None:
        words = stated[1].removeprefix("one of ").split(" | ")
        assert words == [word.value for word in column.words]
        return
    low, high = (float(bound) for bound in stated[1].split(" to "))
    assert high == column.high
    assert low == (column.low if column.low is not None else column.above)
    is_open = re.search(rf"CHECK \({column.name} > 0 ", schema[table]) is not None
    assert is_open == (column.above is not None)

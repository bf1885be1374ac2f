"""Speed as a ratio to a named peer in the same run: bare ``sqlite3`` doing the same reads and writes."""

from __future__ import annotations

import gc
import time
from collections.abc import Callable

from kilnlog.store.fact_tables import fact_table
from tests.store.mill import first, grams, one_of_each, write

ROWS = 1000


def shortest(action: Callable[[], object], times: int = 7) -> float:
    """The least processor time the action took [s]: what else the machine does shall not count."""
    taken = []
    gc.disable()
    try:
        for _ in range(times):
            start = time.thread_time()
            action()
            taken.append(time.thread_time() - start)
    finally:
        gc.enable()
    return min(taken)


def test_a_charge_of_a_thousand_rows_is_loaded_soon(book):
    rows = one_of_each()
    board = rows["board"]
    kind = type(rows["weighing"].fact)
    charge = rows["charge"].entity
    weighings = [first(kind(charge, board.entity, grams(f"{1800 - n / 2:.1f}"))) for n in range(ROWS)]
    write(book, *(rows[table] for table in ("kiln", "charge", "lot", "board")), *weighings)
    assert len(book.charge_record(charge).weighing) == ROWS

    sql = fact_table("weighing").select_sql + " ORDER BY id"
    bare = shortest(lambda: book._connection.execute(sql).fetchall())
    loaded = shortest(lambda: book.charge_record(charge))
    assert loaded < 8 * bare  # about 2 ms bare, so 15 ms


def test_a_row_is_inserted_soon(book):
    rows = one_of_each()
    board = rows["board"]
    kind = type(rows["weighing"].fact)
    charge = rows["charge"].entity
    write(book, *(rows[table] for table in ("kiln", "charge", "lot", "board")))
    connection = book._connection
    connection.execute("CREATE TEMP TABLE bare (uid TEXT UNIQUE, charge TEXT, board TEXT, weight TEXT)")
    weighings = [first(kind(charge, board.entity, grams(f"{1800 - n / 2:.1f}"))) for n in range(ROWS)]

    with book.immediate():
        start = time.thread_time()
        for weighing in weighings[: ROWS // 2]:
            book.insert(weighing)
        inserted = time.thread_time() - start
        start = time.thread_time()
        for weighing in weighings:
            connection.execute(
                "INSERT INTO bare VALUES (?, ?, ?, ?)",
                (weighing.entity, charge, board.entity, weighing.fact.weight.text),
            )
        bare = (time.thread_time() - start) / 2
    assert inserted < 60 * bare  # about 5 us bare, so 0.3 ms a row

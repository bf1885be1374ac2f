"""Keep one logbook of the schema of today for the upgrade tests of later versions.

``python -m tests.store.make_past`` writes ``sample_db/past/schema_N.kilnlog`` and prints its ledger head. A
file kept is never made anew: later versions must read what earlier ones wrote.
"""

from dataclasses import replace
from pathlib import Path

from kilnlog.records.version import VersionKind
from kilnlog.records.words import ProbePlace, TemperatureUnit
from kilnlog.store.logbook_file import SUFFIX, LogbookFile
from kilnlog.store.migrations import SCHEMA
from tests.store.mill import MONDAY, first, grams, logged, one_of_each, successor, void, write

PAST = Path(__file__).parents[2] / "sample_db" / "past"


def make(path: Path) -> str:
    """Write a logbook with every table and every kind of version; returns its ledger head."""
    rows = one_of_each()
    closing = rows.pop("closing")
    second = first(replace(rows["lot"].fact, lot="B", owner="Hollow Oak"))
    left_early = first(replace(closing.fact, lot=second.entity, sealed_text='{"lot":"B"}'))
    board, weighing, lot, kiln, batch = (
        rows[table] for table in ("board", "weighing", "lot", "kiln", "logger_batch")
    )
    misread = first(replace(weighing.fact, weight=grams("1702")), MONDAY.plus_hours(24))
    typed_twice = first(misread.fact, MONDAY.plus_hours(24))
    with LogbookFile.create(path) as book:
        write(book, *rows.values())
        write(book, misread, typed_twice)
        write(
            book, successor(misread, reason="digits turned", fact=replace(misread.fact, weight=grams("1720")))
        )
        write(book, void(typed_twice))
        out = MONDAY.plus_hours(48)
        write(book, successor(lot, VersionKind.CHANGE, None, replace(lot.fact, out_at=out), out))
        write(
            book,
            successor(board, reason="cut from the lower log", fact=replace(board.fact, cut_from="log 2")),
        )
        sensors = replace(
            kiln.fact,
            entering_sensor="fan side",
            leaving_sensor="door side",
            temperature_unit=TemperatureUnit.CELSIUS,
        )
        write(book, successor(kiln, VersionKind.CHANGE, None, sensors, out))
        write(book, successor(batch, reason="other plug", fact=replace(batch.fact, sensor="fan side")))
        probe = logged(batch.fact.charge, placed_in=ProbePlace.CORE)
        write(book, second, probe)
        for closed, why in ((left_early, "tally miscounted"), (closing, "a weight was misread")):
            write(book, closed)
            reopened = replace(closed.fact, reopened=True, sealed_text=None)
            (opened,) = write(book, successor(closed, VersionKind.CHANGE, why, reopened))
            write(book, successor(opened, VersionKind.CHANGE, None, closed.fact))
        head = book.ledger_head()
    return f"{head.number} {head.hash_hex}"


if __name__ == "__main__":
    print(make(PAST / f"schema_{SCHEMA}{SUFFIX}"))

"""Flip bits of a small closed logbook and see what notices: ``python -m tests.seal.bit_flips [--every-bit]``.

A bit flipped is *detected* where the logbook is refused or opened as damaged, where ``verify`` names what
does not fit, or where a seal is not verified. It is *neutral* where none of that happens and every row reads
as before, the seals among them. *Outside* is when the file was made and by which version: no line of the
ledger speaks of that, as the help page says. What is none of these is *unseen*; an error not expected fails.

That takes some 20 ms, and there are eight million bits, so most are judged by a shortcut that looks only at
what the byte belongs to:

- a row of the schema that reads differently is detected: its type, name and SQL enter the fingerprint that is
  compared on opening, and SQLite itself compares the names with the statement, capitals apart;
- a table's tree is read through and checked by SQLite as ``verify`` has it checked: a row that reads
  differently has another hash than its line in the ledger;
- where neither shows anything, and in bytes that the file format leaves unused, such bits are flipped all at
  once: the real program must then find every row of the file as it was;
- all else, and a seeded sample of everything above, goes to the real program one by one, which must agree.
"""

from __future__ import annotations

import mmap
import random
import sqlite3
import sys
import tempfile
from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from functools import partial
from pathlib import Path
from typing import Any
from zlib import crc32

from kilnlog.logbook.closing import close_charge
from kilnlog.logbook.seals import all_seals
from kilnlog.logbook.session import Logbook
from kilnlog.records.errors import KilnlogError
from kilnlog.records.facts import TABLES
from kilnlog.reference.tables import load
from kilnlog.store.errors import ReadOnlyLogbook
from kilnlog.store.logbook_file import LogbookFile
from tests.seal.pages import PageMap, page_map
from tests.store.mill import MONDAY, filled

DETECTED, NEUTRAL, OUTSIDE, UNSEEN = "detected", "neutral", "outside", "unseen"
#: Tables whose rows no line of the ledger covers by their own hash: asked of the real program.
NOT_IN_LEDGER = {"logbook", "logger_day", "_sqlite_migrations", "sqlite_sequence"}
FOUND = (DETECTED, NEUTRAL, OUTSIDE, UNSEEN)
TOGETHER = "together"
SCHEMA_ROWS = "SELECT rowid, type, name, sql, tbl_name, rootpage FROM sqlite_schema"
SAMPLE = 60  # of the bits flipped together that are flipped alone as well
Flip = tuple[int, int]  # the byte's offset, the bit


def small_closed_file(path: Path) -> None:
    """A row of every kind, two days of a logger, and the seal over its charge."""
    rows = filled(path)
    with LogbookFile.open(path) as file:
        book = Logbook(file, "Hanna", lambda: MONDAY.plus_hours(48).utc, MONDAY.zone)
        close_charge(book, rows["charge"].entity, MONDAY.plus_hours(40), "dry", load())


def content(path: Path) -> dict[str, str]:
    """All that a reader of the file is told: rows of every table with their places, text as its bytes."""
    connection = sqlite3.connect(path)
    connection.text_factory = bytes
    try:
        return {
            table: repr(connection.execute(f"SELECT * FROM {table}").fetchall())
            for table in ("logbook", "ledger", *TABLES, "logger_day")
        }
    finally:
        connection.close()


def by_program(path: Path, before: dict[str, str]) -> str:
    """What kilnlog makes of the file."""
    try:
        with LogbookFile.open(path, read_only=True) as file:
            if not isinstance(file.why_read_only, ReadOnlyLogbook) or file.verify():
                return DETECTED
            book = Logbook(file, "Hanna", lambda: MONDAY.utc, MONDAY.zone)
            if not all(seal.fits for seal in all_seals(book)):
                return DETECTED
    except (KilnlogError, sqlite3.Error):
        return DETECTED
    after = content(path)
    if after == before:
        return NEUTRAL
    # Another uid would have been seen: every line of the ledger is hashed with it.
    changed = {table for table in before if after[table] != before[table]}
    return OUTSIDE if changed == {"logbook"} else UNSEEN


def is_same_name(one: str, other: str) -> bool:
    """Whether two names are one to SQLite, which takes ASCII capitals for small letters."""
    return one.lower() == other.lower()


def is_odd(row: Iterable[Any]) -> bool:
    """Whether a row of the schema holds what only a damaged one can: the program has to cope with it."""
    *texts, root = row
    return not isinstance(root, int) or not all(text is None or isinstance(text, str) for text in texts)


@dataclass
class Report:
    """How many bits were what, by what their bytes belong to; those unseen one by one."""

    split: dict[str, Counter[str]] = field(default_factory=dict)
    unseen: list[tuple[str, Flip]] = field(default_factory=list)
    asked: int = 0  # of the real program
    disagreed: list[tuple[str, Flip, str, str]] = field(default_factory=list)

    def add(self, group: str, flip: Flip, found: str) -> None:
        self.split.setdefault(group, Counter())[found] += 1
        if found == UNSEEN:
            self.unseen.append((group, flip))

    def total(self) -> Counter[str]:
        return sum(self.split.values(), Counter())


class Flipper:
    """A file whose bits are flipped in place, with a connection that reads them as they are."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self.before = content(path)
        self.map: PageMap = page_map(path)
        self.file = path.open("r+b")
        self.bytes = mmap.mmap(self.file.fileno(), 0)
        self.eye = sqlite3.connect(path)  # reads through the same memory; only page 1 is kept aside
        self.eye.execute(f"PRAGMA mmap_size = {len(self.bytes)}")
        self.eye.execute("PRAGMA cell_size_check = ON")
        # Text that is no UTF-8 any more is read on: nobody may ever ask for the column it stands in.
        self.eye.text_factory = lambda raw: raw.decode(errors="surrogateescape")
        self.schema = {row[0]: row for row in self.all_schema()}
        self.tables = {name: self.table(name) for name in self.map.trees if name != "sqlite_sequence"}

    def close(self) -> None:
        self.eye.close()
        self.bytes.close()
        self.file.close()

    @contextmanager
    def flipped(self, flips: Iterable[Flip]) -> Iterator[None]:
        flips = list(flips)
        for at, bit in flips:
            self.bytes[at] ^= 1 << bit
        try:
            yield
        finally:
            for at, bit in flips:
                self.bytes[at] ^= 1 << bit

    def all_schema(self) -> list[tuple[Any, ...]]:
        return self.eye.execute(f"{SCHEMA_ROWS} ORDER BY rowid").fetchall()

    def table(self, name: str) -> list[tuple[Any, ...]]:
        """Its rows read from the tree itself, each value with its type: 1 and 1.0 are not the same."""
        rows = self.eye.execute(f"SELECT * FROM {name} NOT INDEXED").fetchall()
        return [tuple((type(value), value) for value in row) for row in rows]

    def judged(self, look: Callable[[], str | None], flip: Flip) -> str | None:
        """What the shortcut says; None where it cannot tell."""
        with self.flipped([flip]):
            try:
                return look()
            except sqlite3.Error:
                return DETECTED

    def schema_row(self, rowid: int) -> str | None:
        """A row of the schema, against what the fingerprint is made of."""
        _, *before = self.schema[rowid]
        row = self.eye.execute(f"{SCHEMA_ROWS} WHERE rowid = ?", (rowid,)).fetchone()
        if row is None:
            return DETECTED
        _, *now = row
        if is_odd(now):
            return None
        _, name, sql, table, root = before
        if now[4] != root and root and now[4]:
            return DETECTED  # its page is nobody's now, and SQLite looks for such on opening
        if (
            now[4] != root
            or table == "_sqlite_migrations"
            or (sql is not None and name.startswith("sqlite_"))
        ):
            return None
        if sql is None:  # an index SQLite made by itself, which it knows by its name; not in the fingerprint
            return TOGETHER if now[2] is None and is_same_name(now[1], name) else DETECTED
        is_same = now[:3] == before[:3] and is_same_name(now[3], table)
        return TOGETHER if is_same else DETECTED

    def schema_tree(self) -> str | None:
        """What holds the schema's rows together: all of them are read."""
        rows = {row[0]: row for row in self.all_schema()}
        if rows != self.schema:
            told, before = ([row[1:] for row in some.values()] for some in (rows, self.schema))
            # Where a row only has another number, nothing but its place may be different.
            return None if told == before or any(map(is_odd, told)) else DETECTED
        return DETECTED if self.checked("sqlite_schema") else TOGETHER

    def tree(self, table: str) -> str | None:
        """A table with its indexes: read through, and checked by SQLite as ``verify`` has it checked."""
        now, before = self.table(table), self.tables[table]
        if any(kind is bytes for row in now for kind, _ in row):
            return None
        if self.checked(table):
            return DETECTED
        if now == before:
            return TOGETHER
        if table in NOT_IN_LEDGER or len(now) != len(before):
            return None
        places = slice(0, None) if table == "ledger" else slice(1, None)  # ``id`` is in no hash
        return DETECTED if [row[places] for row in now] != [row[places] for row in before] else None

    def checked(self, table: str) -> bool:
        """Whether SQLite finds something wrong with a tree and its indexes."""
        return bool(self.eye.execute(f"PRAGMA integrity_check({table})").fetchone() != ("ok",))

    def each(self) -> Iterator[tuple[str, int, Callable[[], str | None] | None]]:
        """Every byte with its group and the shortcut that judges it; None: there is none."""
        for at in self.map.first:
            yield "header and first page", at, None
        for rowid, held in self.map.schema_rows.items():
            look = partial(self.schema_row, rowid)
            for at in held:
                yield "rows of the schema", at, look
        for at in self.map.schema_tree:
            yield "tree of the schema", at, self.schema_tree
        for table, held in self.map.trees.items():
            look = partial(self.tree, table) if table in self.tables else None
            for at in held:
                yield "tables and indexes", at, look


def sweep(path: Path, bits: Callable[[int], Iterable[int]], audit: float, seed: int = 1) -> Report:
    """Flip bits of every byte.

    Args:
        path: The file; it is left as it was.
        bits: Which bits of the byte at an offset.
        audit: The share of what the shortcuts judged that the real program judges too.
        seed: Of the sample.
    """
    report, chance = Report(), random.Random(seed)
    flipper = Flipper(path)
    together: list[tuple[str, Flip]] = [
        ("unused", (at, bit)) for at in flipper.map.unused for bit in bits(at)
    ]
    try:
        for group, at, look in flipper.each():
            for bit in bits(at):
                flip = (at, bit)
                quick = None if look is None else flipper.judged(look, flip)
                if quick == TOGETHER:
                    together.append((group, flip))
                    continue
                if quick is not None and chance.random() >= audit:
                    report.add(group, flip, quick)
                    continue
                found = asked(flipper, [flip], report)
                if quick is not None and found != quick:
                    report.disagreed.append((group, flip, quick, found))
                report.add(group, flip, found)
        for (group, _), flips in by_group_and_bit(together).items():
            found = asked(flipper, flips, report)
            for flip in flips:
                report.add(group, flip, found if found == NEUTRAL else asked(flipper, [flip], report))
        for group, flip in chance.sample(together, min(len(together), SAMPLE)):
            found = asked(flipper, [flip], report)
            if found != NEUTRAL:
                report.disagreed.append((group, flip, NEUTRAL, found))
    finally:
        flipper.close()
    return report


def by_group_and_bit(together: Iterable[tuple[str, Flip]]) -> dict[tuple[str, int], list[Flip]]:
    found: dict[tuple[str, int], list[Flip]] = {}
    for group, flip in together:
        found.setdefault((group, flip[1]), []).append(flip)
    return found


def asked(flipper: Flipper, flips: Iterable[Flip], report: Report) -> str:
    """The real program's answer."""
    report.asked += 1
    with flipper.flipped(flips):
        return by_program(flipper.path, flipper.before)


def one_of_each(seed: int) -> Callable[[int], Iterable[int]]:
    """A seeded bit of every byte, the same whatever is asked in which order."""
    return lambda at: (crc32(b"%d %d" % (seed, at)) & 7,)


def every_bit(_: int) -> Iterable[int]:
    return range(8)


def main() -> int:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "closed.kilnlog"
        small_closed_file(path)
        bits = every_bit if "--every-bit" in sys.argv else one_of_each(1)
        report = sweep(path, bits, audit=0.002)
        size = path.stat().st_size
    print(f"{size} bytes; {report.asked} times asked of the real program, {len(report.disagreed)} disagreed")
    for group, counts in {**report.split, "all": report.total()}.items():
        print(f"{group}: {', '.join(f'{counts[found]} {found}' for found in FOUND)}")
    for disagreed in report.disagreed:
        print("disagreed", *disagreed)
    for group, flip in report.unseen:
        print("unseen", group, *flip)
    return 1 if report.disagreed or report.unseen else 0


if __name__ == "__main__":
    sys.exit(main())

"""What each byte of a SQLite file belongs to, read from the file format as published.

Source: "Database File Format", sqlite.org/fileformat2.html, sections 1.3 (header), 1.6 (b-tree pages), 2.1
(record format) and 1.5 (overflow). Only what a file of one program holds: no free list, no pointer map.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

INTERIOR_INDEX, INTERIOR_TABLE, LEAF_INDEX, LEAF_TABLE = 2, 5, 10, 13
SCHEMA = "sqlite_schema"


@dataclass
class PageMap:
    """Offsets by what they are; each byte of the file stands in exactly one of these."""

    first: list[int] = field(default_factory=list)  # of page 1: the header and the root of the schema
    unused: list[int] = field(default_factory=list)  # between and behind cells, in freed blocks
    schema_rows: dict[int, list[int]] = field(
        default_factory=dict
    )  # payload of a row of the schema, by rowid
    schema_tree: list[int] = field(default_factory=list)  # what holds those rows together
    trees: dict[str, list[int]] = field(default_factory=dict)  # all other used bytes, by their table


class _Walk:
    def __init__(self, path: Path) -> None:
        self.raw = path.read_bytes()
        self.size = int.from_bytes(self.raw[16:18], "big")
        self.usable = self.size - self.raw[20]
        assert int.from_bytes(self.raw[36:40], "big") == 0, "a free list"
        assert int.from_bytes(self.raw[52:56], "big") == 0, "a pointer map"
        self.map = PageMap()
        self.seen: set[int] = set()

    def number(self, at: int, length: int) -> int:
        return int.from_bytes(self.raw[at : at + length], "big")

    def varint(self, at: int) -> tuple[int, int]:
        value = 0
        for length in range(1, 9):
            byte = self.raw[at + length - 1]
            value = value << 7 | byte & 0x7F
            if byte < 0x80:
                return value, length
        return value << 8 | self.raw[at + 8], 9

    def walk(self, root: int, table: str) -> None:
        """One tree, from its root."""
        base = (root - 1) * self.size
        self.seen.add(root)
        head = base + (100 if root == 1 else 0)
        kind, cells = self.raw[head], self.number(head + 3, 2)
        pointers = head + (12 if kind in (INTERIOR_INDEX, INTERIOR_TABLE) else 8)
        content = base + (self.number(head + 5, 2) or 65536)
        own = set(range(base, base + self.size))
        spare = [*range(pointers + 2 * cells, content), *self.freed(base, self.number(head + 1, 2))]
        self.map.unused += spare
        own -= set(spare)
        for place in range(cells):
            own -= self.cell(base + self.number(pointers + 2 * place, 2), kind, table)
        if kind in (INTERIOR_INDEX, INTERIOR_TABLE):
            self.walk(self.number(head + 8, 4), table)
        if root == 1:
            self.map.first += sorted(own)
        elif table == SCHEMA:
            self.map.schema_tree += sorted(own)
        else:
            self.map.trees.setdefault(table, []).extend(sorted(own))

    def freed(self, base: int, block: int) -> Iterator[int]:
        """What lies in the free blocks of a page behind their links and sizes."""
        while block:
            yield from range(base + block + 4, base + block + self.number(base + block + 2, 2))
            block = self.number(base + block, 2)

    def cell(self, at: int, kind: int, table: str) -> set[int]:
        """Follow a cell; what of it is a schema row's own payload, which is kept apart."""
        if kind in (INTERIOR_INDEX, INTERIOR_TABLE):
            self.walk(self.number(at, 4), table)
            at += 4
        if kind == INTERIOR_TABLE:
            return set()
        payload, length = self.varint(at)
        at += length
        rowid = 0
        if kind == LEAF_TABLE:
            rowid, length = self.varint(at)
            at += length
        most = self.usable - 35 if kind == LEAF_TABLE else (self.usable - 12) * 64 // 255 - 23
        local = payload
        if payload > most:
            least = (self.usable - 12) * 32 // 255 - 23
            local = least + (payload - least) % (self.usable - 4)
            local = local if local <= most else least
        held = list(range(at, at + local))
        if local < payload:
            held += self.overflow(self.number(at + local, 4), payload - local, table)
        if table != SCHEMA:
            return set()
        self.map.schema_rows[rowid] = held
        return set(held)

    def overflow(self, page: int, left: int, table: str) -> list[int]:
        held: list[int] = []
        while left:
            base = (page - 1) * self.size
            self.seen.add(page)
            here = min(left, self.usable - 4)
            links = range(base, base + 4)
            if table == SCHEMA:
                self.map.schema_tree += links
                held += range(base + 4, base + 4 + here)
            else:
                self.map.trees.setdefault(table, []).extend(range(base, base + 4 + here))
            self.map.unused += range(base + 4 + here, base + self.size)
            page, left = self.number(base, 4), left - here
        return held


def page_map(path: Path) -> PageMap:
    """What each byte of the file is. Fails where a page belongs to nothing, or a byte to two."""
    walk = _Walk(path)
    walk.walk(1, SCHEMA)
    connection = sqlite3.connect(path)
    trees = connection.execute(
        "SELECT rootpage, tbl_name FROM sqlite_schema WHERE rootpage > 0 ORDER BY rootpage"
    ).fetchall()
    connection.close()
    for root, table in trees:
        walk.walk(root, table)
    assert walk.seen == set(range(1, len(walk.raw) // walk.size + 1))
    told = walk.map
    every = [*told.first, *told.unused, *told.schema_tree]
    for held in (*told.schema_rows.values(), *told.trees.values()):
        every += held
    assert sorted(every) == list(range(len(walk.raw)))
    return told

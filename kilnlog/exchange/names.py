"""Who bears which name: the files name what the record refers to by uid."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from kilnlog.exchange.columns import FileTable
from kilnlog.exchange.errors import UnknownName
from kilnlog.exchange.tables import FILE_TABLE_OF
from kilnlog.records.version import Entry, VersionKind

#: The values of a table's key columns, references among them as entities.
Key = tuple[object, ...]

#: The key a reference column asks for, as the columns of its own row that make it up.
KEY_OF_REFERENCE: Mapping[str, tuple[str, ...]] = {
    "kiln": ("kiln",),
    "instrument": ("instrument",),
    "charge": ("charge",),
    "lot": ("charge", "lot"),
    "board": ("charge", "board"),
    "replaces": ("charge", "replaces"),
    "section": ("board", "section"),
}


@dataclass
class Names:
    """The names in use, and those that once were."""

    _now: dict[tuple[str, str], tuple[Key, bool]] = field(default_factory=dict)  # (table, entity)
    _ever: dict[tuple[str, Key], dict[str, None]] = field(default_factory=dict)  # -> entities, in order

    def put(self, table: str, entity: str, key: Key, *, is_void: bool) -> None:
        """Note one version; later ones overrule."""
        self._now[table, entity] = (key, is_void)
        self._ever.setdefault((table, key), {})[entity] = None

    def put_entries(self, entries: Mapping[str, Sequence[Entry[Any]]]) -> None:
        """Note every version of everything that has a name."""
        for table in FILE_TABLE_OF.values():
            if not table.keys:
                continue
            for entry in entries.get(table.table, ()):
                key = tuple(getattr(entry.fact, column) for column in table.keys)
                self.put(table.table, entry.entity, key, is_void=entry.version.kind is VersionKind.VOID)

    def bearers(self, table: str, key: Key) -> list[str]:
        """The entities that bear the name now."""
        return [
            entity for entity in self._ever.get((table, key), ()) if self._now[table, entity] == (key, False)
        ]

    def find(self, table: str, key: Key) -> str:
        """The entity of that name: the one that bears it now, else the one that ever did.

        Raises ``UnknownName`` where there is none, or no telling which.
        """
        if len(now := self.bearers(table, key)) == 1:
            return now[0]
        if not now and len(ever := tuple(self._ever.get((table, key), ()))) == 1:
            return ever[0]
        raise UnknownName(what=table, name=str(key[-1]), known=self._known_beside(table, key))

    def is_void(self, table: str, entity: str) -> bool:
        """Whether it was taken back."""
        return self._now.get((table, entity), ((), False))[1]

    def bears(self, table: str, entity: str, key: Key) -> bool:
        """Whether this entity bears the name, or bore it last."""
        return self._now.get((table, entity), ((), False))[0] == key

    def knows(self, table: str, entity: str) -> bool:
        """Whether there is such an entity."""
        return (table, entity) in self._now

    def name_of(self, table: str, entity: str) -> str:
        """The name it bears now, or bore last."""
        return str(self._now[table, entity][0][-1])

    def _known_beside(self, table: str, key: Key) -> tuple[str, ...]:
        """The names in use where this one was looked for."""
        beside = (
            str(known[-1])
            for (kind, _), (known, is_void) in self._now.items()
            if kind == table and not is_void and known[:-1] == key[:-1]
        )
        return tuple(beside)


def key_of(table: FileTable, values: Mapping[str, object]) -> Key:
    """The key a row's values make."""
    return tuple(values.get(column) for column in table.keys)


def newest_by_entity(entries: Iterable[Entry[Any]]) -> dict[str, Entry[Any]]:
    """The last version of each."""
    return {entry.entity: entry for entry in entries}

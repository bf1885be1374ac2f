"""How a fact and its envelope become a row, and back: worked out once from the fact's type hints.

``Weight`` takes four columns (text, unit, grams, step), ``Moment`` two (UTC, zone); everything else takes one
of its own name. The envelope's columns come first.
"""

from __future__ import annotations

import types
import typing
from collections.abc import Callable, Sequence
from dataclasses import dataclass, fields
from datetime import UTC, datetime
from decimal import Decimal
from enum import StrEnum
from functools import cache, lru_cache
from typing import Any

from kilnlog.records.errors import OutOfRange
from kilnlog.records.facts import TABLES, Fact
from kilnlog.records.moment import Moment
from kilnlog.records.version import Entry, Version, VersionKind
from kilnlog.records.weight import Weight, WeightUnit
from kilnlog.store.canonical import SqlValue
from kilnlog.store.errors import RefusedByRecord

ENVELOPE = (
    "uid",
    "entity",
    "supersedes",
    "version",
    "version_reason",
    "observed_utc",
    "observed_zone",
    "entered_utc",
    "entered_by",
)

Row = Sequence[Any]

#: No number of a kiln comes near it; whole numbers below it stay whole; NaN and infinity are not below it.
_BEYOND = 1e15
_VERSION_KINDS = {str(kind): kind for kind in VersionKind}
_UNITS = {str(unit): unit for unit in WeightUnit}


#: Names of columns that are words of SQL as well.
_WORDS_OF_SQL = {"limit", "when"}


def quoted(column: str) -> str:
    """The column as SQL has to name it. Only where needed: a quoted name that is wrong passes for text."""
    return f'"{column}"' if column in _WORDS_OF_SQL else column


def utc_text(utc: datetime) -> str:
    """A UTC instant at fixed width, so that text order is time order: ``2024-05-01T12:00:00.000000Z``."""
    return utc.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%S.%fZ")


def weight_from_columns(text: str, unit: str, grams: float, step_g: float) -> Weight:
    """The weight as it was written, without reading its text again.

    A weight is a whole number of its steps, and a step has few digits, so the exact grams come back although
    the column holds a 64-bit real.
    """
    step = _decimal(step_g)
    exact = round(grams / step_g) * step
    if float(exact) != grams:
        exact = _decimal(grams)
    return Weight(text, _UNITS[unit], exact, step)


@lru_cache(maxsize=256)
def _decimal(real: float) -> Decimal:
    """The number of fewest digits that the real stands for. Scales have few steps: most are met again."""
    return Decimal(repr(real))


@dataclass(frozen=True)
class _Field:
    """One field of a fact: the columns it takes and the way there and back."""

    columns: tuple[str, ...]
    to_columns: Callable[[Any], tuple[SqlValue, ...]]
    reader: Callable[[int], Callable[[Row], Any]]  # given the place of its first column


def _one(value: Any) -> tuple[SqlValue, ...]:
    return (value,)


def _real(value: float | None) -> tuple[SqlValue, ...]:
    return (None if value is None else float(value) + 0.0,)  # SQLite keeps no minus zero


def _whole(value: int | None) -> tuple[SqlValue, ...]:
    return (None if value is None else int(value),)


def _word(value: StrEnum | None) -> tuple[SqlValue, ...]:
    return (None if value is None else str(value),)


def _weight(value: Weight | None) -> tuple[SqlValue, ...]:
    if value is None:
        return (None, None, None, None)
    return (value.text, str(value.unit), float(value.grams), float(value.step_g))


def _moment(value: Moment | None) -> tuple[SqlValue, ...]:
    return (None, None) if value is None else (utc_text(value.utc), value.zone)


def _read_plain(at: int) -> Callable[[Row], Any]:
    return lambda row: row[at]


def _read_bool(at: int) -> Callable[[Row], Any]:
    return lambda row: None if row[at] is None else row[at] == 1


def _read_flag(at: int) -> Callable[[Row], Any]:
    return lambda row: row[at] == 1  # a column added later holds nothing in earlier rows: not so


def _read_weight(at: int) -> Callable[[Row], Any]:
    return lambda row: (
        None if row[at] is None else weight_from_columns(row[at], row[at + 1], row[at + 2], row[at + 3])
    )


def _read_moment(at: int) -> Callable[[Row], Any]:
    return lambda row: None if row[at] is None else Moment(datetime.fromisoformat(row[at]), row[at + 1])


def _word_reader(words: type[StrEnum]) -> Callable[[int], Callable[[Row], Any]]:
    known: dict[str | None, StrEnum | None] = {str(word): word for word in words}
    known[None] = None
    return lambda at: lambda row: known[row[at]]


def _bare(hint: Any) -> Any:
    """The hint without ``| None`` and without what ``Annotated`` adds."""
    if typing.get_origin(hint) in (types.UnionType, typing.Union):
        (hint,) = (part for part in typing.get_args(hint) if part is not type(None))
    if typing.get_origin(hint) is typing.Annotated:
        hint = typing.get_args(hint)[0]
    return hint


def _field(name: str, hint: Any) -> _Field:
    kind = _bare(hint)
    if hint is bool:
        return _Field((name,), _whole, _read_flag)
    if kind is Weight:
        return _Field((f"{name}_text", f"{name}_unit", f"{name}_g", f"{name}_step_g"), _weight, _read_weight)
    if kind is Moment:
        return _Field((f"{name}_utc", f"{name}_zone"), _moment, _read_moment)
    if issubclass(kind, StrEnum):
        return _Field((name,), _word, _word_reader(kind))
    plain = {
        bool: (_whole, _read_bool),
        int: (_whole, _read_plain),
        float: (_real, _read_plain),
        str: (_one, _read_plain),
    }
    to_columns, reader = plain[kind]
    return _Field((name,), to_columns, reader)


class FactTable:
    """The mapping between one table and the class of its facts."""

    def __init__(self, table: str) -> None:
        self.table = table
        self.kind = TABLES[table]
        hints = typing.get_type_hints(self.kind, include_extras=True)
        self._names = tuple(field.name for field in fields(self.kind))
        self._fields = tuple(_field(name, hints[name]) for name in self._names)
        self.columns = ENVELOPE + tuple(column for field in self._fields for column in field.columns)
        listed = ", ".join(map(quoted, self.columns))
        self.select_sql = f"SELECT {listed} FROM {table}"
        self.insert_sql = f"INSERT INTO {table} ({listed}) VALUES ({', '.join('?' * len(self.columns))})"
        self.names_a_charge = "charge" in self._names and table != "charge"
        self._readers: list[Callable[[Row], Any]] = []
        place = len(ENVELOPE)
        for field in self._fields:
            self._readers.append(field.reader(place))
            place += len(field.columns)

    def row_of(self, entry: Entry[Fact]) -> dict[str, SqlValue]:
        """The row's columns by name, exactly as SQLite will give them back."""
        version, fact = entry.version, entry.fact
        values: list[SqlValue] = [
            version.uid,
            version.entity,
            version.supersedes,
            str(version.kind),
            version.reason,
            utc_text(version.observed_at.utc),
            version.observed_at.zone,
            utc_text(version.entered_utc),
            version.entered_by,
        ]
        for name, field in zip(self._names, self._fields, strict=True):
            values.extend(field.to_columns(getattr(fact, name)))
        row = dict(zip(self.columns, values, strict=True))
        for column, value in row.items():
            if isinstance(value, str) and not _is_storable(value):
                raise RefusedByRecord(table=self.table, why="unstorable-text")
            if not isinstance(value, str) and value is not None and not abs(value) < _BEYOND:
                raise OutOfRange(column=column, value=value, low=-_BEYOND, high=_BEYOND)
        return row

    def entry_of(self, row: Row) -> Entry[Any]:
        """The entry a row stands for; ``row`` holds the values of ``columns`` in their order."""
        uid, entity, supersedes, kind, reason, observed, zone, entered, who = row[:9]
        version = Version(
            uid,
            entity,
            supersedes,
            _VERSION_KINDS[kind],
            reason,
            Moment(datetime.fromisoformat(observed), zone),
            datetime.fromisoformat(entered),
            who,
        )
        return Entry(version, self.kind(*[read(row) for read in self._readers]))


def _is_storable(text: str) -> bool:
    """Whether text survives being kept: no half characters, nothing that ends it early."""
    if text.isascii():
        return "\0" not in text
    return "\0" not in text and not any("\ud800" <= character <= "\udfff" for character in text)


@cache
def fact_table(table: str) -> FactTable:
    """The mapping of that table; raises ``KeyError`` where there is no such table."""
    return FactTable(table)

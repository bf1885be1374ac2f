"""What one verb wrote: all that a view needs to follow it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from kilnlog.records.charge import Charge
from kilnlog.records.facts import Fact
from kilnlog.records.version import Entry


@dataclass(frozen=True)
class Changes:
    """The rows one transaction wrote, in order; the file already holds them."""

    entries: tuple[Entry[Any], ...]
    charges: frozenset[str]  # entity uids of the charges they belong to

    @classmethod
    def of(cls, entries: Iterable[Entry[Any]]) -> Changes:
        """The changes these rows make."""
        rows = tuple(entries)
        touched = (charge_of(entry) for entry in rows)
        return cls(rows, frozenset(charge for charge in touched if charge is not None))


def charge_of(entry: Entry[Fact]) -> str | None:
    """The entity uid of the charge a row belongs to, or None for kilns, instruments, steps and settings."""
    if isinstance(entry.fact, Charge):
        return entry.entity
    charge: str | None = getattr(entry.fact, "charge", None)
    return charge

"""The envelope every fact is kept in: who wrote it when, and which earlier version it succeeds."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from functools import cached_property
from typing import Generic, TypeVar

from kilnlog.records.moment import Moment

F_co = TypeVar("F_co", covariant=True)


class VersionKind(StrEnum):
    """What a row is to the row it succeeds."""

    FIRST = "first"
    CORRECTION = "correction"  # the earlier one was wrong: this counts from the start
    CHANGE = "change"  # true from its own moment on; the earlier one stays true before it
    VOID = "void"  # taken back: as if it had never been written, but still there to be read


@dataclass(frozen=True, slots=True)
class Version:
    """Provenance of one row. ``entity`` is the uid of the first version; references point to it."""

    uid: str
    entity: str
    supersedes: str | None
    kind: VersionKind
    reason: str | None
    observed_at: Moment  # when it happened, as the operator's clock said
    entered_utc: datetime  # when it was written down, as the machine's clock said
    entered_by: str


@dataclass(frozen=True, slots=True)
class Entry(Generic[F_co]):
    """One row of the record: a fact in its envelope."""

    version: Version
    fact: F_co

    @property
    def at(self) -> Moment:
        """When the fact was observed."""
        return self.version.observed_at

    @property
    def entity(self) -> str:
        """The uid that references to this fact carry."""
        return self.version.entity


@dataclass(frozen=True)
class History(Generic[F_co]):
    """Every version of one fact, oldest first; never empty."""

    entries: tuple[Entry[F_co], ...]

    @property
    def entity(self) -> str:
        """The uid of the first version."""
        return self.entries[0].version.entity

    @property
    def newest(self) -> Entry[F_co]:
        """The last version written, even where it takes the fact back."""
        return self.entries[-1]

    @property
    def is_void(self) -> bool:
        """Whether the fact was taken back."""
        return self.newest.version.kind is VersionKind.VOID

    @cached_property
    def _spans(self) -> tuple[Entry[F_co], ...]:
        """What counts in each span between changes: the last correction of the row that opened it."""
        spans: list[Entry[F_co]] = []
        for entry in self.entries:
            if entry.version.kind is VersionKind.CORRECTION:
                spans[-1] = entry
            elif entry.version.kind is not VersionKind.VOID:
                spans.append(entry)
        return tuple(spans)

    @property
    def spans(self) -> tuple[Entry[F_co], ...]:
        """What counted, span by span between changes, oldest first; empty where taken back."""
        return () if self.is_void else self._spans

    @property
    def current(self) -> Entry[F_co] | None:
        """What counts now, or None where it was taken back."""
        return None if self.is_void else self._spans[-1]

    def at(self, moment: Moment, *, particulars: bool = False) -> Entry[F_co] | None:
        """What counted at ``moment``: corrections from the start, changes from their own moment on.

        Args:
            moment: The moment asked about.
            particulars: True for facts that describe a thing rather than report an event (a lot, a kiln, a
                charge): their first version counts at any moment.
        """
        if self.is_void:
            return None
        counting: Entry[F_co] | None = self._spans[0] if particulars else None
        for span in self._spans:
            if span.at <= moment:
                counting = span
        return counting


def histories(entries: Iterable[Entry[F_co]]) -> tuple[History[F_co], ...]:
    """Group rows, in the order they were written, into histories in the order of their first versions."""
    chains: dict[str, list[Entry[F_co]]] = {}
    for entry in entries:
        chains.setdefault(entry.version.entity, []).append(entry)
    return tuple(History(tuple(chain)) for chain in chains.values())


def current_entries(lines: Iterable[History[F_co]]) -> Iterator[Entry[F_co]]:
    """What counts now of each, without those taken back."""
    for line in lines:
        if (entry := line.current) is not None:
            yield entry

"""A row of a file on its way to an entry: its cells read, its references still names."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from kilnlog.exchange.columns import FileTable
from kilnlog.records.facts import Fact
from kilnlog.records.moment import Moment
from kilnlog.records.version import Entry, Version, VersionKind


@dataclass(eq=False)
class Draft:
    """One row. ``uid`` to ``entered_by`` are None where the file leaves them out."""

    table: FileTable
    file: str
    number: int
    zone: str
    values: dict[str, Any]  # by column; references as names until ``references`` holds their entities
    uid: str | None = None
    supersedes: str | None = None
    kind: VersionKind = VersionKind.FIRST
    reason: str | None = None
    observed: Moment | None = None
    entered_utc: datetime | None = None
    entered_by: str | None = None
    has_own_uid: bool = False  # the file told it
    named_uids: dict[str, str] = field(default_factory=dict)  # by column: which of several of that name
    references: dict[str, str | None] = field(default_factory=dict)  # by column: the entity
    closing: dict[str, Any] = field(default_factory=dict)  # what a charge's row says of its closing
    entity: str = ""
    fact: Fact | None = None
    known: Entry[Any] | None = None  # the same row in the logbook: nothing to write

    def name(self, column: str) -> str:
        """The name a column holds, "" where blank."""
        value = self.values.get(column)
        return "" if value is None else str(value)

    @property
    def given(self) -> Mapping[str, Any]:
        """The fact's fields as far as the file fills them."""
        return {**self.values, **self.references}

    def entry(self, now: datetime, who: str) -> Entry[Any]:
        """The entry this row makes; what the file leaves out of its envelope is filled in."""
        assert self.uid is not None
        assert self.fact is not None
        assert self.observed is not None
        version = Version(
            uid=self.uid,
            entity=self.entity,
            supersedes=self.supersedes,
            kind=self.kind,
            reason=self.reason,
            observed_at=self.observed,
            entered_utc=self.entered_utc or now,
            entered_by=self.entered_by or who,
        )
        return Entry(version, self.fact)

"""The verbs that write: keep, correct, change, take back, undo. Each is one transaction."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any, TypeVar

from kilnlog.logbook.changes import Changes
from kilnlog.logbook.errors import NothingToTakeBack, ReasonMissing
from kilnlog.logbook.session import Logbook, new_uid
from kilnlog.records.charge import Charge
from kilnlog.records.facts import TABLE_OF, Fact
from kilnlog.records.logger_batch import LoggerBatch
from kilnlog.records.moment import Moment
from kilnlog.records.version import Entry, History, Version, VersionKind

#: A fact, when it was observed (None: now) and, where another in the same list refers to it, its uid.
Draft = tuple[Fact, Moment | None] | tuple[Fact, Moment | None, str]

F = TypeVar("F", bound=Fact)

UNDONE = "undone"


def write(book: Logbook, fact: Fact, at: Moment | None = None) -> Changes:
    """Keep one new fact, observed at ``at`` or now."""
    return write_all(book, [(fact, at)])


def write_all(book: Logbook, drafts: Sequence[Draft]) -> Changes:
    """Keep new facts together or not at all, in this order."""
    with book.file.immediate():
        return _insert(book, (first_entry(book, draft[0], draft[1], *draft[2:]) for draft in drafts))


def correct(
    book: Logbook, table: str, entity: str, fact: Fact, reason: str, at: Moment | None = None
) -> Changes:
    """Put ``fact`` in place of what stood there: the earlier was wrong, this counts from the start.

    ``at`` is given where the time itself was wrong.
    """
    return _succeed(book, table, entity, fact, VersionKind.CORRECTION, _given(reason, "correction"), at)


def change(
    book: Logbook, table: str, entity: str, fact: Fact, at: Moment, reason: str | None = None
) -> Changes:
    """Let ``fact`` be true from ``at`` on; what stood there stays true before it."""
    return _succeed(book, table, entity, fact, VersionKind.CHANGE, reason or None, at)


def take_back(book: Logbook, table: str, entity: str, reason: str) -> Changes:
    """Take a fact back as if it had never been written; it stays there to be read."""
    with book.file.immediate():
        newest = history(book, table, entity).newest
        return _insert(book, [_void(book, newest, _given(reason, "taking back"))])


def take_back_last(book: Logbook, changes: Changes) -> Changes:
    """Undo what one verb wrote, the last row first, by rows that say so.

    A new fact is taken back; a correction or change is answered by the fact that stood before it; a fact that
    was taken back is written afresh, since nothing may succeed a taking back. Raises ``NothingToTakeBack``.
    """
    if not changes.entries:
        raise NothingToTakeBack
    with book.file.immediate():
        return _insert(book, (_undoing(book, entry) for entry in reversed(changes.entries)))


def history(book: Logbook, table: str, entity: str) -> History[Any]:
    """Every version of one fact."""
    return book.file.history(table, entity)


def first_entry(book: Logbook, fact: F, at: Moment | None, uid: str | None = None) -> Entry[F]:
    """The row a new fact makes; told in its charge's zone where no moment is given."""
    uid = uid or new_uid()
    moment = at or book.now(_zone_for(book, fact))
    return Entry(Version(uid, uid, None, VersionKind.FIRST, None, moment, book.clock(), book.who), fact)


def successor(
    book: Logbook, newest: Entry[Any], fact: Fact, kind: VersionKind, reason: str | None, at: Moment
) -> Entry[Fact]:
    """The row that succeeds ``newest``."""
    version = Version(new_uid(), newest.entity, newest.version.uid, kind, reason, at, book.clock(), book.who)
    return Entry(version, fact)


def _succeed(
    book: Logbook,
    table: str,
    entity: str,
    fact: Fact,
    kind: VersionKind,
    reason: str | None,
    at: Moment | None,
) -> Changes:
    with book.file.immediate():
        newest = history(book, table, entity).newest
        return _insert(book, [successor(book, newest, fact, kind, reason, at or newest.at)])


def _void(book: Logbook, newest: Entry[Any], reason: str) -> Entry[Fact]:
    return successor(book, newest, newest.fact, VersionKind.VOID, reason, newest.at)


def _undoing(book: Logbook, entry: Entry[Any]) -> Entry[Fact]:
    """The row that undoes this one, which must be what counts: itself, or a later one that says it again."""
    line = history(book, TABLE_OF[type(entry.fact)], entry.entity)
    newest, kind = line.newest, entry.version.kind
    if newest.version.uid != entry.version.uid and not _brings_back(newest, entry):
        raise NothingToTakeBack
    if kind is VersionKind.FIRST:
        return _void(book, newest, UNDONE)
    if kind is VersionKind.VOID:
        if isinstance(entry.fact, LoggerBatch):
            raise NothingToTakeBack(why="read-again")  # its readings are not written twice
        return first_entry(book, entry.fact, entry.at)
    uids = [one.version.uid for one in line.entries]
    before = line.entries[uids.index(entry.version.uid) - 1]
    at = entry.at if kind is VersionKind.CHANGE else before.at
    return successor(book, newest, before.fact, VersionKind.CORRECTION, UNDONE, at)


def _brings_back(newest: Entry[Any], entry: Entry[Any]) -> bool:
    """Whether ``newest`` was written by an undo and says again what ``entry`` said."""
    version = newest.version
    undone = version.kind is VersionKind.CORRECTION and version.reason == UNDONE
    return undone and newest.fact == entry.fact and newest.at == entry.at


def _insert(book: Logbook, entries: Iterable[Entry[Fact]]) -> Changes:
    written = []
    for entry in entries:  # each is made after the one before it was kept: it may read what that wrote
        book.file.insert(entry)
        written.append(entry)
    return Changes.of(written)


def _given(reason: str, what: str) -> str:
    if not reason.strip():
        raise ReasonMissing(what=what)
    return reason.strip()


def _zone_for(book: Logbook, fact: Fact) -> str:
    """The zone of the charge a new fact belongs to, else the logbook's."""
    if isinstance(fact, Charge):
        return fact.zone
    charge = getattr(fact, "charge", None)
    return history(book, "charge", charge).newest.fact.zone if charge is not None else book.zone


__all__ = [
    "Draft",
    "change",
    "correct",
    "first_entry",
    "history",
    "successor",
    "take_back",
    "take_back_last",
    "write",
    "write_all",
]

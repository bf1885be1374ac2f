"""What can be undone: everything the operator entered since the logbook was opened, newest last."""

from __future__ import annotations

from dataclasses import dataclass, replace

from kilnlog.logbook.changes import Changes
from kilnlog.records.closing import Closing
from kilnlog.records.version import VersionKind


@dataclass(frozen=True)
class Done:
    """One transaction, and what was said of it."""

    changes: Changes
    said: str | None


@dataclass
class Ticket:
    """One transaction on its way into the file, entered while that charge was in hand."""

    charge: str | None
    undo: str | None = None  # undo was asked for meanwhile: what to say once it is taken back


class UndoList:
    """Undo means the newest entry of the charge in hand, whether the file holds it already or not yet."""

    def __init__(self) -> None:
        self._done: list[Done] = []
        self._on_the_way: list[Ticket] = []

    def clear(self) -> None:
        """Forget what was done; what is on its way is another matter."""
        self._done.clear()

    def begin(self, charge: str | None) -> Ticket:
        """A transaction sets out."""
        ticket = Ticket(charge)
        self._on_the_way.append(ticket)
        return ticket

    def refused(self, ticket: Ticket) -> None:
        """Nothing was written, so there is nothing to undo: what came before it stays."""
        self._on_the_way.remove(ticket)

    def written(self, ticket: Ticket, done: Done) -> None:
        """The file holds it. A seal, or its reopening, ends undoing for its charge: both stay as issued."""
        self._on_the_way.remove(ticket)
        if any(isinstance(entry.fact, Closing) for entry in done.changes.entries):
            self._done = [one for one in self._done if not one.changes.charges & done.changes.charges]
            ticket.undo = None
        else:
            self._done.append(done)

    def add(self, done: Done) -> None:
        """Something written by another door, which undo shall know."""
        self._done.append(done)

    def waiting(self, charge: str | None) -> Ticket | None:
        """The newest that is on its way and not meant to be undone already."""
        asked = (one for one in reversed(self._on_the_way) if one.undo is None and one.charge == charge)
        return next(asked, None)

    def newest(self, charge: str | None) -> Done | None:
        """The newest that charge, or no charge at all, has a part in."""
        for done in reversed(self._done):
            if not done.changes.charges or charge in done.changes.charges:
                return done
        return None

    def take(self, done: Done) -> int:
        """Take one out; where it stood."""
        number = next(place for place, one in enumerate(self._done) if one is done)
        del self._done[number]
        return number

    def put_back(self, done: Done, number: int) -> None:
        """It could not be undone now; perhaps later."""
        self._done.insert(min(number, len(self._done)), done)

    def undone(self, done: Done, by: Changes) -> None:
        """A fact that had been taken back is there again as another one: undo means that from now on."""
        again = {
            before.entity: after
            for before, after in zip(reversed(done.changes.entries), by.entries, strict=False)
            if before.version.kind is VersionKind.VOID
        }
        if again:
            self._done = [
                replace(
                    one,
                    changes=replace(
                        one.changes,
                        entries=tuple(again.get(entry.entity, entry) for entry in one.changes.entries),
                    ),
                )
                for one in self._done
            ]

"""What the operator enters: run on the worker, followed once it is kept, and undone newest first."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from kilnlog.logbook.changes import Changes
from kilnlog.logbook.errors import NothingToTakeBack, OtherLogbook
from kilnlog.logbook.writing import take_back_last
from kilnlog.records.errors import KilnlogError
from kilnlog.ui.undo_list import Done, UndoList

if TYPE_CHECKING:
    from kilnlog.ui.desk import Desk

#: How what is kept may end; once it is taken back that is no longer so.
KEPT = " kept"
Verb = Callable[..., Changes]
Follow = Callable[[Changes, str | None], None]


class Entering:
    """The desk's way to write. ``follow`` brings record, assessment and views after what was kept."""

    def __init__(self, desk: Desk, follow: Follow) -> None:
        self._desk, self._follow = desk, follow
        self._list = UndoList()

    def forget(self) -> None:
        """Nothing kept so far can be undone any more."""
        self._list.clear()

    def add(self, changes: Changes, saying: str | None) -> None:
        """Something written by another door, which undo shall know."""
        self._list.add(Done(changes, saying))

    def do(
        self,
        verb: Verb,
        *arguments: Any,
        saying: str | None,
        done: Callable[[Changes], None] | None,
        failed: Callable[[KilnlogError], None] | None,
        **named: Any,
    ) -> None:
        """See ``Desk.do``."""
        ticket = self._list.begin(self._here)

        def follow(changes: Changes) -> None:
            entered = Done(changes, saying)
            self._list.written(ticket, entered)
            self._follow(changes, saying)
            if done is not None:
                done(changes)
            if ticket.undo is not None:
                self._take_back(entered, ticket.undo)

        def not_written(error: KilnlogError) -> None:
            self._list.refused(ticket)
            (failed or self._desk.refused.emit)(error)

        self._desk.run(lambda book: verb(book, *arguments, **named), follow, not_written)

    @property
    def can_undo(self) -> bool:
        """Whether something entered since the logbook was opened can be taken back."""
        return self._list.waiting(self._here) is not None or self._list.newest(self._here) is not None

    def undo(self, saying: str) -> None:
        """Take back what was entered last in the charge in hand: a new version each, nothing is erased.

        What is still on its way into the file is undone once it is there.
        """
        if (ticket := self._list.waiting(self._here)) is not None:
            ticket.undo = saying
        elif (last := self._list.newest(self._here)) is not None:
            self._take_back(last, saying)

    @property
    def _here(self) -> str | None:
        record = self._desk.record
        return record.entity if record is not None else None

    def _take_back(self, last: Done, saying: str) -> None:
        known = self._list
        number = known.take(last)

        def undone(changes: Changes) -> None:
            known.undone(last, changes)
            self._follow(changes, f"{saying}: {last.said.removesuffix(KEPT)}" if last.said else saying)

        def restore(error: KilnlogError) -> None:
            # What can never be taken back would bar the way to those before it.
            if not isinstance(error, NothingToTakeBack | OtherLogbook):
                known.put_back(last, number)
            self._desk.refused.emit(error)

        self._desk.run(lambda book: take_back_last(book, last.changes), undone, restore)

"""A schedule of the operator's own, kept as a whole: one transaction, a version for each changed step."""

from __future__ import annotations

from collections.abc import Sequence

from kilnlog.logbook.changes import Changes
from kilnlog.logbook.errors import ReasonMissing
from kilnlog.logbook.session import Logbook
from kilnlog.logbook.writing import first_entry, successor
from kilnlog.records.schedule_step import ScheduleStep
from kilnlog.records.version import Entry, VersionKind, current_entries, histories


def keep_schedule(
    book: Logbook, name: str, steps: Sequence[ScheduleStep], reason: str | None = None
) -> Changes:
    """Let the schedule ``name`` consist of these steps; what is as it was stays untouched.

    A step written otherwise is corrected, a step left out is taken back: both need a reason. Raises
    ``ReasonMissing``.
    """
    written: list[Entry[ScheduleStep]] = []
    with book.file.immediate():
        entries: list[Entry[ScheduleStep]] = book.file.entries("schedule_step")
        there = {
            entry.fact.step: entry
            for entry in current_entries(histories(entries))
            if entry.fact.schedule == name
        }
        wanted = {step.step: step for step in steps}
        overruled = [step for step, entry in there.items() if wanted.get(step) != entry.fact]
        given = (reason or "").strip()
        if overruled and not given:
            raise ReasonMissing(what="correction")
        for number, entry in there.items():
            fact = wanted.get(number)
            if fact is None:
                made = successor(book, entry, entry.fact, VersionKind.VOID, given, entry.at)
            elif fact != entry.fact:
                made = successor(book, entry, fact, VersionKind.CORRECTION, given, entry.at)
            else:
                continue
            written.append(book.file.insert(made))
        for number in sorted(set(wanted) - set(there)):
            written.append(book.file.insert(first_entry(book, wanted[number], None)))
    return Changes.of(written)

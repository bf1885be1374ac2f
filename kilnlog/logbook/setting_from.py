"""A setting of the logbook from a time on: the first of its name, or a change of the one there is."""

from __future__ import annotations

from typing import Any

from kilnlog.logbook.changes import Changes
from kilnlog.logbook.session import Logbook
from kilnlog.logbook.writing import first_entry, successor
from kilnlog.records.moment import Moment
from kilnlog.records.setting import Setting
from kilnlog.records.version import Entry, VersionKind, current_entries, histories


def set_from(book: Logbook, fact: Setting, at: Moment) -> Changes:
    """Let the setting be ``fact`` from ``at`` on; what stood there stays true before it.

    The file says whether there is one: what a window last read of it may be older.
    """
    with book.file.immediate():
        return Changes.of(set_in(book, fact, at))


def set_in(book: Logbook, fact: Setting, at: Moment) -> tuple[Entry[Any], ...]:
    """As ``set_from``, inside ``immediate()``; the row that was written, none where nothing is new."""
    there = current_entries(histories(book.file.entries("setting")))
    entry = next((one for one in there if one.fact.setting == fact.setting), None)
    if entry is not None and entry.fact == fact:
        return ()
    made = (
        first_entry(book, fact, at)
        if entry is None
        else successor(book, entry, fact, VersionKind.CHANGE, None, at)
    )
    return (book.file.insert(made),)

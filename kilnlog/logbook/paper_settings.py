"""Who hands the papers out, kept as settings of the logbook."""

from __future__ import annotations

from kilnlog.logbook.changes import Changes
from kilnlog.logbook.session import Logbook
from kilnlog.logbook.setting_from import set_in
from kilnlog.records.setting import Setting

#: Settings that name who hands the papers out.
MILL_NAME, MILL_PLACE = "mill name", "mill place"


def set_mill(book: Logbook, name: str, place: str) -> Changes:
    """Let papers written from now on bear this name and place; an empty one is left off them."""
    at = book.now()
    with book.file.immediate():
        written = [
            *set_in(book, Setting(MILL_NAME, name.strip()), at),
            *set_in(book, Setting(MILL_PLACE, place.strip()), at),
        ]
    return Changes.of(written)

"""A copy for safe keeping."""

from __future__ import annotations

from pathlib import Path

from kilnlog.logbook.session import Logbook
from kilnlog.store.logbook_file import SUFFIX


def backup(book: Logbook, to: Path | None = None) -> Path:
    """Copy the logbook, checked, into a folder (made if need be; by default beside it); returns the copy.

    A name that ends as a logbook's does is that of the copy itself.
    """
    target = to or book.file.path.parent
    if target.suffix != SUFFIX:
        target.mkdir(parents=True, exist_ok=True)
    return book.file.backup(target)

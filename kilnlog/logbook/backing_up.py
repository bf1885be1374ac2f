"""A copy for safe keeping."""

from __future__ import annotations

from pathlib import Path

from kilnlog.logbook.session import Logbook


def backup(book: Logbook, to: Path | None = None) -> Path:
    """Copy the logbook, checked, into a folder (made if need be; by default beside it); returns the copy."""
    folder = to or book.file.path.parent
    if not folder.suffix:
        folder.mkdir(parents=True, exist_ok=True)
    return book.file.backup(folder)

"""A copy for safe keeping."""

from __future__ import annotations

from pathlib import Path

from kilnlog.logbook.session import Logbook
from kilnlog.store.errors import AlreadyExists
from kilnlog.store.logbook_file import SUFFIX
from kilnlog.store.placing import not_made


def backup(book: Logbook, to: Path | None = None) -> Path:
    """Copy the logbook, checked, into a folder (made if need be; by default beside it); returns the copy.

    A name that ends as a logbook's does is that of the copy itself.
    """
    target = to or book.file.path.parent
    if target.suffix != SUFFIX:
        try:
            target.mkdir(parents=True, exist_ok=True)
        except (
            FileExistsError,
            NotADirectoryError,
        ) as error:  # a file bears the name of it or of one above it
            in_the_way = next(each for each in (target, *target.parents) if each.exists())
            raise AlreadyExists(path=str(in_the_way)) from error
        except OSError as error:
            raise not_made(error, target) from error
    return book.file.backup(target)

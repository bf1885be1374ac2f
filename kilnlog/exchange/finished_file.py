"""A file that appears under its name when it is finished, or not at all."""

from __future__ import annotations

import contextlib
import errno
import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from uuid import uuid4

from kilnlog.exchange.errors import WriteFailed

_NOT_ALLOWED = {errno.EACCES, errno.EPERM, errno.EROFS}
_FULL = {errno.ENOSPC, errno.EDQUOT} if hasattr(errno, "EDQUOT") else {errno.ENOSPC}


@contextmanager
def finished_file(path: Path) -> Iterator[Path]:
    """Yield a name beside ``path`` to write to; afterwards the file takes the place of ``path``.

    Where ``path`` is a link it stays one, and what it points to is replaced. Whatever goes wrong, ``path`` is
    left as it was and nothing stays beside it. What the system refuses is raised as ``WriteFailed``.
    """
    if not path.parent.is_dir():
        raise WriteFailed(path=str(path), why="no-folder", detail=str(path.parent))
    target = Path(os.path.realpath(path))
    if not target.parent.is_dir():
        raise WriteFailed(path=str(target), why="no-folder", detail=str(target.parent))
    beside = target.with_name(f".{target.name}.{uuid4().hex[:8]}")
    try:
        yield beside
        os.replace(beside, target)
    except OSError as error:
        why = "not-allowed" if error.errno in _NOT_ALLOWED else "other"
        why = "disk-full" if error.errno in _FULL else why
        raise WriteFailed(path=str(path), why=why, detail=error.strerror or str(error)) from error
    finally:
        with contextlib.suppress(OSError):
            beside.unlink(missing_ok=True)

"""What stands in a folder, and who may write there."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path


def contents(folder: Path) -> dict[str, bytes]:
    return {str(path): path.read_bytes() for path in sorted(folder.rglob("*")) if path.is_file()}


@contextmanager
def nothing_changes(folder: Path) -> Iterator[None]:
    before = contents(folder)
    yield
    assert contents(folder) == before


@contextmanager
def as_somebody() -> Iterator[None]:
    """Without the rights of root, for whom nothing is write-protected."""
    if os.geteuid() != 0:
        yield
        return
    os.seteuid(65534)
    try:
        yield
    finally:
        os.seteuid(0)


@contextmanager
def protected(path: Path, mode: int) -> Iterator[None]:
    before = path.stat().st_mode
    path.chmod(mode)
    try:
        yield
    finally:
        path.chmod(before)

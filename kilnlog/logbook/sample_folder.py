"""The folder of a copy of the sample that goes with the program; nothing of anybody else's is touched."""

from __future__ import annotations

from contextlib import suppress
from pathlib import Path
from tempfile import mkdtemp

SAMPLE_NAME = "sample.kilnlog"
_PREFIX = "kilnlog-demo-"
#: The file, and what is kept beside it while it is open, or was left by a program that was killed.
_BESIDE = ("", "-wal", "-shm", "-journal", "-lock")


def temporary_folder() -> Path:
    """An empty folder for a copy of the sample."""
    return Path(mkdtemp(prefix=_PREFIX))


def remove_sample(folder: Path) -> bool:
    """Remove the copy from its temporary folder, and the folder with it.

    Returns whether all is gone: what somebody wrote beside it meanwhile is theirs and stays there.
    """
    for ending in _BESIDE:
        with suppress(OSError):
            (folder / f"{SAMPLE_NAME}{ending}").unlink()
    with suppress(OSError):  # not empty
        folder.rmdir()
    return not folder.exists()

"""What a workbook being written leaves on the disk: itself, where it was asked for, and nothing else."""

from __future__ import annotations

import errno
import gc
import os
import signal
import subprocess
import sys
import tempfile
from pathlib import Path
from typing import Any

import pytest

from kilnlog.exchange.errors import WriteFailed
from kilnlog.exchange.scratch_folder import scratch_folder
from tests.exchange.charges import eventful, in_pounds, written


@pytest.fixture
def temporary(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Where the machine's temporary files go."""
    folder = tmp_path / "temporary"
    folder.mkdir()
    monkeypatch.setattr(tempfile, "tempdir", str(folder))
    return folder


class FullDisk:
    """A file on a disk that takes so many bytes and no more."""

    def __init__(self, file: Any, room: int) -> None:
        self._file, self._room = file, room

    def write(self, data: bytes) -> int:
        self._room -= len(data)
        if self._room < 0:
            raise OSError(errno.ENOSPC, "No space left on device")
        return int(self._file.write(data))

    def __getattr__(self, name: str) -> Any:
        return getattr(self._file, name)

    def __enter__(self) -> FullDisk:
        return self

    def __exit__(self, *_: object) -> None:
        self._file.close()


@pytest.mark.parametrize("room", [0, 1, 300, 3_000, 9_000, 15_000])
def test_a_full_disk_is_told_once_and_nothing_is_left(
    tmp_path: Path,
    temporary: Path,
    monkeypatch: pytest.MonkeyPatch,
    capfd: pytest.CaptureFixture[str],
    room: int,
) -> None:
    """An archive that is let go of unfinished complains on stderr; pytest makes a failure of that as well."""
    plain = Path.open

    def opened(path: Path, mode: str = "r", *how: Any, **more: Any) -> Any:
        file = plain(path, mode, *how, **more)
        return FullDisk(file, room) if mode == "wb" else file

    with monkeypatch.context() as patched:
        patched.setattr(Path, "open", opened)
        with pytest.raises(WriteFailed) as refused:
            written(tmp_path / "out.xlsx", [eventful()])
    assert refused.value.values["why"] == "disk-full"
    del refused
    gc.collect()
    assert capfd.readouterr().err == ""
    assert list(tmp_path.iterdir()) == [temporary]
    assert list(temporary.iterdir()) == []


def test_nothing_is_left_among_the_temporary_files(tmp_path: Path, temporary: Path) -> None:
    written(tmp_path / "out.xlsx", [eventful()])
    assert list(temporary.iterdir()) == []


_HANGS = """
import sys, tempfile
from pathlib import Path
from tests.exchange.charges import eventful, written
tempfile.tempdir = sys.argv[1]
def hang(fraction):
    if fraction > 0.5:
        print("half", flush=True)
        sys.stdin.read()
written(Path(sys.argv[2]), [eventful()], progress=hang)
"""


@pytest.fixture
def half_written(tmp_path: Path, temporary: Path) -> Any:
    """Another program half way through a workbook."""
    program = subprocess.Popen(
        [sys.executable, "-c", _HANGS, str(temporary), str(tmp_path / "other.xlsx")],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    )
    assert program.stdout is not None
    assert program.stdout.readline() == "half\n"
    yield program
    program.kill()
    program.communicate()


def test_what_a_killed_program_left_goes_with_the_next_export(
    tmp_path: Path, temporary: Path, half_written: subprocess.Popen[str]
) -> None:
    os.kill(half_written.pid, signal.SIGKILL)
    half_written.wait()
    left = list(temporary.rglob("*.xml"))
    assert left
    assert {path.parent.parent for path in left} == {temporary}
    written(tmp_path / "out.xlsx", [in_pounds()])
    assert list(temporary.iterdir()) == []


def test_what_another_program_is_writing_stays(
    tmp_path: Path, temporary: Path, half_written: subprocess.Popen[str]
) -> None:
    written(tmp_path / "out.xlsx", [in_pounds()])
    half_written.communicate("go on")
    assert half_written.returncode == 0
    assert (tmp_path / "other.xlsx").stat().st_size > 1_000
    assert list(temporary.iterdir()) == []


def test_a_folder_of_somebody_else_is_left_alone(temporary: Path) -> None:
    other = temporary / "kilnlog-export-other"
    other.mkdir()
    with scratch_folder() as own:
        assert own.parent == temporary
    assert list(temporary.iterdir()) == [other]


def test_a_link_stays_a_link(tmp_path: Path) -> None:
    shared = tmp_path / "shared"
    shared.mkdir()
    (shared / "record.xlsx").write_text("old")
    link = tmp_path / "out.xlsx"
    link.symlink_to(shared / "record.xlsx")
    written(link, [in_pounds()])
    assert link.is_symlink()
    assert (shared / "record.xlsx").read_bytes().startswith(b"PK")
    assert [path.name for path in shared.iterdir()] == ["record.xlsx"]


def test_a_link_into_a_folder_that_is_gone_is_refused(tmp_path: Path) -> None:
    link = tmp_path / "out.xlsx"
    link.symlink_to(tmp_path / "gone" / "record.xlsx")
    with pytest.raises(WriteFailed) as refused:
        written(link, [in_pounds()])
    assert refused.value.values["why"] == "no-folder"
    assert link.is_symlink()

"""kilnlog as a process of its own: what it loads, how it ends, and the demo where no window can be shown."""

from __future__ import annotations

import json
import os
import subprocess
import sys

import pytest

HEAVY = ("PySide6", "pyqtgraph", "openpyxl", "reportlab")


def call(*arguments, cwd=None, encoding="utf-8", **environment):
    kept = {name: value for name, value in os.environ.items() if name not in ("DISPLAY", "WAYLAND_DISPLAY")}
    kept.pop("QT_QPA_PLATFORM", None)
    return subprocess.run(
        [sys.executable, *map(str, arguments)],
        capture_output=True,
        encoding=encoding,
        cwd=cwd,
        env=kept | environment,
        check=False,
        timeout=300,
    )


@pytest.mark.parametrize("command", [["--help"], ["status", "FILE", "2026-14"], ["charges", "FILE"]])
def test_reading_needs_neither_window_nor_workbook(sample, command):
    told = [str(sample) if word == "FILE" else word for word in command]
    script = (
        "import sys; sys.argv = ['kilnlog', *sys.argv[1:]]\n"
        "from kilnlog.cli import main\n"
        "try:\n    main()\nexcept SystemExit as ended:\n    assert not ended.code, ended.code\n"
        f"print([name for name in {HEAVY!r} if name in sys.modules], file=sys.stderr)"
    )
    ran = call("-c", script, *told)
    assert ran.returncode == 0
    assert ran.stderr == "[]\n"
    assert ran.stdout


def test_help_loads_no_sql_either():
    ran = call("-X", "importtime", "-m", "kilnlog", "--help")
    assert ran.returncode == 0
    loaded = {line.rpartition("|")[2].strip() for line in ran.stderr.splitlines()}
    assert "kilnlog.cli.commands" in loaded
    assert not loaded & {"sqlite3", "sqlite_utils", "numpy", *HEAVY}


def test_a_terminal_without_our_signs_still_gets_figures(sample):
    western = {"PYTHONIOENCODING": "cp1252"}  # as Windows sets up a pipe
    table = call("-m", "kilnlog", "charges", sample, encoding="cp1252", **western)
    assert table.returncode == 0, table.stderr
    assert "?ucja & Søren Brækhus" in table.stdout
    listed = call("-m", "kilnlog", "charges", sample, "--json", encoding="cp1252", **western)
    assert "Łucja & Søren Brækhus" in {
        owner for line in json.loads(listed.stdout) for owner in line["owners"]
    }


def test_a_refusal_ends_with_2_and_nothing_on_stdout(tmp_path):
    ran = call("-m", "kilnlog", "charges", tmp_path / "no.kilnlog")
    assert ran.returncode == 2
    assert ran.stdout == ""
    assert ran.stderr.startswith("There is no file ")
    assert len(ran.stderr.splitlines()) == 1


@pytest.mark.parametrize("arguments", [[], ["open"], ["open", "FILE"]])
def test_without_a_display_the_window_says_so(sample, arguments):
    ran = call("-m", "kilnlog", *(sample if word == "FILE" else word for word in arguments))
    assert ran.returncode == 2
    assert ran.stderr == "There is no display to show a window on. Run it from a desktop.\n"


def test_without_a_display_the_demo_does_the_whole_job(tmp_path):
    ran = call("-m", "kilnlog", "demo", cwd=tmp_path)
    assert ran.returncode == 0, ran.stderr
    [told] = ran.stderr.splitlines()
    assert told.startswith("There is no display to show a window on.")
    folder = tmp_path / "kilnlog-demo"
    assert "weighing round: 8 weights accepted in charge 2026-14" in ran.stdout
    for name in ("sample.kilnlog", "status.txt", "2026-14.xlsx"):
        assert (folder / name).stat().st_size > 0
    pictures = list((folder / "pictures").glob("*.png"))
    assert len(pictures) >= 3
    assert all(picture.read_bytes().startswith(b"\x89PNG") for picture in pictures)
    assert (folder / "status.txt").read_text(encoding="utf-8") in ran.stdout
    again = call("-m", "kilnlog", "demo", "--to", folder)
    assert again.returncode == 2
    assert again.stderr.splitlines()[-1].startswith(f"{folder} is not empty. Name a new folder")

"""Run every measurement on a fresh sample logbook; exit code 1 where a bar is not met."""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
from importlib import import_module
from pathlib import Path

from tests.bench.measured import Measured
from tests.sample_logbook.build import FOLDER

PARTS = ("start", "enter", "export", "air", "logger", "draw")


def main() -> None:
    """``python -m tests.bench [start] [enter] [export] [air] [logger] [draw]``; without words all of it."""
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    asked = sys.argv[1:] or list(PARTS)
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        sample = folder / "sample.kilnlog"
        subprocess.run(
            [sys.executable, "-m", "kilnlog", "import", str(FOLDER), "--into", str(sample)],
            check=True,
            capture_output=True,
        )
        measured: list[Measured] = []
        for part in asked:
            for one in import_module(f"tests.bench.{part}").measure(sample, folder):
                print(one.line(), flush=True)
                measured.append(one)
    sys.exit(0 if all(one.is_met for one in measured) else 1)


if __name__ == "__main__":
    main()

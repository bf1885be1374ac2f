"""From process start to the first painted window, against a bare window in the same run."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from pathlib import Path

from tests.bench.measured import Measured, ratio_of_medians, spread

ROUNDS = 9
BAR = 1.6
PATIENCE_S = 60


def measure(sample: Path, folder: Path) -> list[Measured]:
    """Start both in turn; ours counts once the sample's charges are painted, not when the frame is."""
    bare: list[float] = []
    framed: list[float] = []
    filled: list[float] = []
    own = ["tests.bench.own_window", str(sample), str(folder / "preferences.json")]
    for _ in range(ROUNDS + 1):
        bare.append(_started(["tests.bench.bare_window"])["ready"])
        moments = _started(own)
        framed.append(moments["window"])
        filled.append(moments["ready"])
    bare, framed, filled = bare[1:], framed[1:], filled[1:]  # the first of each reads cold files
    return [
        Measured(
            "start to the sample's charges painted, bare window",
            ratio_of_medians(filled, bare),
            BAR,
            "times",
            f"ours {spread(filled)}, frame alone {spread(framed)}, bare {spread(bare)}",
        )
    ]


def _started(module: list[str]) -> dict[str, float]:
    """Milliseconds from before the process is made to each moment it tells."""
    surroundings = {**os.environ, "QT_QPA_PLATFORM": "offscreen"}
    began = time.monotonic()
    done = subprocess.run(
        [sys.executable, "-m", *module],
        env=surroundings,
        capture_output=True,
        text=True,
        check=True,
        timeout=PATIENCE_S,
    )
    told = dict(line.split() for line in done.stdout.splitlines())
    return {what: (float(moment) - began) * 1000 for what, moment in told.items()}

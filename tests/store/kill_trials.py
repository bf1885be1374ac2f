"""Kill a program in the midst of accepting weights: ``python -m tests.store.kill_trials --trials 300``.

A child writes weights one after another and prints each one's uid once its commit has returned: what the
window calls saved. The parent kills it at a random moment (SIGKILL, nothing is cleaned up), opens the file,
and looks that every weight printed is there, at most one more is, and every check passes. It shows that no
crash of the program loses a weight; a power cut, which also loses what the disk held back, it cannot show.
"""

from __future__ import annotations

import argparse
import random
import selectors
import subprocess
import sys
import tempfile
import time
from dataclasses import dataclass, field
from pathlib import Path

from kilnlog.store.logbook_file import LogbookFile
from tests.store.mill import filled

LONGEST_S = 0.25  # from the first weight accepted to the kill
TRIALS_A_FILE = 20  # a killed file is written on by the next child


@dataclass
class Tally:
    """What the trials showed."""

    trials: int = 0
    accepted: int = 0  # weights printed as saved
    lost: list[str] = field(default_factory=list)
    unsound: list[str] = field(default_factory=list)
    extra: int = 0  # committed, but killed before it could be printed
    cut_off: int = 0  # files left in the middle of a write


def killed_child(path: Path, chance: random.Random) -> list[str]:
    """Let a child weigh until it is killed; the uids it printed whole."""
    with subprocess.Popen(
        [sys.executable, "-m", "tests.store.other_program", str(path), "weigh"], stdout=subprocess.PIPE
    ) as child:
        assert child.stdout is not None
        assert child.stdout.readline() == b"writing\n"
        end = time.monotonic() + chance.uniform(0, LONGEST_S)
        printed = b""
        with selectors.DefaultSelector() as waiting:
            waiting.register(child.stdout, selectors.EVENT_READ)
            while (left := end - time.monotonic()) > 0:
                if waiting.select(left):
                    printed += child.stdout.read1()
        child.kill()
        printed += child.stdout.read()
    return [line.decode() for line in printed.split(b"\n")[:-1]]


def trial(path: Path, chance: random.Random, saved: list[str], tally: Tally) -> None:
    """One kill. ``saved`` holds every weight that is known to be in the file, and is brought up to date."""
    accepted = killed_child(path, chance)
    tally.trials += 1
    tally.accepted += len(accepted)
    journal = Path(f"{path}-journal")
    tally.cut_off += journal.exists() and journal.stat().st_size > 0 and any(journal.read_bytes()[:8])
    with LogbookFile.open(path) as book:
        if book.why_read_only is not None:
            tally.unsound.append(book.why_read_only.code)
        kept = [entry.entity for entry in book.entries("weighing")]
        tally.unsound.extend(misfit.why for misfit in book.verify())
    expected = saved + accepted
    tally.lost.extend(uid for uid in expected if uid not in kept)
    beyond = [uid for uid in kept if uid not in expected]
    tally.extra += len(beyond)
    if kept != expected + beyond or len(beyond) > 1:
        tally.unsound.append("order")
    saved[:] = kept


def run(trials: int, seed: int) -> Tally:
    """Kill so often."""
    chance, tally = random.Random(seed), Tally()
    with tempfile.TemporaryDirectory() as folder:
        for number in range(trials):
            path = Path(folder) / f"{number // TRIALS_A_FILE}.kilnlog"
            if not path.exists():
                saved = [filled(path)["weighing"].entity]
            trial(path, chance, saved, tally)
    return tally


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--trials", type=int, default=300)
    parser.add_argument("--seed", type=int, default=1)
    asked = parser.parse_args()
    shown = run(asked.trials, asked.seed)
    print(shown)
    sys.exit(bool(shown.lost or shown.unsound))

"""A logger's file of a million rows: parsed, checked and stored, against a loop that only parses it."""

from __future__ import annotations

import csv
import math
import time
from collections.abc import Callable
from datetime import datetime, timedelta
from pathlib import Path

from kilnlog.exchange.logger.recognise import recognise_file
from kilnlog.logbook.reading_logger import read_logger
from kilnlog.logbook.session import new_logbook
from kilnlog.logbook.writing import write
from kilnlog.records.charge import Charge
from kilnlog.records.words import LoggerClock
from tests.bench.measured import Measured, ratio_of_medians, spread

ROWS = 1_000_000
ROUNDS = 3
BAR = 1.0
BEGIN = datetime(2024, 1, 1)
_STAMP = "%Y-%m-%d %H:%M:%S"


def measure(sample: Path, folder: Path) -> list[Measured]:
    """A reading a minute for nearly two years, in turn: ours into a fresh logbook, and the plain loop."""
    path = folder / "kiln.csv"
    write_file(path)
    ours: list[float] = []
    loop: list[float] = []
    for number in range(ROUNDS):
        ours.append(_ms(lambda number=number: _read(path, folder / f"{number}.kilnlog")))
        loop.append(_ms(lambda: plain_loop(path)))
    return [
        Measured(
            f"logger file of {ROWS:,} rows, csv, strptime and floats",
            ratio_of_medians(ours, loop),
            BAR,
            "times",
            f"ours {spread(ours)}, stored and checked; loop {spread(loop)}, parsed only",
        )
    ]


def write_file(path: Path) -> None:
    """Figures that hardly repeat, so that nothing is known before it is read."""
    with path.open("w", encoding="utf-8") as file:
        file.write("Date/Time,Temperature (°C),RH (%)\n")
        for n in range(ROWS):
            at = BEGIN + timedelta(minutes=n)
            dry, rh = 55 + 9 * math.sin(n / 731) + n % 17 / 50, 48 + 20 * math.sin(n / 977) + n % 13 / 20
            file.write(f"{at:{_STAMP}},{dry:.2f},{rh:.2f}\n")


def plain_loop(path: Path) -> list[tuple[datetime, float, float]]:
    """As one would write it down first: parses every row, checks and keeps nothing."""
    with path.open(encoding="utf-8", newline="") as file:
        rows = csv.reader(file)
        next(rows)
        return [(datetime.strptime(at, _STAMP), float(dry), float(rh)) for at, dry, rh in rows]


def _read(path: Path, to: Path) -> None:
    book = new_logbook(to)
    try:
        charge = write(book, Charge("1", "America/New_York")).entries[0].entity
        form = recognise_file(path).answered(clock=LoggerClock.STANDARD)
        done = read_logger(book, charge, path, form, sensor="entering")
    finally:
        book.close()
    if done.kept != ROWS:
        raise RuntimeError(f"{done.kept} of {ROWS} rows were kept")


def _ms(work: Callable[[], object]) -> float:
    began = time.perf_counter()
    work()
    return (time.perf_counter() - began) * 1000

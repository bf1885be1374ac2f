"""RH and EMC of a million readings, against psychrolib in a loop and against numpy's exp, in the same run."""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np
import psychrolib

from kilnlog.drying.air.moist_air import pressure_pa
from kilnlog.drying.air.series import air_series
from tests.bench.measured import Measured

READINGS = 1_000_000
#: psychrolib takes one reading after the other, so a sample of them tells its pace.
LOOPED = 20_000
ROUNDS = 25
AGAINST_LOOP, AGAINST_EXP = 1 / 30, 10.0
SEED = 20261125


def measure(sample: Path, folder: Path) -> list[Measured]:
    """The loop gives the humidity only; exp is taken of the same readings, both thermometers."""
    random = np.random.default_rng(SEED)
    dry = random.uniform(20, 85, READINGS)
    wet = dry - random.uniform(0, 12, READINGS)
    readings = np.stack([dry, wet])
    sea = pressure_pa(0)
    ours, exp, exp_of_one = [], [], []
    for _ in range(ROUNDS):  # in turn, so that a busy moment hits all of them
        ours.append(_ms(lambda: air_series(dry, wet, sea)))
        exp.append(_ms(lambda: np.exp(readings)))
        exp_of_one.append(_ms(lambda: np.exp(dry)))
    loop_ms = _ms(lambda: _looped(dry[:LOOPED], wet[:LOOPED], sea)) * READINGS / LOOPED
    took, bare, bare_one = (statistics.median(one) for one in (ours, exp, exp_of_one))
    told = f"ours {took:.1f} ms"
    return [
        Measured(
            "RH and EMC of 1,000,000 readings, psychrolib's loop",
            took / loop_ms,
            AGAINST_LOOP,
            "times",
            f"{told}, loop {loop_ms:.0f} ms by {LOOPED:,} of them: {loop_ms / took:.0f} times as fast",
        ),
        Measured(
            "RH and EMC of 1,000,000 readings, exp of them",
            took / bare,
            AGAINST_EXP,
            "times",
            f"{told}, exp of both thermometers {bare:.2f} ms, of one {bare_one:.2f} ms "
            f"({took / bare_one:.1f} times that)",
        ),
    ]


def _looped(dry: np.ndarray, wet: np.ndarray, sea: float) -> None:
    psychrolib.SetUnitSystem(psychrolib.SI)
    for dry_c, wet_c in zip(dry.tolist(), wet.tolist(), strict=True):
        psychrolib.GetRelHumFromTWetBulb(dry_c, wet_c, sea)


def _ms(work: Callable[[], object]) -> float:
    began = time.perf_counter()
    work()
    return (time.perf_counter() - began) * 1000

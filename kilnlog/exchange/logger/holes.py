"""Finds where a logger's record has real holes: longer than twice the usual interval around them."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from kilnlog.exchange.logger.chunk import Hole

Whole = NDArray[np.int64]

#: Twice the usual interval: one reading may be missing, two are a hole.
_TIMES = 2
#: So many steps on either side say what is usual there: a logger set to another pace shows no holes.
_AROUND = 4


class HoleFinder:
    """Takes the instants of readings, rising, in pieces; tells of holes once enough is known around them."""

    def __init__(self, interval_s: int | None = None) -> None:
        self._interval_s = interval_s  # where a file has but two readings
        self._at_s: Whole = np.empty(0, dtype=np.int64)
        self._told = 0  # so many of the steps between them are judged

    def take(self, at_s: Whole) -> tuple[Hole, ...]:
        """The holes that became plain with these readings."""
        self._at_s = np.concatenate((self._at_s, at_s))
        return self._found(len(self._at_s) - 1 - _AROUND)

    def finish(self) -> tuple[Hole, ...]:
        """The holes among the last readings."""
        return self._found(len(self._at_s) - 1)

    def _found(self, until: int) -> tuple[Hole, ...]:
        if until <= self._told:
            return ()
        steps = np.diff(self._at_s)
        judged = np.arange(self._told, until)
        long = judged[steps[judged] > _TIMES * steps.min()]  # a step no longer than that is no hole anywhere
        usual = np.maximum(self._usual(steps, long, -1), self._usual(steps, long, 1))
        if len(steps) == 1 and self._interval_s is not None:
            usual = np.full(len(long), self._interval_s)
        holes = long[(steps[long] > _TIMES * usual) & (usual > 0)]
        found = tuple(Hole(int(self._at_s[at]), int(self._at_s[at + 1])) for at in holes.tolist())
        drop = max(until - _AROUND, 0)
        self._at_s, self._told = self._at_s[drop:], until - drop
        return found

    @staticmethod
    def _usual(steps: Whole, at: Whole, side: int) -> Whole:
        """The lower median of the steps on one side of each; 0 where there are none."""
        beside = at[:, None] + side * np.arange(1, _AROUND + 1)
        there = (beside >= 0) & (beside < len(steps))
        most = np.iinfo(np.int64).max
        lengths = np.sort(np.where(there, steps[np.clip(beside, 0, len(steps) - 1)], most), axis=1)
        middle = (np.maximum(there.sum(axis=1), 1) - 1) // 2
        median: Whole = np.where(there.any(axis=1), lengths[np.arange(len(at)), middle], 0)
        return median

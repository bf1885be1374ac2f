"""Sets aside what a stuck sensor repeats; the first of it was measured and is kept."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from kilnlog.reference.tables import load

Reals = NDArray[np.float64]
Whole = NDArray[np.int64]
Flags = NDArray[np.bool_]

#: Across a longer step nothing is known of what was shown meanwhile [s].
_LONGEST_STEP_S = 3600


class StuckSensor:
    """Judges readings in the order they come; a last run of equal ones waits until it is known how it ends.

    Of a run that is stuck only its first and last reading are remembered, so that memory stays flat.
    """

    def __init__(self) -> None:
        reference = load()
        self._stuck_s = 3600 * reference.limit("logger_stuck_h")
        self._stuck_alone_s = 3600 * reference.limit("logger_stuck_alone_h")
        self._at_s: Whole = np.empty(0, dtype=np.int64)
        self._dry: Reals = np.empty(0)
        self._second: Reals = np.empty(0)
        self._told = 0  # so many of these were judged before

    def take(self, at_s: Whole, dry: Reals, second: Reals) -> Flags:
        """Whether each reading is kept, for as many as are decided, going on from where it ended before."""
        self._at_s = np.concatenate((self._at_s, at_s))
        self._dry = np.concatenate((self._dry, dry))
        self._second = np.concatenate((self._second, second))
        return self._judged(to_end=False)

    def finish(self) -> Flags:
        """Whether those not yet decided are kept: nothing more comes."""
        return self._judged(to_end=True)

    def _judged(self, *, to_end: bool) -> Flags:
        at_s, dry, second = self._at_s, self._dry, self._second
        if not len(at_s):
            return np.empty(0, dtype=bool)
        goes_on = _same(dry) & _same(second) & (np.diff(at_s) <= _LONGEST_STEP_S)
        goes_on[: max(self._told - 1, 0)] = True  # from the first of a stuck run to its last
        starts = np.concatenate(([0], np.flatnonzero(~goes_on) + 1))
        ends = np.concatenate((starts[1:] - 1, [len(at_s) - 1]))
        alone = np.isnan(dry[starts]) | np.isnan(second[starts])
        stuck = at_s[ends] - at_s[starts] >= np.where(alone, self._stuck_alone_s, self._stuck_s)
        kept = np.ones(len(at_s), dtype=bool)
        for start, end in zip(starts[stuck].tolist(), ends[stuck].tolist(), strict=True):
            kept[start + 1 : end + 1] = False
        decided = len(at_s) if to_end or stuck[-1] else int(starts[-1])
        judged = kept[self._told : decided]
        self._remember(int(starts[-1]), is_stuck=bool(stuck[-1]))
        return judged

    def _remember(self, start: int, *, is_stuck: bool) -> None:
        """The last run; of a stuck one the first reading and the last."""
        left = [start, len(self._at_s) - 1] if is_stuck else slice(start, None)
        self._at_s, self._dry, self._second = self._at_s[left], self._dry[left], self._second[left]
        self._told = 2 if is_stuck else 0


def _same(values: Reals) -> Flags:
    """Whether each value is that before it; two that are missing are alike."""
    gone = np.isnan(values)
    alike: Flags = (values[1:] == values[:-1]) | (gone[1:] & gone[:-1])
    return alike

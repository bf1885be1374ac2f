"""Rows of a logger's file, some thousands at a time."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from enum import StrEnum
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from kilnlog.records.logger_batch import LoggerDay

Whole = NDArray[np.int64]
Flags = NDArray[np.bool_]

_DAY_S = 86400
_EPOCH = datetime(1970, 1, 1, tzinfo=UTC).date()


class SetAside(StrEnum):
    """Why a row is not kept."""

    TIME = "no readable time"
    SKIPPED = "a time the clock skipped in spring"
    ORDER = "out of the order of time"
    TWICE = "the same moment twice"
    EMPTY = "no figures"
    UNREADABLE = "a figure that is no number"
    FAULT = "a logger's sign for a fault"
    RANGE = "out of range"
    WET_ABOVE_DRY = "wet bulb above dry bulb"
    WET_ALONE = "a wet bulb without its dry bulb"
    STUCK = "stuck at one value for hours"


@dataclass(frozen=True, slots=True)
class Hole:
    """A stretch without readings, longer than twice the usual interval there [s since 1970, UTC]."""

    from_s: int  # the last reading before
    to_s: int  # the first after

    @property
    def hours(self) -> float:
        """How long [h]."""
        return (self.to_s - self.from_s) / 3600


@dataclass(frozen=True)
class Chunk:
    """Readings that can be kept, rising in time from chunk to chunk, and what was noticed on the way.

    Attributes:
        at_s: When [s since 1970-01-01 00:00 UTC].
        dry: Dry bulb as JSON writes numbers, with the decimals the logger wrote; ``null`` for none.
        second: Wet bulb or RH, likewise.
        rows: Rows of the file read since the chunk before; what is set aside here may have stood in it.
        set_aside: How many rows were set aside, by reason.
        holes: Holes that became plain since the chunk before.
        done: How much of the file is read, 0 to 1.
    """

    at_s: Whole
    dry: list[str]
    second: list[str]
    rows: int = 0
    set_aside: Mapping[SetAside, int] = field(default_factory=Counter)
    holes: tuple[Hole, ...] = ()
    done: float = 0.0

    def only(self, kept: Flags) -> Chunk:
        """The chunk with these readings alone."""
        if kept.all():
            return self
        at = np.flatnonzero(kept).tolist()
        return Chunk(
            self.at_s[kept],
            [self.dry[index] for index in at],
            [self.second[index] for index in at],
            self.rows,
            self.set_aside,
            self.holes,
            self.done,
        )

    def days(self) -> Iterator[tuple[int, list[str]]]:
        """Each day of UTC [days since 1970] with its readings as the record writes them."""
        if not len(self.at_s):
            return
        texts = [
            f"[{at},{dry},{second}]"
            for at, dry, second in zip(self.at_s.tolist(), self.dry, self.second, strict=True)
        ]
        number = self.at_s // _DAY_S
        starts = [0, *(np.flatnonzero(np.diff(number)) + 1).tolist(), len(texts)]
        for begin, end in pairwise(starts):
            yield int(number[begin]), texts[begin:end]


def day_text(number: int, texts: list[str]) -> LoggerDay:
    """A whole day of readings as it is kept."""
    return LoggerDay(_EPOCH + timedelta(days=number), f"[{','.join(texts)}]")

"""What a measurement came to, and how it is told."""

from __future__ import annotations

import statistics
from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True)
class Measured:
    """One figure held against its bar."""

    what: str
    value: float
    bar: float
    unit: str  # "times", "ms"
    detail: str

    @property
    def is_met(self) -> bool:
        """Whether it stays within the bar."""
        return self.value <= self.bar

    def line(self) -> str:
        """One line of the report."""
        verdict = "met" if self.is_met else "NOT MET"
        return (
            f"{self.what:<52} {self.value:6.2f} {self.unit:<5} bar {self.bar:g}  {verdict:<7}  {self.detail}"
        )


def percentile(values: Sequence[float], share: float) -> float:
    """The value that ``share`` of them do not exceed, by rank."""
    ordered = sorted(values)
    return ordered[min(len(ordered) - 1, int(share * len(ordered)))]


def spread(values: Sequence[float]) -> str:
    """Median and range [ms]."""
    return f"{statistics.median(values):.0f} ms ({min(values):.0f} to {max(values):.0f})"


def ratio_of_medians(ours: Sequence[float], peer: Sequence[float]) -> float:
    """How many times as long as the peer."""
    return statistics.median(ours) / statistics.median(peer)

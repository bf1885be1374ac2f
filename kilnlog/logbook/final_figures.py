"""The final moisture of a closed charge as its seal holds it: by the pieces read, else by its sample boards.

Pieces read by meter, pieces dried in an oven and sample boards are three series; they are never mixed. Where
there are several, the one of the most pieces is told, and by name.
"""

from __future__ import annotations

import statistics
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

SAMPLE_BOARDS = "sample boards"
#: A board in one of these states does not stand for its lot at the end.
_LEFT_OUT = frozenset({"withdrawn", "drying oven"})


@dataclass(frozen=True, slots=True)
class FinalMoisture:
    """One series of final moisture contents [% of oven-dry weight]."""

    kind: str  # sample boards, pin meter, pinless meter, oven-dry
    mc_pct: tuple[float, ...]
    over: int = 0  # pieces read above the meter's range: counted, in no mean

    @property
    def pieces(self) -> int:
        """How many were read."""
        return len(self.mc_pct) + self.over

    @property
    def mean_pct(self) -> float | None:
        """Their mean."""
        return statistics.fmean(self.mc_pct) if self.mc_pct else None

    @property
    def sd_pct(self) -> float | None:
        """Their standard deviation, by n − 1; None of fewer than two."""
        return statistics.stdev(self.mc_pct) if len(self.mc_pct) > 1 else None

    def outside(self, low_pct: float | None, high_pct: float | None) -> int:
        """How many lie outside these limits; what is over the meter's range does whatever the limits are."""
        below = sum(mc < low_pct for mc in self.mc_pct) if low_pct is not None else 0
        above = sum(mc > high_pct for mc in self.mc_pct) if high_pct is not None else 0
        return below + above + self.over


def final_moisture(sealed: Mapping[str, Any], lot: str | None = None) -> FinalMoisture | None:
    """The series of the most pieces; None where nothing was read and no board tells.

    Args:
        sealed: What a seal holds, of whichever form.
        lot: The label of one lot; None for the whole charge.
    """
    read = list(_read(sealed, lot))
    if read:
        return max(read, key=lambda series: series.pieces)
    boards = sealed.get("status", {}).get("boards", ())
    mc_pct = tuple(
        board["mc_pct"]
        for board in boards
        if board["mc_pct"] is not None and board["state"] not in _LEFT_OUT and lot in (None, board["lot"])
    )
    return FinalMoisture(SAMPLE_BOARDS, mc_pct) if mc_pct else None


def sealed_limits(sealed: Mapping[str, Any], lot: str) -> tuple[float | None, float | None] | None:
    """The limits a lot was judged by as it was sealed, low and high [%]; None where the seal names none."""
    part = next((part for part in sealed.get("lots", ()) if part["lot"] == lot), None)
    limits = None if part is None else (part["limits"]["low_pct"], part["limits"]["high_pct"])
    return None if limits == (None, None) else limits


def start_mc_pct(sealed: Mapping[str, Any]) -> float | None:
    """The mean moisture content of the sample boards as they were cut [%]."""
    boards = sealed.get("status", {}).get("boards", ())
    starts = [board["start_mc_pct"] for board in boards if board["start_mc_pct"] is not None]
    return statistics.fmean(starts) if starts else None


def _read(sealed: Mapping[str, Any], lot: str | None) -> Iterator[FinalMoisture]:
    """What was read of finished pieces, series by series; earlier seals hold none."""
    found: dict[str, list[Mapping[str, Any]]] = {}
    for part in sealed.get("lots", ()):
        if lot not in (None, part["lot"]):
            continue
        for series in part["final"]:
            if series["kind"] != SAMPLE_BOARDS:
                found.setdefault(series["kind"], []).extend(series["readings"])
    for kind, readings in found.items():
        mc_pct = tuple(reading["mc_pct"] for reading in readings if reading["mc_pct"] is not None)
        over = sum(bool(reading["over"]) for reading in readings)
        if mc_pct or over:
            yield FinalMoisture(kind, mc_pct, over)

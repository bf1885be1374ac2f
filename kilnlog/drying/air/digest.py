"""The air of a charge reduced to what ``assess`` needs: a key press never waits for a million readings.

A digest is made once for the readings of the loggers and kept while they stay the same; the few readings by
hand are added at every assessment.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from kilnlog.drying.air.reading import AirPoint
from kilnlog.drying.air.trace import FrozenLimits, Series, Trace, hand_traces, logger_trace
from kilnlog.drying.facts_at import Seen
from kilnlog.records.air_reading import AirReading
from kilnlog.records.moment import Moment
from kilnlog.reference.tables import Reference


@dataclass(frozen=True, slots=True)
class AirSpan:
    """A stretch of time for which something held."""

    begun_at: Moment
    until: Moment
    reaches_latest: bool  # it held at the sensor's last reading
    sensor: str | None
    highest_dry_c: float

    @property
    def hours(self) -> float:
        """How long [h], from its first reading to its last."""
        return self.until.hours_since(self.begun_at)


@dataclass(frozen=True, slots=True)
class RecentMean:
    """The air over a window, by the mean of its entries."""

    dry_bulb_c: float
    rh_pct: float
    emc_pct: float
    entries: int


@dataclass(frozen=True)
class AirDigest:
    """What every sensor showed, one trace for each sensor and source."""

    traces: tuple[Trace, ...]

    def latest(self, sensor: str | None) -> AirPoint | None:
        """The last reading of a sensor, by hand or by a logger."""
        points = [trace.latest for trace in self.traces if trace.sensor == sensor]
        return max(points, key=lambda point: point.at, default=None)

    def kiln_trace(self, entering: str | None, leaving: str | None, fresh_h: float) -> Trace | None:
        """The trace that stands for the kiln's air; None where nobody read any.

        The air that enters the load is the driest the wood meets, and what a schedule speaks of. So of the
        traces that were read within ``fresh_h`` [h] of the last reading, and of them those that tell the air
        whole: the entering sensor's, else any but the leaving one's, else that; of several, the one read
        last.
        """
        newest = max((trace.latest.at for trace in self.traces), default=None)

        def place(trace: Trace) -> tuple[bool, bool, bool, bool, Moment]:
            is_entering = entering is not None and trace.sensor == entering
            is_leaving = leaving is not None and trace.sensor == leaving
            is_recent = newest is None or newest.hours_since(trace.latest.at) <= fresh_h
            return (is_recent, trace.latest.is_whole, is_entering, not is_leaving, trace.latest.at)

        return max(self.traces, key=place, default=None)

    def heat_traces(
        self, entering: str | None, leaving: str | None, at: Moment, fresh_h: float
    ) -> tuple[Trace, ...]:
        """The traces whose dry bulb is the kiln's, read within ``fresh_h`` [h] before ``at``.

        A dry bulb needs no second figure beside it: the entering sensor's by hand and by logger, and what
        names no sensor; where that one was not read lately, every one but the leaving sensor's.
        """
        fresh = [trace for trace in self.traces if at.hours_since(trace.latest.at) <= fresh_h]
        enters = [trace for trace in fresh if entering is not None and trace.sensor == entering]
        if enters:
            return (*enters, *(trace for trace in fresh if trace.sensor is None))
        inside = tuple(trace for trace in fresh if leaving is None or trace.sensor != leaving)
        return inside or tuple(fresh)

    def trace_of(self, sensor: str | None) -> Trace | None:
        """The trace of a sensor that was read last; None where it has none, or no name."""
        found = [trace for trace in self.traces if sensor is not None and trace.sensor == sensor]
        return max(found, key=lambda trace: trace.latest.at, default=None)


def logger_digest(
    series: Iterable[Series], at: Moment, pressure_pa: float, reference: Reference
) -> AirDigest:
    """The readings of loggers until ``at``, at a barometric pressure [Pa]."""
    limits = FrozenLimits(
        frozen_h=reference.limit("frozen_h"),
        frozen_alone_h=reference.limit("frozen_alone_h"),
        other_moved_c=reference.limit("frozen_other_moved_c"),
        other_moved_rh=reference.limit("frozen_other_moved_rh_points"),
    )
    hole_h = reference.limit("logger_hole_h")
    traces = (logger_trace(one, at, pressure_pa, hole_h, limits) for one in series)
    return AirDigest(tuple(trace for trace in traces if trace is not None))


def with_hand(
    digest: AirDigest | None, readings: Iterable[Seen[AirReading]], pressure_pa: float, reference: Reference
) -> AirDigest:
    """The digest with readings by hand, in order of time, added to it."""
    by_hand = hand_traces(readings, pressure_pa, reference.limit("air_fresh_h"))
    return AirDigest((*(() if digest is None else digest.traces), *by_hand))


def spans(trace: Trace, holds: NDArray[np.bool_]) -> Iterator[AirSpan]:
    """The stretches of a trace for which something holds, oldest first."""
    for first, last in trace.runs(holds):
        yield AirSpan(
            begun_at=trace.moment(float(trace.from_s[first])),
            until=trace.moment(float(trace.until_s[last])),
            reaches_latest=last == len(trace.until_s) - 1,
            sensor=trace.sensor,
            highest_dry_c=float(np.max(trace.highest_dry_c[first : last + 1])),
        )


def warm_and_damp(trace: Trace, coolest_c: float, warmest_c: float, least_rh_pct: float) -> Iterator[AirSpan]:
    """The stretches in which the air was that warm [C] and at least that damp [%]."""
    warm = (trace.dry_c >= coolest_c) & (trace.dry_c <= warmest_c)
    yield from spans(trace, warm & (trace.rh_pct >= least_rh_pct))


def hotter_than(trace: Trace, dry_bulb_c: float, since: Moment) -> Iterator[AirSpan]:
    """The stretches since a moment in which the dry bulb stood above that [C]."""
    yield from spans(trace, (trace.dry_c > dry_bulb_c) & (trace.until_s >= since.utc.timestamp()))


def highest_dry_bulb_c(trace: Trace, since: Moment) -> float | None:
    """The highest dry bulb since a moment [C]; None where it was not read since."""
    read = trace.highest_dry_c[trace.until_s >= since.utc.timestamp()]
    read = read[~np.isnan(read)]
    return float(read.max()) if len(read) else None


def recent_mean(trace: Trace, hours: float) -> RecentMean | None:
    """The air over so many hours up to the latest reading; None where it was not whole then."""
    recent = trace.until_s >= trace.until_s[-1] - hours * 3600
    whole = recent & ~np.isnan(trace.emc_pct)
    if not whole.any():
        return None
    dry_c, rh_pct, emc_pct = (float(one[whole].mean()) for one in (trace.dry_c, trace.rh_pct, trace.emc_pct))
    return RecentMean(dry_c, rh_pct, emc_pct, int(whole.sum()))


def lowest_emc_pct(trace: Trace, since: Moment, until: Moment) -> float | None:
    """The lowest EMC between two moments [%], by the readings between them and the last one before.

    None where there was none before, or a hole hides part of the time.
    """
    begin_s, end_s = since.utc.timestamp(), until.utc.timestamp()
    before = int(np.searchsorted(trace.from_s, begin_s, side="right")) - 1
    after = int(np.searchsorted(trace.from_s, end_s, side="right"))
    emc_pct = trace.emc_pct[max(before, 0) : after]
    if before < 0 or np.isnan(emc_pct).any():
        return None
    seen_until = trace.until_s[before:after]
    seen_from = np.concatenate((trace.from_s[before + 1 : after], [end_s]))
    first_gap = begin_s - trace.until_s[before]
    if max(first_gap, float(np.max(seen_from - seen_until))) > trace.hole_h * 3600:
        return None
    return float(emc_pct.min())

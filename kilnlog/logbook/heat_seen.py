"""The probes of a charge as the close-out shows them: what they say to what was asked, and lines to draw."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from kilnlog.drying.closing.heat_interval import HOLE_INTERVALS, HeatInterval, heat_interval
from kilnlog.drying.closing.probes import Probe, Reals, usual_interval_s
from kilnlog.logbook.heat import AskedHeat, probes_of
from kilnlog.logbook.session import Logbook
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.heat_choice import HeatChoice
from kilnlog.records.moment import Moment
from kilnlog.records.temperature import celsius, in_unit
from kilnlog.records.version import Entry, current_entries
from kilnlog.records.words import ProbePlace, TemperatureUnit

#: A stretch of more readings than this is drawn by the lowest and highest of each part of it.
MOST_DRAWN = 1200


@dataclass(frozen=True)
class Stroke:
    """Readings without a hole between them, to be joined by a line."""

    at_s: Reals
    temperature: Reals  # [the trace's unit]


@dataclass(frozen=True)
class Trace:
    """One probe, to be drawn."""

    name: str
    placed_in: ProbePlace
    strokes: tuple[Stroke, ...]


@dataclass(frozen=True)
class HeatSeen:
    """What the probes showed. ``interval`` is None where nothing was asked."""

    traces: tuple[Trace, ...]
    unit: TemperatureUnit
    asked: AskedHeat | None
    interval: HeatInterval | None


def choice_of(record: ChargeRecord) -> Entry[HeatChoice] | None:
    """What is asked of the probes: what was chosen last."""
    return max(current_entries(record.heat_choice), key=lambda entry: entry.at.utc, default=None)


def asked_of(choice: HeatChoice) -> AskedHeat:
    """The threshold and the time of a choice."""
    return AskedHeat(choice.at_least, choice.temperature_unit, choice.for_minutes)


def heat_seen(
    book: Logbook,
    record: ChargeRecord,
    asked: AskedHeat | None,
    unit: TemperatureUnit,
    until: Moment | None = None,
) -> HeatSeen:
    """Read the probes of a charge and ask them.

    Args:
        book: The logbook in hand.
        record: The charge.
        asked: A threshold and a time, whose unit the lines are then drawn in; None asks nothing.
        unit: To draw the lines in otherwise.
        until: When a lot left: heat that came later did nothing to it.
    """
    probes = probes_of(book, record, until)
    shown = unit if asked is None else asked.temperature_unit
    interval = (
        None
        if asked is None
        else heat_interval(probes, asked.at_least, asked.temperature_unit, asked.for_minutes)
    )
    return HeatSeen(tuple(trace_of(probe, shown) for probe in probes), shown, asked, interval)


def trace_of(probe: Probe, unit: TemperatureUnit) -> Trace:
    """A probe's readings in order of time, broken where a hole breaks it, thinned where they are many."""
    if not probe.parts:
        return Trace(probe.name, probe.placed_in, ())
    at_s = np.concatenate([part.at_s for part in probe.parts])
    shown = np.concatenate(
        [in_unit(celsius(part.temperature, part.temperature_unit), unit) for part in probe.parts]
    )
    read = ~np.isnan(shown)
    order = np.argsort(at_s[read], kind="stable")
    at_s, shown = at_s[read][order], shown[read][order]
    usual_s = usual_interval_s(np.unique(at_s))
    breaks = (
        np.flatnonzero(np.diff(at_s) > HOLE_INTERVALS * usual_s) + 1
        if usual_s is not None
        else np.empty(0, np.intp)
    )
    pieces = zip(np.split(at_s, breaks), np.split(shown, breaks), strict=True)
    return Trace(probe.name, probe.placed_in, tuple(_stroke(at, value) for at, value in pieces if len(at)))


def _stroke(at_s: Reals, shown: Reals) -> Stroke:
    if len(at_s) <= MOST_DRAWN:
        return Stroke(at_s, shown)
    kept: list[int] = []
    for part in np.array_split(np.arange(len(at_s)), MOST_DRAWN // 2):
        values = shown[part]
        kept += sorted({int(part[values.argmin()]), int(part[values.argmax()])})
    kept = sorted({0, *kept, len(at_s) - 1})
    return Stroke(at_s[kept], shown[kept])


def extent_s(traces: Iterable[Trace]) -> tuple[float, float] | None:
    """From the first reading to the last [s since 1970-01-01 00:00 UTC]; None without any."""
    strokes = [stroke for trace in traces for stroke in trace.strokes]
    if not strokes:
        return None
    return min(float(one.at_s[0]) for one in strokes), max(float(one.at_s[-1]) for one in strokes)


def warmth(traces: Sequence[Trace]) -> tuple[float, float] | None:
    """The lowest and the highest reading [the traces' unit]; None without any."""
    strokes = [stroke for trace in traces for stroke in trace.strokes]
    if not strokes:
        return None
    return (
        min(float(one.temperature.min()) for one in strokes),
        max(float(one.temperature.max()) for one in strokes),
    )

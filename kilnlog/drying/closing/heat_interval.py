"""The longest unbroken time with every counted probe at or above a temperature.

The rule:

- A reading qualifies at the threshold or above it, as logged, without rounding.
- Between two readings a probe counts as qualifying only if both qualify and they are no further apart than
  twice its usual interval (the median). So a dip breaks the time, and so does a hole.
- The time of all probes is where every one of them qualifies. It runs from a reading to a reading: nothing is
  said of the time before the first that qualifies or after the last. A single reading is 0 minutes.
- Probes in the wood are counted. Where there is none, the times are those of the air's probes, and nothing
  is said of the wood: it is never reached.

It is what the operator's own probes showed, no more: where they sat and whether they read true is theirs to
say.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from kilnlog.drying.closing.probes import Flags, Probe, Reals, exactly, usual_interval_s
from kilnlog.records.words import ProbePlace, TemperatureUnit

#: A probe silent for longer than so many of its usual intervals left a hole.
HOLE_INTERVALS = 2.0


@dataclass(frozen=True, slots=True)
class Stretch:
    """A stretch of time [s since 1970-01-01 00:00 UTC]."""

    from_s: float
    until_s: float

    @property
    def minutes(self) -> float:
        """How long [min]."""
        return (self.until_s - self.from_s) / 60


@dataclass(frozen=True)
class ProbeHeat:
    """What one probe showed.

    Attributes:
        counted: Whether the interval asks for it.
        readings: How many it gave.
        sampling_minutes: Its usual interval [min]; None below two readings.
        highest_c: The highest temperature [C].
        longest: Its own longest stretch; None where it never qualified.
        dips: Stretches of readings below the threshold between two that qualify, from the first such
            reading to the last.
        holes: Stretches without a reading between two that qualify.
    """

    name: str
    placed_in: ProbePlace
    counted: bool
    readings: int
    sampling_minutes: float | None
    highest_c: float | None
    longest: Stretch | None
    dips: tuple[Stretch, ...]
    holes: tuple[Stretch, ...]


@dataclass(frozen=True)
class HeatInterval:
    """The heat the counted probes showed together.

    Attributes:
        at_least: The threshold [temperature_unit].
        for_minutes: The time asked for [min].
        probes: Every probe, counted or not.
        air_only: No probe sat in the wood: nothing is said of it.
        sampling_minutes: The longest of the counted probes' usual intervals [min].
        widest_minutes: The longest step between two readings of a counted probe within the longest run
            [min]: what happened in between nobody saw. None where it is a single instant.
        runs: Every unbroken time, in order.
        longest: The longest of them, the first of equals.
        reached: The longest lasted at least the time asked for, by probes in the wood.
    """

    at_least: float
    temperature_unit: TemperatureUnit
    for_minutes: float
    probes: tuple[ProbeHeat, ...]
    air_only: bool
    sampling_minutes: float | None
    widest_minutes: float | None
    runs: tuple[Stretch, ...]
    longest: Stretch | None
    reached: bool

    @property
    def is_coarse(self) -> bool:
        """Whether some step was longer than the time asked for: a dip in between might go unseen."""
        steps = (self.sampling_minutes, self.widest_minutes)
        return any(step is not None and step > self.for_minutes for step in steps)


def heat_interval(
    probes: Sequence[Probe], at_least: float, unit: TemperatureUnit, for_minutes: float
) -> HeatInterval:
    """The unbroken times at or above a threshold, by the rule at the head of this module.

    Args:
        probes: All probes of the charge.
        at_least: The threshold, as typed [unit].
        for_minutes: How long is asked for [min], above 0.
    """
    in_wood = [probe for probe in probes if probe.placed_in is ProbePlace.CORE]
    threshold = exactly(at_least)
    told: list[ProbeHeat] = []
    spans: list[tuple[Reals, Reals]] = []
    instants: list[Reals] = []
    for probe in probes:
        at_s, warm = probe.readings(threshold, unit)
        starts, ends = _qualifying(at_s, warm)
        is_counted = probe.placed_in is ProbePlace.CORE or not in_wood
        if is_counted:
            spans.append((starts, ends))
            instants.append(at_s)
        told.append(_of_probe(probe, is_counted, at_s, warm, (starts, ends)))
    runs = _stretches(*_together(spans))
    longest = _longest(runs)
    intervals = [one.sampling_minutes for one in told if one.counted and one.sampling_minutes is not None]
    air_only = bool(probes) and not in_wood
    return HeatInterval(
        at_least=at_least,
        temperature_unit=unit,
        for_minutes=for_minutes,
        probes=tuple(told),
        air_only=air_only,
        sampling_minutes=max(intervals, default=None),
        widest_minutes=None if longest is None else _widest_minutes(instants, longest),
        runs=runs,
        longest=longest,
        reached=not air_only and longest is not None and longest.minutes >= for_minutes,
    )


def _of_probe(probe: Probe, counted: bool, at_s: Reals, warm: Flags, spans: tuple[Reals, Reals]) -> ProbeHeat:
    usual_s = usual_interval_s(at_s)
    return ProbeHeat(
        name=probe.name,
        placed_in=probe.placed_in,
        counted=counted,
        readings=len(at_s),
        sampling_minutes=None if usual_s is None else usual_s / 60,
        highest_c=probe.highest_c(),
        longest=_longest(_stretches(*spans)),
        dips=_dips(at_s, warm),
        holes=_holes(at_s, warm),
    )


def _is_hole(at_s: Reals) -> Flags:
    """Of each step from one reading to the next, whether it is a hole."""
    usual_s = usual_interval_s(at_s)
    if usual_s is None:
        return np.empty(0, dtype=np.bool_)
    return np.asarray(np.diff(at_s) > HOLE_INTERVALS * usual_s)


def _qualifying(at_s: Reals, warm: Flags) -> tuple[Reals, Reals]:
    """First and last instants of one probe's qualifying stretches, rising and apart from one another."""
    if not warm.any():
        return np.empty(0), np.empty(0)
    joined = warm[1:] & warm[:-1] & ~_is_hole(at_s)  # to the reading before
    begins = warm & ~np.concatenate(([False], joined))
    ends = warm & ~np.concatenate((joined, [False]))
    return at_s[begins], at_s[ends]


def _together(spans: Sequence[tuple[Reals, Reals]]) -> tuple[Reals, Reals]:
    """Where all of them hold, their ends included.

    Walking through every beginning and end in time, beginnings first where both fall on one instant, all
    hold from the beginning that makes their number whole until the next end.
    """
    if not spans:
        return np.empty(0), np.empty(0)
    begins = np.concatenate([starts for starts, _ in spans])
    ends = np.concatenate([until for _, until in spans])
    at_s = np.concatenate((begins, ends))
    is_end = np.concatenate((np.zeros(len(begins), np.int64), np.ones(len(ends), np.int64)))
    order = np.lexsort((is_end, at_s))
    at_s, is_end = at_s[order], is_end[order]
    holding = np.cumsum(1 - 2 * is_end)
    whole: NDArray[np.intp] = np.flatnonzero((holding == len(spans)) & (is_end == 0))
    return at_s[whole], at_s[whole + 1]


def _dips(at_s: Reals, warm: Flags) -> tuple[Stretch, ...]:
    """Stretches of cold readings with a warm one before and after."""
    edges = np.diff(warm.astype(np.int8))
    begins, ends = np.flatnonzero(edges == -1) + 1, np.flatnonzero(edges == 1)
    if len(begins) and len(ends):
        ends = ends[ends >= begins[0]]
        begins = begins[: len(ends)]
        return _stretches(at_s[begins], at_s[ends])
    return ()


def _holes(at_s: Reals, warm: Flags) -> tuple[Stretch, ...]:
    breaks = np.flatnonzero(_is_hole(at_s) & warm[1:] & warm[:-1]) if len(at_s) > 1 else np.empty(0, np.intp)
    return _stretches(at_s[breaks], at_s[breaks + 1])


def _widest_minutes(instants: Sequence[Reals], run: Stretch) -> float | None:
    """The longest step of any of these probes that reaches into a run [min]."""
    if run.from_s == run.until_s:
        return None
    steps = []
    for at_s in instants:
        first = int(at_s.searchsorted(run.from_s, side="right")) - 1
        last = int(at_s.searchsorted(run.until_s, side="left"))
        steps.append(float(np.diff(at_s[first : last + 1]).max()))
    return max(steps) / 60


def _stretches(begins: Reals, ends: Reals) -> tuple[Stretch, ...]:
    pairs = zip(begins.tolist(), ends.tolist(), strict=True)
    return tuple(Stretch(from_s, until_s) for from_s, until_s in pairs)


def _longest(runs: Sequence[Stretch]) -> Stretch | None:
    return max(runs, key=lambda run: run.until_s - run.from_s, default=None)

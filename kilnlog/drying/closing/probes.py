"""Temperature probes in the wood and in the air around it, from loggers' files and from readings by hand."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

import numpy as np
from numpy.typing import NDArray

from kilnlog.records.moment import Moment
from kilnlog.records.probe_reading import ProbeReading
from kilnlog.records.words import ProbePlace, TemperatureUnit

Reals = NDArray[np.float64]
Flags = NDArray[np.bool_]


@dataclass(frozen=True)
class ProbeSeries:
    """Readings of one probe in one unit, in any order. NaN where a logger wrote nothing: no reading at all.

    Attributes:
        at_s: When [s since 1970-01-01 00:00 UTC].
        temperature: What it showed, in the decimals it was logged with [temperature_unit].
    """

    at_s: Reals
    temperature: Reals
    temperature_unit: TemperatureUnit


@dataclass(frozen=True)
class Probe:
    """One probe in one place; the same name in another place is another probe."""

    name: str
    placed_in: ProbePlace
    parts: tuple[ProbeSeries, ...]

    def readings(self, at_least: Fraction, unit: TemperatureUnit) -> tuple[Reals, Flags]:
        """When it was read, rising, and whether it then stood at or above a temperature.

        Of several readings at one instant the coldest counts.
        """
        if not self.parts:
            return np.empty(0), np.empty(0, dtype=np.bool_)
        at_s = np.concatenate([part.at_s for part in self.parts])
        warm = np.concatenate(
            [part.temperature >= threshold_in(at_least, unit, part.temperature_unit) for part in self.parts]
        )
        is_read = ~np.isnan(np.concatenate([part.temperature for part in self.parts]))
        at_s, warm = at_s[is_read], warm[is_read]
        if len(at_s) and not np.all(np.diff(at_s) > 0):
            order = np.lexsort((warm, at_s))  # the cold one first, where both were read at once
            at_s, warm = at_s[order], warm[order]
            first = np.concatenate(([True], np.diff(at_s) > 0))
            at_s, warm = at_s[first], warm[first]
        return at_s, warm

    def highest_c(self) -> float | None:
        """The highest temperature it showed [C]."""
        highest = [
            in_celsius(exactly(float(np.nanmax(part.temperature))), part.temperature_unit)
            for part in self.parts
            if np.isfinite(part.temperature).any()
        ]
        return float(max(highest)) if highest else None


def until(probes: Iterable[Probe], at: Moment) -> tuple[Probe, ...]:
    """The probes with their readings up to a moment; one that was put in later is none of them."""
    last_s = at.utc.timestamp()
    found = []
    for probe in probes:
        parts = [(part, part.at_s <= last_s) for part in probe.parts]
        if any(kept.any() for _, kept in parts) or not any(len(kept) for _, kept in parts):
            cut = (ProbeSeries(one.at_s[k], one.temperature[k], one.temperature_unit) for one, k in parts)
            found.append(Probe(probe.name, probe.placed_in, tuple(cut)))
    return tuple(found)


def exactly(figure: float) -> Fraction:
    """The decimal number that was typed or logged, not the binary one next to it: 132.8 is 1328/10."""
    return Fraction(repr(float(figure)))


def in_celsius(temperature: Fraction, unit: TemperatureUnit) -> Fraction:
    """A temperature in degrees Celsius, exactly."""
    return temperature if unit is TemperatureUnit.CELSIUS else (temperature - 32) * 5 / 9


def threshold_in(at_least: Fraction, unit: TemperatureUnit, wanted: TemperatureUnit) -> float:
    """A threshold in the unit of a series: 56 C is 132.8 F, to the last bit.

    Rounding to the nearest binary number keeps the order of decimals, so that ``>=`` against it is exact for
    every reading of fewer than 15 digits.
    """
    if unit is wanted:
        return float(at_least)
    if wanted is TemperatureUnit.CELSIUS:
        return float(in_celsius(at_least, unit))
    return float(at_least * 9 / 5 + 32)


def usual_interval_s(at_s: Reals) -> float | None:
    """The usual interval of readings rising in time, their median [s]; None below two of them."""
    return float(np.median(np.diff(at_s))) if len(at_s) > 1 else None


def probes_of(
    series: Iterable[tuple[str, ProbePlace, ProbeSeries]],
    by_hand: Iterable[tuple[Moment, ProbeReading]] = (),
) -> tuple[Probe, ...]:
    """The probes of a charge, those in the wood first, each by its name.

    Args:
        series: From loggers: the probe's name, where it sat, its readings.
        by_hand: Readings that count, each with when it was read.
    """
    parts: dict[tuple[str, ProbePlace], list[ProbeSeries]] = {}
    for name, place, one in series:
        parts.setdefault((name, place), []).append(one)
    typed: dict[tuple[str, ProbePlace, TemperatureUnit], list[tuple[float, float]]] = {}
    for at, reading in by_hand:
        line = typed.setdefault((reading.probe, reading.placed_in, reading.temperature_unit), [])
        line.append((at.utc.timestamp(), reading.temperature))
    for (name, place, unit), readings in typed.items():
        at_s, temperature = np.array(readings, dtype=np.float64).T
        parts.setdefault((name, place), []).append(ProbeSeries(at_s, temperature, unit))
    ordered = sorted(parts.items(), key=lambda item: (item[0][1] is ProbePlace.AIR, item[0][0]))
    return tuple(Probe(name, place, tuple(found)) for (name, place), found in ordered)

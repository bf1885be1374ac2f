"""What heat the probes of a charge showed: gathered from loggers' files and readings by hand."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any

from kilnlog.drying.closing.heat_interval import HeatInterval, Stretch, heat_interval
from kilnlog.drying.closing.probes import Probe, ProbeSeries, exactly, in_celsius
from kilnlog.drying.closing.probes import probes_of as gathered
from kilnlog.logbook.errors import UnreadableQuantity
from kilnlog.logbook.session import Logbook
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.errors import KilnlogError
from kilnlog.records.moment import Moment
from kilnlog.records.typed_number import number_from_text
from kilnlog.records.typed_temperature import temperature_from_text
from kilnlog.records.version import current_entries
from kilnlog.records.words import TemperatureUnit
from kilnlog.reference.heat import HeatThreshold, heat_thresholds

_DURATION = re.compile(
    r"\s*(?P<number>[^A-Za-z]+?)\s*(?P<unit>min|minutes?|h|hours?|hrs?)\.?\s*", re.IGNORECASE
)
_MINUTES_PER_HOUR = 60


@dataclass(frozen=True, slots=True)
class AskedHeat:
    """A threshold and how long it is asked for."""

    at_least: float  # [temperature_unit]
    temperature_unit: TemperatureUnit
    for_minutes: float

    @property
    def published(self) -> tuple[HeatThreshold, ...]:
        """The publications that ask for exactly this."""
        own = in_celsius(exactly(self.at_least), self.temperature_unit)
        return tuple(
            row
            for row in heat_thresholds()
            if row.for_minutes == self.for_minutes
            and in_celsius(exactly(row.at_least), row.temperature_unit) == own
        )


def asked_from(at_least: str, duration: str) -> AskedHeat:
    """What is asked for, as typed: ``56C`` or ``132.8F``, ``30min`` or ``24h``.

    Raises:
        UnreadableQuantity: ``why`` is ``temperature-unit``, ``duration-unit``, ``duration`` or ``number``.
    """
    try:
        temperature, unit = temperature_from_text(at_least)
    except KilnlogError as error:
        raise UnreadableQuantity(typed=at_least, why="number") from error
    if unit is None:
        raise UnreadableQuantity(typed=at_least, why="temperature-unit")
    return AskedHeat(temperature, unit, minutes_from(duration))


def minutes_from(duration: str) -> float:
    """A time typed with its unit [min], above 0; raises ``UnreadableQuantity``."""
    found = _DURATION.fullmatch(duration)
    if found is None:
        raise UnreadableQuantity(typed=duration, why="duration-unit")
    try:
        number = float(number_from_text(found["number"]))
    except KilnlogError as error:
        raise UnreadableQuantity(typed=duration, why="number") from error
    if number == 0:
        raise UnreadableQuantity(typed=duration, why="duration")
    return number * _MINUTES_PER_HOUR if found["unit"][0] in "hH" else number


def probes_of(book: Logbook, record: ChargeRecord, at: Moment | None = None) -> tuple[Probe, ...]:
    """The probes of a charge with their readings up to a moment, or all of them."""
    until_s = None if at is None else at.utc.timestamp()
    logged = []
    for one in book.file.probe_series(record.entity):
        if one.placed_in is not None:
            end = len(one.at_s) if until_s is None else int(one.at_s.searchsorted(until_s, side="right"))
            series = ProbeSeries(one.at_s[:end], one.dry[:end], one.temperature_unit)
            logged.append((one.sensor, one.placed_in, series))
    by_hand = [
        (entry.at, entry.fact)
        for entry in current_entries(record.probe_reading)
        if at is None or entry.at <= at
    ]
    return gathered(logged, by_hand)


@dataclass(frozen=True)
class HeatAnswer:
    """What the probes of a charge say to what was asked."""

    asked: AskedHeat
    interval: HeatInterval
    charge: str
    zone: str

    def figures(self) -> dict[str, Any]:
        """Plain data, as ``kilnlog heat --json`` gives it; times local to the charge, with offset."""
        interval = self.interval
        return {
            "reached": interval.reached,
            "longest": None if interval.longest is None else self._run(interval.longest),
            "runs": [self._run(run) for run in interval.runs],
            "sampling_minutes": interval.sampling_minutes,
            "widest_minutes": interval.widest_minutes,
            "air_only": interval.air_only,
            "at_least": self.asked.at_least,
            "temperature_unit": self.asked.temperature_unit.value,
            "for_minutes": self.asked.for_minutes,
            "probes": [
                {
                    "probe": probe.name,
                    "placed_in": probe.placed_in.value,
                    "counted": probe.counted,
                    "readings": probe.readings,
                    "sampling_minutes": probe.sampling_minutes,
                    "highest_c": probe.highest_c,
                    "longest": None if probe.longest is None else self._run(probe.longest),
                }
                for probe in interval.probes
            ],
        }

    def _run(self, run: Stretch) -> dict[str, Any]:
        begins, ends = (moment_of(at_s, self.zone) for at_s in (run.from_s, run.until_s))
        return {"from": begins.iso(), "to": ends.iso(), "minutes": run.minutes}


def heat_answer(book: Logbook, record: ChargeRecord, asked: AskedHeat) -> HeatAnswer:
    """Ask the probes of a charge."""
    interval = heat_interval(
        probes_of(book, record), asked.at_least, asked.temperature_unit, asked.for_minutes
    )
    return HeatAnswer(asked, interval, record.particulars.charge, record.particulars.zone)


def moment_of(at_s: float, zone: str) -> Moment:
    """An instant [s since 1970-01-01 00:00 UTC] in the charge's zone."""
    return Moment(datetime.fromtimestamp(at_s, UTC), zone)

"""Readings of the air, set points, events, meter readings: each told in one line of a list."""

from __future__ import annotations

from kilnlog.drying.air.moist_air import pressure_pa
from kilnlog.drying.air.reading import AirTerms, point_of
from kilnlog.logbook import figures
from kilnlog.logbook.event_words import event_words
from kilnlog.records.air_reading import AirReading
from kilnlog.records.event import Event
from kilnlog.records.meter_check import MeterCheck
from kilnlog.records.moment import Moment
from kilnlog.records.set_point import SetPoint


def terms_words(terms: AirTerms) -> str:
    """What was told, as it was told: ``110.3 °F dry, 106.6 °F wet``."""
    sign = f"°{terms.temperature_unit.value}" if terms.temperature_unit is not None else ""
    told = (
        (terms.dry_bulb, f"{sign} dry"),
        (terms.wet_bulb, f"{sign} wet"),
        (terms.depression, f"{sign} depression"),
        (terms.rh_pct, "% RH"),
    )
    return ", ".join(f"{figures.trimmed(value)} {what}" for value, what in told if value is not None)


def reading_line(fact: AirReading, at: Moment, now: Moment, altitude_m: float) -> str:
    """One reading by hand with what follows from it."""
    sensor = f", {fact.sensor}" if fact.sensor else ""
    return f"{figures.day_and_time(at, now)}{sensor}: {_with_air(fact, at, altitude_m)}"


def set_point_line(fact: SetPoint, at: Moment, now: Moment, altitude_m: float) -> str:
    """One setting of the kiln."""
    return f"{figures.day_and_time(at, now)}: {_with_air(fact, at, altitude_m)}"


def event_line(fact: Event, at: Moment, now: Moment) -> str:
    """One event with its remark."""
    note = f": {fact.note}" if fact.note else ""
    return f"{figures.day_and_time(at, now)}, {event_words(fact)}{note}"


def meter_line(fact: MeterCheck, at: Moment, now: Moment, board: str) -> str:
    """One reading of a meter."""
    parts = [f"board {board} {figures.trimmed(fact.reading_pct)} %"]
    if fact.wood_temperature is not None and fact.temperature_unit is not None:
        parts.append(f"wood at {figures.trimmed(fact.wood_temperature)} °{fact.temperature_unit.value}")
    if fact.corrected_pct is not None:
        parts.append(f"corrected {figures.trimmed(fact.corrected_pct)} %")
    return f"{figures.day_and_time(at, now)}: {', '.join(parts)}"


def _with_air(terms: AirTerms, at: Moment, altitude_m: float) -> str:
    point = point_of(terms, at, pressure_pa(altitude_m))
    if point.rh_pct is None or point.emc_pct is None:
        return terms_words(terms)
    rh = "" if terms.rh_pct is not None else f"RH {figures.number(point.rh_pct, 0)} %, "
    return f"{terms_words(terms)} ({rh}EMC {figures.number(point.emc_pct, 1)} %)"

"""Probes read by hand, as they are typed: the name, where it sat, when, how warm."""

from __future__ import annotations

from collections.abc import Mapping

from kilnlog.logbook import figures
from kilnlog.logbook.typed_line import TypedLine, plain
from kilnlog.logbook.typed_time import time_from_text
from kilnlog.records.errors import MissingValue, OutOfRange
from kilnlog.records.moment import Moment
from kilnlog.records.probe_reading import ProbeReading
from kilnlog.records.typed_temperature import temperature_from_text
from kilnlog.records.words import ProbePlace, TemperatureUnit

PROBE, PLACE, AT, TEMPERATURE = "probe", "placed_in", "read_at", "temperature"

#: No probe stands colder or warmer, in either unit.
_COLDEST, _WARMEST = -100.0, 600.0

PLACES: Mapping[ProbePlace, str] = {ProbePlace.CORE: "core", ProbePlace.AIR: "air"}


def probe_reading(
    charge: str, texts: Mapping[str, str], decimal_mark: str, zone: str, shown: Moment, unit: TemperatureUnit
) -> tuple[ProbeReading, Moment]:
    """The fact a typed line makes, and when it was read.

    Args:
        charge: Entity.
        texts: By column.
        decimal_mark: Of the machine.
        zone: Of the charge.
        shown: The day a clock time alone is of.
        unit: Of a temperature without its unit.

    Raises:
        KilnlogError: with the value ``column`` of the field it is about.
    """
    line = TypedLine(texts, decimal_mark)
    probe = line.needed(PROBE)
    place = line.needed_word(PLACE, ProbePlace)
    line.needed(AT)
    at = line.read(AT, lambda text: time_from_text(text, zone, shown))
    line.needed(TEMPERATURE)
    read = line.read(TEMPERATURE, lambda text: temperature_from_text(text, decimal_mark=decimal_mark))
    if at is None or read is None:
        raise MissingValue(column=AT if at is None else TEMPERATURE)
    value, named = read
    if not _COLDEST <= value <= _WARMEST:
        raise OutOfRange(column=TEMPERATURE, value=texts[TEMPERATURE], low=_COLDEST, high=_WARMEST)
    return ProbeReading(charge, probe, place, value, named or unit), at


def texts_of(fact: ProbeReading, at: Moment, decimal_mark: str) -> dict[str, str]:
    """A reading as it would be typed."""
    return {
        PROBE: fact.probe,
        PLACE: fact.placed_in.value,
        AT: at.text(),
        TEMPERATURE: f"{plain(fact.temperature, decimal_mark)} {fact.temperature_unit.value}",
    }


def next_line(last: ProbeReading | None) -> dict[str, str]:
    """What is proposed: the same probe in the same place, a time and a temperature to be read."""
    if last is None:
        return {PROBE: "", PLACE: ProbePlace.CORE.value, AT: "", TEMPERATURE: ""}
    return {PROBE: last.probe, PLACE: last.placed_in.value, AT: "", TEMPERATURE: ""}


def cells(fact: ProbeReading, at: Moment, now: Moment) -> tuple[str, ...]:
    """Probe, place, when, temperature."""
    return (
        fact.probe,
        PLACES[fact.placed_in],
        figures.day_and_time(at, now),
        f"{figures.trimmed(fact.temperature)} °{fact.temperature_unit.value}",
    )


def said(fact: ProbeReading, at: Moment) -> str:
    """For the foot: ``K1, 56.4 °C at 10:32``."""
    degrees = f"{figures.trimmed(fact.temperature)} °{fact.temperature_unit.value}"
    return f"{fact.probe}, {degrees} at {at.local:%H:%M}"

"""What the headings of a logger's file say about its columns, its unit and its clock."""

from __future__ import annotations

import re
from collections.abc import Sequence
from enum import StrEnum

from kilnlog.records.words import TemperatureUnit

_WORDS = re.compile(r"[^\W\d_]+|%|°|º")
_UTC = re.compile(r"\b(?:UTC|GMT|Zulu)\b(?!\s*[+-]?\s*\d)", re.IGNORECASE)
_ABOUT_CLOCK = re.compile(r"time\s*-?zone|\bclock\b|zeitzone", re.IGNORECASE)
_DEGREES = re.compile(r"(?:°|º|\bdeg(?:rees)?\.?)\s*([CF])\b|\b(celsius|fahrenheit)\b", re.IGNORECASE)


#: In brackets, or with its sign.
_UNIT_BEHIND = re.compile(r"[\[(][^\])]*[\])]|(?:°|º|\bdeg(?:rees)?\.?)\s*[CF]\b", re.IGNORECASE)


class Kind(StrEnum):
    """What stands in a column."""

    DRY = "dry bulb"
    TEMPERATURE = "temperature"
    WET = "wet bulb"
    RH = "rh"
    OTHER = "other"  # a dew point, a battery, what the kiln was set to
    UNKNOWN = "unknown"


_OTHER = {"dew", "dewpoint", "taupunkt", "battery", "batt", "volt", "volts", "voltage", "pressure", "hpa"}
_OTHER |= {
    "mbar",
    "kpa",
    "absolute",
    "signal",
    "rssi",
    "emc",
    "index",
    "record",
    "no",
    "nr",
    "id",
    "depression",
}
#: What a control was set to is not what a sensor read.
_OTHER |= {"set", "setpoint", "setpt", "setting", "sp", "target", "soll", "sollwert"}
_WET = {"wet", "wetbulb", "wb", "twb", "tw", "feuchtkugel", "nass"}
_RH = {
    "rh",
    "humidity",
    "humid",
    "hum",
    "rf",
    "feuchte",
    "luftfeuchte",
    "feuchtigkeit",
    "luftfeuchtigkeit",
}
_RH |= {"humidité", "humedad", "umidità", "%"}
_DRY = {"dry", "drybulb", "db", "tdb", "trocken", "trockenkugel"}
_TEMPERATURE = {"t", "c", "f", "celsius", "fahrenheit", "°", "º", "air", "temp"}
_UNITS = {
    "c": TemperatureUnit.CELSIUS,
    "degc": TemperatureUnit.CELSIUS,
    "celsius": TemperatureUnit.CELSIUS,
    "f": TemperatureUnit.FAHRENHEIT,
    "degf": TemperatureUnit.FAHRENHEIT,
    "fahrenheit": TemperatureUnit.FAHRENHEIT,
}


def kind_of(heading: str) -> Kind:
    """What a column holds by its heading."""
    words = set(_WORDS.findall(heading.lower()))
    for kind, known in ((Kind.OTHER, _OTHER), (Kind.WET, _WET), (Kind.RH, _RH), (Kind.DRY, _DRY)):
        if words & known:
            return kind
    if words & _TEMPERATURE or any(word.startswith("temp") for word in words):
        return Kind.TEMPERATURE
    return Kind.UNKNOWN


def probe_name(heading: str) -> str:
    """What a heading calls a probe, without the unit; empty where it says only what is measured.

    >>> probe_name("Probe 2 (°C)"), probe_name("Core, thick slab, °F"), probe_name("Temperature (°C)")
    ('Probe 2', 'Core, thick slab', '')
    """
    bare = " ".join(_UNIT_BEHIND.sub(" ", heading).split()).strip(" ,;:-")
    words = _WORDS.findall(bare.lower())
    general = _TEMPERATURE | _DRY | _WET | _RH | {"bulb"}
    is_general = all(word in general or word.startswith("temp") for word in words)
    return "" if is_general and not any(each.isdigit() for each in bare) else bare


def unit_in(headings: Sequence[str], preamble: Sequence[str], cells: Sequence[str]) -> TemperatureUnit | None:
    """The unit that headings, the lines above them or the cells themselves name; None where none does.

    Args:
        headings: Over the temperatures.
        preamble: The lines above the rows.
        cells: Some temperatures as written.
    """
    named = {_UNITS[word] for text in headings for word in _WORDS.findall(text.lower()) if word in _UNITS}
    if not named:
        named = {
            _UNITS[cell.strip()[-1].lower()] for cell in cells if cell.strip()[-1:].lower() in ("c", "f")
        }
    if not named:
        found = (match[1] or match[2] for line in preamble for match in _DEGREES.finditer(line))
        named = {_UNITS[word.lower()] for word in found}
    return named.pop() if len(named) == 1 else None


def says_utc(headings: Sequence[str], preamble: Sequence[str]) -> bool:
    """Whether the headings of the stamps, or a line above them about the clock, say UTC without any shift.

    Another line may tell in UTC when the file was written.
    """
    told = [*headings, *(line for line in preamble if _ABOUT_CLOCK.search(line))]
    return any(map(_UTC.search, told))

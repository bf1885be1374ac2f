"""How each logger's files were read the last time, remembered in the logbook, and what that suggests."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

from kilnlog.exchange.logger.format import LoggerFormat, Unsure, choices, with_choices
from kilnlog.exchange.logger.headings import probe_name
from kilnlog.logbook.session import Logbook
from kilnlog.logbook.writing import first_entry, successor
from kilnlog.records.charge import Charge
from kilnlog.records.kiln import Kiln
from kilnlog.records.setting import Setting
from kilnlog.records.version import Entry, VersionKind, current_entries, histories
from kilnlog.records.words import ProbePlace

#: The settings of loggers are named so, with the name of the sensor behind it.
_PREFIX = "logger: "
#: The sensor of a charge whose kiln names none.
UNNAMED_SENSOR = "logger"
#: A probe that nobody named.
UNNAMED_PROBE = "probe"


class ReadAs(StrEnum):
    """What somebody says a logger's file is of; else it is of what it was the last time."""

    KILN_AIR = "kiln air"
    CORE = "core"
    AIR = "air"

    @property
    def placed_in(self) -> ProbePlace | None:
        """Where the probe sits; None for a sensor of the kiln's air."""
        return None if self is ReadAs.KILN_AIR else ProbePlace(self.value)


@dataclass(frozen=True, slots=True)
class Suggestion:
    """How a file would be read, by all that is known.

    Attributes:
        form: The format, with what was chosen before and what the kiln tells; ``to_ask`` may be left.
        sensor: The sensor its readings would belong to.
        is_remembered: A file of this logger was read before.
        sensors: Every name that offers itself, the likeliest first.
        unit_by_kiln: The unit is that of the kiln's thermometers; the file does not tell.
    """

    form: LoggerFormat
    sensor: str
    is_remembered: bool
    sensors: tuple[str, ...]
    unit_by_kiln: bool


def suggestion(
    book: Logbook,
    charge: str,
    form: LoggerFormat,
    sensor: str | None = None,
    read_as: ReadAs | None = None,
) -> Suggestion:
    """What stands to reason for a file just recognised.

    Args:
        book: The logbook.
        charge: The charge's entity.
        form: As the file was recognised.
        sensor: Where it is already decided.
        read_as: Where it was said what the file is of; by default what it was the last time.
    """
    known = [one for one in _remembered(book) if one.shape == form.shape]
    if read_as is not None:
        known = [one for one in known if one.chosen.get("placed_in") == read_as.placed_in]
    if sensor is not None:
        known = [one for one in known if one.sensor == sensor] or known
    kiln = _kiln_of(book, charge)
    named = () if kiln is None else (kiln.entering_sensor, kiln.leaving_sensor)
    for one in known:
        try:
            form = with_choices(form, one.chosen)
        except (KeyError, ValueError, TypeError):  # written by hand, or by a later version
            continue
        break
    if read_as is not None and read_as.placed_in is not None:
        form = form.as_probe(read_as.placed_in)
    if form.placed_in is None:
        usual = [*(name for name in named if name), UNNAMED_SENSOR]
    else:
        by_name = {probe_name(heading): number for number, heading in enumerate(form.headings)}
        if sensor in by_name and all(one.sensor != sensor for one in known):
            form = form.answered(dry_column=by_name[sensor])  # not where another probe of the file stands
        usual = [_heading_of(form) or UNNAMED_PROBE]
    names = [*(one.sensor for one in known), *usual]
    unit = None if kiln is None else kiln.temperature_unit
    by_kiln = Unsure.UNIT in form.unsure and unit is not None
    if by_kiln and unit is not None:
        form = form.answered(temperature_unit=unit)
    chosen = sensor or names[0]
    return Suggestion(form, chosen, bool(known), tuple(dict.fromkeys([chosen, *names])), by_kiln)


@dataclass(frozen=True, slots=True)
class ProbeColumns:
    """The columns of a file as those of probes, by their number from 0.

    Attributes:
        names: What the probe in a column is called: as the last time, else by the heading.
        read: Probes of the charge that were read from a column of this very file, by what is remembered.
    """

    names: Mapping[int, str]
    read: Mapping[int, tuple[str, ...]]


def probe_columns(book: Logbook, charge: str, form: LoggerFormat, file_name: str) -> ProbeColumns:
    """Which probes a file's columns hold; ``charge`` is the entity, ``file_name`` without its folder."""
    headed = {number: probe_name(heading) for number, heading in enumerate(form.headings)}
    names = {number: name for number, name in headed.items() if name}
    batches = current_entries(histories(book.file.entries("logger_batch", charge=charge)))
    of_file = {
        batch.fact.sensor
        for batch in batches
        if batch.fact.file_name == file_name and batch.fact.placed_in is not None
    }
    read: dict[int, tuple[str, ...]] = {}
    for one in reversed(_remembered(book)):  # the latest last: its name stands
        column = one.chosen.get("dry_column")
        if one.shape != form.shape or one.chosen.get("placed_in") is None or not isinstance(column, int):
            continue
        names[column] = one.sensor
        if one.sensor in of_file:
            read[column] = (*read.get(column, ()), one.sensor)
    return ProbeColumns(names, read)


def _heading_of(form: LoggerFormat) -> str:
    """What the column that is read calls its probe; empty where none is chosen, or it names none."""
    column = form.dry_column
    return "" if column is None or Unsure.DRY in form.to_ask else probe_name(form.headings[column])


def remembering(book: Logbook, sensor: str, form: LoggerFormat) -> Entry[Any] | None:
    """The row that remembers how this sensor's files are read; None where it is remembered so already."""
    fact = Setting(_PREFIX + sensor, json.dumps({"shape": form.shape, **choices(form)}, sort_keys=True))
    for entry in current_entries(histories(book.file.entries("setting"))):
        if entry.fact.setting != fact.setting:
            continue
        if entry.fact == fact:
            return None
        return successor(book, entry, fact, VersionKind.CHANGE, None, book.now())
    return first_entry(book, fact, None)


@dataclass(frozen=True, slots=True)
class _Known:
    sensor: str
    shape: str
    chosen: dict[str, Any]


def _remembered(book: Logbook) -> list[_Known]:
    """The loggers whose files were read, the latest first."""
    found = []
    entries = [
        entry
        for entry in current_entries(histories(book.file.entries("setting")))
        if entry.fact.setting.startswith(_PREFIX)
    ]
    for entry in sorted(entries, key=lambda each: each.version.entered_utc, reverse=True):
        try:
            chosen = dict(json.loads(entry.fact.value))
            found.append(_Known(entry.fact.setting.removeprefix(_PREFIX), str(chosen.pop("shape")), chosen))
        except (ValueError, KeyError, TypeError):
            continue  # written by hand: nothing is suggested by it
    return found


def _kiln_of(book: Logbook, charge: str) -> Kiln | None:
    fact: Charge = book.file.history("charge", charge).newest.fact
    if fact.kiln is None:
        return None
    kiln: Kiln = book.file.history("kiln", fact.kiln).newest.fact
    return kiln

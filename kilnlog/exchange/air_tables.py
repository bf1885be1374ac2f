"""The tables of the kiln's air."""

from __future__ import annotations

from kilnlog.exchange.columns import (
    Column,
    FileTable,
    Holds,
    mc_column,
    moment_column,
    name_column,
    number_column,
    observed_column,
    refers_column,
    text_column,
    word_column,
)
from kilnlog.records.words import LoggerClock, ProbePlace, SecondReading, TemperatureUnit

_CHARGE = refers_column("charge", "charge")
_TEMPERATURE_UNIT = word_column("temperature_unit", TemperatureUnit)
_AIR = (
    number_column("dry_bulb", low=-100, high=600),
    number_column("wet_bulb", low=-100, high=600),
    number_column("depression", low=0, high=600),
    number_column("rh_pct", low=0, high=100),
    _TEMPERATURE_UNIT,
)

AIR_TABLES = (
    FileTable("air", "air_reading", (_CHARGE, observed_column("read_at"), text_column("sensor"), *_AIR)),
    FileTable("set_points", "set_point", (_CHARGE, observed_column("set_at"), *_AIR)),
    FileTable(
        "meter_checks",
        "meter_check",
        (
            _CHARGE,
            refers_column("board", "board"),
            observed_column("read_at"),
            refers_column("instrument", "instrument", required=False),
            Column("reading_pct", Holds.NUMBER, required=True, low=0, high=1000),
            number_column("wood_temperature", low=-100, high=600),
            _TEMPERATURE_UNIT,
            mc_column("corrected_pct"),
        ),
    ),
    FileTable(
        "logger_batches",
        "logger_batch",
        (
            _CHARGE,
            name_column("sensor"),
            name_column("file_name"),
            name_column("file_sha256"),
            word_column("clock", LoggerClock, required=True),
            word_column("temperature_unit", TemperatureUnit, required=True),
            word_column("second", SecondReading),
            Column("rows", Holds.COUNT, required=True, low=1, high=1e9),
            Column("first_at", Holds.MOMENT, required=True),
            moment_column("last_at"),
            name_column("digest"),
            observed_column("observed_at", required=False),  # blank: at its first reading
            word_column("placed_in", ProbePlace),
        ),
    ),
)

#: The readings of the batches, a row for each batch and day of UTC: as many rows as readings would outgrow a
#: sheet, which ends after 1,048,576. No table of facts, so its rows have no versions.
READINGS = FileTable(
    "logger_readings",
    "logger_day",
    (name_column("batch"), name_column("day"), Column("readings", Holds.LONG, required=True)),
    versioned=False,
)

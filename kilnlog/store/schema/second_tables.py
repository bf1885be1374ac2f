"""The tables of schema 2: the air of the kiln. Released: never change it, write a later migration."""

from kilnlog.store.schema.columns import between, label, moment, refers, word
from kilnlog.store.schema.tables import current_view, indexes, table

_CHARGE = refers("charge", required=True)
_TEMPERATURE_UNIT = word("temperature_unit", "C", "F")

#: Air in whatever terms it was told; all temperatures of a row in one unit.
_AIR = f"""{between("dry_bulb", -100, 600)},
    {between("wet_bulb", -100, 600)},
    {between("depression", 0, 600)},
    {between("rh_pct", 0, 100)},
    {_TEMPERATURE_UNIT},
    CONSTRAINT "wet_bulb: not above dry_bulb" CHECK (wet_bulb <= dry_bulb),
    CONSTRAINT "dry_bulb: filled" CHECK (coalesce(dry_bulb, wet_bulb, depression, rh_pct) IS NOT NULL),
    CONSTRAINT "temperature_unit: filled"
        CHECK (temperature_unit IS NOT NULL OR coalesce(dry_bulb, wet_bulb, depression) IS NULL)"""

#: What follows the envelope in each table.
_COLUMNS = {
    "air_reading": f"""
    {_CHARGE},
    sensor TEXT,
    {_AIR}""",
    "set_point": f"""
    {_CHARGE},
    {_AIR}""",
    "meter_check": f"""
    {_CHARGE},
    {refers("board", required=True)},
    {between("reading_pct", 0, 1000, "REAL NOT NULL")},
    {refers("instrument")},
    {between("wood_temperature", -100, 600)},
    {_TEMPERATURE_UNIT},
    {between("corrected_pct", 0, 1000)},
    CONSTRAINT "temperature_unit: filled" CHECK (temperature_unit IS NOT NULL OR wood_temperature IS NULL)""",
    "logger_batch": f"""
    {_CHARGE},
    {label("sensor")},
    {label("file_name")},
    file_sha256 TEXT NOT NULL CONSTRAINT "file_sha256: filled" CHECK (length(file_sha256) = 64),
    {word("clock", "local", "standard", "utc", required=True)},
    {word("temperature_unit", "C", "F", required=True)},
    {word("second", "wet bulb", "rh")},
    {between("rows", 1, 10**9, "INTEGER NOT NULL")},
    {moment("first_at")},
    {moment("last_at")},
    digest TEXT NOT NULL CHECK (length(digest) = 64)""",
}

SECOND_FACT_TABLES = tuple(_COLUMNS)

#: What is looked up by more than uid, entity and supersedes.
_INDEXES = {
    "air_reading": ("charge",),
    "set_point": ("charge",),
    "meter_check": ("charge", "board", "instrument"),
    "logger_batch": ("charge",),
}

# The days of a batch come before its row, which carries their digest; the commit finds the row there.
# A day is named for UTC, so that it has no clock change; json_valid may not be used in a CHECK.
_LOGGER_DAY = """
CREATE TABLE logger_day (
    id INTEGER PRIMARY KEY CHECK (id > 0),
    batch TEXT NOT NULL REFERENCES logger_batch (uid) DEFERRABLE INITIALLY DEFERRED,
    day TEXT NOT NULL CONSTRAINT "day: a day"
        CHECK (day GLOB '????-??-??' AND strftime('%Y-%m-%d', day, '+0 days') IS day),
    rows INTEGER NOT NULL CHECK (rows > 0),
    readings TEXT NOT NULL CHECK (readings GLOB '[[][[]*]]'),
    sha256 TEXT NOT NULL CHECK (length(sha256) = 64),
    UNIQUE (batch, day)
) STRICT;
"""

_KILN = f"""
ALTER TABLE kiln ADD COLUMN entering_sensor TEXT;
ALTER TABLE kiln ADD COLUMN leaving_sensor TEXT;
ALTER TABLE kiln ADD COLUMN {_TEMPERATURE_UNIT};
"""

SECOND_TABLES = (
    _KILN
    + "".join(
        table(name, columns) + indexes(name, _INDEXES[name]) + current_view(name)
        for name, columns in _COLUMNS.items()
    )
    + _LOGGER_DAY
)

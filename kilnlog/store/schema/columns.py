"""Columns that many tables share, as SQL. Released migrations rest on this text: never change it.

The name of a constraint says what a value should have been (``rh_pct: 0 to 100``); refusals are read from it.
NULL passes every check, so an optional column needs no word about it.
"""


def weight(name: str, *, required: bool = False, lowest: str = ">") -> str:
    """The four columns of a weight: as typed, its unit, and what that is in grams."""
    needed = " NOT NULL" if required else ""
    return f"""{name}_text TEXT{needed} CONSTRAINT "{name}: filled" CHECK (trim({name}_text) <> ''),
    {name}_unit TEXT{needed} CONSTRAINT "{name}_unit: one of g | kg | lb | oz | lb oz"
        CHECK ({name}_unit IN ('g', 'kg', 'lb', 'oz', 'lb oz')),
    {name}_g REAL{needed} CONSTRAINT "{name}: 0 to 1000000" CHECK ({name}_g {lowest} 0 AND {name}_g <= 1e6),
    {name}_step_g REAL{needed}
        CONSTRAINT "{name}_step_g: 0 to 1000000" CHECK ({name}_step_g > 0 AND {name}_step_g <= 1e6)
        CONSTRAINT "{name}: all four columns or none" CHECK (
            ({name}_text IS NULL) + ({name}_unit IS NULL) + ({name}_g IS NULL) + ({name}_step_g IS NULL)
            IN (0, 4)
        )"""


def is_time(column: str) -> str:
    """A check that a column holds a UTC instant that exists, at fixed width."""
    # Only with a modifier does strftime work the date out; without, it hands 30 February back as it came.
    return f"""CONSTRAINT "{column}: a UTC time" CHECK (
        {column} GLOB '????-??-??T??:??:??.[0-9][0-9][0-9][0-9][0-9][0-9]Z'
        AND strftime('%Y-%m-%dT%H:%M:%S', substr({column}, 1, 19), '+0 days') IS substr({column}, 1, 19)
    )"""


def moment(name: str) -> str:
    """The two columns of a moment."""
    return f"""{name}_utc TEXT {is_time(f"{name}_utc")},
    {name}_zone TEXT CONSTRAINT "{name}_zone: filled" CHECK (trim({name}_zone) <> '')
        CONSTRAINT "{name}: both columns or none" CHECK (({name}_utc IS NULL) = ({name}_zone IS NULL))"""


def between(name: str, low: int, high: int, kind: str = "REAL") -> str:
    """A number with bounds, both included."""
    return f"""{name} {kind} CONSTRAINT "{name}: {low} to {high}" CHECK ({name} BETWEEN {low} AND {high})"""


def above_zero(name: str, high: int) -> str:
    """A number above zero."""
    return f"""{name} REAL CONSTRAINT "{name}: 0 to {high}" CHECK ({name} > 0 AND {name} <= {high})"""


def word(name: str, *words: str, required: bool = False) -> str:
    """A column that takes one of a few words."""
    needed = " NOT NULL" if required else ""
    listed = ", ".join(f"'{each}'" for each in words)
    return f"""{name} TEXT{needed} CONSTRAINT "{name}: one of {" | ".join(words)}"
        CHECK ({name} IN ({listed}))"""


def label(name: str) -> str:
    """A name that must be filled."""
    return f"""{name} TEXT NOT NULL CONSTRAINT "{name}: filled" CHECK (trim({name}) <> '')"""


def refers(name: str, *, required: bool = False) -> str:
    """A reference by the uid of a first version, in a column named as the table it points into."""
    return f"{name} TEXT{' NOT NULL' if required else ''} REFERENCES {name} (uid)"


def envelope(table: str) -> str:
    """Who wrote the row when, and which earlier one it succeeds."""
    return f"""id INTEGER PRIMARY KEY CHECK (id > 0),
    uid TEXT NOT NULL UNIQUE CONSTRAINT "uid: filled" CHECK (trim(uid) <> ''),
    entity TEXT NOT NULL REFERENCES {table} (uid),
    supersedes TEXT UNIQUE REFERENCES {table} (uid),
    {word("version", "first", "correction", "change", "void", required=True)},
    version_reason TEXT,
    observed_utc TEXT NOT NULL {is_time("observed_utc")},
    {label("observed_zone")},
    entered_utc TEXT NOT NULL {is_time("entered_utc")},
    {label("entered_by")}"""

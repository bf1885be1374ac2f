"""The tables of schema 3: what a finished charge is told by.

Released: never change it, write a later migration.

``limit`` and ``when`` are words of SQL, so they stand in quotation marks wherever they are named.
"""

from kilnlog.store.schema.columns import above_zero, between, label, refers, weight, word
from kilnlog.store.schema.tables import current_view, indexes, table

_CHARGE = refers("charge", required=True)
_LOT = refers("lot", required=True)
_TEMPERATURE_UNIT = word("temperature_unit", "C", "F")
_VOLUME = f"""{above_zero("volume", 10**9)},
    {word("volume_unit", "bf", "m3")}
        CONSTRAINT "volume_unit: filled" CHECK (volume_unit IS NOT NULL OR volume IS NULL)"""
_PLACES = ("core", "air")
_LENGTH_UNITS = ("in", "ft", "mm", "cm", "m")


def _filled(column: str, unless: str) -> str:
    """A column that must be filled, unless something holds."""
    return f"""CONSTRAINT "{column}: filled" CHECK ({column} IS NOT NULL OR ({unless}))"""


#: What follows the envelope in each table.
_COLUMNS = {
    "final_reading": f"""
    {_CHARGE},
    {_LOT},
    {word("kind", "pin meter", "pinless meter", "oven-dry", required=True)},
    pack TEXT,
    piece TEXT,
    {refers("instrument")},
    depth TEXT,
    species_setting TEXT,
    {between("reading_pct", 0, 1000)},
    {between("wood_temperature", -100, 600)},
    {between("calibration_temperature", -100, 600)},
    {_TEMPERATURE_UNIT},
    {word("temperature_rule", "rule of thumb", "equation", "typed", "by the meter")},
    {between("temperature_correction_pct", -1000, 1000)},
    {between("species_correction_pct", -1000, 1000)},
    {weight("wet_weight")},
    {weight("oven_dry_weight")},
    note TEXT,
    {_filled("reading_pct", "kind = 'oven-dry'")},
    CONSTRAINT "wet_weight: filled" CHECK (wet_weight_g IS NOT NULL OR kind <> 'oven-dry'),
    CONSTRAINT "oven_dry_weight: filled" CHECK (oven_dry_weight_g IS NOT NULL OR kind <> 'oven-dry'),
    CONSTRAINT "oven_dry_weight: not above wet_weight" CHECK (oven_dry_weight_g <= wet_weight_g),
    {_filled("temperature_unit", "coalesce(wood_temperature, calibration_temperature) IS NULL")},
    {
        _filled(
            "wood_temperature",
            "temperature_rule IS NULL OR temperature_rule NOT IN ('rule of thumb', 'equation')",
        )
    },
    {_filled("temperature_correction_pct", "temperature_rule IS NOT 'typed'")}""",
    "stress_test": f"""
    {_CHARGE},
    {_LOT},
    {word("kind", "prong", "slice", "shell and core", required=True)},
    piece TEXT,
    {word("found", "free", "casehardened", "reverse casehardened")},
    {between("value", -(10**6), 10**6)},
    {between("core_value", 0, 1000)},
    unit TEXT,
    "limit" REAL CONSTRAINT "limit: 0 to 1000000" CHECK ("limit" BETWEEN 0 AND 1000000),
    {between("hours_waited", 0, 10**6)},
    note TEXT,
    {_filled("value", "found IS NOT NULL AND kind <> 'shell and core'")},
    {_filled("core_value", "kind <> 'shell and core'")},
    {_filled("unit", "value IS NULL")}""",
    "defect": f"""
    {_CHARGE},
    {_LOT},
    {
        word(
            "kind",
            "surface checks",
            "end checks",
            "honeycomb",
            "collapse",
            "cup",
            "bow",
            "crook",
            "twist",
            "sticker stain",
            "brown stain",
            "blue stain",
            "mould",
            "uneven moisture",
            "other",
            required=True,
        )
    },
    {word("severity", "slight", "moderate", "severe")},
    {between("pieces", 0, 10**9, "INTEGER")},
    {_VOLUME},
    note TEXT,
    CONSTRAINT "note: filled" CHECK (kind <> 'other' OR trim(coalesce(note, '')) <> '')""",
    "tally_line": f"""
    {_CHARGE},
    {_LOT},
    "when" TEXT NOT NULL CONSTRAINT "when: one of green | net" CHECK ("when" IN ('green', 'net')),
    grade TEXT,
    thickness TEXT,
    {above_zero("width", 10**6)},
    {word("width_unit", *_LENGTH_UNITS)},
    {above_zero("length", 10**6)},
    {word("length_unit", *_LENGTH_UNITS)},
    {between("pieces", 1, 10**9, "INTEGER")},
    {_VOLUME},
    note TEXT,
    {_filled("width_unit", "width IS NULL")},
    {_filled("length_unit", "length IS NULL")},
    {_filled("pieces", "volume IS NOT NULL")},
    {_filled("thickness", "volume IS NOT NULL")},
    {_filled("width", "volume IS NOT NULL")},
    {_filled("length", "volume IS NOT NULL")}""",
    "probe_reading": f"""
    {_CHARGE},
    {label("probe")},
    {word("placed_in", *_PLACES, required=True)},
    {between("temperature", -100, 600, "REAL NOT NULL")},
    {word("temperature_unit", "C", "F", required=True)}""",
    "heat_choice": f"""
    {_CHARGE},
    {between("at_least", -100, 600, "REAL NOT NULL")},
    {word("temperature_unit", "C", "F", required=True)},
    {above_zero("for_minutes", 10**6)} NOT NULL,
    limits_from TEXT,
    agency TEXT,
    agreement TEXT,
    note TEXT""",
    "step_answer": f"""
    {_CHARGE},
    {word("step", "final moisture", "stress", "defects", "tally", "heat", required=True)},
    {word("answer", "left out", "none found", required=True)},
    {refers("lot")},
    note TEXT,
    CONSTRAINT "note: filled" CHECK (answer <> 'left out' OR trim(coalesce(note, '')) <> '')""",
    "later_note": f"""
    {_CHARGE},
    {label("text")},
    {refers("lot")}""",
}

THIRD_FACT_TABLES = tuple(_COLUMNS)

#: What is looked up by more than uid, entity and supersedes.
_INDEXES = {
    "final_reading": ("charge", "lot", "instrument"),
    "stress_test": ("charge", "lot"),
    "defect": ("charge", "lot"),
    "tally_line": ("charge", "lot"),
    "probe_reading": ("charge",),
    "heat_choice": ("charge",),
    "step_answer": ("charge", "lot"),
    "later_note": ("charge", "lot"),
}

# What was closed or logged before holds nothing in these columns, so that its hash stays as it is.
_ADDED = f"""
ALTER TABLE closing ADD COLUMN {refers("lot")};
ALTER TABLE closing ADD COLUMN reopened INTEGER CONSTRAINT "reopened: one of 0 | 1" CHECK (reopened IN (0, 1))
    CONSTRAINT "sealed_text: none where reopened" CHECK (reopened IS NOT 1 OR sealed_text IS NULL);
CREATE INDEX closing_by_lot ON closing (lot);
ALTER TABLE logger_batch ADD COLUMN {word("placed_in", *_PLACES)};
"""

THIRD_TABLES = _ADDED + "".join(
    table(name, columns) + indexes(name, _INDEXES[name]) + current_view(name)
    for name, columns in _COLUMNS.items()
)

"""The tables of schema 1. Released: never change it, write a later migration.

Ranges are the bounds of what is possible at all; what is merely unlikely is a finding and is stored.
"""

from kilnlog.store.schema.columns import (
    above_zero,
    between,
    is_time,
    label,
    moment,
    refers,
    weight,
    word,
)
from kilnlog.store.schema.tables import current_view, indexes, table

LOGBOOK_AND_LEDGER = f"""
CREATE TABLE logbook (
    uid TEXT NOT NULL PRIMARY KEY CHECK (trim(uid) <> ''),
    made_utc TEXT NOT NULL {is_time("made_utc")},
    program_version TEXT NOT NULL
) STRICT;

CREATE TABLE ledger (
    logbook TEXT NOT NULL REFERENCES logbook (uid),
    number INTEGER NOT NULL CHECK (number > 0),
    table_name TEXT NOT NULL,
    uid TEXT NOT NULL UNIQUE,
    row_sha256 TEXT NOT NULL CHECK (length(row_sha256) = 64),
    chain_sha256 TEXT NOT NULL CHECK (length(chain_sha256) = 64),
    PRIMARY KEY (logbook, number)
) STRICT, WITHOUT ROWID;
"""

_CHARGE = refers("charge", required=True)
_BOARD = refers("board", required=True)
_TEMPERATURE_UNIT = word("temperature_unit", "C", "F")

#: What follows the envelope in each table.
_COLUMNS = {
    "setting": f"""
    {label("setting")},
    value TEXT NOT NULL""",
    "kiln": f"""
    {label("kiln")},
    heat TEXT,
    {word("air_control", "wet bulb", "humidistat", "dehumidifier", "vents by hand")},
    {above_zero("capacity", 10**9)},
    {word("capacity_unit", "bf", "m3")},
    {between("altitude_m", -500, 9000)},
    {above_zero("exhaust_m3_per_h", 10**9)}""",
    "instrument": f"""
    {label("instrument")},
    {word("kind", "scale", "oven", "meter", "hygrometer", required=True)},
    {above_zero("division", 10**9)},
    unit TEXT,
    {moment("checked_at")},
    check_result TEXT""",
    "schedule_step": f"""
    {label("schedule")},
    {between("step", 1, 1000, "INTEGER NOT NULL")},
    {between("from_mc_pct", 0, 1000)},
    {between("to_mc_pct", 0, 1000)},
    {between("from_hours", 0, 10**6)},
    {between("dry_bulb", -100, 600)},
    {between("wet_bulb", -100, 600)},
    {between("depression", 0, 600)},
    {between("rh_pct", 0, 100)},
    {between("emc_pct", 0, 100)},
    {_TEMPERATURE_UNIT}""",
    "charge": f"""
    {label("charge")},
    {label("zone")},
    {refers("kiln")},
    {moment("loaded_at")},
    {between("target_mc_pct", 0, 1000)},
    {word("control_rule", "wettest half", "wettest board", "mean", required=True)},
    schedule TEXT,
    {moment("unloaded_at")},
    notes TEXT""",
    "stay": f"""
    {_CHARGE},
    {refers("kiln", required=True)},
    {moment("out_at")}""",
    "lot": f"""
    {_CHARGE},
    {label("lot")},
    owner TEXT,
    species TEXT,
    thickness TEXT,
    {above_zero("volume", 10**9)},
    {word("volume_unit", "bf", "m3")},
    {between("target_mc_pct", 0, 1000)},
    {between("mc_low_pct", 0, 1000)},
    {between("mc_high_pct", 0, 1000)},
    limits_from TEXT,
    {above_zero("safe_rate_pct_per_day", 1000)},
    {above_zero("basic_specific_gravity", 2)},
    governs INTEGER NOT NULL CONSTRAINT "governs: one of 0 | 1" CHECK (governs IN (0, 1)),
    {moment("out_at")}""",
    "board": f"""
    {_CHARGE},
    {label("board")},
    {weight("start_weight", required=True)},
    {refers("lot")},
    {weight("coating_weight", lowest=">=")},
    {weight("oven_dry_weight")},
    cut_from TEXT,
    {word("wood", "heart", "sap", "both")},
    {word("sawn", "flat", "quarter")},
    coated INTEGER CONSTRAINT "coated: one of 0 | 1" CHECK (coated IN (0, 1)),
    {between("minutes_to_weighing", 0, 10**6)},
    position TEXT,
    replaces TEXT REFERENCES board (uid),
    {weight("scale_division")},
    notes TEXT""",
    "section": f"""
    {_CHARGE},
    {_BOARD},
    {label("section")},
    {weight("wet_weight", required=True)},
    {weight("oven_dry_weight")},
    {moment("dried_at")},
    {word("method", "oven", "microwave then oven")},
    {between("oven_temperature", -100, 1000)},
    {_TEMPERATURE_UNIT},
    {weight("scale_division")},
    rejected_because TEXT,
    CONSTRAINT "oven_dry_weight: not above wet_weight"
        CHECK (oven_dry_weight_g <= wet_weight_g OR rejected_because IS NOT NULL)""",
    "oven_weighing": f"""
    {_CHARGE},
    {_BOARD},
    {refers("section", required=True)},
    {weight("weight", required=True)}""",
    "weighing": f"""
    {_CHARGE},
    {_BOARD},
    {weight("weight", required=True)},
    entered_late_from TEXT,
    typed_first TEXT""",
    "recut": f"""
    {_CHARGE},
    {_BOARD},
    {weight("weight_before", required=True)},
    {weight("section_wet", required=True)},
    {weight("weight_after", required=True)},
    {weight("section_oven_dry")},
    {moment("dried_at")},
    {weight("coating_weight", lowest=">=")},
    CONSTRAINT "section_oven_dry: not above section_wet" CHECK (section_oven_dry_g <= section_wet_g)""",
    "breakage": f"""
    {_CHARGE},
    {_BOARD},
    {weight("weight_before", required=True)},
    {weight("weight_after", required=True)},
    reason TEXT""",
    "withdrawal": f"""
    {_CHARGE},
    {_BOARD},
    reason TEXT""",
    "event": f"""
    {_CHARGE},
    {
        word(
            "kind",
            "vent",
            "fan",
            "heat",
            "spray",
            "wick changed",
            "sensor checked",
            "power cut",
            "door",
            "water collected",
            "equalizing",
            "conditioning",
            "note",
            required=True,
        )
    },
    {word("state", "start", "end")},
    {between("value", -(10**9), 10**9)},
    unit TEXT,
    note TEXT""",
    "step_taken": f"""
    {_CHARGE},
    {between("step", 1, 1000, "INTEGER NOT NULL")},
    reason TEXT""",
    "decision": f"""
    {_CHARGE},
    {label("code")},
    subject TEXT,
    note TEXT""",
    "closing": f"""
    {_CHARGE},
    closing_reason TEXT,
    ledger_number INTEGER NOT NULL CHECK (ledger_number > 0),
    ledger_head TEXT NOT NULL CHECK (length(ledger_head) = 64),
    sealed_text TEXT,
    program_version TEXT""",
}

FACT_TABLES = tuple(_COLUMNS)

#: What is looked up by more than uid, entity and supersedes.
_INDEXES = {
    "setting": ("setting",),
    "kiln": ("kiln",),
    "instrument": ("instrument",),
    "schedule_step": ("schedule, step",),
    "charge": ("charge", "kiln"),
    "stay": ("charge", "kiln"),
    "lot": ("charge, lot",),
    "board": ("charge, board", "lot", "replaces"),
    "section": ("charge", "board, section"),
    "oven_weighing": ("charge", "board", "section"),
    "weighing": ("charge", "board"),
    "recut": ("charge", "board"),
    "breakage": ("charge", "board"),
    "withdrawal": ("charge", "board"),
    "event": ("charge",),
    "step_taken": ("charge",),
    "decision": ("charge",),
    "closing": ("charge",),
}

FIRST_TABLES = LOGBOOK_AND_LEDGER + "".join(
    table(name, columns) + indexes(name, _INDEXES[name]) + current_view(name)
    for name, columns in _COLUMNS.items()
)

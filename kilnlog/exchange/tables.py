"""The tables of an import folder or workbook: their names, columns and what each column holds."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from kilnlog.exchange.air_tables import AIR_TABLES, READINGS
from kilnlog.exchange.columns import (
    Column,
    FileTable,
    Holds,
    Part,
    mc_column,
    moment_column,
    name_column,
    number_column,
    observed_column,
    refers_column,
    text_column,
    weight_column,
    word_column,
)
from kilnlog.exchange.finish_tables import FINISH_TABLES
from kilnlog.records.weight import WeightUnit
from kilnlog.records.words import (
    AirControl,
    ControlRule,
    EventKind,
    EventState,
    InstrumentKind,
    OvenMethod,
    Sawn,
    TemperatureUnit,
    VolumeUnit,
    Wood,
)

_CHARGE = refers_column("charge", "charge")
_BOARD = refers_column("board", "board")
_WEIGHT_UNIT = Column("weight_unit", Holds.WORD, words=WeightUnit, part=Part.UNIT)
_OBSERVED = observed_column("observed_at", required=False)

_TABLES = (
    FileTable(
        "settings",
        "setting",
        (name_column("setting"), Column("value", Holds.TEXT, required=True, blank=""), _OBSERVED),
        keys=("setting",),
        what="setting",
    ),
    FileTable(
        "kilns",
        "kiln",
        (
            name_column("kiln"),
            text_column("heat"),
            word_column("air_control", AirControl),
            number_column("capacity", above=0, high=1e9),
            word_column("capacity_unit", VolumeUnit),
            number_column("altitude_m", low=-500, high=9000),
            number_column("exhaust_m3_per_h", above=0, high=1e9),
            text_column("entering_sensor"),
            text_column("leaving_sensor"),
            word_column("temperature_unit", TemperatureUnit),
            _OBSERVED,
        ),
        keys=("kiln",),
        what="kiln",
    ),
    FileTable(
        "instruments",
        "instrument",
        (
            name_column("instrument"),
            word_column("kind", InstrumentKind, required=True),
            number_column("division", above=0, high=1e9),
            text_column("unit"),
            moment_column("checked_at", day_will_do=True),
            text_column("check_result"),
            _OBSERVED,
        ),
        keys=("instrument",),
        what="instrument",
    ),
    FileTable(
        "schedule_steps",
        "schedule_step",
        (
            name_column("schedule"),
            Column("step", Holds.COUNT, required=True, low=1, high=1000),
            mc_column("from_mc_pct"),
            mc_column("to_mc_pct"),
            number_column("from_hours", low=0, high=1e6),
            number_column("dry_bulb", low=-100, high=600),
            number_column("wet_bulb", low=-100, high=600),
            number_column("depression", low=0, high=600),
            number_column("rh_pct", low=0, high=100),
            number_column("emc_pct", low=0, high=100),
            word_column("temperature_unit", TemperatureUnit),
            _OBSERVED,
        ),
        keys=("schedule", "step"),
        what="step",
    ),
    FileTable(
        "charges",
        "charge",
        (
            name_column("charge"),
            refers_column("kiln", "kiln", required=False),
            moment_column("loaded_at"),
            Column("zone", Holds.NAME),
            mc_column("target_mc_pct"),
            word_column("control_rule", ControlRule),
            Column("schedule", Holds.NAME),
            moment_column("unloaded_at"),
            Column("closed_at", Holds.MOMENT, part=Part.CLOSING),
            text_column("closing_reason", Part.CLOSING),
            text_column("notes"),
            _OBSERVED,
            text_column("closing_uid", Part.CLOSING),
            Column("closing_entered_at", Holds.MOMENT, part=Part.CLOSING),
            text_column("closing_entered_by", Part.CLOSING),
            text_column("sealed_by", Part.CLOSING),
            Column("sealed_text", Holds.LONG, part=Part.CLOSING),
        ),
        keys=("charge",),
        what="charge",
    ),
    FileTable(
        "stays",
        "stay",
        (_CHARGE, refers_column("kiln", "kiln"), observed_column("in_at"), moment_column("out_at")),
    ),
    FileTable(
        "lots",
        "lot",
        (
            _CHARGE,
            name_column("lot"),
            text_column("owner"),
            text_column("species"),
            Column("thickness", Holds.MEASURE),
            number_column("volume", above=0, high=1e9),
            word_column("volume_unit", VolumeUnit),
            mc_column("target_mc_pct"),
            mc_column("mc_low_pct"),
            mc_column("mc_high_pct"),
            text_column("limits_from"),
            number_column("safe_rate_pct_per_day", above=0, high=1000),
            number_column("basic_specific_gravity", above=0, high=2),
            Column("governs", Holds.YES_NO),
            moment_column("out_at"),
            _OBSERVED,
        ),
        keys=("charge", "lot"),
        what="lot",
    ),
    FileTable(
        "boards",
        "board",
        (
            _CHARGE,
            name_column("board"),
            refers_column("lot", "lot", required=False),
            observed_column("cut_at"),
            weight_column("start_weight", required=True),
            _WEIGHT_UNIT,
            weight_column("coating_weight"),
            weight_column("oven_dry_weight"),
            text_column("cut_from"),
            word_column("wood", Wood),
            word_column("sawn", Sawn),
            Column("coated", Holds.YES_NO),
            number_column("minutes_to_weighing", low=0, high=1e6),
            text_column("position"),
            refers_column("replaces", "board", required=False),
            weight_column("scale_division"),
            text_column("notes"),
        ),
        keys=("charge", "board"),
        what="board",
    ),
    FileTable(
        "sections",
        "section",
        (
            _CHARGE,
            _BOARD,
            name_column("section"),
            observed_column("taken_at", required=False),  # blank: when its board was cut
            weight_column("wet_weight", required=True),
            weight_column("oven_dry_weight"),
            moment_column("dried_at"),
            word_column("method", OvenMethod),
            number_column("oven_temperature", low=-100, high=1000),
            word_column("temperature_unit", TemperatureUnit),
            _WEIGHT_UNIT,
            weight_column("scale_division"),
            text_column("rejected_because"),
        ),
        keys=("board", "section"),
        what="section",
    ),
    FileTable(
        "oven_weighings",
        "oven_weighing",
        (
            _CHARGE,
            _BOARD,
            refers_column("section", "section"),
            observed_column("weighed_at"),
            weight_column("weight", required=True),
            _WEIGHT_UNIT,
        ),
    ),
    FileTable(
        "weighings",
        "weighing",
        (
            _CHARGE,
            _BOARD,
            observed_column("weighed_at"),
            weight_column("weight", required=True),
            _WEIGHT_UNIT,
            text_column("entered_late_from"),
            text_column("typed_first"),
        ),
    ),
    FileTable(
        "recuts",
        "recut",
        (
            _CHARGE,
            _BOARD,
            observed_column("cut_at"),
            weight_column("weight_before", required=True),
            weight_column("section_wet", required=True),
            weight_column("section_oven_dry"),
            moment_column("dried_at"),
            weight_column("weight_after", required=True),
            weight_column("coating_weight"),
            _WEIGHT_UNIT,
        ),
    ),
    FileTable(
        "breaks",
        "breakage",
        (
            _CHARGE,
            _BOARD,
            observed_column("at"),
            weight_column("weight_before", required=True),
            weight_column("weight_after", required=True),
            _WEIGHT_UNIT,
            text_column("reason"),
        ),
        reason_column="version_reason",
    ),
    FileTable(
        "withdrawals",
        "withdrawal",
        (_CHARGE, _BOARD, observed_column("at"), text_column("reason")),
        reason_column="version_reason",
    ),
    FileTable(
        "events",
        "event",
        (
            _CHARGE,
            observed_column("at"),
            word_column("kind", EventKind, required=True),
            word_column("state", EventState),
            number_column("value", low=-1e9, high=1e9),
            text_column("unit"),
            text_column("note"),
        ),
    ),
    FileTable(
        "steps_taken",
        "step_taken",
        (
            _CHARGE,
            observed_column("at"),
            Column("step", Holds.COUNT, required=True, low=1, high=1000),
            text_column("reason"),
        ),
        reason_column="version_reason",
    ),
    FileTable(
        "decisions",
        "decision",
        (
            _CHARGE,
            observed_column("at"),
            Column("code", Holds.NAME, required=True),
            text_column("subject"),
            text_column("note"),
        ),
    ),
    *AIR_TABLES,
    *FINISH_TABLES,
)

#: By file name, in the order in which one may refer to another.
FILE_TABLES: Mapping[str, FileTable] = MappingProxyType({table.name: table for table in _TABLES})

#: Every file or sheet there may be: those, and the readings of the logger batches.
KNOWN_TABLES: Mapping[str, FileTable] = MappingProxyType({**FILE_TABLES, READINGS.name: READINGS})

#: By the name of the facts.
FILE_TABLE_OF: Mapping[str, FileTable] = MappingProxyType({table.table: table for table in _TABLES})

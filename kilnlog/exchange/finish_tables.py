"""The tables of what a finished charge is told by, and of its closings."""

from __future__ import annotations

from kilnlog.exchange.columns import (
    Column,
    FileTable,
    Holds,
    Part,
    number_column,
    observed_column,
    refers_column,
    text_column,
    weight_column,
    word_column,
)
from kilnlog.records.weight import WeightUnit
from kilnlog.records.words import (
    AnswerKind,
    CloseOutStep,
    DefectKind,
    LengthUnit,
    ProbePlace,
    ReadingKind,
    Severity,
    StressFound,
    StressTestKind,
    TallyTime,
    TemperatureRule,
    TemperatureUnit,
    VolumeUnit,
)

_CHARGE = refers_column("charge", "charge")
_LOT = refers_column("lot", "lot")
_ANY_LOT = refers_column("lot", "lot", required=False)
_WHEN = observed_column("observed_at", required=False)  # blank: as the charge came out
_VOLUME = (number_column("volume", above=0, high=1e9), word_column("volume_unit", VolumeUnit))

#: Two pieces may well show the same, and two lines count the same: rows alike are no row written twice.
FINISH_TABLES = (
    FileTable(
        "final_readings",
        "final_reading",
        (
            _CHARGE,
            _LOT,
            text_column("pack"),
            text_column("piece"),
            observed_column("read_at"),
            word_column("kind", ReadingKind, required=True),
            refers_column("instrument", "instrument", required=False),
            Column("depth", Holds.MEASURE),
            text_column("species_setting"),
            number_column("reading_pct", low=0, high=1000),
            number_column("wood_temperature", low=-100, high=600),
            number_column("calibration_temperature", low=-100, high=600),
            word_column("temperature_unit", TemperatureUnit),
            word_column("temperature_rule", TemperatureRule),
            number_column("temperature_correction_pct", low=-1000, high=1000),
            number_column("species_correction_pct", low=-1000, high=1000),
            weight_column("wet_weight"),
            weight_column("oven_dry_weight"),
            Column("weight_unit", Holds.WORD, words=WeightUnit, part=Part.UNIT),
            text_column("note"),
        ),
        may_repeat=True,
    ),
    FileTable(
        "stress_tests",
        "stress_test",
        (
            _CHARGE,
            _LOT,
            text_column("piece"),
            word_column("kind", StressTestKind, required=True),
            word_column("found", StressFound),
            number_column("value", low=-1e6, high=1e6),
            number_column("core_value", low=0, high=1000),
            text_column("unit"),
            number_column("limit", low=0, high=1e6),
            number_column("hours_waited", low=0, high=1e6),
            text_column("note"),
            _WHEN,
        ),
        may_repeat=True,
    ),
    FileTable(
        "defects",
        "defect",
        (
            _CHARGE,
            _LOT,
            word_column("kind", DefectKind, required=True),
            word_column("severity", Severity),
            Column("pieces", Holds.COUNT, low=0, high=1e9),
            *_VOLUME,
            text_column("note"),
            _WHEN,
        ),
        may_repeat=True,
    ),
    FileTable(
        "tally",
        "tally_line",
        (
            _CHARGE,
            _LOT,
            Column("class", Holds.TEXT, fills="grade"),
            Column("thickness", Holds.MEASURE),
            number_column("width", above=0, high=1e6),
            word_column("width_unit", LengthUnit),
            number_column("length", above=0, high=1e6),
            word_column("length_unit", LengthUnit),
            Column("pieces", Holds.COUNT, low=1, high=1e9),
            word_column("when", TallyTime, required=True),
            *_VOLUME,
            text_column("note"),
            _WHEN,
        ),
        may_repeat=True,
    ),
    FileTable(
        "probes",
        "probe_reading",
        (
            _CHARGE,
            observed_column("read_at"),
            Column("probe", Holds.NAME, required=True),
            word_column("placed_in", ProbePlace, required=True),
            Column("temperature", Holds.NUMBER, required=True, low=-100, high=600),
            word_column("temperature_unit", TemperatureUnit, required=True),
        ),
    ),
    FileTable(
        "heat_choices",
        "heat_choice",
        (
            _CHARGE,
            Column("at_least", Holds.NUMBER, required=True, low=-100, high=600),
            word_column("temperature_unit", TemperatureUnit, required=True),
            Column("for_minutes", Holds.NUMBER, required=True, above=0, high=1e6),
            text_column("limits_from"),
            text_column("agency"),
            text_column("agreement"),
            text_column("note"),
            _WHEN,
        ),
    ),
    FileTable(
        "step_answers",
        "step_answer",
        (
            _CHARGE,
            word_column("step", CloseOutStep, required=True),
            word_column("answer", AnswerKind, required=True),
            _ANY_LOT,
            text_column("note"),
            _WHEN,
        ),
    ),
    FileTable(
        "later_notes",
        "later_note",
        (_CHARGE, observed_column("written_at"), _ANY_LOT, Column("text", Holds.TEXT, required=True)),
    ),
    # Where a folder has rows of a charge here, they say how it was closed; else its closed_at does.
    FileTable(
        "closings",
        "closing",
        (
            _CHARGE,
            _ANY_LOT,
            observed_column("closed_at"),
            text_column("closing_reason"),
            Column("reopened", Holds.YES_NO),
            Column("sealed_by", Holds.TEXT, fills="program_version"),
            Column("sealed_text", Holds.LONG),
        ),
    ),
)

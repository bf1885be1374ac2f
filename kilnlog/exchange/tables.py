"""The tables of an import folder or workbook: their names, columns and what each column holds."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum, StrEnum, auto
from types import MappingProxyType

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


class Holds(Enum):
    """What the cells of a column hold."""

    NAME = auto()  # text that other rows refer to: blanks around it do not count
    TEXT = auto()
    MEASURE = auto()  # text that a spreadsheet may mistake for a date: 4/4
    NUMBER = auto()
    COUNT = auto()
    WORD = auto()
    YES_NO = auto()
    MOMENT = auto()
    WEIGHT = auto()
    REFERENCE = auto()
    LONG = auto()  # text that may go on in further columns: name_2, name_3


class Part(Enum):
    """Which part of a row a column belongs to."""

    FACT = auto()
    OBSERVED = auto()  # when it was observed
    UNIT = auto()  # the unit of the row's weights
    CLOSING = auto()  # what a charge's row says of its closing


@dataclass(frozen=True)
class Column:
    """One column. ``low`` and ``high`` may be reached, ``above`` may not.

    The bounds are those of what is possible at all, the same that the logbook file keeps.
    """

    name: str
    holds: Holds
    required: bool = False
    words: type[StrEnum] | None = None
    low: float | None = None
    high: float | None = None
    above: float | None = None
    refers_to: str | None = None
    day_will_do: bool = False  # a moment may be given as a date alone
    part: Part = Part.FACT


@dataclass(frozen=True)
class FileTable:
    """One table of the files.

    Attributes:
        name: Of the file or sheet.
        table: Of the facts, as in ``kilnlog.records.facts``.
        columns: In the order they are written.
        keys: The columns that tell one thing from another among those that count now; empty for observations.
        what: What the last key names, for messages.
        reason_column: Where the reason of a version stands.
    """

    name: str
    table: str
    columns: tuple[Column, ...]
    keys: tuple[str, ...] = ()
    what: str = ""
    reason_column: str = "reason"

    @property
    def belongs_to_charge(self) -> bool:
        """Whether its rows name a charge they belong to."""
        return self.columns[0].name == "charge" and self.name != "charges"

    @property
    def observed(self) -> Column:
        """The column that says when the fact was observed."""
        return next(column for column in self.columns if column.part is Part.OBSERVED)

    @property
    def weights(self) -> tuple[Column, ...]:
        """The columns that hold weights."""
        return tuple(column for column in self.columns if column.holds is Holds.WEIGHT)

    @property
    def references(self) -> tuple[Column, ...]:
        """The columns that name a row of another table."""
        return tuple(column for column in self.columns if column.holds is Holds.REFERENCE)

    @property
    def known_columns(self) -> tuple[str, ...]:
        """Every column a file may carry, in the order they are written."""
        own = [column.name for column in self.columns]
        if not self.belongs_to_charge and self.name != "charges":
            own.append("zone")
        typed = [f"{column.name}_typed" for column in self.weights]
        uids = [f"{column.name}_uid" for column in self.references]
        return (*own, *typed, *uids, *VERSION_COLUMNS[:3], self.reason_column, *VERSION_COLUMNS[3:])


#: What any table may carry about the version its row is; the reason stands before ``entered_at``.
VERSION_COLUMNS = ("uid", "supersedes", "version", "entered_at", "entered_by")


def _name(name: str) -> Column:
    return Column(name, Holds.NAME, required=True)


def _text(name: str, part: Part = Part.FACT) -> Column:
    return Column(name, Holds.TEXT, part=part)


def _number(
    name: str, *, low: float | None = None, high: float | None = None, above: float | None = None
) -> Column:
    return Column(name, Holds.NUMBER, low=low, high=high, above=above)


def _mc(name: str) -> Column:
    return Column(name, Holds.NUMBER, low=0, high=1000)


def _word(name: str, words: type[StrEnum], *, required: bool = False) -> Column:
    return Column(name, Holds.WORD, words=words, required=required)


def _moment(name: str, *, day_will_do: bool = False) -> Column:
    return Column(name, Holds.MOMENT, day_will_do=day_will_do)


def _observed(name: str, *, required: bool = True) -> Column:
    return Column(name, Holds.MOMENT, required=required, part=Part.OBSERVED)


def _weight(name: str, *, required: bool = False) -> Column:
    return Column(name, Holds.WEIGHT, required=required)


def _refers(name: str, to: str, *, required: bool = True) -> Column:
    return Column(name, Holds.REFERENCE, required=required, refers_to=to)


_CHARGE = _refers("charge", "charge")
_BOARD = _refers("board", "board")
_WEIGHT_UNIT = Column("weight_unit", Holds.WORD, words=WeightUnit, part=Part.UNIT)
_OBSERVED = _observed("observed_at", required=False)

_TABLES = (
    FileTable(
        "settings",
        "setting",
        (_name("setting"), Column("value", Holds.TEXT, required=True), _OBSERVED),
        keys=("setting",),
        what="setting",
    ),
    FileTable(
        "kilns",
        "kiln",
        (
            _name("kiln"),
            _text("heat"),
            _word("air_control", AirControl),
            _number("capacity", above=0, high=1e9),
            _word("capacity_unit", VolumeUnit),
            _number("altitude_m", low=-500, high=9000),
            _number("exhaust_m3_per_h", above=0, high=1e9),
            _OBSERVED,
        ),
        keys=("kiln",),
        what="kiln",
    ),
    FileTable(
        "instruments",
        "instrument",
        (
            _name("instrument"),
            _word("kind", InstrumentKind, required=True),
            _number("division", above=0, high=1e9),
            _text("unit"),
            _moment("checked_at", day_will_do=True),
            _text("check_result"),
            _OBSERVED,
        ),
        keys=("instrument",),
        what="instrument",
    ),
    FileTable(
        "schedule_steps",
        "schedule_step",
        (
            _name("schedule"),
            Column("step", Holds.COUNT, required=True, low=1, high=1000),
            _mc("from_mc_pct"),
            _mc("to_mc_pct"),
            _number("from_hours", low=0, high=1e6),
            _number("dry_bulb", low=-100, high=600),
            _number("wet_bulb", low=-100, high=600),
            _number("depression", low=0, high=600),
            _number("rh_pct", low=0, high=100),
            _number("emc_pct", low=0, high=100),
            _word("temperature_unit", TemperatureUnit),
            _OBSERVED,
        ),
        keys=("schedule", "step"),
        what="step",
    ),
    FileTable(
        "charges",
        "charge",
        (
            _name("charge"),
            _refers("kiln", "kiln", required=False),
            _moment("loaded_at"),
            Column("zone", Holds.NAME),
            _mc("target_mc_pct"),
            _word("control_rule", ControlRule),
            Column("schedule", Holds.NAME),
            _moment("unloaded_at"),
            Column("closed_at", Holds.MOMENT, part=Part.CLOSING),
            _text("closing_reason", Part.CLOSING),
            _text("notes"),
            _OBSERVED,
            _text("closing_uid", Part.CLOSING),
            Column("closing_entered_at", Holds.MOMENT, part=Part.CLOSING),
            _text("closing_entered_by", Part.CLOSING),
            _text("sealed_by", Part.CLOSING),
            Column("sealed_text", Holds.LONG, part=Part.CLOSING),
        ),
        keys=("charge",),
        what="charge",
    ),
    FileTable(
        "stays",
        "stay",
        (_CHARGE, _refers("kiln", "kiln"), _observed("in_at"), _moment("out_at")),
    ),
    FileTable(
        "lots",
        "lot",
        (
            _CHARGE,
            _name("lot"),
            _text("owner"),
            _text("species"),
            Column("thickness", Holds.MEASURE),
            _number("volume", above=0, high=1e9),
            _word("volume_unit", VolumeUnit),
            _mc("target_mc_pct"),
            _mc("mc_low_pct"),
            _mc("mc_high_pct"),
            _text("limits_from"),
            _number("safe_rate_pct_per_day", above=0, high=1000),
            _number("basic_specific_gravity", above=0, high=2),
            Column("governs", Holds.YES_NO),
            _moment("out_at"),
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
            _name("board"),
            _refers("lot", "lot", required=False),
            _observed("cut_at"),
            _weight("start_weight", required=True),
            _WEIGHT_UNIT,
            _weight("coating_weight"),
            _weight("oven_dry_weight"),
            _text("cut_from"),
            _word("wood", Wood),
            _word("sawn", Sawn),
            Column("coated", Holds.YES_NO),
            _number("minutes_to_weighing", low=0, high=1e6),
            _text("position"),
            _refers("replaces", "board", required=False),
            _weight("scale_division"),
            _text("notes"),
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
            _name("section"),
            _observed("taken_at", required=False),  # blank: when its board was cut
            _weight("wet_weight", required=True),
            _weight("oven_dry_weight"),
            _moment("dried_at"),
            _word("method", OvenMethod),
            _number("oven_temperature", low=-100, high=1000),
            _word("temperature_unit", TemperatureUnit),
            _WEIGHT_UNIT,
            _weight("scale_division"),
            _text("rejected_because"),
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
            _refers("section", "section"),
            _observed("weighed_at"),
            _weight("weight", required=True),
            _WEIGHT_UNIT,
        ),
    ),
    FileTable(
        "weighings",
        "weighing",
        (
            _CHARGE,
            _BOARD,
            _observed("weighed_at"),
            _weight("weight", required=True),
            _WEIGHT_UNIT,
            _text("entered_late_from"),
            _text("typed_first"),
        ),
    ),
    FileTable(
        "recuts",
        "recut",
        (
            _CHARGE,
            _BOARD,
            _observed("cut_at"),
            _weight("weight_before", required=True),
            _weight("section_wet", required=True),
            _weight("section_oven_dry"),
            _moment("dried_at"),
            _weight("weight_after", required=True),
            _weight("coating_weight"),
            _WEIGHT_UNIT,
        ),
    ),
    FileTable(
        "breaks",
        "breakage",
        (
            _CHARGE,
            _BOARD,
            _observed("at"),
            _weight("weight_before", required=True),
            _weight("weight_after", required=True),
            _WEIGHT_UNIT,
            _text("reason"),
        ),
        reason_column="version_reason",
    ),
    FileTable(
        "withdrawals",
        "withdrawal",
        (_CHARGE, _BOARD, _observed("at"), _text("reason")),
        reason_column="version_reason",
    ),
    FileTable(
        "events",
        "event",
        (
            _CHARGE,
            _observed("at"),
            _word("kind", EventKind, required=True),
            _word("state", EventState),
            _number("value", low=-1e9, high=1e9),
            _text("unit"),
            _text("note"),
        ),
    ),
    FileTable(
        "steps_taken",
        "step_taken",
        (
            _CHARGE,
            _observed("at"),
            Column("step", Holds.COUNT, required=True, low=1, high=1000),
            _text("reason"),
        ),
        reason_column="version_reason",
    ),
    FileTable(
        "decisions",
        "decision",
        (
            _CHARGE,
            _observed("at"),
            Column("code", Holds.NAME, required=True),
            _text("subject"),
            _text("note"),
        ),
    ),
)

#: By file name, in the order in which one may refer to another.
FILE_TABLES: Mapping[str, FileTable] = MappingProxyType({table.name: table for table in _TABLES})

#: By the name of the facts.
FILE_TABLE_OF: Mapping[str, FileTable] = MappingProxyType({table.table: table for table in _TABLES})

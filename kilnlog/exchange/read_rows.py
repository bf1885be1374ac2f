"""Read the cells of every row: each by what its column holds, in the zone of its charge."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, TypeVar

from kilnlog.exchange.columns import Column, Holds, Part
from kilnlog.exchange.draft import Draft
from kilnlog.exchange.errors import LimitsReversed, VersionUnclear
from kilnlog.exchange.from_cells import (
    instant_from,
    name_from,
    text_of,
    value_from,
    weight_from,
    word_from,
)
from kilnlog.exchange.raw_tables import Cell, Problems, RawRow, RawTable, RawTables
from kilnlog.exchange.tables import FILE_TABLES
from kilnlog.records.errors import KilnlogError, MissingValue
from kilnlog.records.moment import zone_named
from kilnlog.records.schedule_step import ScheduleStep, contradiction, not_falling
from kilnlog.records.version import VersionKind
from kilnlog.records.weight import Weight, WeightUnit
from kilnlog.records.words import TemperatureRule

T = TypeVar("T")


def drafts_from(
    raw: RawTables, charge_zones: Mapping[str, str], zone: str, problems: Problems
) -> dict[str, list[Draft]]:
    """Read every row, by table name in the order of ``FILE_TABLES``.

    Args:
        raw: What stood in the files.
        charge_zones: The zones of the charges the logbook holds, by number.
        zone: The zone of what belongs to no charge and says none.
        problems: Collects what is wrong.
    """
    zones = {**charge_zones, **_zones_in(raw, zone)}
    drafts: dict[str, list[Draft]] = {}
    for name in FILE_TABLES:
        if (table := raw.tables.get(name)) is None:
            drafts[name] = []
            continue
        drafts[name] = [_RowReader(table, row, zones, zone, problems).draft() for row in table.rows]
    _check_schedules(drafts["schedule_steps"], problems)
    return drafts


def _check_schedules(drafts: Sequence[Draft], problems: Problems) -> None:
    """Steps written by hand begin ever drier; those a logbook wrote are taken as it kept them."""
    schedules: dict[str, list[tuple[ScheduleStep, Draft]]] = {}
    for draft in drafts:
        name, number = draft.values.get("schedule"), draft.values.get("step")
        if name is not None and number is not None and not draft.has_own_uid:
            schedules.setdefault(name, []).append((ScheduleStep(**draft.values), draft))
    for steps in schedules.values():
        steps.sort(key=lambda one: one[0].step)
        of = {id(step): draft for step, draft in steps}
        for step, error in not_falling(step for step, _ in steps):
            draft = of[id(step)]
            problems.add(draft.file, draft.number, str(error.values["column"]), error)


def _zones_in(raw: RawTables, zone: str) -> dict[str, str]:
    """The zone of each charge in the files; a zone nobody knows is found out when its own row is read."""
    if (charges := raw.tables.get("charges")) is None:
        return {}
    zones = {}
    for row in charges.rows:
        named = name_from(row.cells.get("zone", "")) or zone
        try:
            zone_named(named)
        except KilnlogError:
            named = "UTC"
        zones[name_from(row.cells.get("charge", ""))] = named
    return zones


@dataclass
class _RowReader:
    """Reads one row; every problem is noted with its column, and reading goes on."""

    raw: RawTable
    row: RawRow
    zones: Mapping[str, str]
    zone: str
    problems: Problems

    def draft(self) -> Draft:
        table = self.raw.table
        own_zone = self._own_zone()
        draft = Draft(table, self.raw.file, self.row.number, own_zone, {})
        unit = self._unit()
        for column in table.columns:
            if column.part is Part.UNIT:
                continue
            value = self._value(column, unit, own_zone)
            match column.part:
                case Part.OBSERVED:
                    draft.observed = value
                case Part.CLOSING:
                    draft.closing[column.name] = value
                case Part.FACT:
                    draft.values[column.name] = value
        if table.name == "charges":
            draft.values["zone"] = own_zone
        self._envelope(draft)
        if table.name == "final_readings" and not draft.has_own_uid:
            self._say_whose_correction(draft)
        low, high = draft.values.get("mc_low_pct"), draft.values.get("mc_high_pct")
        if low is not None and high is not None and low > high:
            self._problem("mc_high_pct", LimitsReversed(low=low, high=high))
        if table.table == "schedule_step" and not draft.has_own_uid:
            self._check_step(draft)
        return draft

    def _check_step(self, draft: Draft) -> None:
        """Not of a row a logbook wrote: it may hold a step that was kept before this was asked."""
        if None in (draft.values.get("schedule"), draft.values.get("step")):
            return
        if (error := contradiction(ScheduleStep(**draft.values))) is not None:
            self._problem(str(error.values["column"]), error)

    def _say_whose_correction(self, draft: Draft) -> None:
        """A correction written by hand without a rule is the writer's own; a logbook's row stays as it is."""
        if draft.values["temperature_correction_pct"] is not None:
            draft.values["temperature_rule"] = draft.values["temperature_rule"] or TemperatureRule.TYPED

    def _own_zone(self) -> str:
        """The zone this row's times are told in."""
        if self.raw.table.belongs_to_charge:
            return self.zones.get(name_from(self._cell("charge")), self.zone)
        named = name_from(self._cell("zone"))
        if not named:
            return self.zone
        return self._try("zone", lambda: zone_named(named).key) or "UTC"

    def _unit(self) -> WeightUnit | None:
        if not (cell := self._cell("weight_unit")):
            return None
        return self._try("weight_unit", lambda: WeightUnit(word_from(cell, WeightUnit, "weight_unit")))

    def _value(self, column: Column, unit: WeightUnit | None, zone: str) -> Any:
        cell = self._cell(column.name)
        if cell == "":
            if column.required and column.blank is None:
                self._problem(column.name, MissingValue(column=column.name))
            return column.blank
        match column.holds:
            case Holds.WEIGHT:
                return self._weight(column.name, cell, unit)
            case Holds.NAME | Holds.REFERENCE:
                return self._name(cell)
            case Holds.LONG:
                return self._long(column.name)
            case _:
                return self._try(column.name, lambda: value_from(cell, column, zone))

    def _name(self, cell: Cell) -> str:
        """A name; a row that a logbook wrote has it to the letter, blanks around it included."""
        return text_of(cell) if self._cell("uid") else name_from(cell)

    def _weight(self, name: str, cell: Cell, unit: WeightUnit | None) -> Weight | None:
        if unit is None and self._cell("weight_unit"):
            return None  # the unit is wrong, and was noted
        typed = self.row.cells.get(f"{name}_typed")
        return self._try(name, lambda: weight_from(cell, unit, typed))

    def _long(self, name: str) -> str:
        parts = [text_of(self._cell(name))]
        while more := self._cell(f"{name}_{len(parts) + 1}"):
            parts.append(text_of(more))
        return "".join(parts)

    def _envelope(self, draft: Draft) -> None:
        draft.uid = name_from(self._cell("uid")) or None
        draft.has_own_uid = draft.uid is not None
        draft.supersedes = name_from(self._cell("supersedes")) or None
        draft.reason = text_of(self._cell(self.raw.table.reason_column)) or None
        draft.entered_by = text_of(self._cell("entered_by")) or None
        if entered := self._cell("entered_at"):
            draft.entered_utc = self._try("entered_at", lambda: instant_from(entered, draft.zone))
        if version := self._cell("version"):
            kind = self._try("version", lambda: word_from(version, VersionKind, "version"))
            draft.kind = VersionKind(kind) if kind else draft.kind
        if (draft.kind is VersionKind.FIRST) != (draft.supersedes is None):
            missing = "version" if draft.kind is VersionKind.FIRST else "supersedes"
            self._problem(missing, VersionUnclear(version=draft.kind.value, supersedes=draft.supersedes))
        if draft.kind in (VersionKind.CORRECTION, VersionKind.VOID) and not (draft.reason or "").strip():
            missing = self.raw.table.reason_column
            self._problem(missing, MissingValue(column=missing))
        if draft.kind is VersionKind.CHANGE and draft.observed is None and not self._cell(self._observed):
            self._problem(self._observed, MissingValue(column=self._observed))
        for column in self.raw.table.references:
            if uid := name_from(self._cell(f"{column.name}_uid")):
                draft.named_uids[column.name] = uid

    @property
    def _observed(self) -> str:
        return self.raw.table.observed.name

    def _cell(self, column: str) -> Cell:
        return self.row.cells.get(column, "")

    def _try(self, column: str, read: Callable[[], T]) -> T | None:
        try:
            return read()
        except KilnlogError as error:
            # A weight without its unit is a gap in another column than its own.
            named = error.values.get("column") if isinstance(error, MissingValue) else None
            self._problem(str(named or column), error)
            return None

    def _problem(self, column: str, cause: KilnlogError) -> None:
        self.problems.add(self.raw.file, self.row.number, column, cause)

"""Make charge records from plain numbers, with fixed uids, for tests on every floor.

build = ChargeBuilder(target_mc_pct=8)
lot = build.lot("A", species="red oak", thickness="4/4")
board = build.board("1", "4.46", lot=lot)
build.section(board, "a", "98.55", "59.20")
build.weigh(board, "4.14", at=3)  # days after loading, or "2024-03-04 08:00", or a Moment
record = build.record()
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import UTC, datetime
from decimal import Decimal
from typing import Any, get_type_hints

from kilnlog.records.air_reading import AirReading
from kilnlog.records.board import Board
from kilnlog.records.breakage import Breakage
from kilnlog.records.charge import Charge
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.closing import Closing
from kilnlog.records.decision import Decision
from kilnlog.records.event import Event
from kilnlog.records.facts import TABLE_OF, Fact
from kilnlog.records.kiln import Kiln
from kilnlog.records.lot import Lot
from kilnlog.records.meter_check import MeterCheck
from kilnlog.records.moment import Moment
from kilnlog.records.oven_weighing import OvenWeighing
from kilnlog.records.recut import Recut
from kilnlog.records.schedule_step import ScheduleStep
from kilnlog.records.section import Section
from kilnlog.records.set_point import SetPoint
from kilnlog.records.setting import Setting
from kilnlog.records.stay import Stay
from kilnlog.records.step_taken import StepTaken
from kilnlog.records.version import Entry, Version, VersionKind
from kilnlog.records.weighing import Weighing
from kilnlog.records.weight import GRAMS_PER_UNIT, Weight, WeightUnit
from kilnlog.records.withdrawal import Withdrawal
from kilnlog.records.words import EventKind, TemperatureUnit

ZONE = "America/New_York"
FAHRENHEIT = TemperatureUnit.FAHRENHEIT
ENTERED = datetime(2024, 3, 1, 12, 0, tzinfo=UTC)

When = Moment | str | float | int
Heavy = Weight | str | float | int | Decimal


def moment(text: str, zone: str = ZONE) -> Moment:
    """The moment of a local time ``YYYY-MM-DD HH:MM``."""
    return Moment.from_text(text, zone)


def weight(typed: Heavy, unit: WeightUnit = WeightUnit.G) -> Weight:
    """A weight of plain decimal digits in one unit; the text's last digit is its step."""
    if isinstance(typed, Weight):
        return typed
    text = str(typed)
    value = Decimal(text)
    exponent = value.as_tuple().exponent
    assert isinstance(exponent, int)
    factor = GRAMS_PER_UNIT[unit]
    return Weight(text, unit, value * factor, Decimal(1).scaleb(min(exponent, 0)) * factor)


class ChargeBuilder:
    """Writes one charge row by row. Every verb returns the entity uid that references carry."""

    def __init__(
        self,
        number: str = "24-07",
        *,
        loaded_at: When | None = "2024-03-01 08:00",
        zone: str = ZONE,
        unit: WeightUnit = WeightUnit.G,
        **particulars: Any,
    ) -> None:
        self.zone = zone
        self.unit = unit
        self.entries: list[Entry[Fact]] = []
        self._origin = moment("2024-03-01 08:00", zone) if loaded_at is None else self.when(loaded_at)
        loaded = None if loaded_at is None else self._origin
        self.entity = self.first(Charge(charge=number, zone=zone, loaded_at=loaded, **particulars), 0)

    def when(self, at: When) -> Moment:
        """A moment from itself, from local text, or from days of true time after loading."""
        if isinstance(at, Moment):
            return at
        return moment(at, self.zone) if isinstance(at, str) else self._origin.plus_hours(24 * at)

    def weight(self, typed: Heavy) -> Weight:
        """A weight in the builder's unit."""
        return weight(typed, self.unit)

    def first(self, fact: Fact, at: When) -> str:
        """Write the first version of a fact."""
        table = TABLE_OF[type(fact)]
        number = 1 + sum(isinstance(entry.fact, type(fact)) for entry in self.entries)
        uid = f"{table}-{number:04d}"
        self._write(fact, Version(uid, uid, None, VersionKind.FIRST, None, self.when(at), ENTERED, "tester"))
        return uid

    def correct(self, entity: str, *, at: When | None = None, reason: str = "misread", **fields: Any) -> str:
        """Succeed a fact by a correction of these fields, observed when the one before was unless told."""
        return self._succeed(entity, VersionKind.CORRECTION, at, reason, fields)

    def change(self, entity: str, at: When, *, reason: str | None = None, **fields: Any) -> str:
        """Succeed a fact by a change of these fields from a moment on."""
        return self._succeed(entity, VersionKind.CHANGE, at, reason, fields)

    def void(self, entity: str, *, reason: str = "typed by mistake") -> str:
        """Take a fact back."""
        return self._succeed(entity, VersionKind.VOID, None, reason, {})

    def _succeed(
        self, entity: str, kind: VersionKind, at: When | None, reason: str | None, fields: dict[str, Any]
    ) -> str:
        chain = [entry for entry in self.entries if entry.entity == entity]
        last = chain[-1]
        weights = {name: self._as_field(type(last.fact), name, value) for name, value in fields.items()}
        version = Version(
            f"{entity}.{len(chain) + 1}",
            entity,
            last.version.uid,
            kind,
            reason,
            last.at if at is None else self.when(at),
            ENTERED,
            "tester",
        )
        self._write(replace(last.fact, **weights), version)
        return version.uid

    def _write(self, fact: Fact, version: Version) -> None:
        self.entries.append(Entry(version, fact))

    def setting(self, name: str, value: str) -> str:
        return self.first(Setting(setting=name, value=value), 0)

    def kiln(self, name: str, **fields: Any) -> str:
        return self.first(Kiln(kiln=name, **fields), 0)

    def steps(self, schedule: str, *from_mc_pct: float | None, **fields: Any) -> tuple[str, ...]:
        """Schedule steps 1, 2, ... that begin at these moisture contents."""
        return tuple(
            self.first(ScheduleStep(schedule=schedule, step=number, from_mc_pct=begin, **fields), 0)
            for number, begin in enumerate(from_mc_pct, start=1)
        )

    def stay(self, kiln: str, at: When, *, out_at: When | None = None) -> str:
        out = None if out_at is None else self.when(out_at)
        return self.first(Stay(charge=self.entity, kiln=kiln, out_at=out), at)

    def lot(self, label: str, *, out_at: When | None = None, **fields: Any) -> str:
        out = None if out_at is None else self.when(out_at)
        return self.first(Lot(charge=self.entity, lot=label, out_at=out, **fields), 0)

    def board(
        self,
        label: str,
        start: Heavy,
        *,
        at: When = 0,
        coating_weight: Heavy | None = None,
        oven_dry_weight: Heavy | None = None,
        scale_division: Heavy | None = None,
        **fields: Any,
    ) -> str:
        return self.first(
            Board(
                charge=self.entity,
                board=label,
                start_weight=self.weight(start),
                coating_weight=self._optional(coating_weight),
                oven_dry_weight=self._optional(oven_dry_weight),
                scale_division=self._optional(scale_division),
                **fields,
            ),
            at,
        )

    def section(
        self,
        board: str,
        label: str,
        wet: Heavy,
        dry: Heavy | None = None,
        *,
        at: When = 0,
        dried_at: When | None = None,
        unit: WeightUnit = WeightUnit.G,
        **fields: Any,
    ) -> str:
        """A section, in grams unless told: sections go on the small balance."""
        return self.first(
            Section(
                charge=self.entity,
                board=board,
                section=label,
                wet_weight=weight(wet, unit),
                oven_dry_weight=None if dry is None else weight(dry, unit),
                dried_at=None if dried_at is None else self.when(dried_at),
                **fields,
            ),
            at,
        )

    def oven(self, board: str, section: str, reading: Heavy, at: When) -> str:
        return self.first(
            OvenWeighing(charge=self.entity, board=board, section=section, weight=weight(reading)), at
        )

    def weigh(self, board: str, reading: Heavy, at: When, **fields: Any) -> str:
        return self.first(
            Weighing(charge=self.entity, board=board, weight=self.weight(reading), **fields), at
        )

    def recut(
        self,
        board: str,
        before: Heavy,
        after: Heavy,
        wet: Heavy,
        dry: Heavy | None = None,
        *,
        at: When,
        dried_at: When | None = None,
        coating_weight: Heavy | None = None,
    ) -> str:
        """A recut; its section is in grams, the board in the builder's unit."""
        return self.first(
            Recut(
                charge=self.entity,
                board=board,
                weight_before=self.weight(before),
                weight_after=self.weight(after),
                section_wet=weight(wet),
                section_oven_dry=None if dry is None else weight(dry),
                dried_at=None if dried_at is None else self.when(dried_at),
                coating_weight=self._optional(coating_weight),
            ),
            at,
        )

    def breaks(
        self, board: str, before: Heavy, after: Heavy, at: When, *, reason: str | None = "corner"
    ) -> str:
        return self.first(
            Breakage(
                charge=self.entity,
                board=board,
                weight_before=self.weight(before),
                weight_after=self.weight(after),
                reason=reason,
            ),
            at,
        )

    def withdraw(self, board: str, at: When, *, reason: str = "split") -> str:
        return self.first(Withdrawal(charge=self.entity, board=board, reason=reason), at)

    def event(self, kind: EventKind, at: When, **fields: Any) -> str:
        return self.first(Event(charge=self.entity, kind=kind, **fields), at)

    def take_step(self, step: int, at: When, *, reason: str | None = None) -> str:
        return self.first(StepTaken(charge=self.entity, step=step, reason=reason), at)

    def decide(self, code: str, at: When, *, subject: str | None = None, note: str | None = None) -> str:
        return self.first(Decision(charge=self.entity, code=code, subject=subject, note=note), at)

    def air(self, at: When, **told: Any) -> str:
        """A reading of the air by hand, in Fahrenheit unless told."""
        return self.first(AirReading(self.entity, **{"temperature_unit": FAHRENHEIT} | told), at)

    def set_air(self, at: When, **told: Any) -> str:
        """What the kiln was set to, in Fahrenheit unless told."""
        return self.first(SetPoint(self.entity, **{"temperature_unit": FAHRENHEIT} | told), at)

    def meter(self, board: str, reading_pct: float, at: When, **told: Any) -> str:
        return self.first(MeterCheck(self.entity, board, reading_pct, **told), at)

    def close(self, at: When) -> str:
        return self.first(Closing(charge=self.entity), at)

    def record(self) -> ChargeRecord:
        """The charge's record of everything written so far."""
        tables: dict[str, list[Entry[Fact]]] = {}
        for entry in self.entries:
            tables.setdefault(TABLE_OF[type(entry.fact)], []).append(entry)
        return ChargeRecord.from_entries(tables)

    def _as_field(self, table: type[Fact], name: str, value: Any) -> Any:
        """A plain number made a weight where the field holds one: sections in grams, boards in their unit."""
        if value is None or "Weight" not in str(get_type_hints(table)[name]):
            return value
        return weight(value) if table is Section or name.startswith("section_") else self.weight(value)

    def _optional(self, typed: Heavy | None) -> Weight | None:
        return None if typed is None else self.weight(typed)


def plain_charge(
    boards: Iterable[tuple[Heavy, Iterable[Heavy]]],
    *,
    wet: Heavy = "160.0",
    dry: Heavy = "100.0",
    **particulars: Any,
) -> ChargeBuilder:
    """A charge of boards 1, 2, ... in lot A, two like sections each, weighed once a day from day 1.

    Args:
        boards: Per board its start weight and its daily weights [g].
        wet: Wet weight of every section [g].
        dry: Oven-dry weight of every section [g].
        particulars: Of the charge (``target_mc_pct=8``).
    """
    build = ChargeBuilder(**particulars)
    lot = build.lot("A")
    for number, (start, daily) in enumerate(boards, start=1):
        board = build.board(str(number), start, lot=lot, coated=True)
        build.section(board, "a", wet, dry)
        build.section(board, "b", wet, dry)
        for day, reading in enumerate(daily, start=1):
            build.weigh(board, reading, day)
    return build

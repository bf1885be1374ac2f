"""Everything written about one charge: the one input of every assessment."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Any

from kilnlog.records.air_reading import AirReading
from kilnlog.records.board import Board
from kilnlog.records.breakage import Breakage
from kilnlog.records.charge import Charge
from kilnlog.records.closing import Closing
from kilnlog.records.decision import Decision
from kilnlog.records.defect import Defect
from kilnlog.records.event import Event
from kilnlog.records.facts import TABLE_OF, Fact
from kilnlog.records.final_reading import FinalReading
from kilnlog.records.heat_choice import HeatChoice
from kilnlog.records.instrument import Instrument
from kilnlog.records.kiln import Kiln
from kilnlog.records.later_note import LaterNote
from kilnlog.records.logger_batch import LoggerBatch
from kilnlog.records.lot import Lot
from kilnlog.records.meter_check import MeterCheck
from kilnlog.records.moment import Moment
from kilnlog.records.oven_weighing import OvenWeighing
from kilnlog.records.probe_reading import ProbeReading
from kilnlog.records.recut import Recut
from kilnlog.records.schedule_step import ScheduleStep
from kilnlog.records.section import Section
from kilnlog.records.set_point import SetPoint
from kilnlog.records.setting import Setting
from kilnlog.records.stay import Stay
from kilnlog.records.step_answer import StepAnswer
from kilnlog.records.step_taken import StepTaken
from kilnlog.records.stress_test import StressTest
from kilnlog.records.tally_line import TallyLine
from kilnlog.records.version import Entry, History, VersionKind, histories
from kilnlog.records.weighing import Weighing
from kilnlog.records.withdrawal import Withdrawal


@dataclass(frozen=True)
class ChargeRecord:
    """One charge with all its facts, every version of each, in the order they were written.

    Kilns, instruments, schedule steps and settings are those of the whole logbook: a charge may come to refer
    to any of them, and there are few.
    """

    charge: tuple[History[Charge], ...]  # exactly one
    setting: tuple[History[Setting], ...] = ()
    kiln: tuple[History[Kiln], ...] = ()
    instrument: tuple[History[Instrument], ...] = ()
    schedule_step: tuple[History[ScheduleStep], ...] = ()
    stay: tuple[History[Stay], ...] = ()
    lot: tuple[History[Lot], ...] = ()
    board: tuple[History[Board], ...] = ()
    section: tuple[History[Section], ...] = ()
    oven_weighing: tuple[History[OvenWeighing], ...] = ()
    weighing: tuple[History[Weighing], ...] = ()
    recut: tuple[History[Recut], ...] = ()
    breakage: tuple[History[Breakage], ...] = ()
    withdrawal: tuple[History[Withdrawal], ...] = ()
    event: tuple[History[Event], ...] = ()
    step_taken: tuple[History[StepTaken], ...] = ()
    decision: tuple[History[Decision], ...] = ()
    air_reading: tuple[History[AirReading], ...] = ()
    set_point: tuple[History[SetPoint], ...] = ()
    meter_check: tuple[History[MeterCheck], ...] = ()
    logger_batch: tuple[History[LoggerBatch], ...] = ()
    final_reading: tuple[History[FinalReading], ...] = ()
    stress_test: tuple[History[StressTest], ...] = ()
    defect: tuple[History[Defect], ...] = ()
    tally_line: tuple[History[TallyLine], ...] = ()
    probe_reading: tuple[History[ProbeReading], ...] = ()
    heat_choice: tuple[History[HeatChoice], ...] = ()
    step_answer: tuple[History[StepAnswer], ...] = ()
    later_note: tuple[History[LaterNote], ...] = ()
    closing: tuple[History[Closing], ...] = ()

    @property
    def entity(self) -> str:
        """The uid that other facts refer to this charge by."""
        return self.charge[0].entity

    @property
    def particulars(self) -> Charge:
        """The charge as it is described now, or as last described where it was taken back."""
        current = self.charge[0].current
        return (current or self.charge[0].entries[0]).fact

    @property
    def is_closed(self) -> bool:
        """Whether the charge takes no further rows but later notes."""
        return self.closing_of() is not None

    def closings_of(self, lot: str | None = None) -> History[Closing] | None:
        """Every closing and reopening of a lot (its entity), or of the whole charge; None: never closed."""
        return next((line for line in self.closing if line.entries[0].fact.lot == lot), None)

    def closing_of(self, lot: str | None = None) -> Entry[Closing] | None:
        """The closing in force of a lot (its entity), or of the whole charge; None while it is open."""
        return _in_force(line.current) if (line := self.closings_of(lot)) is not None else None

    def closing_at(self, moment: Moment, lot: str | None = None) -> Entry[Closing] | None:
        """The closing that was in force at a moment, of a lot (its entity) or of the whole charge."""
        return _in_force(line.at(moment)) if (line := self.closings_of(lot)) is not None else None

    def is_lot_closed(self, lot: str) -> bool:
        """Whether a lot (its entity) takes no further rows: it was closed by itself, or its charge was."""
        return self.is_closed or self.closing_of(lot) is not None

    @classmethod
    def from_entries(cls, entries: Mapping[str, Iterable[Entry[Any]]]) -> ChargeRecord:
        """Build the record from rows by table name, each table in the order written."""
        return cls(**{name: histories(rows) for name, rows in entries.items()})

    def with_entries(self, added: Iterable[Entry[Fact]]) -> ChargeRecord:
        """The record once these rows were written too, in this order; rows of other charges are left out."""
        changed: dict[str, Any] = {}
        for entry in added:
            owner = (
                entry.entity if isinstance(entry.fact, Charge) else getattr(entry.fact, "charge", self.entity)
            )
            if owner != self.entity:
                continue
            name = TABLE_OF[type(entry.fact)]
            lines: tuple[History[Any], ...] = changed.get(name, getattr(self, name))
            if entry.version.kind is VersionKind.FIRST:
                lines = (*lines, History((entry,)))
            else:
                lines = tuple(
                    History((*line.entries, entry)) if line.entity == entry.entity else line for line in lines
                )
            changed[name] = lines
        return replace(self, **changed)


def closings_in_force(entries: Iterable[Entry[Closing]]) -> dict[str, Entry[Closing]]:
    """The closing of each charge (its entity) that is closed as a whole; rows in the order written."""
    current = (line.current for line in histories(entries) if line.entries[0].fact.lot is None)
    return {entry.fact.charge: entry for entry in map(_in_force, current) if entry is not None}


def _in_force(entry: Entry[Closing] | None) -> Entry[Closing] | None:
    return None if entry is None or entry.fact.reopened else entry

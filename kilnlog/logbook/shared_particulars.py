"""What all charges of a logbook share: kilns, instruments, schedules, settings, names typed so far."""

from __future__ import annotations

from dataclasses import dataclass

from kilnlog.logbook.session import Logbook
from kilnlog.records.instrument import Instrument
from kilnlog.records.kiln import Kiln
from kilnlog.records.lot import Lot
from kilnlog.records.owner_name import distinct_owners
from kilnlog.records.schedule_step import ScheduleStep
from kilnlog.records.setting import Setting
from kilnlog.records.version import Entry, History, current_entries, histories


@dataclass(frozen=True)
class SharedParticulars:
    """Every version of each; ``owners`` and ``species`` are those typed on lots so far, each once, sorted."""

    kiln: tuple[History[Kiln], ...] = ()
    instrument: tuple[History[Instrument], ...] = ()
    schedule_step: tuple[History[ScheduleStep], ...] = ()
    setting: tuple[History[Setting], ...] = ()
    owners: tuple[str, ...] = ()
    species: tuple[str, ...] = ()

    @classmethod
    def read(cls, book: Logbook) -> SharedParticulars:
        """Read them all; there are few."""
        lots: list[Lot] = [entry.fact for entry in current_entries(histories(book.file.entries("lot")))]
        return cls(
            kiln=histories(book.file.entries("kiln")),
            instrument=histories(book.file.entries("instrument")),
            schedule_step=histories(book.file.entries("schedule_step")),
            setting=histories(book.file.entries("setting")),
            owners=tuple(sorted(distinct_owners(lot.owner for lot in lots))),
            species=tuple(sorted({lot.species for lot in lots if lot.species})),
        )

    def kilns(self) -> tuple[Entry[Kiln], ...]:
        """The kilns there are now."""
        return tuple(current_entries(self.kiln))

    def schedules(self) -> tuple[str, ...]:
        """The names of the schedules there are now, each once, in the order written."""
        return tuple(dict.fromkeys(entry.fact.schedule for entry in current_entries(self.schedule_step)))

    def steps_of(self, schedule: str) -> tuple[Entry[ScheduleStep], ...]:
        """The steps of one schedule, first to last."""
        steps = (entry for entry in current_entries(self.schedule_step) if entry.fact.schedule == schedule)
        return tuple(sorted(steps, key=lambda entry: entry.fact.step))

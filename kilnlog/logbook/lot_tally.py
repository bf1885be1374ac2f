"""The tally of a lot as the record has it now, by the logbook's way of rounding."""

from __future__ import annotations

from kilnlog.drying.closing.tally import Rounding, TallyFigures, tally_of
from kilnlog.logbook.tally_setting import SETTING, rounding_from
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.lot import Lot
from kilnlog.records.owner_name import owner_key
from kilnlog.records.tally_line import TallyLine
from kilnlog.records.version import Entry, current_entries
from kilnlog.records.words import VolumeUnit


def rounding_of(record: ChargeRecord) -> Rounding:
    """The option that is set."""
    settings = current_entries(record.setting)
    return rounding_from(next((one.fact.value for one in settings if one.fact.setting == SETTING), None))


def lot_unit(lot: Lot) -> VolumeUnit:
    """The unit of a lot's volumes."""
    return lot.volume_unit or VolumeUnit.BOARD_FEET


def tally_entries(record: ChargeRecord, lot: str) -> list[Entry[TallyLine]]:
    """Its lines, in the order written."""
    return [entry for entry in current_entries(record.tally_line) if entry.fact.lot == lot]


def lot_tally(record: ChargeRecord, lot: Entry[Lot]) -> TallyFigures | None:
    """Its lines with their volumes; None where nothing was tallied."""
    lines = [entry.fact for entry in tally_entries(record, lot.entity)]
    return tally_of(lines, lot_unit(lot.fact), rounding_of(record)) if lines else None


def owner_tallies(record: ChargeRecord, owner: str | None) -> list[tuple[str, TallyFigures]]:
    """Of every lot of one owner that was tallied, by its label; None: the mill's own stock."""
    key = owner_key(owner)
    tallies = (
        (lot.fact.lot, lot_tally(record, lot))
        for lot in current_entries(record.lot)
        if owner_key(lot.fact.owner) == key
    )
    return [(label, tally) for label, tally in tallies if tally is not None]

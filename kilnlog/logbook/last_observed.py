"""When the last thing that stands in a charge's record was observed: nothing is closed before it."""

from __future__ import annotations

from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.moment import Moment
from kilnlog.records.version import current_entries


def last_observed(record: ChargeRecord, lot: str | None = None) -> Moment | None:
    """The last moment of boards, kiln, finished pieces and lots that left; None where nothing was written.

    Args:
        record: The charge.
        lot: The entity of a lot: only what is its own counts. None: everything.
    """
    of_boards = (
        record.board,
        record.section,
        record.oven_weighing,
        record.weighing,
        record.recut,
        record.breakage,
        record.withdrawal,
        record.meter_check,
    )
    of_lots = (record.final_reading, record.stress_test, record.defect, record.tally_line)
    boards = {entry.entity for entry in current_entries(record.board) if lot in (None, entry.fact.lot)}
    moments = [
        entry.at
        for lines in of_boards
        for entry in current_entries(lines)
        if getattr(entry.fact, "board", None) in boards or entry.entity in boards
    ]
    moments += [
        entry.at
        for lines in of_lots
        for entry in current_entries(lines)
        if lot is None or getattr(entry.fact, "lot", None) == lot
    ]
    lots = [entry for entry in current_entries(record.lot) if lot in (None, entry.entity)]
    moments += [entry.fact.out_at for entry in lots if entry.fact.out_at is not None]
    particulars = record.particulars
    if lot is None:
        of_kiln = (
            record.event,
            record.step_taken,
            record.air_reading,
            record.set_point,
            record.probe_reading,
        )
        moments += [entry.at for lines in of_kiln for entry in current_entries(lines)]
        moments += [moment for moment in (particulars.unloaded_at,) if moment is not None]
    moments += [moment for moment in (particulars.loaded_at,) if moment is not None]
    return max(moments, default=None)

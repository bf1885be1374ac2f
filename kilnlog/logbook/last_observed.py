"""When the last thing that stands in a charge's record was observed: nothing is closed before it."""

from __future__ import annotations

from collections.abc import Iterator

from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.moment import Moment
from kilnlog.records.version import current_entries


def last_observed(record: ChargeRecord, lot: str | None = None) -> Moment | None:
    """The last moment of anything kept, changes, answers and reopenings too; None where nothing was written.

    Args:
        record: The charge.
        lot: The entity of a lot: what is its own counts, and what its papers show of the charge. None:
            everything.
    """
    moments = [*_of_boards(record, lot), *_of_lots(record, lot), *_of_charge(record)]
    if lot is None:
        moments += _of_kiln(record)
    return max(moments, default=None)


def _of_boards(record: ChargeRecord, lot: str | None) -> Iterator[Moment]:
    written = (
        record.board,
        record.section,
        record.oven_weighing,
        record.weighing,
        record.recut,
        record.breakage,
        record.withdrawal,
        record.meter_check,
    )
    boards = {entry.entity for entry in current_entries(record.board) if lot in (None, entry.fact.lot)}
    for lines in written:
        for line in lines:
            entry = line.current
            if entry is not None and (getattr(entry.fact, "board", None) in boards or entry.entity in boards):
                yield from (span.at for span in line.spans)


def _of_lots(record: ChargeRecord, lot: str | None) -> Iterator[Moment]:
    """What was found of lots and said of them, and what they were described as from then on."""
    written = (
        record.final_reading,
        record.stress_test,
        record.defect,
        record.tally_line,
        record.step_answer,
        record.later_note,
    )
    for lines in written:
        for line in lines:
            entry = line.current
            if entry is not None and (lot is None or getattr(entry.fact, "lot", None) in (lot, None)):
                yield from (span.at for span in line.spans)
    for described in record.lot:
        if (now := described.current) is not None and lot in (None, described.entity):
            yield from (span.at for span in described.spans)
            if now.fact.out_at is not None:
                yield now.fact.out_at
    for closings in record.closing:
        if lot in (None, closings.entries[0].fact.lot):
            yield from (span.at for span in closings.spans)
    subjects = {entry.fact.lot for entry in current_entries(record.lot) if lot in (None, entry.entity)} | {
        entry.fact.board for entry in current_entries(record.board) if lot in (None, entry.fact.lot)
    }
    for decision in current_entries(record.decision):
        if lot is None or decision.fact.subject in subjects:
            yield decision.at


def _of_charge(record: ChargeRecord) -> Iterator[Moment]:
    """What papers show of the charge, whichever lots they are of."""
    yield from (span.at for span in record.charge[0].spans)
    particulars = record.particulars
    if particulars.loaded_at is not None:
        yield particulars.loaded_at
    for choice in current_entries(record.heat_choice):
        yield choice.at


def _of_kiln(record: ChargeRecord) -> Iterator[Moment]:
    """What happened to the charge as a whole: a lot that left earlier is none the wiser."""
    happened = (
        record.stay,
        record.event,
        record.step_taken,
        record.air_reading,
        record.set_point,
        record.probe_reading,
    )
    for lines in happened:
        for line in lines:
            yield from (span.at for span in line.spans)
    for batch in current_entries(record.logger_batch):
        # A probe's file is evidence of this charge to its last row; a logger of the kiln's air runs on.
        is_probe = batch.fact.placed_in is not None
        yield batch.fact.last_at if is_probe and batch.fact.last_at is not None else batch.at
    if record.particulars.unloaded_at is not None:
        yield record.particulars.unloaded_at

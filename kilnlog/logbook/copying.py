"""A charge copied as a new one: what is planned alike is carried over, what was observed is not."""

from __future__ import annotations

from dataclasses import replace

from kilnlog.logbook.changes import Changes
from kilnlog.logbook.session import Logbook, new_uid
from kilnlog.logbook.writing import Draft, write_all
from kilnlog.records.version import current_entries


def copy_as_new(book: Logbook, charge: str, number: str) -> Changes:
    """Plan a charge ``number`` like ``charge``: kiln, schedule, target, control rule, lots. No boards.

    When it is loaded, unloaded and noted about, and when a lot left, is not carried over.
    """
    record = book.file.charge_record(charge)
    uid = new_uid()
    planned = replace(record.particulars, charge=number, loaded_at=None, unloaded_at=None, notes=None)
    now = book.now(planned.zone)
    drafts: list[Draft] = [(planned, now, uid)]
    drafts += [(replace(entry.fact, charge=uid, out_at=None), now) for entry in current_entries(record.lot)]
    return write_all(book, drafts)

"""Closing a charge, or a lot that leaves it early, under a seal; reopening it; remarks after it."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime

from kilnlog import __version__
from kilnlog.logbook.changes import Changes
from kilnlog.logbook.errors import ClosingBeforeLast, NotClosed, NothingToClose, NothingToSay, ReasonMissing
from kilnlog.logbook.last_observed import last_observed
from kilnlog.logbook.sealing import sealed_figures, sealed_text
from kilnlog.logbook.session import Logbook
from kilnlog.logbook.writing import first_entry, successor
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.closing import Closing
from kilnlog.records.later_note import LaterNote
from kilnlog.records.lot import Lot
from kilnlog.records.moment import Moment
from kilnlog.records.version import Entry, VersionKind
from kilnlog.reference.tables import Reference

__all__ = ["add_later_note", "close_charge", "close_lot", "reopen", "sealed_figures"]


def close_charge(book: Logbook, charge: str, at: Moment, reason: str | None, reference: Reference) -> Changes:
    """Close a charge and seal it; it takes no further rows but later notes, until it is reopened.

    Raises ``NothingToClose`` where it was never loaded, ``ClosingBeforeLast`` where something of it was
    kept as of later than ``at``, ``ChargeClosed``.
    """
    with book.file.immediate():
        record = book.file.charge_record(charge)
        if record.particulars.loaded_at is None:
            raise NothingToClose(charge=record.particulars.charge)
        at = _moment_of(book, record, at, None)
        return Changes.of([_seal(book, record, at, reason, reference, None)])


def close_lot(
    book: Logbook, charge: str, lot: str, at: Moment, reason: str | None, reference: Reference
) -> Changes:
    """Close a lot (its entity) that leaves while the charge goes on; it is out from ``at`` on, if not before.

    It and its boards take no further rows; the charge does. Raises as ``close_charge`` does.
    """
    with book.file.immediate():
        record = book.file.charge_record(charge)
        if record.particulars.loaded_at is None:
            raise NothingToClose(charge=record.particulars.charge)
        at = _moment_of(book, record, at, lot)
        written: list[Entry[Lot] | Entry[Closing]] = []
        line = next(line for line in record.lot if line.entity == lot)
        current = line.current
        if current is not None and current.fact.out_at is None:
            gone = successor(
                book, line.newest, replace(current.fact, out_at=at), VersionKind.CHANGE, None, at
            )
            written.append(book.file.insert(gone))
            record = record.with_entries(written)
        written.append(_seal(book, record, at, reason, reference, lot))
        return Changes.of(written)


def reopen(book: Logbook, charge: str, lot: str | None, reason: str, at: Moment | None = None) -> Changes:
    """Let a closed charge, or a closed lot (its entity), take rows again; its seal stays as it was issued.

    Raises ``NotClosed``, ``ReasonMissing``.
    """
    if not reason.strip():
        raise ReasonMissing(what="reopening")
    with book.file.immediate():
        record = book.file.charge_record(charge)
        line = record.closings_of(lot)
        if line is None or record.closing_of(lot) is None:
            raise NotClosed(charge=record.particulars.charge, lot=_label(record, lot))
        moment = at or book.now(record.particulars.zone)
        fact = Closing(charge, lot=lot, reopened=True)
        entry = successor(book, line.newest, fact, VersionKind.CHANGE, reason.strip(), moment)
        return Changes.of([book.file.insert(entry)])


def add_later_note(
    book: Logbook, charge: str, text: str, lot: str | None = None, at: Moment | None = None
) -> Changes:
    """Write a dated remark on what is closed; it alters nothing under the seal. Raises ``NothingToSay``."""
    if not text.strip():
        raise NothingToSay
    with book.file.immediate():
        return Changes.of([book.file.insert(first_entry(book, LaterNote(charge, text.strip(), lot), at))])


def _seal(
    book: Logbook, record: ChargeRecord, at: Moment, reason: str | None, reference: Reference, lot: str | None
) -> Entry[Closing]:
    reason = (reason or "").strip() or None
    # A refusal for a charge that is closed already comes from the file; nothing need be worked out for it.
    is_closed = record.closing_of(lot) is not None
    text = None if is_closed else sealed_text(book, record, reference, at, lot=lot, reason=reason)
    fact = Closing(record.entity, reason, sealed_text=text, program_version=__version__, lot=lot)
    line = record.closings_of(lot)
    if line is None or is_closed:
        return book.file.insert(first_entry(book, fact, at))
    return book.file.insert(successor(book, line.newest, fact, VersionKind.CHANGE, None, at))


def _moment_of(book: Logbook, record: ChargeRecord, at: Moment, lot: str | None) -> Moment:
    """When it is closed; ``ClosingBeforeLast`` where that is before something kept.

    A time typed to the minute that is running means now, and one typed to the minute of the last entry means
    just after that: a seal takes what was kept a few seconds ago.
    """
    last = last_observed(record, lot)
    for later in (book.now(at.zone), last):
        if later is not None and later > at and later.utc.replace(second=0, microsecond=0) == _minute(at):
            at = Moment(later.utc, at.zone)
    if last is not None and last > at:
        raise ClosingBeforeLast(charge=record.particulars.charge, at=at, last=last)
    return at


def _minute(at: Moment) -> datetime:
    return at.utc.replace(second=0, microsecond=0)


def _label(record: ChargeRecord, lot: str | None) -> str | None:
    found = (line.newest.fact.lot for line in record.lot if line.entity == lot)
    return next(found, None)

"""Handing out a workbook: readable sheets, a checking sheet, and the record itself behind them."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

from kilnlog import __version__
from kilnlog.drying.assessment import assess
from kilnlog.drying.figures import Assessment
from kilnlog.exchange.errors import UnknownOwner
from kilnlog.exchange.readable import ReadableCharge, ReadableFinding
from kilnlog.exchange.selection import of_charge
from kilnlog.exchange.workbook import write_workbook
from kilnlog.logbook.air_in_hand import air_digest
from kilnlog.logbook.session import Logbook
from kilnlog.logbook.units import weight_unit_of
from kilnlog.logbook.wording import worded_finding
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.version import Entry
from kilnlog.reference.tables import load

Report = Callable[[float], None]
Asked = Callable[[], bool]


def export(
    book: Logbook,
    to: Path,
    charge: str | None = None,
    owner: str | None = None,
    progress: Report = lambda fraction: None,
    cancelled: Asked = lambda: False,
) -> Path:
    """Write the workbook ``to``, replacing an older one once the new one is whole; returns it.

    Args:
        book: The logbook in hand.
        to: The file.
        charge: The entity of one charge; None writes them all.
        owner: Write only what this owner may see.
        progress: Told how far it is, 0 to 1.
        cancelled: Asked now and then; True stops and leaves nothing.
    """
    entries = book.file.everything()
    chosen = (
        [charge] if charge is not None else [line.entity for line in book.file.charges() if not line.is_void]
    )
    readable = [_readable(book, one) for one in chosen]
    lots: list[Entry[Any]] = [*entries["lot"]]
    try:
        write_workbook(
            to,
            of_charge(entries, charge) if charge is not None else entries,
            readable,
            program_version=__version__,
            made_at=book.now(),
            owner=owner,
            everybody=[lot.fact.owner for lot in lots],
            readings=book.file.logger_days,
            progress=progress,
            cancelled=cancelled,
        )
    except UnknownOwner as error:
        if charge is None:
            raise
        number = readable[0].assessment.charge.charge
        raise UnknownOwner(**{**error.values, "charge": number}) from error
    return to


def _readable(book: Logbook, charge: str) -> ReadableCharge:
    """One charge as it stands now; a closed one as it stood when it was closed."""
    record = book.file.charge_record(charge)
    closing = record.closing_of()
    at = closing.at if closing is not None else book.now(record.particulars.zone)
    assessment = assess(record, load(), at, air_digest(book, record, load(), at))
    return ReadableCharge(record, assessment, tuple(_findings(record, assessment)))


def _findings(record: ChargeRecord, assessment: Assessment) -> Iterator[ReadableFinding]:
    unit = weight_unit_of(record)
    for finding in assessment.findings:
        said = worded_finding(finding, unit)
        yield ReadableFinding(
            finding.severity.value,
            finding.subject,
            said.headline,
            said.why,
            said.do,
            said.source,
            finding.board,
            finding.lot,
        )

"""The workbook that goes out: sheets to read, a sheet to check by, and the record itself behind them."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from datetime import UTC
from pathlib import Path
from typing import Any

from kilnlog.exchange.book_file import new_book, save_book
from kilnlog.exchange.checking_sheet import write_checking
from kilnlog.exchange.errors import WriteCancelled
from kilnlog.exchange.finished_file import finished_file
from kilnlog.exchange.logger_readings import Readings, no_readings
from kilnlog.exchange.moisture_sheet import write_moisture
from kilnlog.exchange.readable import ReadableCharge
from kilnlog.exchange.record_sheets import write_table
from kilnlog.exchange.scratch_folder import scratch_folder
from kilnlog.exchange.selection import of_owner
from kilnlog.exchange.sheet_names import CHECKING, SUMMARY, moisture_sheet_name
from kilnlog.exchange.summary_sheet import write_summary
from kilnlog.exchange.tables import KNOWN_TABLES
from kilnlog.exchange.to_tables import Entries, rows_of
from kilnlog.records.moment import Moment

Report = Callable[[float], None]
Asked = Callable[[], bool]

#: Raised when the form of the tables changes, so that later versions can read every workbook.
FORM = 2


def write_workbook(
    path: Path,
    entries: Entries,
    readable: Sequence[ReadableCharge],
    *,
    program_version: str,
    made_at: Moment,
    owner: str | None = None,
    everybody: Iterable[str | None] = (),
    readings: Readings = no_readings,
    progress: Report = lambda fraction: None,
    cancelled: Asked = lambda: False,
) -> None:
    """Write the workbook; an older one of that name is replaced once the new one is whole.

    Args:
        path: Where to.
        entries: What the tables hold, by table, each in the order written, every version.
        readable: The charges for the readable sheets.
        program_version: Of the program, for the document's properties.
        made_at: When it is written.
        owner: Write only what this owner may see; see ``selection.of_owner``.
        everybody: Owners named anywhere in the logbook, none of whom another one's workbook may name.
        readings: Gives the readings of a logger batch by its entity.
        progress: Told how far it is, 0 to 1.
        cancelled: Asked now and then; True raises ``WriteCancelled``.

    Raises:
        WriteFailed, WriteCancelled, TextTooLong, UnknownOwner: Nothing is left of the new file then.
    """
    if owner is not None:
        excerpt = of_owner(entries, owner, everybody)
        entries, readable = excerpt.entries, excerpt.readable(readable)
    tables = rows_of(entries, readings)
    to_do = 1 + sum(len(rows.rows) for rows in tables) + sum(_weights_of(charge) for charge in readable)
    done = 0

    def tick(rows: int) -> None:
        nonlocal done
        done += rows
        progress(done / to_do)
        if cancelled():
            raise WriteCancelled(path=str(path))

    made_by = f"kilnlog {program_version}"
    footer = f"{made_by}, {made_at.local:%Y-%m-%d %H:%M}"
    with finished_file(path) as beside, scratch_folder() as scratch, new_book(scratch) as book:
        _describe(book, readable, program_version, made_at, owner)
        write_summary(book, readable, made_by=made_by, made_at=made_at, footer=footer)
        taken = [SUMMARY, CHECKING, *KNOWN_TABLES]
        for charge in readable:
            title = moisture_sheet_name(charge.assessment.charge.charge, taken)
            taken.append(title)
            write_moisture(book, charge, title, footer)
            tick(_weights_of(charge))
        write_checking(book, readable, footer)
        for rows in tables:
            write_table(book, rows, footer, tick)
        tick(0)
        save_book(book, beside)
    progress(1.0)


def _weights_of(charge: ReadableCharge) -> int:
    return sum(len(board.points) for board in charge.assessment.boards)


def _describe(
    book: Any, readable: Sequence[ReadableCharge], program_version: str, made_at: Moment, owner: str | None
) -> None:
    """The document's own properties."""
    from openpyxl.packaging.custom import IntProperty, StringProperty  # noqa: PLC0415 - as above

    charges = ", ".join(charge.assessment.charge.charge for charge in readable)
    properties = book.properties
    properties.creator = properties.lastModifiedBy = f"kilnlog {program_version}"
    properties.title = f"Drying record: {charges}"[:255]
    properties.subject = f"For {owner}" if owner else "Whole record"
    properties.modified = properties.created = made_at.utc.astimezone(UTC).replace(tzinfo=None, microsecond=0)
    properties.description = f"Written by kilnlog {program_version}, {made_at.iso()}"
    for name, value in (("kilnlog version", program_version), ("kilnlog exported at", made_at.iso())):
        book.custom_doc_props.append(StringProperty(name=name, value=value))
    book.custom_doc_props.append(IntProperty(name="kilnlog form of tables", value=FORM))

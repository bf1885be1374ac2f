"""The customer workbook: the quality record for spreadsheet people, with live formulas and a chart.

For each lot a summary, a sheet for each series of readings, the drying curve and the tally. Every sheet is
made from what the lot's owner may read and nothing else, whichever lots are asked for. The bytes are the same
for the same contents and options.
"""

from __future__ import annotations

import io
from collections.abc import Sequence
from datetime import UTC, datetime
from pathlib import Path
from typing import Any
from zipfile import ZIP_DEFLATED, ZipFile, ZipInfo

from kilnlog.exchange.book_file import new_book, save_book
from kilnlog.exchange.papers.contents import Contents, LotPart
from kilnlog.exchange.papers.customer_workbook_curve import has_curve, write_curve
from kilnlog.exchange.papers.customer_workbook_page import Printing, new_sheet, printable
from kilnlog.exchange.papers.customer_workbook_readings import write_series
from kilnlog.exchange.papers.customer_workbook_summary import (
    HEADING_ROW,
    WIDTHS,
    Checked,
    on_sheet,
    write_summary,
)
from kilnlog.exchange.papers.customer_workbook_tally import write_tally
from kilnlog.exchange.papers.final_words import series_by_weight
from kilnlog.exchange.papers.for_owner import for_lot, for_owner
from kilnlog.exchange.papers.options import PaperOptions
from kilnlog.exchange.papers.seal_words import QUALITY_RECORD, made_at, seal_in_brief, title_of
from kilnlog.exchange.papers.words import moment_of
from kilnlog.exchange.scratch_folder import scratch_folder
from kilnlog.exchange.sheet_names import sheet_name

_FIRST_OF_ZIP = (1980, 1, 1, 0, 0, 0)  # the earliest time an archive can tell
_LONGEST_PROPERTY = 255


def customer_workbook(
    contents: Contents,
    path: Path,
    options: PaperOptions,
    *,
    owner: str | None = None,
    lot: str | None = None,
) -> None:
    """Write the workbook of one lot, of one owner's lots, or of all lots.

    Args:
        contents: Of the charge.
        path: Where to; an older file of that name is written over.
        options: Size of the sheets, order of dates, seal.
        owner: Whose lots; None: everybody's, for the mill.
        lot: The label of one lot; None: all of them.

    Raises:
        UnknownOwner: No lot of the charge is the owner's.
        TextTooLong: A text is longer than a cell can hold.
        OSError: What the system refuses.
    """
    seen = contents if owner is None else for_owner(contents, owner)
    of_lots = [for_lot(seen, part["lot"]) for part in seen["lots"] if lot in (None, part["lot"])]
    with scratch_folder() as scratch, new_book(scratch) as book:
        taken: list[str] = []
        for own in of_lots:
            _write_lot(book, own, options, taken, is_only=len(of_lots) == 1)
        at = made_at(seen, options)
        _describe(book, seen, [own["lots"][0] for own in of_lots], at)
        written = scratch / "book.xlsx"
        save_book(book, written)
        path.write_bytes(_same_bytes(written.read_bytes(), book.properties, _instant(at)))


def _write_lot(
    book: Any, contents: Contents, options: PaperOptions, taken: list[str], *, is_only: bool
) -> None:
    lot = contents["lots"][0]
    subject = _subject(contents, lot)
    printing = Printing(options.size, printable(subject), printable(seal_in_brief(contents, options)))

    def named(what: str) -> str:
        taken.append(sheet_name("", what, taken) if is_only else sheet_name(f"{what} ", lot["lot"], taken))
        return taken[-1]

    summary = new_sheet(book, named("Summary"), WIDTHS, printing, heading_row=HEADING_ROW, is_upright=True)
    read = series_by_weight(lot)
    series = [
        write_series(
            book,
            named("Readings" if len(read) == 1 else f"Readings {one['kind']}"),
            subject,
            one,
            lot["limits"],
            printing,
        )
        for one in read
    ]
    if has_curve(contents["boards"]):
        write_curve(book, named("Drying curve"), subject, contents, lot, printing)
    others = []
    if lot["tally"] is not None and lot["tally"]["lines"]:
        tally = write_tally(book, named("Tally"), subject, lot["tally"], printing)
        others.append(on_sheet(tally.title, tally.greatest))
    write_summary(summary, subject, contents, lot, options, Checked(series, others))


def _subject(contents: Contents, lot: LotPart) -> str:
    whose = f", for {lot['owner']}" if lot["owner"] else ""
    return f"Charge {contents['charge']['charge']}, lot {lot['lot']}{whose}"


def _describe(book: Any, contents: Contents, lots: Sequence[LotPart], at: str | None) -> None:
    """The document's own properties."""
    labels = ", ".join(lot["lot"] for lot in lots)
    titles = {title_of(contents, lot) for lot in lots}
    title = titles.pop() if len(titles) == 1 else QUALITY_RECORD
    title = f"{title}, charge {contents['charge']['charge']}, lot {labels}"
    properties = book.properties
    properties.creator = properties.lastModifiedBy = printable(contents["mill"].get("name", ""))
    properties.title = printable(title)[:_LONGEST_PROPERTY]
    properties.subject = "Measurements of dried lumber"
    properties.created = _instant(at)


def _instant(at: str | None) -> datetime:
    moment = datetime(*_FIRST_OF_ZIP, tzinfo=UTC) if at is None else moment_of(at)
    return moment.astimezone(UTC).replace(tzinfo=None, microsecond=0)


def _same_bytes(book: bytes, properties: Any, at: datetime) -> bytes:
    """The workbook with this moment wherever the library put the machine's."""
    from openpyxl.xml.constants import ARC_CORE  # noqa: PLC0415 - slow to load, wanted by this verb alone
    from openpyxl.xml.functions import tostring  # noqa: PLC0415 - as above

    properties.modified = at  # the library overwrites it whenever it saves
    copy = io.BytesIO()
    with ZipFile(io.BytesIO(book)) as made, ZipFile(copy, "w", ZIP_DEFLATED) as kept:
        for name in made.namelist():
            part = tostring(properties.to_tree()) if name == ARC_CORE else made.read(name)
            kept.writestr(ZipInfo(name, _FIRST_OF_ZIP), part, ZIP_DEFLATED)
    return copy.getvalue()

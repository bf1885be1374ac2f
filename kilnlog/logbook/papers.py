"""Papers written as files: from the seal where there is one, else from the charge as it stands, so marked."""

from __future__ import annotations

import locale
import re
from dataclasses import dataclass, replace
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING

from kilnlog.exchange.finished_file import finished_file
from kilnlog.exchange.papers.contents import Contents, EventPart
from kilnlog.exchange.papers.options import PaperOptions
from kilnlog.logbook.errors import NoSuchLot, NoSuchSeal, SealNotVerified
from kilnlog.logbook.sealing import sealed_contents
from kilnlog.logbook.seals import Seal, checked_contents, find_seal, not_verified, seals_of
from kilnlog.logbook.session import Logbook
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.owner_name import owner_key
from kilnlog.records.version import current_entries
from kilnlog.reference.tables import load

if TYPE_CHECKING:
    from kilnlog.exchange.papers.options import Printed


class Paper(StrEnum):
    """What can be written, by the word its file's name ends with."""

    QUALITY_RECORD = "quality record"
    CHARGE_REPORT = "charge report"
    WEIGH_SHEET = "weigh sheet"
    BOARD_LABELS = "board labels"
    CUSTOMER_WORKBOOK = "customer workbook"


#: What leaves the mill: never drawn from a seal that does not fit.
_FOR_OWNERS = (Paper.QUALITY_RECORD, Paper.CUSTOMER_WORKBOOK)


@dataclass(frozen=True, slots=True)
class Written:
    """A paper as it was written."""

    path: Path
    pages: int | None  # None: a workbook
    short_form: str | None  # None: not sealed, or not verified
    replaced: tuple[str, ...] = ()  # letters that no face has
    not_verified: bool = False  # the mill's own paper of what is not as it was sealed, and says so


def file_name(paper: Paper, number: str, lot: str | None = None, owner: str | None = None) -> str:
    """A name by which the papers of a charge lie together in a folder: ``2026-12 A quality record.pdf``."""
    parts = [number, *(part for part in (lot, owner) if part), paper.value]
    name = re.sub(r'[<>:"/\\|?*\x00-\x1f]+', " ", " ".join(parts)).strip(" .")
    return f"{re.sub(r' +', ' ', name)}{'.xlsx' if paper is Paper.CUSTOMER_WORKBOOK else '.pdf'}"


def write_paper(
    book: Logbook,
    paper: Paper,
    charge: str,
    to: Path,
    *,
    lot: str | None = None,
    owner: str | None = None,
    short_form: str | None = None,
    options: PaperOptions | None = None,
) -> Written:
    """Write a paper of a charge to ``to``, replacing an older one once the new one is whole.

    Args:
        book: The logbook in hand.
        paper: What to write.
        charge: The charge's entity.
        to: The file.
        lot: The label of one lot; a lot that was closed by itself is drawn from its own seal.
        owner: Only this owner's lots.
        short_form: Of the seal to draw it from, as it was issued, whatever was sealed since.
        options: Size, dates; by default as usual where the machine stands.

    Raises:
        NoSuchLot, UnknownOwner, UnreadableShortForm, NoSuchSeal, SealNotVerified, SealOfEarlierForm,
        WriteFailed.
    """
    record = book.file.charge_record(charge)
    options = options or PaperOptions.of_locale(locale.getlocale()[0] or "C")
    if paper is Paper.WEIGH_SHEET:
        return _to_file(to, _weigh_sheet(book, record, options), None)
    seal = _seal_asked(book, record, short_form) if short_form else _seal_in_force(book, record, lot, owner)
    if paper is Paper.BOARD_LABELS:
        seal = None  # labels are for boards that still dry
    contents, options = _contents(book, record, seal, paper, options)
    try:
        return _drawn(record, seal, paper, contents, to, options, lot=lot, owner=owner)
    except (LookupError, TypeError, ValueError, AttributeError) as error:
        if seal is None or not (options.not_verified or seal.brought_in):
            raise
        # Altered, here or on its way from another logbook, so far that it can no longer be drawn.
        raise not_verified(seal) from error


def _drawn(
    record: ChargeRecord,
    seal: Seal | None,
    paper: Paper,
    contents: Contents,
    to: Path,
    options: PaperOptions,
    *,
    lot: str | None,
    owner: str | None,
) -> Written:
    if lot is not None and all(part["lot"] != lot for part in contents["lots"]):
        known = tuple(part["lot"] for part in contents["lots"])
        raise NoSuchLot(charge=record.particulars.charge, lot=lot, known=known)
    short = seal.short_form if seal is not None and not options.not_verified else None
    if paper is Paper.CUSTOMER_WORKBOOK:
        from kilnlog.exchange.papers.customer_workbook import customer_workbook  # noqa: PLC0415  # slow to load

        with finished_file(to) as beside:
            customer_workbook(contents, beside, options, owner=owner, lot=lot)
        return Written(to, None, short)
    written = _to_file(to, _printed(paper, contents, options, record, lot=lot, owner=owner), short)
    return replace(written, not_verified=options.not_verified)


def _seal_asked(book: Logbook, record: ChargeRecord, typed: str) -> Seal:
    """The seal of the charge that has this short form."""
    seal = find_seal(book, typed)
    if seal.entry.fact.charge != record.entity:
        raise NoSuchSeal(short_form=seal.short_form)
    return seal


def _seal_in_force(book: Logbook, record: ChargeRecord, lot: str | None, owner: str | None) -> Seal | None:
    """The seal a paper is drawn from: that of the lot asked for or of the owner's one, else the charge's.

    So the paper of a lot that left early stays as it was issued, whatever the charge's seal tells later.
    """
    if lot is None and owner is not None:
        theirs = [e.fact for e in current_entries(record.lot) if owner_key(e.fact.owner) == owner_key(owner)]
        lot = theirs[0].lot if len(theirs) == 1 else None
    seals = [seal for seal in seals_of(book, record) if seal.in_force]
    own = next((seal for seal in seals if lot is not None and seal.lot == lot), None)
    return own or next((seal for seal in seals if seal.lot is None), None)


def _contents(
    book: Logbook, record: ChargeRecord, seal: Seal | None, paper: Paper, options: PaperOptions
) -> tuple[Contents, PaperOptions]:
    """What the paper is drawn from, and what it says of its seal."""
    if seal is None:
        from kilnlog.logbook.paper_contents import contents_of  # noqa: PLC0415  # slow to load
        from kilnlog.logbook.paper_told import told_at  # noqa: PLC0415  # as above

        at = book.now(record.particulars.zone)
        return contents_of(told_at(book, record, load(), at)), replace(options, made_at=at.iso())
    options = replace(options, short_form=seal.short_form)
    try:
        return checked_contents(seal), options
    except SealNotVerified:
        contents = sealed_contents(seal.entry.fact)
        if paper in _FOR_OWNERS or contents is None:
            raise
        return contents, replace(options, short_form=None, not_verified=True)


def _printed(
    paper: Paper,
    contents: Contents,
    options: PaperOptions,
    record: ChargeRecord,
    *,
    lot: str | None,
    owner: str | None,
) -> Printed:
    """The PDF. reportlab is slow to load, so it comes with the verb."""
    if paper is Paper.QUALITY_RECORD:
        from kilnlog.exchange.papers.quality_record import quality_record  # noqa: PLC0415  # as above

        return quality_record(contents, options, owner=owner, lot=lot)
    if paper is Paper.BOARD_LABELS:
        from kilnlog.exchange.papers.board_labels import board_labels  # noqa: PLC0415  # as above

        return board_labels(contents, options)
    from kilnlog.exchange.papers.charge_report import charge_report  # noqa: PLC0415  # as above

    return charge_report(contents, options, later_notes=_later_notes(record))


def _weigh_sheet(book: Logbook, record: ChargeRecord, options: PaperOptions) -> Printed:
    from kilnlog.exchange.papers.weigh_sheet import weigh_sheet  # noqa: PLC0415  # as in ``_printed``
    from kilnlog.logbook.weigh_sheet import weigh_sheet_of  # noqa: PLC0415  # as in ``_printed``

    return weigh_sheet(weigh_sheet_of(book, record), options)


def _later_notes(record: ChargeRecord) -> list[EventPart]:
    lots = {line.entity: line.newest.fact.lot for line in record.lot}
    return [
        {
            "at": entry.at.iso(),
            "what": "the charge" if entry.fact.lot is None else f"lot {lots.get(entry.fact.lot)}",
            "note": entry.fact.text,
        }
        for entry in current_entries(record.later_note)
    ]


def _to_file(to: Path, printed: Printed, short: str | None) -> Written:
    with finished_file(to) as beside:
        beside.write_bytes(printed.pdf)
    return Written(to, printed.pages, short, printed.replaced)

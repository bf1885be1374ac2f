"""The seals of a logbook: listed, found by their short form, checked before anything is shown from one."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from kilnlog.exchange.papers.contents import Contents
from kilnlog.logbook.errors import NoSuchSeal, SealNotVerified, SealOfEarlierForm, UnreadableShortForm
from kilnlog.logbook.sealing import canonical, sealed_contents, sealed_object
from kilnlog.logbook.session import Logbook
from kilnlog.logbook.short_form import short_form, typed_short_form
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.closing import Closing
from kilnlog.records.version import Entry


@dataclass(frozen=True, slots=True)
class Seal:
    """One seal as it was issued."""

    charge: str  # its number
    lot: str | None  # the label of a lot that was closed by itself
    version: int  # 1; one more after each reopening
    in_force: bool
    short_form: str
    fits: bool  # its row, its line in the ledger and its text stand as they were written
    entry: Entry[Closing]
    brought_in: bool = False  # with its charge, from another logbook's export
    replaced_by: str | None = None  # the short form of the newest seal of the same, where that is another


def seals_of(book: Logbook, record: ChargeRecord) -> tuple[Seal, ...]:
    """Every seal of a charge and its lots that holds figures, in the order written."""
    unfit = book.file.unfit_closings()
    lots = {line.entity: line.newest.fact.lot for line in record.lot}
    number = record.particulars.charge
    found: list[Seal] = []
    for line in record.closing:
        sealed = [entry for entry in line.entries if entry.fact.sealed_text is not None]
        newest = short_form(sealed[-1].fact.sealed_text or "") if sealed else None
        for version, entry in enumerate(sealed, start=1):
            lot = entry.fact.lot
            found.append(
                Seal(
                    charge=number,
                    lot=None if lot is None else lots.get(lot),
                    version=version,
                    in_force=entry is line.newest,
                    short_form=short_form(entry.fact.sealed_text or ""),
                    fits=entry.version.uid not in unfit and _text_fits(book, entry.fact),
                    entry=entry,
                    brought_in=_sealed_in(entry.fact) not in (None, book.file.uid),
                    replaced_by=None if entry is sealed[-1] else newest,
                )
            )
    return tuple(found)


def all_seals(book: Logbook) -> Iterator[Seal]:
    """Every seal of the logbook, charge by charge."""
    for line in book.file.charges():
        yield from seals_of(book, book.file.charge_record(line.entity))


def find_seal(book: Logbook, typed: str) -> Seal:
    """The seal of a short form as somebody read it off a page.

    Raises:
        UnreadableShortForm: It is none.
        NoSuchSeal: No seal of this logbook has it: the file is older than the page, or was altered.
    """
    wanted = typed_short_form(typed)
    if wanted is None:
        raise UnreadableShortForm(typed=typed)
    for seal in all_seals(book):
        if seal.short_form == wanted:
            return seal
    raise NoSuchSeal(short_form=wanted)


def checked_contents(seal: Seal) -> Contents:
    """What the papers of a seal are drawn from.

    Raises:
        SealNotVerified: It does not stand as it was written; nothing is worked out anew in its place.
        SealOfEarlierForm: It was made before papers were drawn from seals.
    """
    if not seal.fits:
        raise not_verified(seal)
    contents = sealed_contents(seal.entry.fact)
    if contents is None:
        raise SealOfEarlierForm(charge=seal.charge, lot=seal.lot)
    return contents


def not_verified(seal: Seal) -> SealNotVerified:
    """The refusal to show what a seal does not vouch for."""
    return SealNotVerified(charge=seal.charge, lot=seal.lot, short_form=seal.short_form)


def _text_fits(book: Logbook, closing: Closing) -> bool:
    """The text is in its one form, and names the ledger's head it was written on.

    One brought in names its own logbook's head, which is not here to be looked at.
    """
    text = sealed_object(closing)
    if canonical(text) != closing.sealed_text:
        return False
    sealed_in = _sealed_in(closing)
    if sealed_in != book.file.uid:
        return sealed_in is not None or sealed_contents(closing) is None  # earlier forms name no ledger
    ledger = text["ledger"]
    return (ledger.get("number"), ledger.get("head")) == (closing.ledger_number, closing.ledger_head)


def _sealed_in(closing: Closing) -> str | None:
    """The uid of the logbook in which it was sealed; None where the text names none."""
    ledger = sealed_object(closing).get("ledger")
    return ledger.get("logbook") if isinstance(ledger, dict) else None

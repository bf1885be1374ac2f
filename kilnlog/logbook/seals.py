"""The seals of a logbook: listed, found by their short form, checked before anything is shown from one."""

from __future__ import annotations

from dataclasses import dataclass

from kilnlog.exchange.papers.contents import Contents
from kilnlog.logbook.errors import NoSuchSeal, SealNotVerified, SealOfEarlierForm, UnreadableShortForm
from kilnlog.logbook.sealing import sealed_contents
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
    entry: Entry[Closing]


def seals_of(record: ChargeRecord) -> tuple[Seal, ...]:
    """Every seal of a charge and its lots that holds figures, in the order written."""
    lots = {line.entity: line.newest.fact.lot for line in record.lot}
    number = record.particulars.charge
    found: list[Seal] = []
    for line in record.closing:
        sealed = [entry for entry in line.entries if entry.fact.sealed_text is not None]
        for version, entry in enumerate(sealed, start=1):
            lot = entry.fact.lot
            found.append(
                Seal(
                    number,
                    None if lot is None else lots.get(lot),
                    version,
                    entry is line.newest,
                    short_form(entry.fact.sealed_text or ""),
                    entry,
                )
            )
    return tuple(found)


def find_seal(book: Logbook, typed: str) -> Seal:
    """The seal of a short form as somebody read it off a page.

    Raises:
        UnreadableShortForm: It is none.
        NoSuchSeal: No seal of this logbook has it: the file is older than the page, or was altered.
    """
    wanted = typed_short_form(typed)
    if wanted is None:
        raise UnreadableShortForm(typed=typed)
    for line in book.file.charges():
        for seal in seals_of(book.file.charge_record(line.entity)):
            if seal.short_form == wanted:
                return seal
    raise NoSuchSeal(short_form=wanted)


def unfit_seals(book: Logbook, record: ChargeRecord) -> tuple[Seal, ...]:
    """The seals of a charge that do not stand as they were written."""
    unfit = book.file.unfit_closings()
    return tuple(seal for seal in seals_of(record) if not _fits(book, seal, unfit))


def checked_contents(book: Logbook, seal: Seal) -> Contents:
    """What the papers of a seal are drawn from, once its row and its text were found as written.

    Raises:
        SealNotVerified: They were not; nothing is worked out anew in its place.
        SealOfEarlierForm: It was made before papers were drawn from seals.
    """
    if not _fits(book, seal, book.file.unfit_closings()):
        raise SealNotVerified(charge=seal.charge, lot=seal.lot, short_form=seal.short_form)
    contents = sealed_contents(seal.entry.fact)
    if contents is None:
        raise SealOfEarlierForm(charge=seal.charge, lot=seal.lot)
    return contents


def _fits(book: Logbook, seal: Seal, unfit: frozenset[str]) -> bool:
    """The text names the ledger's head it was written on; one brought in names its own logbook's."""
    if seal.entry.version.uid in unfit:
        return False
    closing, contents = seal.entry.fact, sealed_contents(seal.entry.fact)
    ledger = contents["ledger"] if contents is not None else None
    if ledger is None or ledger["logbook"] != book.file.uid:
        return True
    return (ledger["number"], ledger["head"]) == (closing.ledger_number, closing.ledger_head)

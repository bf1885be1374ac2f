"""The lots of a charge by their labels: in order, and the next free one."""

from __future__ import annotations

from itertools import count
from string import ascii_uppercase

from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.lot import Lot
from kilnlog.records.version import Entry, current_entries


def lots_by_label(record: ChargeRecord) -> tuple[Entry[Lot], ...]:
    """The lots that stand: ``A``, ``B``, …, ``AA``; ``9`` before ``10``."""

    def place(entry: Entry[Lot]) -> tuple[int, str]:
        return len(entry.fact.lot), entry.fact.lot.casefold()

    return tuple(sorted(current_entries(record.lot), key=place))


def next_lot_label(record: ChargeRecord) -> str:
    """The first letter no lot of the charge carries; ``A2`` and on where all of them are taken."""
    taken = {entry.fact.lot.casefold() for entry in current_entries(record.lot)}
    return next(
        label
        for number in count(1)
        for letter in ascii_uppercase
        if (label := letter if number == 1 else f"{letter}{number}").casefold() not in taken
    )

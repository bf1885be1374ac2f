"""A part of the record to hand out: one charge, or what one owner may see."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from kilnlog.exchange.columns import Column, Holds
from kilnlog.exchange.errors import UnknownOwner
from kilnlog.exchange.readable import ReadableCharge, ReadableFinding
from kilnlog.exchange.tables import FILE_TABLE_OF
from kilnlog.exchange.to_tables import Entries
from kilnlog.records.version import Entry, VersionKind, current_entries, histories

#: Text that says what lumber is; an owner called Oak does not make red oak a secret.
_SAYS_WHAT_IT_IS = {"species", "unit", "owner"}


def of_charge(entries: Entries, charge: str) -> dict[str, list[Entry[Any]]]:
    """All of one charge (its entity), every version, with the kilns and schedules it ever used."""
    own = {
        table: [entry for entry in rows if _charge_of(table, entry) in (charge, None)]
        for table, rows in entries.items()
    }
    return _with_what_is_used(own)


@dataclass(frozen=True)
class Excerpt:
    """What one owner may see."""

    entries: dict[str, list[Entry[Any]]]
    lots: Mapping[str, frozenset[str]]  # by charge: the entities of the owner's lots
    others: re.Pattern[str] | None  # finds the name of another owner in a text

    def readable(self, charges: Iterable[ReadableCharge]) -> list[ReadableCharge]:
        """The charges that hold lumber of the owner, showing no more than that."""
        shown = []
        for charge in charges:
            if (lots := self.lots.get(charge.assessment.entity)) is not None:
                findings = tuple(finding for finding in charge.findings if not self._gives_away(finding))
                shown.append(replace(charge, lots=lots, findings=findings))
        return shown

    def _gives_away(self, finding: ReadableFinding) -> bool:
        told = " ".join((finding.subject, finding.what, finding.why, finding.do))
        return self.others is not None and self.others.search(told) is not None


def of_owner(entries: Entries, owner: str) -> Excerpt:
    """What counts now of one owner's lots and of the charges they lay in; no earlier versions, no seals.

    Text that names another owner is left out. Names the mill gave (of charges, kilns, instruments) stand as
    they are. Raises ``UnknownOwner``.
    """
    current = {table: list(current_entries(histories(rows))) for table, rows in entries.items()}
    own_lots = [entry for entry in current.get("lot", ()) if entry.fact.owner == owner]
    known = {entry.fact.owner for entry in entries.get("lot", ()) if entry.fact.owner}
    if not own_lots:
        raise UnknownOwner(owner=owner, known=tuple(sorted(known)))
    lots = {entry.entity for entry in own_lots}
    charges = {entry.fact.charge for entry in own_lots}
    boards = {entry.entity for entry in current.get("board", ()) if entry.fact.lot in lots}
    labels = {f"lot {entry.fact.lot}" for entry in own_lots}
    labels |= {f"board {entry.fact.board}" for entry in current.get("board", ()) if entry.entity in boards}

    def is_own(table: str, entry: Entry[Any]) -> bool:
        if _charge_of(table, entry) not in (*charges, None):
            return False
        match table:
            case "lot":
                return entry.entity in lots
            case "board":
                return entry.entity in boards
            case "closing":
                return True
            case "decision":
                return entry.fact.subject in labels
            case _:
                return getattr(entry.fact, "board", None) in (*boards, None)

    others = _finder(known - {owner})
    own = {
        table: [_plain(table, entry, others) for entry in rows if is_own(table, entry)]
        for table, rows in current.items()
    }
    by_charge = {
        charge: frozenset(entry.entity for entry in own_lots if entry.fact.charge == charge)
        for charge in charges
    }
    return Excerpt(_with_what_is_used(own), by_charge, others)


def _charge_of(table: str, entry: Entry[Any]) -> str | None:
    if table == "charge":
        return entry.entity
    charge: str | None = getattr(entry.fact, "charge", None)
    return charge


def _with_what_is_used(entries: dict[str, list[Entry[Any]]]) -> dict[str, list[Entry[Any]]]:
    """Leave out kilns and schedules that nothing selected refers to."""
    users: Sequence[Entry[Any]] = [*entries.get("charge", ()), *entries.get("stay", ())]
    kilns = {entry.fact.kiln for entry in users}
    schedules = {entry.fact.schedule for entry in entries.get("charge", ())}
    return {
        **entries,
        "kiln": [entry for entry in entries.get("kiln", ()) if entry.entity in kilns],
        "schedule_step": [
            entry for entry in entries.get("schedule_step", ()) if entry.fact.schedule in schedules
        ],
    }


def _finder(names: Iterable[str]) -> re.Pattern[str] | None:
    words = [re.escape(name.strip()) for name in sorted(names) if name.strip()]
    return re.compile(rf"(?<!\w)(?:{'|'.join(words)})(?!\w)", re.IGNORECASE) if words else None


def _plain(table: str, entry: Entry[Any], others: re.Pattern[str] | None) -> Entry[Any]:
    """The entry as a first version, without what is not for this owner."""
    version = replace(
        entry.version,
        uid=entry.entity,
        supersedes=None,
        kind=VersionKind.FIRST,
        reason=None,
        entered_by="" if others and others.search(entry.version.entered_by) else entry.version.entered_by,
    )
    if table == "closing":
        fact = replace(
            entry.fact, sealed_text=None, ledger_number=None, ledger_head=None, program_version=None
        )
        return Entry(version, _without_others(fact, ("closing_reason",), others))
    told = tuple(column.name for column in FILE_TABLE_OF[table].columns if _may_tell(column, entry.fact))
    return Entry(version, _without_others(entry.fact, told, others))


def _may_tell(column: Column, fact: Any) -> bool:
    return column.holds is Holds.TEXT and column.name not in _SAYS_WHAT_IT_IS and hasattr(fact, column.name)


def _without_others(fact: Any, columns: Iterable[str], others: re.Pattern[str] | None) -> Any:
    told = {name: getattr(fact, name) for name in columns}
    named = {name: None for name, text in told.items() if text and others and others.search(text)}
    return replace(fact, **named) if named else fact

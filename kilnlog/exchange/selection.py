"""A part of the record to hand out: one charge, or what one owner may see."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from kilnlog.exchange.errors import UnknownOwner
from kilnlog.exchange.other_names import OtherNames
from kilnlog.exchange.owner_texts import OwnerTexts
from kilnlog.exchange.readable import ReadableCharge, ReadableFinding
from kilnlog.exchange.to_tables import Entries
from kilnlog.records.owner_name import distinct_owners, owner_key
from kilnlog.records.setting import TERMS_OF_LOT
from kilnlog.records.version import Entry, current_entries, histories


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
    others: OtherNames

    def readable(self, charges: Iterable[ReadableCharge]) -> list[ReadableCharge]:
        """The charges that hold lumber of the owner, showing no more than that."""
        shown = []
        for charge in charges:
            if (lots := self.lots.get(charge.assessment.entity)) is not None:
                findings = tuple(finding for finding in charge.findings if not self._gives_away(finding))
                kiln = charge.assessment.kiln
                kiln = None if self.others.are_told_in(kiln) else kiln
                assessment = replace(charge.assessment, kiln=kiln)
                shown.append(replace(charge, assessment=assessment, lots=lots, findings=findings))
        return shown

    def _gives_away(self, finding: ReadableFinding) -> bool:
        told = (finding.subject, finding.what, finding.why, finding.do)
        return any(self.others.are_told_in(text) for text in told)


def of_owner(entries: Entries, owner: str, everybody: Iterable[str | None] = ()) -> Excerpt:
    """What counts now of one owner's lots and of the charges they lay in; no earlier versions, no seals.

    Text that names another owner is left out, and so is, where a charge holds lumber of others as well, all
    text that is about none of the owner's own lots and boards, later notes among it. Of the names the mill
    gave, kilns, schedules, instruments, sensors and probes that tell of another owner are left out; a
    charge's number, and the labels of own lots, boards and sections, stand as they are. What was reopened
    counts as open.

    Args:
        entries: What the tables hold, every version.
        owner: Whose; capitals and blanks do not count.
        everybody: Owners named elsewhere in the logbook, where ``entries`` is a part of it.

    Raises:
        UnknownOwner: No lot belongs to the owner now.
    """
    whose = owner_key(owner)
    current = {table: list(current_entries(histories(rows))) for table, rows in entries.items()}
    own_lots = [entry for entry in current.get("lot", ()) if owner_key(entry.fact.owner) == whose]
    known = distinct_owners(entry.fact.owner for entry in entries.get("lot", ()))
    if not own_lots:
        raise UnknownOwner(owner=owner, known_owners=tuple(sorted(known)))
    lots = {entry.entity for entry in own_lots}
    charges = {entry.fact.charge for entry in own_lots}
    boards = {entry.entity for entry in current.get("board", ()) if entry.fact.lot in lots}
    subjects = _labels(entries, own=lots | boards)
    others = OtherNames((name for name in (*known, *everybody) if name), owner)
    shared = _shared(entries, lots, boards)
    texts = OwnerTexts(others, shared)

    def is_own(table: str, entry: Entry[Any]) -> bool:
        if _charge_of(table, entry) not in (*charges, None):
            return False
        board, lot = (getattr(entry.fact, name, None) for name in ("board", "lot"))
        match table:
            case "lot":
                kept = entry.entity in lots
            case "board":
                kept = entry.entity in boards
            case "decision":
                kept = (entry.fact.charge, entry.fact.subject) in subjects
            case "setting":
                name = entry.fact.setting
                kept = not name.startswith(TERMS_OF_LOT) or name.removeprefix(TERMS_OF_LOT) in lots
            case "later_note":
                kept = lot in lots or (lot is None and entry.fact.charge not in shared)
            case _:
                kept = board in (*boards, None) and lot in (*lots, None)
        return kept and not getattr(entry.fact, "reopened", False)

    own = {
        table: [
            texts.plain(table, entry)
            for entry in rows
            if is_own(table, entry) and not texts.is_named_after_others(table, entry)
        ]
        for table, rows in current.items()
    }
    kilns = {entry.entity for entry in own.get("kiln", ())}
    own["stay"] = [entry for entry in own.get("stay", ()) if entry.fact.kiln in kilns]
    by_charge = {
        charge: frozenset(entry.entity for entry in own_lots if entry.fact.charge == charge)
        for charge in charges
    }
    return Excerpt(_with_what_is_used(own), by_charge, others)


def _labels(entries: Entries, own: set[str]) -> set[tuple[str, str]]:
    """What findings and decisions call the own lots and boards, by charge.

    A label that somebody else's lot or board of the charge bore at any time is none: the decision may have
    been about that one.
    """
    borne: dict[bool, set[tuple[str, str]]] = {True: set(), False: set()}
    for table in ("lot", "board"):
        for entry in entries.get(table, ()):
            label = f"{table} {getattr(entry.fact, table)}"
            borne[entry.entity in own].add((entry.fact.charge, label))
    return borne[True] - borne[False]


def _shared(entries: Entries, lots: set[str], boards: set[str]) -> frozenset[str]:
    """The charges that hold, or ever held, a lot or a board that is not the owner's."""
    rows = (*entries.get("lot", ()), *entries.get("board", ()))
    return frozenset(entry.fact.charge for entry in rows if entry.entity not in lots | boards)


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

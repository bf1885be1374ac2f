"""Rows that are not new: those the logbook holds, and those that stand there twice."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import fields
from typing import Any

from kilnlog.exchange.columns import FileTable
from kilnlog.exchange.draft import Draft
from kilnlog.exchange.errors import ChargeExists, ExistsDifferently, NameTwice, UidDiffers
from kilnlog.exchange.names import Names, key_of, newest_by_entity
from kilnlog.exchange.raw_tables import Problems
from kilnlog.records.version import Entry, VersionKind


def settle_particulars(draft: Draft, existing: Sequence[Entry[Any]]) -> None:
    """Take a kiln, instrument, schedule step or setting the logbook holds under that name for that one.

    Every season's folder may declare the same kilns again; whether it says the same is checked later.
    """
    if draft.table.references or draft.table.name == "charges":
        return
    key = key_of(draft.table, draft.values)
    for entry in newest_by_entity(existing).values():
        same_name = key == tuple(getattr(entry.fact, column) for column in draft.table.keys)
        if same_name and entry.version.kind is not VersionKind.VOID:
            draft.known, draft.entity = entry, entry.entity


def check_known(drafts: Sequence[Draft], problems: Problems) -> None:
    """Refuse rows that the logbook holds otherwise."""
    for draft in drafts:
        if draft.known is None or draft.fact is None:
            continue
        differs = _differing_columns(draft.table, draft.fact, draft.known.fact)
        if draft.uid == draft.known.version.uid:
            differs += _differing_envelope(draft, draft.known)
            if differs:
                problems.add(draft.file, draft.number, differs[0], UidDiffers(uid=draft.uid, differs=differs))
        elif differs:
            name = draft.name(draft.table.keys[-1])
            cause = ExistsDifferently(what=draft.table.what, name=name, differs=differs)
            problems.add(draft.file, draft.number, differs[0], cause)


def _differing_columns(table: FileTable, fact: Any, known: Any) -> tuple[str, ...]:
    """Of the columns a file has: a closing's place in the ledger is each logbook's own."""
    names = {column.field: column.name for column in table.columns}
    return tuple(
        names[each.name]
        for each in fields(fact)
        if each.name in names and _tidy(getattr(fact, each.name)) != _tidy(getattr(known, each.name))
    )


def _differing_envelope(draft: Draft, known: Entry[Any]) -> tuple[str, ...]:
    version = known.version
    pairs = {
        "supersedes": (draft.supersedes, version.supersedes),
        "version": (draft.kind, version.kind),
        draft.table.reason_column: (_tidy(draft.reason), _tidy(version.reason)),
        draft.table.observed.name: (draft.observed, version.observed_at),
        "entered_at": (draft.entered_utc or version.entered_utc, version.entered_utc),
        "entered_by": (_tidy(draft.entered_by) or _tidy(version.entered_by), _tidy(version.entered_by)),
    }
    return tuple(column for column, (here, there) in pairs.items() if here != there)


def _tidy(value: object) -> object:
    """A cell cannot tell blank text from none."""
    return None if isinstance(value, str) and not value.strip() else value


def check_repeats(
    table: FileTable,
    drafts: Sequence[Draft],
    existing: Sequence[Entry[Any]],
    names: Names,
    problems: Problems,
) -> None:
    """Refuse two things of one name, and one observation written down twice.

    Observations that carry their uids are told apart by those: the operator insisted on both.
    """
    if table.keys:
        _check_names(table, drafts, names, problems)
    if table.keys or table.may_repeat:
        return
    seen: dict[object, int | None] = {
        (entry.fact, entry.at): None
        for entry in newest_by_entity(existing).values()
        if entry.version.kind is not VersionKind.VOID
    }
    for draft in drafts:
        if draft.fact is None or draft.uid is None or draft.known is not None:
            continue
        seen_as = (draft.fact, draft.observed)
        if not draft.has_own_uid and seen_as in seen:
            first_row = seen[seen_as]
            why = "row-in-logbook" if first_row is None else "row"
            cause = NameTwice(what=table.name, name="", first_row=first_row, why=why)
            problems.add(draft.file, draft.number, None, cause)
        seen.setdefault(seen_as, draft.number)


def _check_names(table: FileTable, drafts: Sequence[Draft], names: Names, problems: Problems) -> None:
    rows = {draft.entity: draft.number for draft in reversed(drafts)}
    for draft in {draft.entity: draft for draft in drafts}.values():
        key = key_of(table, draft.given)
        if draft.kind is VersionKind.VOID or None in key:
            continue
        bearers = names.bearers(table.table, key)
        if bearers[:1] == [draft.entity] or draft.entity not in bearers:
            continue
        name, first_row = draft.name(table.keys[-1]), rows.get(bearers[0])
        if table.name == "charges" and first_row is None:
            problems.add(draft.file, draft.number, "charge", ChargeExists(charge=name))
        else:
            why = "in-logbook" if first_row is None else None
            cause = NameTwice(what=table.what, name=name, first_row=first_row, why=why)
            problems.add(draft.file, draft.number, table.keys[-1], cause)

"""The closings a charges file tells of: a charge's last row, kept apart in the record."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from kilnlog.exchange.draft import Draft
from kilnlog.exchange.errors import ClosedTwice, UidTwice
from kilnlog.exchange.names import newest_by_entity
from kilnlog.exchange.raw_tables import Problems
from kilnlog.records.closing import Closing
from kilnlog.records.moment import Moment
from kilnlog.records.version import Entry, VersionKind


def closing_drafts(
    charges: Sequence[Draft],
    existing: Sequence[Entry[Any]],
    used_uids: dict[str, Draft],
    new_uid: Callable[[], str],
    problems: Problems,
) -> list[Draft]:
    """One row per charge that was closed; those the logbook holds are marked as known."""
    closed = {
        entry.fact.charge: entry
        for entry in newest_by_entity(existing).values()
        if entry.version.kind is not VersionKind.VOID
    }
    drafts: dict[str, Draft] = {}
    for charge in charges:
        closed_at: Moment | None = charge.closing.get("closed_at")
        if closed_at is None:
            continue
        draft = _draft(charge, closed_at, new_uid)
        assert draft.uid is not None
        if charge.entity in drafts:
            problems.add(charge.file, charge.number, "closed_at", ClosedTwice(charge=charge.name("charge")))
        if (twin := used_uids.get(draft.uid)) is not None:
            cause = UidTwice(uid=draft.uid, first_row=twin.number)
            problems.add(charge.file, charge.number, "closing_uid", cause)
        used_uids[draft.uid] = drafts[charge.entity] = draft
        if (known := closed.get(charge.entity)) is not None:
            if known.at != closed_at:
                cause_twice = ClosedTwice(charge=charge.name("charge"))
                problems.add(charge.file, charge.number, "closed_at", cause_twice)
            draft.known = known
    return list(drafts.values())


def _draft(charge: Draft, closed_at: Moment, new_uid: Callable[[], str]) -> Draft:
    told = charge.closing
    uid = told.get("closing_uid") or new_uid()
    entered: Moment | None = told.get("closing_entered_at")
    return Draft(
        table=charge.table,
        file=charge.file,
        number=charge.number,
        zone=charge.zone,
        values={"charge": charge.values["charge"]},
        uid=uid,
        entity=uid,
        observed=closed_at,
        entered_utc=entered.utc if entered else None,
        entered_by=told.get("closing_entered_by"),
        references={"charge": charge.entity},
        fact=Closing(
            charge.entity,
            told.get("closing_reason"),
            sealed_text=told.get("sealed_text"),
            program_version=told.get("sealed_by"),
        ),
    )

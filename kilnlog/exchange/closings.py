"""The closings the files tell of: in a table of their own, or by the closed_at of a charge's row."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Any

from kilnlog.exchange.draft import Draft
from kilnlog.exchange.errors import ClosedTwice, ClosingOutOfTurn, UidTwice
from kilnlog.exchange.raw_tables import Problems
from kilnlog.records.charge_record import closings_in_force
from kilnlog.records.closing import Closing
from kilnlog.records.errors import KilnlogError, MissingValue
from kilnlog.records.moment import Moment
from kilnlog.records.version import Entry, VersionKind


def closing_drafts(
    charges: Sequence[Draft],
    told: Sequence[Draft],
    existing: Sequence[Entry[Any]],
    used_uids: dict[str, Draft],
    new_uid: Callable[[], str],
    problems: Problems,
) -> list[Draft]:
    """The closings by ``closed_at`` of charges' rows; those the logbook holds are marked as known.

    A charge that the table of closings tells of, ``told``, was closed as that says; ``closed_at`` repeats it.
    """
    by_uid = {entry.version.uid: entry for entry in existing}
    in_force = closings_in_force(existing)
    whole = {draft.references["charge"]: draft for draft in told if not draft.name("lot")}
    drafts: dict[str, Draft] = {}
    for charge in charges:
        closed_at: Moment | None = charge.closing.get("closed_at")
        if closed_at is None:
            continue
        twice = ClosedTwice(charge=charge.name("charge"))
        if (row := whole.get(charge.entity)) is not None:
            if row.values.get("reopened") or row.observed != closed_at:
                problems.add(charge.file, charge.number, "closed_at", twice)
            continue
        draft = _draft(charge, closed_at, new_uid)
        assert draft.uid is not None
        if charge.entity in drafts:
            problems.add(charge.file, charge.number, "closed_at", twice)
        if (twin := used_uids.get(draft.uid)) is not None:
            cause = UidTwice(uid=draft.uid, first_row=twin.number)
            problems.add(charge.file, charge.number, "closing_uid", cause)
        used_uids[draft.uid] = drafts[charge.entity] = draft
        draft.known = by_uid.get(draft.uid) or in_force.get(charge.entity)
        if draft.known is not None and draft.known.at != closed_at:
            problems.add(charge.file, charge.number, "closed_at", twice)
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


def check_closings(drafts: Sequence[Draft], existing: Sequence[Entry[Any]], problems: Problems) -> None:
    """Each charge and lot is closed, reopened and closed again in turn, in one chain of versions."""
    facts: dict[str | None, Any] = {entry.version.uid: entry.fact for entry in existing}
    facts |= {draft.uid: draft.fact for draft in drafts}
    chains = {(entry.fact.charge, entry.fact.lot): entry.entity for entry in existing}
    for draft in drafts:
        if draft.known is not None or not isinstance(draft.fact, Closing):
            continue
        for column, cause in _out_of_turn(draft, draft.fact, facts):
            problems.add(draft.file, draft.number, column, cause)
        if chains.setdefault((draft.fact.charge, draft.fact.lot), draft.entity) != draft.entity:
            cause = ClosedTwice(charge=draft.name("charge"))
            problems.add(draft.file, draft.number, "closed_at", cause)


def _out_of_turn(
    draft: Draft, fact: Closing, facts: Mapping[str | None, Any]
) -> Iterable[tuple[str, KilnlogError]]:
    def wrong(why: str) -> ClosingOutOfTurn:
        return ClosingOutOfTurn(charge=draft.name("charge"), why=why)

    if draft.kind in (VersionKind.CORRECTION, VersionKind.VOID):
        yield "version", wrong("stays")
        return
    if fact.reopened and not (draft.reason or "").strip():
        yield "reason", MissingValue(column="reason")
    if fact.reopened and fact.sealed_text is not None:
        yield "sealed_text", wrong("sealed")
    before = facts.get(draft.supersedes)
    if fact.reopened and (before is None or before.reopened):
        yield "reopened", wrong("not-closed")
    if not fact.reopened and before is not None and not before.reopened:
        yield "reopened", wrong("not-reopened")
    if before is not None and before.lot != fact.lot:
        yield "lot", wrong("other-lot")

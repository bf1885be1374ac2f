"""Which row of a file succeeds which, and which rows the logbook holds already."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from kilnlog.exchange.draft import Draft
from kilnlog.exchange.errors import NoOrder, SucceededTwice, UidTwice, UnknownUid
from kilnlog.exchange.raw_tables import Problems
from kilnlog.records.version import Entry, VersionKind


def settle_versions(
    drafts: Sequence[Draft],
    existing: Sequence[Entry[Any]],
    used_uids: dict[str, Draft],
    new_uid: Callable[[], str],
    problems: Problems,
) -> list[Draft]:
    """Give every row of one table its uid and entity; return them with each behind the row it succeeds.

    Args:
        drafts: The rows of one table.
        existing: What the logbook holds of it.
        used_uids: Every uid the files have used so far, over all tables; added to.
        new_uid: Makes one.
        problems: Collects what is wrong.
    """
    known = {entry.version.uid: entry for entry in existing}
    by_uid: dict[str, Draft] = {}
    for draft in drafts:
        if draft.uid is None:
            draft.uid = new_uid()
        if (twin := used_uids.get(draft.uid)) is not None:
            problems.add(draft.file, draft.number, "uid", UidTwice(uid=draft.uid, first_row=twin.number))
            continue
        used_uids[draft.uid] = by_uid[draft.uid] = draft
        draft.known = known.get(draft.uid)
    _check_successors(drafts, by_uid, known, problems)
    return _in_order(drafts, by_uid, known)


def _check_successors(
    drafts: Sequence[Draft],
    by_uid: Mapping[str, Draft],
    known: Mapping[str, Entry[Any]],
    problems: Problems,
) -> None:
    successors: dict[str | None, str] = {
        entry.version.supersedes: entry.version.uid for entry in known.values()
    }
    successors.pop(None, None)
    for draft in drafts:
        if (before := draft.supersedes) is None:
            continue
        if before not in by_uid and before not in known:
            problems.add(draft.file, draft.number, "supersedes", UnknownUid(uid=before))
            continue
        earlier = by_uid[before].kind if before in by_uid else known[before].version.kind
        why = "twice" if successors.get(before, draft.uid) != draft.uid else None
        why = "taken-back" if earlier is VersionKind.VOID else why
        if _runs_in_a_circle(draft, by_uid):
            problems.add(draft.file, draft.number, "supersedes", NoOrder())
        elif why:
            problems.add(draft.file, draft.number, "supersedes", SucceededTwice(uid=before, why=why))
        if draft.uid is not None:
            successors[before] = draft.uid


def _runs_in_a_circle(draft: Draft, by_uid: Mapping[str, Draft]) -> bool:
    """Whether following what each row succeeds leads back to this one."""
    seen = {draft}
    before = by_uid.get(draft.supersedes or "")
    while before is not None and before not in seen:
        seen.add(before)
        before = by_uid.get(before.supersedes or "")
    return before is draft


def _in_order(
    drafts: Sequence[Draft], by_uid: Mapping[str, Draft], known: Mapping[str, Entry[Any]]
) -> list[Draft]:
    """Each behind what it succeeds, otherwise as the file has them; sets ``entity`` on the way.

    Rows that succeed each other in a circle have no first one: they stay without an entity.
    """
    ordered: dict[Draft, None] = {}
    for draft in drafts:
        chain = [draft]
        while (before := by_uid.get(chain[-1].supersedes or "")) is not None and before not in ordered:
            if before in chain:
                break
            chain.append(before)
        for link in reversed(chain):
            ordered.setdefault(link)
            link.entity = link.entity or _entity(link, by_uid, known)
    return list(ordered)


def _entity(draft: Draft, by_uid: Mapping[str, Draft], known: Mapping[str, Entry[Any]]) -> str:
    if draft.supersedes is None:
        return draft.uid or ""
    if (before := by_uid.get(draft.supersedes)) is not None:
        return before.entity
    entry = known.get(draft.supersedes)
    return entry.entity if entry else ""

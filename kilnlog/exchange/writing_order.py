"""An order in which the rows can be written: nothing before what it leans on, nothing after its end."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from heapq import heappop, heappush
from itertools import pairwise

from kilnlog.exchange.draft import Draft
from kilnlog.exchange.lots_of_rows import LotsOfRows
from kilnlog.exchange.names import key_of
from kilnlog.records.closing import Closing
from kilnlog.records.later_note import LaterNote
from kilnlog.records.version import VersionKind


def writing_order(tables: Sequence[Sequence[Draft]], lots: LotsOfRows) -> list[Draft]:
    """The rows to write, in an order the logbook accepts.

    What a row refers to comes before it, in its own table too, whatever the order there; where that is taken
    back, every row that refers to it comes before the taking back; the closing of a charge or a lot comes
    after everything of it but notes. Where nothing decides, tables and rows follow one another as they
    stand. Rows that cannot be put in any order are left out.
    """
    tables = [_after_what_they_refer_to(table) for table in tables]
    rows = [draft for table in tables for draft in table]
    waits: defaultdict[Draft, int] = defaultdict(int)
    followers: defaultdict[Draft, list[Draft]] = defaultdict(list)
    for earlier, later in _constraints(tables, lots):
        followers[earlier].append(later)
        waits[later] += 1
    rank = {draft: number for number, draft in enumerate(rows)}
    ready: list[int] = []
    for draft in rows:
        if not waits[draft]:
            heappush(ready, rank[draft])
    ordered = []
    while ready:
        draft = rows[heappop(ready)]
        ordered.append(draft)
        for later in followers[draft]:
            waits[later] -= 1
            if not waits[later]:
                heappush(ready, rank[later])
    return ordered


def _after_what_they_refer_to(table: Sequence[Draft]) -> list[Draft]:
    """One table's rows as they stand, but each behind what it succeeds and behind the rows it refers to.

    Rows of one name keep their order among themselves: the name is free only once the one before is gone.
    """
    if not any(_within(draft) for draft in table):
        return list(table)
    before: dict[Draft, list[Draft]] = {draft: [] for draft in table}
    by_uid = {draft.uid: draft for draft in table}
    first: dict[str, Draft] = {}
    last_named: dict[object, Draft] = {}
    for draft in table:
        first.setdefault(draft.entity, draft)
    for draft in table:
        name = key_of(draft.table, draft.given)
        needs = (by_uid.get(draft.supersedes), last_named.get(name), *map(first.get, _within(draft)))
        before[draft] = [each for each in needs if each is not None and each is not draft]
        last_named[name] = draft
    ordered: dict[Draft, None] = {}
    for draft in table:
        path = [draft]
        while path:
            waits_for = [each for each in before[path[-1]] if each not in ordered]
            if not waits_for or waits_for[0] in path:  # in a circle: found out by what the rows refer to
                ordered.setdefault(path.pop())
            else:
                path.append(waits_for[0])
    return list(ordered)


def _within(draft: Draft) -> list[str]:
    """The entities of its own table that a row refers to."""
    itself = (column.name for column in draft.table.references if column.refers_to == draft.table.table)
    return [entity for name in itself if (entity := draft.references.get(name))]


def _constraints(tables: Sequence[Sequence[Draft]], lots: LotsOfRows) -> Iterator[tuple[Draft, Draft]]:
    first: dict[str, Draft] = {}
    taken_back: dict[str, Draft] = {}
    for table in tables:
        for draft in table:
            first.setdefault(draft.entity, draft)
            if draft.kind is VersionKind.VOID:
                taken_back[draft.entity] = draft
    for table in tables:
        yield from pairwise(draft for draft in table if not isinstance(draft.fact, Closing))
        for draft in table:
            for entity in filter(None, draft.references.values()):
                if (start := first.get(entity)) is not None and start is not draft:
                    yield start, draft
                if (end := taken_back.get(entity)) is not None and end is not draft:
                    yield draft, end
    yield from _around_closings([draft for table in tables for draft in table], lots)


def _around_closings(rows: Sequence[Draft], lots: LotsOfRows) -> Iterator[tuple[Draft, Draft]]:
    """Rows come before the closing of their charge or lot; if the logbook holds that, after the reopening.

    Notes may be written at any time. Among the closings of a charge those of its lots come first, unless
    their own uids tell that a logbook wrote them in another order.
    """
    of_charge: defaultdict[str, list[Draft]] = defaultdict(list)
    chains: defaultdict[tuple[str | None, str | None], list[Draft]] = defaultdict(list)
    for draft in rows:
        if isinstance(draft.fact, Closing):
            of_charge[draft.fact.charge].append(draft)
            chains[draft.fact.charge, draft.fact.lot].append(draft)
    for closings in of_charge.values():
        if not all(draft.has_own_uid for draft in closings):
            closings.sort(key=lambda draft: isinstance(draft.fact, Closing) and draft.fact.lot is None)
        yield from pairwise(closings)
    for draft in rows:
        if isinstance(draft.fact, Closing | LaterNote):
            continue
        charge = draft.references.get("charge") or draft.entity
        for lot in (None, *lots.of_row(draft)):
            if not (chain := chains.get((charge, lot))):
                continue
            opens = isinstance(chain[0].fact, Closing) and chain[0].fact.reopened
            if opens:
                yield chain[0], draft
            if closes := chain[1:2] if opens else chain[:1]:
                yield draft, closes[0]

"""An order in which the rows can be written: nothing before what it leans on, nothing after its end."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from heapq import heappop, heappush
from itertools import pairwise

from kilnlog.exchange.draft import Draft
from kilnlog.records.closing import Closing
from kilnlog.records.version import VersionKind


def writing_order(tables: Sequence[Sequence[Draft]]) -> list[Draft]:
    """The rows to write, in an order the logbook accepts, each table's own order kept.

    What a row refers to comes before it; where that is taken back, every row that refers to it comes before
    the taking back; a charge's closing comes after everything of the charge. Where nothing decides, the
    tables follow one another. Rows that cannot be put in any order are left out.
    """
    rows = [draft for table in tables for draft in table]
    waits: defaultdict[Draft, int] = defaultdict(int)
    followers: defaultdict[Draft, list[Draft]] = defaultdict(list)
    for earlier, later in _constraints(tables):
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


def _constraints(tables: Sequence[Sequence[Draft]]) -> Iterator[tuple[Draft, Draft]]:
    first: dict[str, Draft] = {}
    taken_back: dict[str, Draft] = {}
    closing: dict[str, Draft] = {}
    for table in tables:
        for draft in table:
            first.setdefault(draft.entity, draft)
            if draft.kind is VersionKind.VOID:
                taken_back[draft.entity] = draft
            if isinstance(draft.fact, Closing):
                closing[draft.fact.charge] = draft
    for table in tables:
        yield from pairwise(table)
        for draft in table:
            for entity in filter(None, draft.references.values()):
                if (start := first.get(entity)) is not None and start is not draft:
                    yield start, draft
                if (end := taken_back.get(entity)) is not None and end is not draft:
                    yield draft, end
            charge = draft.references.get("charge") or draft.entity
            if (last := closing.get(charge)) is not None and last is not draft:
                yield draft, last

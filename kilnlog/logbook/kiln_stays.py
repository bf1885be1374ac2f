"""Which charge stood in which kiln when, and where two of them claim the same one."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import combinations
from typing import Any

from kilnlog.drying.figures import Assessment
from kilnlog.drying.finding import Finding, Severity, Value
from kilnlog.logbook.finding_answers import answer_of
from kilnlog.records.charge import Charge
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.closing import Closing
from kilnlog.records.kiln import Kiln
from kilnlog.records.moment import Moment
from kilnlog.records.stay import Stay
from kilnlog.records.version import Entry, History, histories


@dataclass(frozen=True, slots=True)
class InKiln:
    """One charge in one kiln; ``until`` is None while it is still there."""

    charge: str  # entity uid
    number: str
    kiln: str  # entity uid
    since: Moment
    until: Moment | None


def names_of_kilns(entries: Iterable[Entry[Any]]) -> dict[str, str]:
    """Entity uid of each kiln to its name now, or its last where it was taken back."""
    lines: tuple[History[Kiln], ...] = histories(entries)
    return {line.entity: line.newest.fact.kiln for line in lines}


def stays_of(
    charges: Sequence[History[Charge]], stays: Iterable[History[Stay]], closings: Mapping[str, Entry[Closing]]
) -> list[InKiln]:
    """Where each loaded charge stood: by its stays, else in its kiln from loading to unloading."""
    moved: dict[str, list[Entry[Stay]]] = {}
    for line in stays:
        if (stay := line.current) is not None:
            moved.setdefault(stay.fact.charge, []).append(stay)
    found: list[InKiln] = []
    for charge in charges:
        entry = charge.current
        if entry is None:
            continue
        fact = entry.fact
        ends = fact.unloaded_at or (closings[charge.entity].at if charge.entity in closings else None)
        if charge.entity in moved:
            path = sorted(moved[charge.entity], key=lambda one: one.at)
            leaves = [*(after.at for after in path[1:]), ends]
            found += [
                InKiln(charge.entity, fact.charge, stay.fact.kiln, stay.at, stay.fact.out_at or left)
                for stay, left in zip(path, leaves, strict=True)
            ]
        elif fact.kiln is not None and fact.loaded_at is not None:
            found.append(InKiln(charge.entity, fact.charge, fact.kiln, fact.loaded_at, ends))
    return found


def clashes(
    charges: Sequence[History[Charge]],
    stays: Iterable[History[Stay]],
    closings: Mapping[str, Entry[Closing]],
    kilns: Mapping[str, str],
    at: Moment,
) -> dict[str, tuple[Finding, ...]]:
    """Findings ``two-charges-in-kiln`` by charge, where two stood in one kiln at the same time.

    Two closed charges are past mending and are not told of.
    """
    found: dict[str, tuple[Finding, ...]] = {}
    for one, other in _pairs_in_one_kiln(stays_of(charges, stays, closings)):
        if one.charge == other.charge or (one.charge in closings and other.charge in closings):
            continue
        since, until = max(one.since, other.since), _earlier(one.until, other.until)
        if since > at or (until is not None and until <= since):
            continue
        for mine, theirs in ((one, other), (other, one)):
            values: dict[str, Value] = {
                "kiln": kilns.get(mine.kiln, ""),
                "other": theirs.number,
                "from_at": since,
                "until_at": until,
            }
            finding = Finding("two-charges-in-kiln", Severity.LOOK, "charge", values, since=since)
            found[mine.charge] = (*found.get(mine.charge, ()), finding)
    return found


def with_clashes(record: ChargeRecord, assessment: Assessment, found: Iterable[Finding]) -> Assessment:
    """The assessment with those findings among its own: no record alone tells of another charge.

    They are answered as any other, and stand with those as urgent, the answered ones last.
    """
    marked = (replace(one, answered=answer_of(record, one) is not None) for one in found)
    findings = sorted(
        (*assessment.findings, *marked), key=lambda one: (one.answered, list(Severity).index(one.severity))
    )
    return replace(assessment, findings=tuple(findings))


def _pairs_in_one_kiln(stays: Iterable[InKiln]) -> Iterator[tuple[InKiln, InKiln]]:
    by_kiln: dict[str, list[InKiln]] = {}
    for stay in stays:
        by_kiln.setdefault(stay.kiln, []).append(stay)
    for together in by_kiln.values():
        yield from combinations(together, 2)


def _earlier(one: Moment | None, other: Moment | None) -> Moment | None:
    known = [moment for moment in (one, other) if moment is not None]
    return min(known, default=None)
